"""All formats by name: each printer makes the bytes of a doc and names the writer or structure it used."""

from __future__ import annotations

import random
from collections.abc import Callable

from .doc import Doc
from .print_csv import print_csv
from .print_html import print_html
from .print_json import print_json
from .print_ods import print_ods
from .print_pdf import print_pdf
from .print_xlsx import print_xlsx

Printer = Callable[[Doc, random.Random], tuple[bytes, str]]
PRINTERS: dict[str, Printer] = {
    "csv": print_csv,
    "html": print_html,
    "xlsx": print_xlsx,
    "ods": print_ods,
    "json": print_json,
    "pdf": print_pdf,
}
