"""An enquiry to a merchant: exactly the figures that are missing or held, in his language."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from halfinch.fit.enquiry import Enquiry
from halfinch.present.papers.render import name_pair, say_place
from halfinch.present.wording import Wording


def merchant_paper(
    enquiries: Sequence[Enquiry], say: Wording, name: str = "", day: date | None = None
) -> dict[str, Any]:
    """Facts for `render("merchant", ...)`."""
    return {
        "title": say.word("Questions about your measurements"),
        "merchant": enquiries[0].merchant if enquiries else "", "name": name,
        "day": day.isoformat() if day is not None else "",
        "garments": [_garment(enquiry, say) for enquiry in enquiries],
    }  # fmt: skip


def _garment(enquiry: Enquiry, say: Wording) -> dict[str, Any]:
    held = []
    for figure in enquiry.held:
        size = " ".join(part for part in (figure.size, say.word(figure.length) if figure.length else "") if part)
        where = f"{figure.sheet}, {say_place(figure.place, say)}"
        held.append((say.point(figure.point), size or say.word("all sizes"), figure.raw, where))
    asks = [say.word("What is the cloth made of, and how much does it stretch?")] if enquiry.fibres_missing else []
    return {
        "name": name_pair(say, enquiry.style, enquiry.style_code, "", "", "", enquiry.block),
        "missing": [
            (say.point(missing.point), ", ".join(missing.sizes) or say.word("all sizes"))
            for missing in enquiry.missing
        ],
        "held": held, "asks": asks,
    }  # fmt: skip
