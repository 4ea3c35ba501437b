"""Values as text, and texts that no spreadsheet runs.

A spreadsheet takes a text that begins with ``=`` or alike for a formula, so CSV puts an apostrophe before such texts,
and before texts that begin with an apostrophe, so that it can be taken off again without loss (`guard`, `unguard`).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import Any

Batches = Iterator[list[tuple[Any, ...]]]

RISKY = frozenset("=+-@\t\r\n＝＋－＠")
"""First characters that a spreadsheet may act on (OWASP, CSV injection), and their full-width forms."""


def guard(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return f"'{text}" if text and (text[0] in RISKY or text[0] == "'") else text


def unguard(text: str) -> str:
    """Inverse of `guard`."""
    return text[1:] if text.startswith("'") else text


def plain(value: object) -> str:
    """A value as text: decimals without needless zeros or exponents, moments in ISO 8601, NULL as ''."""
    if value is None:
        return ""
    if isinstance(value, Decimal):
        text = f"{value:f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    if isinstance(value, datetime):
        return value.isoformat(sep=" ")
    return str(value)


def number(name: str, value: Decimal) -> str:
    """A decimal as text; a half inch always with its one decimal."""
    return f"{value:.1f}" if name.endswith("half_inch") else plain(value)
