"""One file's bytes become results, one per sheet in it: a pure function that any engine can spread over machines."""

from __future__ import annotations

import traceback
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from halfinch.catalogue.identity import sheet_digest
from halfinch.errors import SheetError
from halfinch.figure import SheetResult

if TYPE_CHECKING:
    from halfinch.knowledge import Knowledge
    from halfinch.sheet import Sheet


def read_sheet(data: bytes, name: str, knowledge: Knowledge, habits: object = None) -> list[SheetResult]:
    """Reads a sheet, or every sheet in a container, and judges its figures. Never raises for what a file holds.

    A sheet that cannot be read is a result with outcome `failed` and a sentence why; so is one on which the program
    itself fails, with the traceback in its log. The same bytes, program, knowledge and habits give the same results.
    """
    digest = sheet_digest(data)
    try:
        return _read(data, name, digest, knowledge, habits)
    except SheetError as error:
        return [failed(name, digest, len(data), str(error))]
    except Exception as error:  # noqa: BLE001 - a bug fails this sheet loudly, its traceback goes to the log
        return [_bug(name, digest, len(data), error)]


def failed(name: str, digest: str, size: int, message: str, log: str = "") -> SheetResult:
    """A result for a sheet that could not be read."""
    return SheetResult(name, digest, bytes=size, outcome="failed", message=message, log=log)


def usual_tolerances(knowledge: Knowledge) -> dict[str, Fraction]:
    """Point to its usual tolerance, inches of the full girth."""
    return {name: point.tolerance for name, point in knowledge.points.items() if point.tolerance is not None}


def _read(data: bytes, name: str, digest: str, knowledge: Knowledge, habits: object) -> list[SheetResult]:
    from halfinch.catalogue.own_export import recognise
    from halfinch.readers import read_bytes

    own = recognise(data, name, usual_tolerances(knowledge))
    if own is not None:
        return own
    results: list[SheetResult] = []
    for inner, sheet in read_bytes(data, name):
        sheet_id = digest if inner == name else sheet_digest(f"{digest}/{inner.removeprefix(name)}".encode())
        if isinstance(sheet, SheetError):
            results.append(failed(inner, sheet_id, len(data), str(sheet)))
            continue
        try:
            results += _interpret(data, sheet, inner, sheet_id, knowledge, habits)
        except Exception as error:  # noqa: BLE001 - as above; the other sheets of the container go on
            results.append(_bug(inner, sheet_id, len(data), error))
    return results


def _interpret(
    data: bytes, sheet: Sheet, name: str, sheet_id: str, knowledge: Knowledge, habits: object
) -> list[SheetResult]:
    from halfinch.catalogue.own_export import recognise_grids
    from halfinch.interpret import interpret

    own = recognise_grids(sheet, data, usual_tolerances(knowledge))
    if own is not None:
        return own
    result: SheetResult = interpret(sheet, knowledge, habits)
    return [
        replace(
            result, sheet=name, sheet_id=sheet_id, kind=sheet.kind, bytes=len(data), pages=sheet.pages,
            reader=sheet.reader,
        )
    ]  # fmt: skip


def _bug(name: str, digest: str, size: int, error: Exception) -> SheetResult:
    message = f"halfinch itself failed on this sheet ({type(error).__name__}); the catalogue's logs say where."
    return failed(name, digest, size, message, "".join(traceback.format_exception(error)))
