"""Rulings as files: an export of them comes back whole; a list that a person wrote (CSV, TOML) is looked up and ruled.

figure,sheet,point,size,length,style,row,column,decision,inches,why,by
,wide.pdf,leg_opening,,,,,,right,,asked the shop,Ana

by = "Ana"                                   # for all that do not say it
[[ruling]]
sheet = "wide.pdf"
row = 7
decision = "should be"
inches = 29.5
"""

from __future__ import annotations

import csv
import io
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import fields
from datetime import UTC, datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path

from halfinch.catalogue.choosing import Choice, Request
from halfinch.catalogue.formats.cells import unguard
from halfinch.catalogue.own_export import rulings_in
from halfinch.catalogue.rulings import DECISIONS, Decision, Ruling
from halfinch.errors import UsageError

CHOICE = tuple(one.name for one in fields(Choice) if one.name != "standing")
KNOWN = frozenset({*CHOICE, "standing", "decision", "inches", "why", "by"})


def read_rulings_file(file: Path, by: str = "") -> list[Ruling] | list[Request]:
    """An export of rulings as Rulings, a list by hand as Requests (`by`: who decided where it does not say).

    Raises UsageError naming the file and the row that makes no sense; then nothing of it is to be used.
    """
    try:
        data = file.read_bytes()
    except OSError as error:
        raise UsageError(f"{file} cannot be read ({error.strerror}).") from error
    if file.suffix.lower() == ".toml":
        return _read_toml(file, data, by)
    try:
        records = rulings_in(data)
    except (ValueError, csv.Error, KeyError, OSError) as error:
        raise UsageError(f"{file} is damaged: it begins like an export of rulings and cannot be read.") from error
    if records is None:
        return _read_list(file, data, by)
    return [_read_export_row(record, f"{file}, row {number}") for number, record in enumerate(records, start=2)]


def _read_export_row(record: Mapping[str, str], where: str) -> Ruling:
    try:
        sheet_id, place, printed, point, size, length = (
            record[name] for name in ("sheet_id", "place", "printed", "point", "size", "length")
        )
        inches = Decimal(record["inches"]) if record["inches"] else None
        at = datetime.fromisoformat(record["at"])
        at = at.astimezone(UTC).replace(tzinfo=None) if at.tzinfo is not None else at
        decision, why, by, undoes = (record[name] for name in ("decision", "why", "by", "undoes"))
        ruling = Ruling(sheet_id, place, printed, point, size, length, decision, inches, why, by, at, undoes)
    except KeyError as error:
        raise UsageError(f"{where}: no ruling, the column {error} is missing.") from error
    except (ValueError, InvalidOperation) as error:
        raise UsageError(f"{where}: no ruling ({error}).") from error
    if ruling.decision not in DECISIONS:
        raise UsageError(f'{where}: "{ruling.decision}" is no ruling; known: {", ".join(DECISIONS)}.')
    if inches is not None and not (inches.is_finite() and abs(inches) < 1000):
        raise UsageError(f"{where}: {record['inches']} inches are no length.")
    if record["ruling_id"] != ruling.ruling_id:
        raise UsageError(
            f"{where}: the row was changed since it was exported (its ruling_id is of other words); export it anew, or "
            "write what is decided as a list with the columns sheet, point, decision."
        )
    return ruling


def _read_list(file: Path, data: bytes, by: str) -> list[Request]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = ""
    first = text.splitlines()[0] if text.strip() else ""
    delimiter = max(",;\t", key=first.count)
    rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)) if "decision" in first else []
    header = [cell.strip() for cell in rows[0]] if rows else []
    if "decision" not in header:
        raise UsageError(
            f"{file} is no export of rulings and no list of them; `halfinch export --table rulings` makes the one, "
            "columns sheet, point, decision (and size, row, column, inches, why, by) the other."
        )
    _check_names(header, f"{file}, row 1")
    return [
        _request(dict(zip(header, (unguard(cell) for cell in row), strict=False)), f"{file}, row {number}", by)
        for number, row in enumerate(rows[1:], start=2)
        if any(cell.strip() for cell in row)
    ]


def _read_toml(file: Path, data: bytes, by: str) -> list[Request]:
    try:
        content = tomllib.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise UsageError(f"{file} is no text (UTF-8).") from error
    except tomllib.TOMLDecodeError as error:
        raise UsageError(f"{file} is no TOML: {error}.") from error
    entries = content.pop("ruling", None)
    shared = {name: str(content.pop(name)) for name in ("by", "why", "sheet") if isinstance(content.get(name), str)}
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries) or content:
        strange = f"; {next(iter(content))} is no key of it" if content else ""
        raise UsageError(f"{file} is no list of rulings: it should hold [[ruling]] tables{strange}.")
    requests = []
    for number, entry in enumerate(entries, start=1):
        where = f"{file}, ruling {number}"
        _check_names(list(entry), where)
        told = {name: str(value).lower() if isinstance(value, bool) else str(value) for name, value in entry.items()}
        shared_here = {name: value for name, value in shared.items() if not (name == "sheet" and "figure" in told)}
        requests.append(_request({**shared_here, **told}, where, by))
    return requests


def _check_names(names: Sequence[str], where: str) -> None:
    if strange := [name for name in names if name not in KNOWN]:
        raise UsageError(
            f"{where}: {strange[0]!r} is no column of a list of rulings; known: {', '.join(sorted(KNOWN))}."
        )


def _request(told: Mapping[str, str], where: str, by: str) -> Request:
    words = {name: value.strip() for name, value in told.items()}
    try:
        inches = Decimal(words["inches"].replace(",", ".")) if words.get("inches") else None
    except InvalidOperation as error:
        raise UsageError(f'{where}: "{words["inches"]}" is no number of inches; write 29.5.') from error
    choice = Choice(
        **{name: words.get(name, "") for name in CHOICE}, standing=words.get("standing", "") in ("true", "yes", "1")
    )
    decision = Decision(words.get("decision", ""), words.get("by") or by, words.get("why", ""), inches)
    if complaint := choice.complaint() or decision.complaint():
        raise UsageError(f"{where}: {complaint}")
    return Request(choice, decision, where)
