"""Delimited text: delimiter, quoting, encoding and padding as programs write them."""

from __future__ import annotations

import csv
import io
import random

from .doc import Doc
from .flow import rows_of


def print_csv(doc: Doc, rng: random.Random) -> tuple[bytes, str]:
    """A comma inside numbers makes the delimiter a semicolon or tab, as spreadsheets do, or quotes the cell."""
    delimiter = rng.choice([",", ",", ",", ";", ";", "\t", "|"])
    rows = [[cell.text for cell in row] for row in rows_of(doc)]
    width = max(len(row) for row in rows)
    comments = (
        [f"# exported 2026-0{rng.randrange(1, 9)}-11 09:14", "# do not edit by hand"] if rng.random() < 0.1 else []
    )
    if rng.random() < 0.4:
        rows = [row + [""] * (width - len(row)) for row in rows]
    out = io.StringIO()
    quoting = rng.choice([csv.QUOTE_MINIMAL, csv.QUOTE_MINIMAL, csv.QUOTE_ALL])
    writer = csv.writer(out, delimiter=delimiter, quoting=quoting, lineterminator=rng.choice(["\n", "\r\n"]))
    writer.writerows(rows)
    text = "".join(f"{line}\n" for line in comments) + out.getvalue()
    for encoding in rng.sample(_encodings(doc), 3):
        try:
            return text.encode(encoding), f"{encoding}, {delimiter!r}"
        except UnicodeEncodeError:
            continue
    return text.encode("utf-8"), f"utf-8, {delimiter!r}"


def _encodings(doc: Doc) -> list[str]:
    local = {"ja": "shift_jis", "zh": "gb18030", "pl": "cp1250", "tr": "cp1254"}.get(doc.language, "cp1252")
    return ["utf-8", "utf-8", "utf-8-sig", "utf-16", local]
