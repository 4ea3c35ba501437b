"""Delimited and plain text as a Sheet: CSV and its kin, drawn tables, columns set by blanks, prose.

Any encoding (``encodings``), any delimiter (``records``), several tables in one file (``tables_in_rows``). A cell's
place is ``row=7;col=4``: the record and field in the file, as a spreadsheet would count them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from halfinch.errors import SheetError
from halfinch.readers.drawn_tables import find_aligned, find_drawn, find_spaced, read_aligned, read_drawn, read_spaced
from halfinch.readers.encodings import Decoded, decode_text
from halfinch.readers.folding import fold, paused_collection
from halfinch.readers.records import GOOD_ENOUGH, Dialect, find_dialect, split_lines, split_records
from halfinch.readers.split_cells import mend_split_cells
from halfinch.readers.tables_in_rows import Line, Table, find_blocks
from halfinch.readers.torn_ends import is_torn_row
from halfinch.sheet import DATE, EMPHASIS, FORMULA_ERROR, HEADER, STRUCK, Cell, Grid, Sheet, Text, place

MAX_TEXT = 60_000_000
"""Bytes; a text of a hundred thousand variants has about ten million."""
MAX_CELLS = 5_000_000
MAX_LINES = 2_000_000
_NAMES = (".csv", ".tsv", ".tab", ".psv", ".txt", ".text", ".md", ".asc", ".dat", ".prn")
_BLANKS = re.compile(r"[^\S\n]+")
_EXCEL_TEXT = re.compile(r'^="(.*)"$', re.DOTALL)
_ERRORS = ("#REF!", "#DIV/0!", "#N/A", "#VALUE!", "#NAME?", "#NUM!", "#NULL!", "#SPILL!", "#CALC!")
_MONTHS = (
    r"jan|feb|mar|apr|may|jun|jul|aug|sep|sept|oct|nov|dec|mrz|mär|mai|okt|dez|janv|févr|mars|avr|juin|juil|août|déc"
    r"|ene|abr|ago|dic|gen|mag|giu|lug|set|ott|maj|sty|lut|kwi|cze|lip|sie|wrz|paź|lis|gru|oca|şub|nis|haz|tem|ağu|eyl|eki|kas|ara"
)
_DATES = re.compile(
    r"^(?:\d{4}-\d\d-\d\d(?:[ T]\d\d:\d\d(?::\d\d(?:\.0+)?)?)?|"
    rf"\d{{1,2}}[-./ ](?:{_MONTHS})\.?|(?:{_MONTHS})[-./ ]\d{{1,2}})$",
    re.IGNORECASE,
)
_HASH = re.compile(r"^#+ ?[^\W\d_][^!?/]*$")
_LABELLED = re.compile(r"^[^\W\d][^:：=]{1,30}\s*[:：=]\s*\S")
_PLAIN: frozenset[str] = frozenset()
_QUOTED = re.compile(r'"(?:[^"]|"")*"')


def suits(data: bytes, name: str) -> float:
    """How well the bytes read as text: 0 for binary, higher where they split into columns or the name agrees."""
    head = data[:65_536]
    decoded = decode_text(head)
    if not head or decoded is None or decoded.text.lstrip().startswith(("<?xml", "<svg")):
        return 0.0
    named = 0.2 if name.casefold().endswith(_NAMES) else 0.0
    return min(0.79, 0.31 + named + 0.3 * find_dialect(split_lines(decoded.text)[:-1] or [decoded.text]).score)


def read(data: bytes, name: str) -> Sheet:
    """The text file as a Sheet. Raises SheetError where it is empty or no text."""
    if not data.strip():
        raise SheetError(f"{name} is empty: ask for the file again.")
    lines = max(data.count(b"\n"), data.count(b"\r"))
    if len(data) > MAX_TEXT or lines > MAX_LINES:
        size = f"{len(data) / 1e6:,.0f} MB and {lines:,} lines"
        raise SheetError(f"{name} holds {size} of text: import only the rows with measurements.")
    decoded = decode_text(data)
    if decoded is None:
        raise SheetError(f"{name} is not text (it holds control bytes): ask for it as PDF, web page, CSV or workbook.")
    if not decoded.text.strip("\ufeff \t\r\n\x1a"):
        raise SheetError(f"{name} is empty: it holds nothing but blanks; ask for the file again.")
    with paused_collection():
        return _Reading(name, decoded).sheet()


def are_piped(lines: Sequence[str]) -> bool:
    """Whether every line with bars has as many of them, and only some begin with one: bars that part fields, where an
    empty first field looks like the edge of a drawn table."""
    barred = [line for line in lines if "|" in line]
    edged = sum(line.startswith("|") for line in barred)
    return len({line.count("|") for line in barred}) == 1 and 0 < edged < len(barred)


def unquote(line: str) -> str:
    """A line of one column without the quotes around it, where it stands in some."""
    bare = line.strip()
    return bare[1:-1].replace('""', '"') if _QUOTED.fullmatch(bare) else line


@dataclass(slots=True)
class _Records:
    """A stretch of the file in one dialect: `numbers` are the records' 1-based numbers, `raws` the unsplit texts."""

    numbers: list[int]
    rows: list[list[str]]
    raws: list[str] | None = None
    headers: frozenset[int] = frozenset()
    delimiter: str = ""
    width_known: bool = True


@dataclass(slots=True)
class _Reading:
    name: str
    decoded: Decoded
    grids: list[Grid] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    record: int = 0
    """Records read so far."""
    delimiters: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)

    def sheet(self) -> Sheet:
        lines = split_lines(self.decoded.text.replace("\ufeff", "").rstrip("\x1a"))
        declared = re.match(r"^\"?sep=(.)\"?$", lines[0].strip(" \r\n"), re.IGNORECASE) if lines else None
        if declared or (lines and lines[0].casefold() == "sep=\t"):
            self.record += 1
            self._read_stretch(lines[1:], declared[1] if declared else "\t")
        else:
            self._read_stretch(lines, "")
        meta = {"encoding": self.decoded.encoding}
        if self.delimiters:
            meta["delimiter"] = max(self.delimiters, key=self.delimiters.count)
        return Sheet(
            self.name,
            "delimited",
            "delimited (csv)",
            tuple(self.grids),
            tuple(self.texts),
            meta=meta,
            warnings=(*self.decoded.warnings, *self.warnings),
        )

    # -- stretches ------------------------------------------------------------------------------------------------

    def _read_stretch(self, lines: list[str], declared: str) -> None:
        """Drawn tables first, for their bars would pass for delimiters; what lies between them is split in columns."""
        done = 0
        dialect = Dialect(declared, 1.0) if declared else None
        drawn = find_drawn(lines)
        dialect = dialect or find_dialect([line for line in lines if not line.startswith("#")] or lines)
        if dialect.delimiter == "|" and are_piped(lines):
            drawn = []
        if drawn and dialect.delimiter in ("|", ""):
            rest = [line for k, line in enumerate(lines) if not any(a <= k <= b for a, b in drawn)]
            dialect = find_dialect(rest)
        elif drawn and dialect.score > 0.7:
            drawn = []
        for first, last in drawn:
            self._read_split(lines[done:first], dialect)
            self._read_drawn(lines, first, last)
            done = last + 1
        self._read_split(lines[done:], dialect)

    def _read_drawn(self, lines: Sequence[str], first: int, last: int) -> None:
        rows = read_drawn(lines, first, last)
        start = self.record
        headers = frozenset(k for k, row in enumerate(rows) if row.header)
        numbers = [start + row.line - first + 1 for row in rows]
        self._place(_Records(numbers, [list(row.cells) for row in rows], headers=headers))
        self.record = start + last - first + 1

    def _read_split(self, lines: list[str], dialect: Dialect) -> None:
        if not lines:
            return
        if dialect.delimiter and dialect.score >= (0.25 if self._is_named_csv() else GOOD_ENOUGH):
            self.delimiters.append(dialect.delimiter)
            self._read_delimited(lines, dialect.delimiter)
            return
        lines = [unquote(line) for line in lines]
        start, done = self.record, 0
        aligned = find_aligned(lines)
        spaced = [run for run in find_spaced(lines) if not any(a <= run[1] and run[0] <= b for a, b in aligned)]
        for first, last in sorted([*aligned, *spaced]):
            self._read_prose(lines[done:first])
            rows = (read_spaced if (first, last) in spaced else read_aligned)(lines, first, last)
            self._place(_Records([start + row.line + 1 for row in rows], [list(row.cells) for row in rows]))
            done = last + 1
            self.record = start + done
        self._read_prose(lines[done:])

    def _is_named_csv(self) -> bool:
        return self.name.casefold().endswith((".csv", ".tsv"))

    def _read_delimited(self, lines: list[str], delimiter: str) -> None:
        fields_in_all = sum(line.count(delimiter[0]) for line in lines)
        if fields_in_all > MAX_CELLS:
            raise SheetError(f"{self.name} has {fields_in_all:,} cells: import only the rows with measurements.")
        rows: list[list[str]] = []
        raws: list[str] = []
        line = 0
        for fields, spans in split_records(lines, delimiter):
            rows.append(fields)
            raws.append(lines[line])
            line += spans
        first = self.record + 1
        self.record += len(rows)
        if lines[-1] and self.decoded.text.endswith(lines[-1]) and is_torn_row(rows):
            self.warnings.append(
                f"Row {self.record} breaks off in the middle and was left out; ask for the file again."
            )
            del rows[-1], raws[-1]
        rows, lost = mend_split_cells(rows, delimiter)
        if lost:
            numbers = ", ".join(str(first + k) for k in lost[:8]) + (" and more" if len(lost) > 8 else "")
            self.warnings.append(f"Rows {numbers} hold more commas than the table has columns and were kept as text.")
        self._place(_Records(list(range(first, first + len(rows))), rows, raws, delimiter=delimiter))

    # -- prose ------------------------------------------------------------------------------------------------------

    def _read_prose(self, lines: Sequence[str]) -> None:
        """Lines without columns: a paragraph ends at a blank line; the lines stay apart within it."""
        start = 0
        for k, line in enumerate([*lines, ""]):
            if line.strip():
                continue
            if k > start:
                self._add_prose(lines[start:k], self.record + start + 1)
            start = k + 1
        self.record += len(lines)

    def _add_prose(self, lines: Sequence[str], number: int) -> None:
        bare = [fold(line) for line in lines]
        while bare and (heading := re.match(r"^(#{1,6})\s+(.*?)#*$", bare[0])):
            self._add_text(heading[2], number, kind="heading", level=len(heading[1]))
            del bare[0]
            number += 1
        if not bare:
            return
        if all(re.match(r"^(?:[-*•·–]|\d{1,2}[.)])\s+\S", line) for line in bare):
            for k, line in enumerate(bare):
                self._add_text(re.sub(r"^[-*•·–]\s+", "", line), number + k, kind="item")
            return
        self._add_text("\n".join(bare), number)

    def _add_text(self, text: str, number: int, column: int = 1, *, kind: str = "paragraph", level: int = 0) -> None:
        if text:
            order = len(self.grids) + len(self.texts)
            self.texts.append(Text(text, order, kind, level, place=place(row=number, col=column)))

    # -- records to grids and texts ---------------------------------------------------------------------------------

    def _place(self, records: _Records) -> None:
        # Sheets say the same few texts over and over: each is cleaned once.
        cleaned = _Cleaned()
        rows = [[cleaned[text] for text in row] for row in records.rows]
        narrow = frozenset(k for k, row in enumerate(records.rows) if len(row) == 1)
        whole = self._whole_lines(records, rows)
        for k, raw in enumerate(records.raws or ()):
            if raw.startswith("#") and k not in whole and rows[k] and _HASH.match(rows[k][0]):
                rows[k][0] = rows[k][0].lstrip("# ")  # a header behind a comment sign
        for block in find_blocks(rows, narrow=narrow, whole=whole):
            if isinstance(block, Table):
                self._add_grid(records, rows, block)
            else:
                self._add_line(records, rows, block, whole)

    def _whole_lines(self, records: _Records, rows: Sequence[Sequence[str]]) -> frozenset[int]:
        """Records that are one line of words although they hold the delimiter, and comments."""
        if records.raws is None:
            return frozenset()
        widths = sorted(len(row) for row in rows if sum(map(bool, row)) > 1)
        usual = widths[len(widths) // 2] if widths else 1
        found: set[int] = set()
        for k, (raw, row) in enumerate(zip(records.raws, rows, strict=True)):
            comment = raw.startswith("#") and not _is_header_like(row, usual)
            if comment or (usual > len(row) > 1 and _is_sentence(raw, row, records.delimiter)):
                found.add(k)
        return frozenset(found)

    def _add_line(self, records: _Records, rows: Sequence[Sequence[str]], line: Line, whole: frozenset[int]) -> None:
        number = records.numbers[line.row]
        if line.row not in whole:
            self._add_text(rows[line.row][line.column], number, line.column + 1, kind=line.kind)
            return
        row = [text for text in rows[line.row] if text]
        if len(row) > 1 and all(_LABELLED.match(text) for text in row):
            for column, text in enumerate(rows[line.row], 1):
                self._add_text(text, number, column)
            return
        raw = records.raws[line.row] if records.raws else ""
        self._add_text(fold(raw.lstrip("#").strip().strip('"')), number)

    def _add_grid(self, records: _Records, rows: Sequence[Sequence[str]], table: Table) -> None:
        cells: list[Cell] = []
        first_column, width = table.first_column, table.last_column + 1
        marked: dict[str, tuple[str, frozenset[str]]] = {}
        for k in range(table.first_row, table.last_row + 1):
            row, where = k - table.first_row + 1, f"row={records.numbers[k]};col="
            header = k in records.headers
            for column, text in enumerate(rows[k][first_column:width], 1):
                if text:
                    found = marked.get(text)
                    if found is None:
                        found = marked[text] = _marks(text)
                    marks = found[1] | {HEADER} if header else found[1]
                    cells.append(Cell(found[0], row, column, 1, 1, f"{where}{column + first_column}", marks))
        order = len(self.grids) + len(self.texts)
        where = place(row=records.numbers[table.first_row], col=first_column + 1)
        self.grids.append(Grid(tuple(cells), order, place=where))


def _is_header_like(row: Sequence[str], usual: int) -> bool:
    """``#,Size,Waist`` and ``# size,waist``: a record as wide as the others is a header, whatever it begins with."""
    return usual > 1 and len(row) == usual and sum(map(bool, row)) > 1


def _is_sentence(raw: str, row: Sequence[str], delimiter: str) -> bool:
    """A sentence that happens to hold the delimiter, or ``Merchant: ...; Style: ...``."""
    filled = [text for text in row if text]
    if len(filled) > 1 and all(_LABELLED.match(text) for text in filled):
        return True
    spaced = raw.count(delimiter + " ")
    return spaced > 0 and spaced == raw.count(delimiter) and len(raw.split()) > 3 and not _has_figure_cells(filled[1:])


def _has_figure_cells(cells: Sequence[str]) -> bool:
    return sum(bool(re.match(r"^[\d\s./,¼½¾\"”'′″-]+(?:in|cm|mm)?$", text)) for text in cells) * 2 >= max(1, len(cells))


def clean_field(text: str) -> str:
    folded = fold(text)
    if folded.startswith('="') and (wrapped := _EXCEL_TEXT.match(folded)):
        return fold(wrapped[1].replace('""', '"'))
    return folded


class _Cleaned(dict[str, str]):
    def __missing__(self, text: str) -> str:
        found = self[text] = clean_field(text)
        return found


def _marks(text: str) -> tuple[str, frozenset[str]]:
    """Marks that plain text can carry: Markdown's bold and strike, a spreadsheet's errors and dates."""
    marks: set[str] = set()
    first = text[0]
    if first == "~" and text.endswith("~~") and text.startswith("~~") and len(text) > 4:
        text, marks = text[2:-2].strip(), {*marks, STRUCK}
    elif first == "*" and text.endswith("**") and text.startswith("**") and len(text) > 4:
        text, marks = text[2:-2].strip(), {*marks, EMPHASIS}
    elif first == "#" and text.upper() in _ERRORS:
        marks = {*marks, FORMULA_ERROR}
    elif len(text) > 4 and (text[-1].isalpha() or text[0].isalpha() or text[4] == "-") and _DATES.match(text):
        marks = {*marks, DATE}
    return text, frozenset(marks) if marks else _PLAIN
