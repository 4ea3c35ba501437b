"""Figures that were read beside figures that were expected, one by one.

Every expected row may claim one figure. Rows that agree in every asked column claim first, then rows that agree in
sheet, garment, size, length and point only (these differ in value, status ...); what no row claimed and is clean was
invented.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from halfinch.check.expected import Expectation
from halfinch.figure import Figure, Garment, SheetResult, to_inches

CLEAN = ("accepted", "assumed")
LIKENESS = ("body_", "label_")
"""Figures of a body or of the label: judged only where the expected file speaks of that kind."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that is not as expected. `kind`: missing | wrong | wrongly held | not held | invented | lost, or the
    name of the column that differs."""

    kind: str
    message: str
    sheet: str = ""
    size: str = ""
    length: str = ""
    point: str = ""
    expected: str = ""
    got: str = ""
    place: str = ""
    line: int = 0
    """Of the expected file; 0 where no row of it is meant."""


@dataclass(frozen=True, slots=True)
class Read:
    """A figure with the garment and the sheet it belongs to."""

    figure: Figure
    garment: Garment
    sheet: str

    @property
    def key(self) -> tuple[str, str, str]:
        return (self.figure.size, self.figure.length, self.figure.point)

    @property
    def clean(self) -> bool:
        return self.figure.status in CLEAN

    @property
    def style(self) -> str:
        garment = self.garment
        return " ".join((garment.style, garment.style_code, garment.block, garment.colour)).casefold()


def list_figures(results: Sequence[SheetResult]) -> list[Read]:
    """Every figure of every sheet of a file, set-aside ones left out."""
    found = []
    for result in results:
        garments = {garment.key: garment for garment in result.garments}
        for figure in result.figures:
            if figure.status != "set_aside":
                garment = garments.get(figure.garment, Garment(key=figure.garment))
                found.append(Read(figure, garment, result.sheet))
    return found


def compare_figures(expected: Sequence[Expectation], results: Sequence[SheetResult]) -> list[Difference]:
    """All differences between an expected file and what was read of its sheet."""
    reads = list_figures(results)
    families = {prefix for prefix in LIKENESS for row in expected if row.point.startswith(prefix)}
    reads = [r for r in reads if not r.figure.point.startswith(LIKENESS) or r.figure.point.startswith(tuple(families))]
    values = [row for row in expected if row.expect == "value"]
    claims = _claim_figures(values, reads)
    differences: list[Difference] = []
    for index, row in enumerate(values):
        differences.extend(_compare_value(row, reads[claims[index]] if index in claims else None, reads))
    claimed = set(claims.values())
    rest = [read for number, read in enumerate(reads) if number not in claimed]
    told: set[int] = set()
    for row in expected:
        if row.expect == "value":
            continue
        matching = [read for read in rest if _is_meant(row, read)]
        clean = [read for read in matching if read.clean]
        told.update(id(read) for read in clean)
        differences.extend(_compare_unwanted(row, read) for read in clean)
        if row.expect == "hold" and not matching and row.asked.get("status") == "held":
            differences.append(_difference("lost", row, "a held figure", "no figure at all", row.because))
    differences.extend(_tell_invented(read) for read in rest if read.clean and id(read) not in told)
    return differences


def _claim_figures(rows: Sequence[Expectation], reads: Sequence[Read]) -> dict[int, int]:
    """Index of row -> index of figure; every figure is claimed once, the closest agreement first."""
    by_key: dict[tuple[str, str, str], list[int]] = defaultdict(list)
    for number, read in enumerate(reads):
        by_key[read.key].append(number)
    claims: dict[int, int] = {}
    taken: set[int] = set()
    for agreement in (_agrees_fully, _agrees_in_value, _is_clean_and_meant, _is_meant):
        for index, row in enumerate(rows):
            if index in claims:
                continue
            fit = [n for n in by_key[row.key] if n not in taken and agreement(row, reads[n])]
            if fit:
                claims[index] = fit[0]
                taken.add(fit[0])
    return claims


def _is_meant(row: Expectation, read: Read) -> bool:
    """True where sheet, garment, size, length and point agree, as far as a row that is no value says them."""
    if row.sheet and not (read.sheet == row.sheet or read.sheet.endswith("/" + row.sheet)):
        return False
    if row.style and row.style.casefold() not in read.style:
        return False
    if row.expect == "value":
        return row.key == read.key
    if not row.point:
        return not read.figure.point.startswith(LIKENESS)
    if row.expect == "nothing":
        return read.figure.point == row.point and (not row.size or row.size == read.figure.size)
    return row.key == read.key


def _is_clean_and_meant(row: Expectation, read: Read) -> bool:
    return read.clean and _is_meant(row, read)


def _agrees_in_value(row: Expectation, read: Read) -> bool:
    return _is_meant(row, read) and read.clean and to_inches(read.figure.length_nm) == row.inches


def _agrees_fully(row: Expectation, read: Read) -> bool:
    return _agrees_in_value(row, read) and not _list_columns_apart(row, read)


def _list_columns_apart(row: Expectation, read: Read) -> list[tuple[str, str, str]]:
    """Column, expected, got of each asked column that differs (value and status are told elsewhere)."""
    apart = []
    upper = read.figure.length_to_nm
    got_to = None if upper is None else to_inches(upper)
    if row.inches_to != got_to:
        apart.append(("inches_to", str(row.inches_to or "none"), str(got_to or "none")))
    got = _name_columns(read)
    for column, text in row.asked.items():
        if column not in got:
            continue
        if column in ("merchant", "style_code"):
            same = text.casefold() == got[column].casefold()
        elif column == "tolerance":
            same = bool(got[column]) and Decimal(text) == Decimal(got[column])
        else:
            same = text == got[column]
        if not same:
            apart.append((column, text, got[column] or "nothing"))
    return apart


def _name_columns(read: Read) -> dict[str, str]:
    figure = read.figure
    tolerances = [nm for nm in (figure.tolerance_minus_nm, figure.tolerance_plus_nm) if nm is not None]
    return {
        "merchant": read.garment.merchant,
        "style_code": read.garment.style_code,
        "size_system": figure.size_system,
        "tolerance": str(to_inches(max(tolerances))) if tolerances else "",
        "status": figure.status,
        "basis": figure.basis,
        "raw": figure.raw,
        "unit": figure.unit,
        "convention": figure.convention,
        "place": figure.place,
    }


def _compare_value(row: Expectation, read: Read | None, reads: Sequence[Read]) -> list[Difference]:
    want = f"{row.inches} in" + (f" to {row.inches_to} in" if row.inches_to is not None else "")
    if read is None:
        return [_difference("missing", row, want, "nothing", _name_nearest(row, reads))]
    if not read.clean:
        rivals = "; ".join(read.figure.rivals) or f"read as {to_inches(read.figure.length_nm)} in"
        return [_difference("wrongly held", row, want, "held", rivals, read)]
    got = to_inches(read.figure.length_nm)
    if got != row.inches:
        return [_difference("wrong", row, want, f"{got} in", f"printed {read.figure.raw!r}", read)]
    return [_difference(column, row, old, new, "", read) for column, old, new in _list_columns_apart(row, read)]


def _name_nearest(row: Expectation, reads: Sequence[Read]) -> str:
    """What was read of the same point and size elsewhere: under another length, another style, held."""
    near = [read for read in reads if (read.figure.point, read.figure.size) == (row.point, row.size)]
    near.sort(key=lambda read: (read.figure.length != row.length, to_inches(read.figure.length_nm) != row.inches))
    told = []
    for read in near[:2]:
        elsewhere = "" if row.style.casefold() in read.style else f" of style {read.garment.style or 'not said'!r}"
        held = "" if read.clean else ", held: " + ("; ".join(read.figure.rivals) or "no rival named")
        told.append(f"{_name_key(read.key)}{elsewhere} is {to_inches(read.figure.length_nm)} in{held}")
    return "; ".join(told)


def _compare_unwanted(row: Expectation, read: Read) -> Difference:
    want = "held" if row.expect == "hold" else "no figure"
    kind = "not held" if row.expect == "hold" else "invented"
    got = f"{to_inches(read.figure.length_nm)} in, {read.figure.status}"
    size, length, point = read.key
    message = _say(read.sheet, read.key, want, got, row.because, read.figure.place)
    return Difference(kind, message, read.sheet, size, length, point, want, got, read.figure.place)


def _tell_invented(read: Read) -> Difference:
    got = f"{to_inches(read.figure.length_nm)} in, {read.figure.status}"
    why = f"printed {read.figure.raw!r}"
    message = _say(read.sheet, read.key, "no such figure", got, why, read.figure.place)
    size, length, point = read.key
    return Difference("invented", message, read.sheet, size, length, point, "", got, read.figure.place)


def _difference(kind: str, row: Expectation, want: str, got: str, why: str, read: Read | None = None) -> Difference:
    place = read.figure.place if read else row.asked.get("place", "")
    sheet = read.sheet if read else row.sheet
    column = "" if kind in ("missing", "wrong", "wrongly held", "lost") else f"{kind} "
    message = _say(row.style or sheet, row.key, column + want, column + got, why, place)
    return Difference(kind, message, sheet, row.size, row.length, row.point, want, got, place, row.line)


def _name_key(key: tuple[str, str, str]) -> str:
    size, length, point = key
    return " ".join(part for part in (f"size {size}" if size else "every size", length, point) if part)


def _say(where: str, key: tuple[str, str, str], want: str, got: str, why: str, place: str) -> str:
    parts = [f"{_name_key(key)}: expected {want}, got {got}"]
    parts += [f"({why})"] if why else []
    parts += [f"at {place}"] if place else []
    return (f"{where}: " if where else "") + " ".join(parts)


def count_statuses(results: Sequence[SheetResult]) -> dict[str, int]:
    """Figures per status, of garment points only: the tripwire that shows a lost column."""
    counts = {"accepted": 0, "assumed": 0, "held": 0}
    for read in list_figures(results):
        if not read.figure.point.startswith(LIKENESS):
            counts[read.figure.status] = counts.get(read.figure.status, 0) + 1
    return counts


def total_expected(expected: Sequence[Expectation]) -> dict[str, int]:
    """Expected rows per kind."""
    return {kind: sum(row.expect == kind for row in expected) for kind in ("value", "hold", "nothing")}
