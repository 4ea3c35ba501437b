"""Which mark is the decimal one: "27,25", "1.081,5", "1,014". In doubt both readings are named."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

LARGEST_MM = 2500
"""No measure of a garment or a body is larger, so a larger thousands reading is none (common practice)."""

DIGITS = re.compile(
    r"\d{1,3}(?:'\d{3})+(?!\d)(?:[.,]\d+)?|[12] \d{3}(?!\d)(?:[.,]\d{1,2}(?!\d))?|\d+(?:[.,]\d+)*[.,]?|[.,]\d+"
)


@dataclass(frozen=True, slots=True)
class Decided:
    """The value of a run of digits and marks; `doubt` and `rivals` as in `Printed`."""

    value: Fraction
    decimals: int = 0
    doubt: str = ""
    rivals: tuple[Fraction, ...] = ()


def decide_decimal(digits: str, decimal: str = "", unit: str = "") -> Decided | None:
    """Read `digits` as matched by DIGITS; None when it is no number of ours (a code, a date, a long article number).

    decimal: the decimal mark that the other cells of the grid prove, '' when they prove none. unit: the number's unit,
    '' when unknown; it decides between thousands of millimetres and decimals.
    """
    marks = [char for char in digits if not char.isdigit()]
    if not marks:
        return _read_whole(digits)
    if digits[-1] in ".,":
        return _read_whole(digits[:-1]) if len(marks) == 1 else None
    if len(marks) == 1 and marks[0] in ".,":
        head, tail = digits.split(marks[0])
        return _decide_one_mark(head, tail, marks[0], decimal, unit)
    return _decide_grouped(digits, marks, unit)


def _read_whole(digits: str) -> Decided | None:
    if len(digits) > 4 or (len(digits) > 1 and not digits.strip("0")):
        return None
    doubt = "a leading zero: this may be a code or a size" if len(digits) > 1 and digits[0] == "0" else ""
    return Decided(Fraction(int(digits)), doubt=doubt)


def _decide_one_mark(head: str, tail: str, mark: str, decimal: str, unit: str) -> Decided | None:
    if len(head) > 4 or (len(head) > 1 and head[0] == "0"):
        return None
    value = Fraction(int((head or "0") + tail), 10 ** len(tail))
    places = len(tail)
    if places != 3 or not head or head == "0" or unit in ("m", "ft"):
        return Decided(value, places)
    thousands = Fraction(int(head + tail))
    if thousands <= LARGEST_MM and unit in ("", "mm"):
        return _decide_thousand(value, thousands, mark, decimal, unit)
    if decimal:
        doubt = "" if mark == decimal else f"the other figures use {decimal!r} as their decimal mark"
    elif tail == "000" and not unit:
        doubt = "three zeros behind the mark: decimals, or thousands"
    elif unit != "in" and len(head) == 1 and int(tail) % 125:
        doubt = "three digits behind the mark: decimals, or thousands"
    else:
        doubt = ""
    return Decided(value, places, doubt, (thousands,) if doubt else ())


def _decide_thousand(value: Fraction, thousands: Fraction, mark: str, decimal: str, unit: str) -> Decided:
    """Both readings are lengths: 1,014 is 1014 mm or 1.014 of some unit."""
    if unit == "mm":
        doubt = "read as thousands, though the other figures use this mark for decimals" if mark == decimal else ""
        return Decided(thousands, 0, doubt, (value,) if doubt else ())
    if decimal and mark == decimal:
        return Decided(value, 3)
    if decimal:
        return Decided(thousands, 0)
    return Decided(value, 3, "three digits behind the mark: decimals, or thousands", (thousands,))


def _decide_grouped(digits: str, marks: list[str], unit: str) -> Decided | None:
    """Thousands and decimals both marked (1.081,5), or thousands marked by a blank or an apostrophe (1 014, 1'014)."""
    group = marks[0]
    if group in ".," and (len(set(marks)) != 2 or marks.count(marks[-1]) != 1 or len(marks) != 2):
        return None
    whole, _, tail = digits.partition(marks[-1]) if marks[-1] != group else (digits, "", "")
    head, *groups = whole.split(group)
    if not 1 <= len(head) <= 3 or any(len(part) != 3 for part in groups):
        return None
    value = Fraction(int(head + "".join(groups) + tail), 10 ** len(tail))
    if value > LARGEST_MM:
        return None
    doubt = "" if unit == "mm" else "a mark for thousands: only millimetres run so high"
    rivals = (value / 1000,) if doubt else ()
    return Decided(value, len(tail), doubt, rivals)
