"""Papers to hand out: a client's shortlist, a tailor's ticket, an enquiry to a merchant, a page of one garment.

In: plans, tickets, enquiries, rows of `sizes`. Out: one HTML page that prints on A4 and Letter and loads nothing, or
plain text for a message. Tailor and merchant get garment figures only: what these papers are made from holds no body.
Begin reading at `render`.
"""

from halfinch.present.papers.client import client_entry, client_paper
from halfinch.present.papers.garment import garment_paper, read_garment
from halfinch.present.papers.merchant import merchant_paper
from halfinch.present.papers.render import render
from halfinch.present.papers.tailor import tailor_paper

__all__ = ["client_entry", "client_paper", "garment_paper", "merchant_paper", "read_garment", "render", "tailor_paper"]
