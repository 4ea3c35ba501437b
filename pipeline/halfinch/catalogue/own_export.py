"""Our own exports, recognised when they are imported: figures come back with their status, basis and place.

No way round raises a status: what was held stays held, and a row whose status is gone is held. Exports of other tables
hold no figures of their own and are named for what they are; so are the expected figures of fixtures.
"""

from __future__ import annotations

import csv
import io
import json
import zipfile
import zlib
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from halfinch.catalogue.exact import inches_to_nm
from halfinch.catalogue.formats.cells import plain, unguard
from halfinch.catalogue.formats.package import AUTHOR
from halfinch.catalogue.formats.products import PUBLISHER
from halfinch.catalogue.identity import sheet_digest
from halfinch.catalogue.rows import OWN_EXPORT as KIND
from halfinch.catalogue.tables import POINTS
from halfinch.figure import BASES, CONVENTIONS, STATUSES, Figure, Finding, Garment, SheetResult
from halfinch.normalise.half_inch import half_inch
from halfinch.sheet import Grid, Sheet

Record = dict[str, str]

LONGEST_LINE = 100_000
"""A longer first line is some other program's JSON."""

FIGURES = frozenset({"point", "inches", "half_inch", "raw", "place"})
"""Columns that only an export of figures has together; a row without `status` among them is held."""

OTHERS: tuple[tuple[frozenset[str], str], ...] = (
    (frozenset({"expect", "point", "inches"}), "This file holds the expected figures of a fixture; it is no sheet."),
    (frozenset({"garment_id", "inseam_status", "inseam_figure"}),
     "This is our own export of sizes; import the export of figures instead."),
    (frozenset({"finding_id", "rule", "severity"}), "This is our own export of findings; it holds no figures."),
    (frozenset({"ruling_id", "decision", "undoes"}),
     "This is our own export of rulings; bring it in with `halfinch rule --from`."),
    (frozenset({"garment_id", "silhouette", "style_code"}), "This is our own export of garments; it holds no figures."),
    (frozenset({"sheet_id", "imported_at", "outcome"}), "This is our own export of sheets; it holds no figures."),
)  # fmt: skip


def recognise(
    data: bytes, name: str, usual_tolerance: Mapping[str, Fraction] | None = None
) -> list[SheetResult] | None:
    """The figures of an export of ours (CSV, JSON Lines, Parquet, XLSX), one result per sheet they came from.

    None where the file is none of ours. `usual_tolerance` (inches per point) tells a stated tolerance from one that
    the export filled in.
    """
    for read in (_read_parquet, _read_workbook, _read_jsonl, _read_csv):
        records = read(data)
        if records is not None:
            columns = frozenset(records[0]) if records else frozenset()
            return _results(records[1:], columns, sheet_digest(data), len(data), name, usual_tolerance or {})
    message = _without_figures(data)
    if message is not None:
        digest = sheet_digest(data)
        return [SheetResult(name, digest, KIND, len(data), reader=KIND, outcome="nothing", message=message)]
    return None


def recognise_grids(
    sheet: Sheet, data: bytes, usual_tolerance: Mapping[str, Fraction] | None = None
) -> list[SheetResult] | None:
    """The same for an export that another program saved in its own format, seen as grids by a reader."""
    for grid in sheet.grids:
        records = _read_grid(grid)
        if records is not None:
            columns, digest = frozenset(records[0]), sheet_digest(data)
            return _results(records[1:], columns, digest, len(data), sheet.name, usual_tolerance or {})
    return None


def rulings_in(data: bytes) -> list[Record] | None:
    """The rows of an export of rulings, or None where the file is none."""
    for read in (_read_parquet, _read_workbook, _read_jsonl, _read_csv):
        records = read(data)
        if records is not None:
            return records[1:] if {"ruling_id", "decision", "undoes"} <= records[0].keys() else None
    return None


def _ours(columns: Iterable[object]) -> bool:
    names = {str(column) for column in columns}
    return names >= FIGURES or any(names >= wanted for wanted, _ in OTHERS)


# Each reader gives None, or a list whose first record names the columns (to themselves).


def _read_csv(data: bytes) -> list[Record] | None:
    head = data[:4096]
    if b"\0" in head and not head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return None
    encoding = "utf-16" if head.startswith((b"\xff\xfe", b"\xfe\xff")) else "utf-8-sig"
    first = head.decode(encoding, "replace").splitlines()[:1]
    for delimiter in ",;\t|":
        if first and _ours(cell.strip().strip('"') for cell in first[0].split(delimiter)):
            rows = csv.reader(io.StringIO(_decode(data, encoding), newline=""), delimiter=delimiter)
            header = [cell.strip() for cell in next(rows)]
            records = [_record(header, [unguard(cell) for cell in row]) for row in rows if any(row)]
            return [dict(zip(header, header, strict=True)), *records]
    return None


def _decode(data: bytes, encoding: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError:  # saved anew by a spreadsheet program in its own code page
        return data.decode("cp1252", "replace")


def _read_jsonl(data: bytes) -> list[Record] | None:
    first, _, _ = data.lstrip().partition(b"\n")
    if first[:1] != b"{" or len(first) > LONGEST_LINE:
        return None
    try:
        head = json.loads(first)
        if not isinstance(head, dict) or not _ours(head):
            return None
        lines = [json.loads(line, parse_float=Decimal) for line in data.splitlines() if line.strip()]
    except ValueError:
        return None
    header = [str(name) for name in head]
    records = [{str(name): plain(value) for name, value in line.items()} for line in lines if isinstance(line, dict)]
    return [dict(zip(header, header, strict=True)), *records]


def _without_figures(data: bytes) -> str | None:
    """What a JSON document of ours says that figures do not come back from; None where it is none of ours."""
    if data[:64].lstrip(b"\xef\xbb\xbf \t\r\n")[:1] != b"{" or b'"halfinch"' not in data:
        return None
    try:
        document = json.loads(data)
    except ValueError:
        return None
    told = document if isinstance(document, dict) else {}
    if told.get("sdPublisher") == PUBLISHER:
        return "This is our own export for schema.org; import the export of figures instead."
    if AUTHOR in (told.get("contributors") or ()) and "resources" in told:
        return "This describes our own data package; its figures stand in figures.csv beside it."
    return None


def _read_parquet(data: bytes) -> list[Record] | None:
    if data[:4] != b"PAR1":
        return None
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        file = pq.ParquetFile(io.BytesIO(data))
        header = list(file.schema_arrow.names)
        if not _ours(header):
            return None
        rows = file.read().to_pylist()
    except pa.ArrowInvalid:
        return None
    return [
        dict(zip(header, header, strict=True)),
        *({name: plain(value) for name, value in row.items()} for row in rows),
    ]


def _read_workbook(data: bytes) -> list[Record] | None:
    if data[:4] != b"PK\x03\x04" or not _workbook_may_be_ours(data):
        return None
    from openpyxl import load_workbook
    from openpyxl.utils.escape import unescape

    book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    try:
        rows = book.worksheets[0].iter_rows(values_only=True)
        header = [str(cell or "").strip() for cell in next(rows, ())]
        if not _ours(header):
            return None
        records = [
            _record(header, [unescape(cell) if isinstance(cell, str) else plain(_decimal(cell)) for cell in row])
            for row in rows
            if any(cell is not None for cell in row)
        ]
    finally:
        book.close()
    return [dict(zip(header, header, strict=True)), *records]


def _workbook_may_be_ours(data: bytes) -> bool:
    """A cheap look before the whole workbook is opened: do the words of our header stand in it?"""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = [n for n in archive.namelist() if n in ("xl/sharedStrings.xml", "xl/worksheets/sheet1.xml")]
            for name in names:
                with archive.open(name) as part:
                    head = part.read(65536)
                if any(word in head for word in (b">half_inch<", b"_half_inch<", b"_id<", b">expect<")):
                    return True
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, RuntimeError, ValueError):
        return False  # cut short, odd or encrypted: a reader will say
    return False


def _decimal(value: object) -> object:
    """A workbook's number as the shortest decimal that is the same float."""
    return Decimal(repr(value)) if isinstance(value, float) else value


def _read_grid(grid: Grid) -> list[Record] | None:
    rows: dict[int, dict[int, str]] = {}
    for cell in grid.cells:
        rows.setdefault(cell.row, {})[cell.column] = cell.text
    for number in sorted(rows)[:5]:
        if _ours(rows[number].values()):
            columns = rows[number]
            records = [
                {name: unguard(row.get(column, "")) for column, name in columns.items()}
                for at, row in sorted(rows.items())
                if at > number
            ]
            return [{name: name for name in columns.values()}, *records]
    return None


def _record(header: Sequence[str], row: Sequence[str]) -> Record:
    return {name: (row[at] if at < len(row) else "") for at, name in enumerate(header)}


def _results(
    records: Sequence[Record],
    columns: frozenset[str],
    digest: str,
    size: int,
    name: str,
    usual: Mapping[str, Fraction],
) -> list[SheetResult]:
    for wanted, message in OTHERS:
        if columns >= wanted and not (columns >= FIGURES and "expect" not in columns):
            return [SheetResult(name, digest, KIND, size, reader=KIND, outcome="nothing", message=message)]
    sheets: dict[str, list[tuple[int, Record]]] = {}
    for number, record in enumerate(records, start=2):
        sheets.setdefault(record.get("sheet") or name, []).append((number, record))
    if not sheets:
        message = "This is our own export of figures, and it is empty."
        return [SheetResult(name, digest, KIND, size, reader=KIND, outcome="nothing", message=message)]
    results = []
    for sheet, rows in sheets.items():
        sheet_id = digest if len(sheets) == 1 else sheet_digest(f"{digest}/{sheet}".encode("utf-8", "replace"))
        results.append(_one_sheet(sheet, sheet_id, size, rows, usual))
    return results


def _one_sheet(
    sheet: str, sheet_id: str, size: int, rows: Sequence[tuple[int, Record]], usual: Mapping[str, Fraction]
) -> SheetResult:
    garments: dict[str, Garment] = {}
    figures: list[Figure] = []
    findings: list[Finding] = []
    for number, record in rows:
        garment = _garment(record)
        garments.setdefault(garment.key, garment)
        try:
            figure, doubts = _figure(record, garment.key, usual)
        except (InvalidOperation, ValueError) as error:
            findings.append(Finding("own_export", "error", f"Row {number} of the export is no figure: {error}."))
            continue
        figures.append(figure)
        if figure.status == "held":
            because = " ".join(doubts) or "It was held in the catalogue that it was exported from."
            findings.append(Finding("own_export", "warn", because, figures=(len(figures) - 1,)))
    merchants = {garment.merchant for garment in garments.values()}
    partly = any(not finding.figures for finding in findings)
    return SheetResult(
        sheet, sheet_id, KIND, size, reader=KIND, merchant=merchants.pop() if len(merchants) == 1 else "",
        outcome="partly" if partly else "read",
        message="Some rows of the export are no figures." if partly else "",
        garments=tuple(garments.values()), figures=tuple(figures), findings=tuple(findings),
    )  # fmt: skip


def _garment(record: Record) -> Garment:
    merchant, style, code = (record.get(name, "") for name in ("merchant", "style", "style_code"))
    key = record.get("garment_id") or json.dumps([merchant, style, code])
    return Garment(key, merchant=merchant, style=style, style_code=code)


def _figure(record: Record, garment: str, usual: Mapping[str, Fraction]) -> tuple[Figure, list[str]]:
    doubts = []
    point = record["point"]
    if point not in POINTS:
        raise ValueError(f'"{point}" is no point of measure')
    nm = _length(record, "length_nm", "inches")
    status = record.get("status", "")
    if nm is None or (nm <= 0 and status not in ("held", "set_aside")):
        raise ValueError("it has no inches")
    if status not in STATUSES:
        doubts.append("Its status is missing in the export.")
    if _number(record.get("half_inch", "")) not in (None, half_inch(nm)):
        doubts.append(f"Its half inch {record['half_inch']} does not belong to {record.get('inches', '')} inches.")
    if doubts and status != "set_aside":
        status = "held"
    size, length = record.get("size", ""), record.get("length", "")
    tolerance = _tolerances(record, usual.get(point))
    convention = record.get("convention", "")
    figure = Figure(
        garment, point, size, nm, record.get("raw", ""), record.get("place", ""),
        size_system=record.get("size_system", ""), size_also=record.get("size_also", ""),
        size_scope=_scope(record.get("size_scope", ""), size), length=length,
        length_scope=_scope(record.get("length_scope", ""), length),
        length_to_nm=_length(record, "length_to_nm", "inches_to"), tolerance_minus_nm=tolerance[0],
        tolerance_plus_nm=tolerance[1], at_nm=_length(record, "", "at_inches"), at_from=record.get("at_from", ""),
        status=status, basis=_one_of(record.get("basis", ""), BASES, "inferred"), unit=record.get("unit", ""),
        convention=convention if convention in CONVENTIONS else "",
    )  # fmt: skip
    return figure, doubts


def _scope(scope: str, value: str) -> str:
    """CSV does not carry scopes: what is said is said of that one, what is not said does not spread."""
    return scope or ("one" if value else "unsaid")


def _one_of(value: str, known: Sequence[str], otherwise: str) -> str:
    return value if value in known else otherwise


def _length(record: Record, exact: str, inches: str) -> int | None:
    if record.get(exact):
        return int(record[exact])
    value = _number(record.get(inches, ""))
    return None if value is None else inches_to_nm(value)


def _number(text: str) -> Decimal | None:
    """A number as exported, or with the decimal comma of a spreadsheet program that saved it anew."""
    text = text.strip()
    if not text:
        return None
    value = Decimal(text.replace(",", ".") if text.count(",") == 1 and "." not in text else text)
    if not value.is_finite() or abs(value) >= 1000:
        raise ValueError(f'"{text}" is no length')
    return value


def _tolerances(record: Record, usual: Fraction | None) -> tuple[int | None, int | None]:
    if "tolerance_minus" in record:
        return _length(record, "", "tolerance_minus"), _length(record, "", "tolerance_plus")
    stated = _length(record, "", "tolerance")
    if stated is None or (usual is not None and stated == inches_to_nm(_as_decimal(usual))):
        return None, None
    return stated, stated


def _as_decimal(value: Fraction) -> Decimal:
    return (Decimal(value.numerator) / Decimal(value.denominator)).quantize(Decimal("0.000001"))
