"""A paper's facts become a page or a message."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Literal

from halfinch.present.wording import Wording

Form = Literal["html", "txt"]
SOFT_HYPHEN = "\u00ad"
"""Where a page may part a long word of the trade; a message in plain text has none."""


def render(kind: str, facts: Mapping[str, Any], say: Wording, form: Form = "html") -> str:
    """`kind`: client | tailor | merchant | garment. Everything a merchant wrote is escaped in the page."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    page = form == "html"
    environment = Environment(
        loader=PackageLoader("halfinch.present"), autoescape=page, undefined=StrictUndefined, trim_blocks=not page,
        lstrip_blocks=not page,
    )  # fmt: skip
    text = environment.get_template(f"{kind}.{form}").render(say=say, **facts)
    if page:
        return text
    text = text.replace(SOFT_HYPHEN, "")
    return re.sub(r"\n{3,}", "\n\n", re.sub(r"[ \t]+\n", "\n", text)).strip() + "\n"


def name_pair(say: Wording, style: str, code: str, size: str, length: str, merchant: str = "", colour: str = "") -> str:
    """ "Larkrise Straight (LS-204), size 30 petite, dark blue - hollin-and-thrupp"."""
    named = style or code or say.word("a pair without a name")
    if style and code and code not in style:
        named += f" ({code})"
    sized = " ".join(part for part in (size, say.word(length) if length else "") if part)
    parts = [named, f"{say.word('size')} {sized}" if sized else "", colour]
    text = ", ".join(part for part in parts if part)
    return f"{text} – {merchant}" if merchant else text


def say_place(place: str, say: Wording) -> str:
    """ "page=2;table=1;row=7;col=4" as "page 2, table 1, row 7, column 4"."""
    words = []
    for part in place.split(";"):
        key, _, value = part.partition("=")
        words.append(f"{say.word('column' if key == 'col' else key)} {value}" if value else key)
    return ", ".join(words)
