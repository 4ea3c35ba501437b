"""PDF by one of three writers."""

from __future__ import annotations

import random

from .doc import Doc
from .pdf_canvas import print_canvas
from .pdf_fpdf import print_fpdf
from .pdf_page import NoFace, NoRoom, choose_face
from .pdf_platypus import print_platypus
from .print_html import print_html


def print_pdf(doc: Doc, rng: random.Random) -> tuple[bytes, str]:
    """Asian faces exist for two of the writers only; a sheet that no face or page can hold becomes HTML."""
    try:
        face = choose_face(doc, rng)
    except NoFace:
        return print_html(doc, rng)
    writers = [print_platypus, print_canvas]
    if doc.language not in ("zh", "ja"):
        writers.append(print_fpdf)
    try:
        return rng.choice(writers)(doc, rng, face)
    except NoRoom:
        return print_html(doc, rng)
