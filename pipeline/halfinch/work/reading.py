"""One file's bytes become results, one per sheet in it: a pure function that any engine can spread over machines."""

from __future__ import annotations

import traceback
from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING

from halfinch.catalogue.identity import sheet_digest
from halfinch.errors import SheetError
from halfinch.figure import SheetResult

if TYPE_CHECKING:
    from halfinch.knowledge import Knowledge
    from halfinch.knowledge.spec_habits import Habits

PRIVATE = ".toml"
"""A body in a packed folder: private, and no sheet."""


def read_sheet(data: bytes, name: str, knowledge: Knowledge, habits: Habits | None = None) -> list[SheetResult]:
    """Reads a sheet, or every sheet in a container, and judges its figures. Never raises for what a file holds
    (but a MemoryError passes: how much there is to be had is for the caller to say).

    A sheet that cannot be read is a result with outcome `failed` and a sentence why; so is one on which the program
    itself fails, with the traceback in its log. The same bytes, program, knowledge and habits give the same results.
    """
    digest = sheet_digest(data)
    try:
        return _read(data, name, knowledge, habits)
    except SheetError as error:
        return [failed(name, digest, len(data), str(error))]
    except MemoryError:
        raise
    except Exception as error:  # noqa: BLE001 - a bug fails this sheet loudly, its traceback goes to the log
        return [_bug(name, digest, len(data), error)]


def failed(name: str, digest: str, size: int, message: str, log: str = "") -> SheetResult:
    """A result for a sheet that could not be read."""
    return SheetResult(name, digest, bytes=size, outcome="failed", message=message, log=log)


def usual_tolerances(knowledge: Knowledge) -> dict[str, Fraction]:
    """Point to its usual tolerance, inches of the full girth."""
    return {name: point.tolerance for name, point in knowledge.points.items() if point.tolerance is not None}


def _read(data: bytes, name: str, knowledge: Knowledge, habits: Habits | None) -> list[SheetResult]:
    from halfinch.readers import iter_members

    results: list[SheetResult] = []
    for inner, content in iter_members(data, name):
        if isinstance(content, SheetError):
            results.append(failed(inner, sheet_digest(f"{inner}: {content}".encode()), 0, str(content)))
            continue
        if inner != name and inner.lower().endswith(PRIVATE):
            continue
        digest = sheet_digest(content)
        try:
            results += _read_one(content, inner, digest, knowledge, habits)
        except SheetError as error:
            results.append(failed(inner, digest, len(content), str(error)))
        except MemoryError:
            raise
        except Exception as error:  # noqa: BLE001 - a bug fails this sheet loudly, its traceback goes to the log
            results.append(_bug(inner, digest, len(content), error))
    return results


def _read_one(data: bytes, name: str, digest: str, knowledge: Knowledge, habits: Habits | None) -> list[SheetResult]:
    from halfinch.catalogue.own_export import recognise, recognise_grids
    from halfinch.interpret import choose_pages, interpret
    from halfinch.readers import read_plain

    usual = usual_tolerances(knowledge)
    own = recognise(data, name, usual)
    if own is not None:
        return own
    sheet = read_plain(data, name, partial(choose_pages, knowledge=knowledge))
    if isinstance(sheet, SheetError):
        raise sheet
    own = recognise_grids(sheet, data, usual)
    if own is not None:
        return own
    result: SheetResult = interpret(sheet, knowledge, habits)
    seen = {"sheet": name, "sheet_id": digest, "kind": sheet.kind, "bytes": len(data)}
    return [replace(result, **seen, pages=sheet.pages, reader=sheet.reader)]  # type: ignore[arg-type]


def _bug(name: str, digest: str, size: int, error: Exception) -> SheetResult:
    message = f"halfinch itself failed on this sheet ({type(error).__name__}); the catalogue's logs say where."
    return failed(name, digest, size, message, "".join(traceback.format_exception(error)))
