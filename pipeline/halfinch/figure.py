"""Garment, Figure, Finding: what a sheet says once it has been interpreted. Plain values, no files, no pandas."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

NM_PER_INCH = 25_400_000
"""Lengths are kept as whole nanometres: 1/64 in is 396,875 nm and 0.01 mm is 10,000 nm, so nothing is ever rounded."""

STATUSES = ("accepted", "assumed", "held", "set_aside")
BASES = ("declared", "inferred", "derived", "ruled")
CONVENTIONS = ("", "round", "flat")
SEVERITIES = ("note", "warn", "error")


def to_inches(nm: int) -> Decimal:
    """Inches printed with up to 6 decimals (for showing and the `inches` column); arithmetic stays on nanometres."""
    value = (Decimal(nm) / NM_PER_INCH).quantize(Decimal("0.000001")).normalize()
    return value if value.as_tuple().exponent <= 0 else value.quantize(Decimal(1))  # type: ignore[operator]


@dataclass(frozen=True, slots=True)
class Garment:
    """One style (and block) of one merchant, as far as the sheet says. '' means not said."""

    key: str
    """Names the garment within one SheetResult; figures point at it."""
    merchant: str = ""
    style: str = ""
    style_code: str = ""
    block: str = ""
    silhouette: str = ""
    fabric: str = ""
    stretch: Fraction | None = None
    """Stated stretch as a share (0.2 is 20 %)."""
    state: str = ""
    """unwashed | washed | ''"""
    price: Decimal | None = None
    currency: str = ""
    colour: str = ""
    url: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """One point of one size of one garment."""

    garment: str
    point: str
    size: str
    length_nm: int
    """Full girth for circumferences, whatever the sheet printed."""
    raw: str
    place: str
    size_system: str = ""
    size_also: str = ""
    size_scope: str = "one"
    length: str = ""
    length_scope: str = "one"
    length_to_nm: int | None = None
    """Upper end of a printed range."""
    tolerance_minus_nm: int | None = None
    tolerance_plus_nm: int | None = None
    """Of the full girth; None where the sheet does not state one."""
    at_nm: int | None = None
    at_from: str = ""
    """crotch | top edge | band: from where `at_nm` is measured."""
    status: str = "accepted"
    basis: str = "declared"
    unit: str = ""
    """As printed: in | cm | mm | m | ft; the unit the number was read in."""
    convention: str = ""
    """round | flat: how the number was printed; '' for lengths."""
    stretched_nm: int | None = None
    """Stretched waist beside the relaxed one, where both are printed."""
    rivals: tuple[str, ...] = ()
    """Other readings that could not be told apart, in words."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule has to say about a figure, a garment or a sheet. Rules return findings and never raise."""

    rule: str
    severity: str
    message: str
    suggestion: str = ""
    garment: str = ""
    figures: tuple[int, ...] = ()
    """Indices into SheetResult.figures; empty for a finding about a garment or the sheet."""
    place: str = ""


@dataclass(frozen=True, slots=True)
class SheetResult:
    """What `read_sheet` makes of one file: pure data, picklable, the same for the same bytes, program and knowledge."""

    sheet: str
    sheet_id: str
    """SHA-256 of the bytes, hex."""
    kind: str = ""
    bytes: int = 0
    pages: int = 0
    reader: str = ""
    merchant: str = ""
    outcome: str = "nothing"
    """read | partly | nothing | scanned | failed"""
    message: str = ""
    garments: tuple[Garment, ...] = ()
    figures: tuple[Figure, ...] = ()
    findings: tuple[Finding, ...] = ()
    log: str = field(default="", repr=False)
    """A traceback where the program itself failed on this sheet."""
