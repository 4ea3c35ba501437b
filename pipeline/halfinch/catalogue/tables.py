"""The catalogue's tables as data: columns in order, types, meanings with units. `create_all` makes them.

Keys and texts hold '' for not said, never NULL; NULL is kept for numbers and moments that are not there. Lengths are
whole nanometres (`*_nm` BIGINT) of the full girth or length; every column in inches is made from them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import duckdb

SCHEMA_VERSION = 4
"""Raised with every change of a table; `store.UPGRADES` says how the catalogue before it is brought up."""

STORAGE_VERSION = "v1.2.0"
"""The DuckDB file format that is written: clients from 1.2 on can open the catalogue."""

GARMENT_POINTS = (
    "front_rise",
    "back_rise",
    "inseam",
    "outseam",
    "waist",
    "hip",
    "thigh",
    "knee",
    "leg_opening",
)
BODY_POINTS = ("body_waist", "body_hip", "body_inseam", "body_height")
LABEL_POINTS = ("label_waist", "label_hip", "label_inseam")
POINTS = GARMENT_POINTS + BODY_POINTS + LABEL_POINTS

INCHES = "DECIMAL(12,6)"
HALF_INCH = "DECIMAL(8,1)"
TEXT = "VARCHAR"
LENGTH = "BIGINT"


@dataclass(frozen=True, slots=True)
class Column:
    name: str
    type: str
    means: str

    @property
    def declaration(self) -> str:
        return f'"{self.name}" {self.type}' + (" NOT NULL DEFAULT ''" if self.type == TEXT else "")

    @property
    def unit(self) -> str:
        """in | nm | byte, '' for texts and for what has no unit of its own."""
        if self.type in (INCHES, HALF_INCH):
            return "in"
        return "nm" if self.name.endswith("_nm") else "byte" if self.name == "bytes" else ""


@dataclass(frozen=True, slots=True)
class Table:
    name: str
    means: str
    columns: tuple[Column, ...]

    @property
    def column_names(self) -> tuple[str, ...]:
        return tuple(column.name for column in self.columns)


def _table(name: str, means: str, *columns: tuple[str, str, str]) -> Table:
    return Table(name, means, tuple(Column(*column) for column in columns))


META = _table(
    "meta",
    "One row: what this file is",
    ("schema_version", "INTEGER", "version of these tables; a program refuses a newer one and upgrades an older one"),
    ("program", TEXT, "version of halfinch that made or last upgraded the file"),
    ("storage_version", TEXT, "DuckDB file format; clients from this version on can open it"),
)
SOURCES = _table(
    "sources",
    "Where sheets come from",
    ("source", TEXT, "path as seen from the catalogue's folder, or the name given with --as"),
    ("merchant", TEXT, "merchant by folder or by --merchant, '' if none"),
)
RECEIPTS = _table(
    "receipts",
    "Which sheet lay at which source, and when",
    ("source", TEXT, "sources.source"),
    ("sheet_id", TEXT, "sheets.sheet_id"),
    ("seen_from", "TIMESTAMP", "UTC; first import of this sheet from this source"),
    ("seen_to", "TIMESTAMP", "UTC; when another sheet took its place; NULL while it is the current one"),
)
SHEETS = _table(
    "sheets",
    "One row a sheet, known by its bytes",
    ("sheet", TEXT, "name as imported; outer.zip/inner.csv for a file in a container"),
    ("sheet_id", TEXT, "SHA-256 of the bytes, hex"),
    ("merchant", TEXT, "merchant as the sheet says, else by folder or by --merchant"),
    ("kind", TEXT, "pdf | html | delimited | workbook | own export"),
    ("bytes", "BIGINT", "size of the file in bytes"),
    ("pages", "INTEGER", "pages or worksheets; 0 where the format has none"),
    ("imported_at", "TIMESTAMP", "UTC; first import"),
    ("reader", TEXT, "reader and engine of the latest reading"),
    ("outcome", TEXT, "read | partly | nothing | scanned | failed, by the latest reading"),
    ("message", TEXT, "one sentence on an outcome other than read"),
)
READINGS = _table(
    "readings",
    "What one version of program and knowledge made of one sheet",
    ("reading_id", TEXT, "digest of sheet_id, program, knowledge and habits"),
    ("sheet_id", TEXT, "sheets.sheet_id"),
    ("program", TEXT, "version of halfinch"),
    ("knowledge", TEXT, "digest of the files of schemas/ that reading uses"),
    ("habits", TEXT, "digest of the merchants' habits in force, '' if none"),
    ("read_at", "TIMESTAMP", "UTC; the latest reading of a sheet is its current one"),
)
GARMENTS = _table(
    "garments",
    "One style and block of one merchant",
    ("garment_id", TEXT, "digest of merchant, style code or style, block, and colour where figures differ by it"),
    ("merchant", TEXT, "merchant"),
    ("style", TEXT, "style as printed"),
    ("style_code", TEXT, "the merchant's code of the style"),
    ("block", TEXT, "regular | curvy | plus | maternity ..., '' if not said"),
    ("silhouette", TEXT, "wide | flare | boot | straight | tapered ..., '' if not said"),
    ("fabric", TEXT, "fabric as printed"),
    ("stretch", "DECIMAL(9,6)", "stated stretch as a share, 0.2 is 20 %; NULL if not stated"),
    ("state", TEXT, "unwashed | washed | '' if not said"),
    ("price", "DECIMAL(14,4)", "price in `currency`; NULL if not stated"),
    ("currency", TEXT, "ISO 4217 code"),
    ("colour", TEXT, "colour as printed"),
    ("url", TEXT, "page of the garment"),
)
FIGURES = _table(
    "figures",
    "One point of one size of one garment in one reading; current_figures holds those that are in force",
    ("figure_id", TEXT, "digest of reading_id, place, point, size and length"),
    ("reading_id", TEXT, "readings.reading_id"),
    ("garment_id", TEXT, "garments.garment_id"),
    ("sheet_id", TEXT, "sheets.sheet_id"),
    ("sheet", TEXT, "sheets.sheet"),
    ("merchant", TEXT, "merchant"),
    ("style", TEXT, "style as printed"),
    ("style_code", TEXT, "the merchant's code of the style"),
    ("size", TEXT, "size as printed without its length part"),
    ("size_system", TEXT, "US | UK | EU | DE | FR | IT | ES | JP | alpha | waist ..., '' if not known"),
    ("size_also", TEXT, "the same size in other systems"),
    ("size_scope", TEXT, "one | all | unsaid: for which sizes the figure holds"),
    ("length", TEXT, "extra short | petite | short | regular | long | tall | labelled inseam, '' if not said"),
    ("length_scope", TEXT, "one | all | unsaid: for which lengths the figure holds"),
    ("point", TEXT, "point of measure; body_* of the body, label_* of the label, else of the garment"),
    ("length_nm", LENGTH, "nanometres, full girth or length, exact"),
    ("length_to_nm", LENGTH, "nanometres, upper end of a printed range, else NULL"),
    ("inches", INCHES, "inches, full girth or length, from length_nm"),
    ("inches_to", INCHES, "inches, upper end of a printed range, else NULL"),
    ("half_inch", HALF_INCH, "inches, to the nearest half, ties to even halves; for grouping, never for judging fit"),
    ("tolerance_minus", INCHES, "inches of the full girth, as stated by the sheet, else NULL"),
    ("tolerance_plus", INCHES, "inches of the full girth, as stated by the sheet, else NULL"),
    ("tolerance", INCHES, "inches of the full girth: the wider of the stated ones, else the point's usual one"),
    ("at_inches", INCHES, "inches from at_from to where the girth is taken, else NULL"),
    ("at_from", TEXT, "crotch | top edge | band, '' if not said"),
    ("status", TEXT, "accepted | assumed | held | set_aside; held and set_aside are never in the clean catalogue"),
    ("basis", TEXT, "declared | inferred | derived | ruled"),
    ("raw", TEXT, "as printed"),
    ("unit", TEXT, "unit the number was read in: in | cm | mm | m | ft"),
    ("convention", TEXT, "round | flat as printed, '' for lengths; length_nm is always round"),
    ("place", TEXT, "where in the sheet: page=2;table=1;row=7;col=4 and alike, 1-based"),
)
FINDINGS = _table(
    "findings",
    "What a rule has to say about a figure, a garment or a sheet",
    ("finding_id", TEXT, "digest of reading_id, figure_id, garment_id, rule and message"),
    ("reading_id", TEXT, "readings.reading_id"),
    ("garment_id", TEXT, "garments.garment_id, '' for a finding on the sheet"),
    ("figure_id", TEXT, "figures.figure_id, '' for a finding on a garment or the sheet"),
    ("rule", TEXT, "name of the rule"),
    ("severity", TEXT, "note | warn | error"),
    ("message", TEXT, "what was seen, in plain words"),
    ("suggestion", TEXT, "what would settle it, '' if nothing to do"),
)
RULINGS = _table(
    "rulings",
    "What persons decided; append-only, a row with `undoes` takes an earlier one back",
    ("ruling_id", TEXT, "digest of the row"),
    ("sheet_id", TEXT, "sheets.sheet_id"),
    ("place", TEXT, "place of the figure in the sheet"),
    ("printed", TEXT, "the figure as printed, a check that the place still says the same"),
    ("point", TEXT, "point of the figure"),
    ("size", TEXT, "size of the figure"),
    ("length", TEXT, "length of the figure"),
    ("decision", TEXT, "right | should be | not ours | undo"),
    (
        "inches",
        INCHES,
        "inches, full girth or length: what it should be, or as what it was read when ruled right, else NULL",
    ),
    ("why", TEXT, "the reason"),
    ("by", TEXT, "who decided"),
    ("at", "TIMESTAMP", "UTC; when"),
    ("undoes", TEXT, "ruling_id that this one takes back, '' if none"),
)
TAPED = _table(
    "taped",
    "What a tape said of pairs that arrived",
    ("taped_id", TEXT, "digest of the row"),
    ("garment_id", TEXT, "garments.garment_id"),
    ("size", TEXT, "size on the label"),
    ("length", TEXT, "length on the label, '' if none"),
    ("point", TEXT, "point of measure"),
    ("inches", INCHES, "inches, full girth or length, as taped"),
    ("state", TEXT, "unwashed | washed | '' if not known"),
    ("outcome", TEXT, "kept | returned ..., '' if not known"),
    ("by", TEXT, "who taped"),
    ("at", "TIMESTAMP", "UTC; when"),
    ("note", TEXT, "anything else"),
)
SAME_STYLES = _table(
    "same_styles",
    "What persons decided about styles that look alike; append-only, the latest row on a pair holds",
    ("decision_id", TEXT, "digest of the row"),
    ("garment_id", TEXT, "garments.garment_id, the lesser of the two"),
    ("other_id", TEXT, "garments.garment_id, the greater of the two"),
    ("decision", TEXT, "same | different | open: not decided any more"),
    ("why", TEXT, "the reason"),
    ("by", TEXT, "who decided"),
    ("at", "TIMESTAMP", "UTC; when"),
)

TABLES = (META, SOURCES, RECEIPTS, SHEETS, READINGS, GARMENTS, FIGURES, FINDINGS, RULINGS, TAPED, SAME_STYLES)

# The housekeeping that the tables above do not show; no other program needs it.
FILES = _table(
    "files",
    "Which file a sheet came in: itself, or the container around it",
    ("file_id", TEXT, "SHA-256 of the file on disk, hex; the kept bytes are named by it"),
    ("sheet_id", TEXT, "sheets.sheet_id"),
    ("inner", TEXT, "path inside the container, '' for a plain file"),
)
JUDGED = _table(
    "judged",
    "How a ruled figure stood before the ruling, so that it can be taken back",
    ("figure_id", TEXT, "figures.figure_id"),
    ("length_nm", LENGTH, "nanometres, before the ruling"),
    ("length_to_nm", LENGTH, "nanometres, before the ruling"),
    ("inches", INCHES, "inches, before the ruling"),
    ("inches_to", INCHES, "inches, before the ruling"),
    ("half_inch", HALF_INCH, "inches, before the ruling"),
    ("status", TEXT, "before the ruling"),
    ("basis", TEXT, "before the ruling"),
)
STRETCHED = _table(
    "stretched",
    "The stretched girth printed beside a relaxed one",
    ("figure_id", TEXT, "figures.figure_id of the relaxed girth"),
    ("length_nm", LENGTH, "nanometres, full girth, stretched"),
    ("inches", INCHES, "inches, full girth, stretched"),
)
LOGS = _table(
    "logs",
    "Tracebacks of readings on which the program itself failed",
    ("reading_id", TEXT, "readings.reading_id"),
    ("log", TEXT, "traceback"),
)
HOUSEKEEPING = (FILES, JUDGED, STRETCHED, LOGS)


def create_all(connection: duckdb.DuckDBPyConnection) -> None:
    """Makes every table, view and macro with its comments in an empty database."""
    from halfinch.catalogue.for_analysts import create_for_analysts
    from halfinch.catalogue.same_decisions import create_style_groups
    from halfinch.catalogue.size_rows import create_sizes
    from halfinch.catalogue.views import create_views

    for table in TABLES + HOUSEKEEPING:
        create_table(connection, table)
    create_views(connection)
    create_sizes(connection)
    create_for_analysts(connection)
    create_style_groups(connection)


def create_table(connection: duckdb.DuckDBPyConnection, table: Table) -> None:
    """Makes one table, empty, with its comments."""
    connection.execute(f"CREATE TABLE {table.name} ({', '.join(column.declaration for column in table.columns)})")
    comment_on(connection, table)


def comment_on(connection: duckdb.DuckDBPyConnection, table: Table, what: str = "TABLE") -> None:
    """Writes meanings and units into the database, where any client shows them."""
    said = [f"COMMENT ON {what} {table.name} IS {quoted(table.means)}"]
    said += [f'COMMENT ON COLUMN {table.name}."{column.name}" IS {quoted(column.means)}' for column in table.columns]
    connection.execute(";".join(said))


def quoted(text: str) -> str:
    """A text as an SQL literal."""
    return "'" + text.replace("'", "''") + "'"
