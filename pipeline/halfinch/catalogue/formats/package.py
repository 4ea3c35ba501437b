"""A Frictionless Data Package: every table as CSV in one ZIP, and `datapackage.json` that says what each column is.

The descriptor has a Table Schema a table: type, meaning, unit (with its UN/CEFACT code), closed words, primary and
foreign keys. Texts that a spreadsheet would run are guarded by an apostrophe as in every CSV of ours.
"""

from __future__ import annotations

import json
import zipfile
from collections.abc import Callable, Collection, Iterable
from typing import IO, Any

from halfinch.catalogue.formats.cells import Batches
from halfinch.catalogue.formats.lines import write_csv
from halfinch.catalogue.tables import POINTS, SCHEMA_VERSION, Column, Table
from halfinch.figure import BASES, CONVENTIONS, SEVERITIES, STATUSES

AUTHOR = {"title": "halfinch", "role": "wrangler"}
"""By this a package of ours is known when it comes back."""
DESCRIPTOR = "datapackage.json"

CODES = {"in": "INH", "nm": "C45", "byte": "AD"}
"""Unit to its code in UN/CEFACT Recommendation 20."""
TYPES = {"VARCHAR": "string", "BIGINT": "integer", "INTEGER": "integer", "BOOLEAN": "boolean", "TIMESTAMP": "datetime"}
KEYS = {
    "figures": ["figure_id"], "sheets": ["sheet_id"], "garments": ["garment_id"], "findings": ["finding_id"],
    "rulings": ["ruling_id"], "sizes": ["garment_id", "size", "length"],
}  # fmt: skip
POINTS_AT = {
    "figures": {"garment_id": "garments", "sheet_id": "sheets"},
    "findings": {"garment_id": "garments", "figure_id": "figures"},
    "sizes": {"garment_id": "garments"},
}
"""Table: column of the key of another table."""
WORDS: dict[str, tuple[str, ...]] = {
    "status": STATUSES, "basis": BASES, "convention": CONVENTIONS, "severity": SEVERITIES, "point": POINTS,
}  # fmt: skip

Fetch = Callable[[str], tuple[Table, Batches]]


def write_package(file: IO[bytes], names: Iterable[str], fetch: Fetch) -> int:
    """Writes these tables; `fetch` gives the columns and rows of one. Gives how many rows all of them have."""
    rows = 0
    tables: list[Table] = []
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in names:
            table, batches = fetch(name)
            tables.append(table)
            with archive.open(_member(f"{name}.csv"), "w", force_zip64=True) as member:
                rows += write_csv(member, table, batches)
        archive.writestr(_member(DESCRIPTOR), json.dumps(describe(tables), indent=2, ensure_ascii=False) + "\n")
    return rows


def describe(tables: Collection[Table]) -> dict[str, Any]:
    """The descriptor of a package with these tables."""
    there = {table.name for table in tables}
    return {
        "profile": "tabular-data-package",
        "name": "halfinch-catalogue",
        "title": "Trousers: what was read, and the clean sizes",
        "description": (
            "Lengths are inches of the full girth or length. Only `sizes` is clean; of figures believe accepted and "
            "assumed ones. An apostrophe before a text that a spreadsheet could run, or before another, is not part "
            f"of it. Tables of schema version {SCHEMA_VERSION}."
        ),
        "contributors": [AUTHOR],
        "resources": [
            {
                "profile": "tabular-data-resource",
                "name": table.name,
                "path": f"{table.name}.csv",
                "description": table.means,
                "format": "csv",
                "mediatype": "text/csv",
                "encoding": "utf-8",
                "schema": schema_of(table, there),
            }
            for table in tables
        ],
    }


def schema_of(table: Table, there: Collection[str]) -> dict[str, Any]:
    """The Table Schema of a table beside these others."""
    keys = KEYS[table.name]
    return {
        "fields": [_field(column, keys) for column in table.columns],
        "missingValues": [""],
        "primaryKey": keys,
        "foreignKeys": [
            {"fields": [column], "reference": {"resource": other, "fields": [column]}}
            for column, other in POINTS_AT.get(table.name, {}).items()
            if other in there
        ],
    }


def _field(column: Column, keys: Collection[str]) -> dict[str, Any]:
    field: dict[str, Any] = {
        "name": column.name,
        "type": TYPES.get(column.type, "number"),
        "description": column.means,
    }
    if field["type"] == "datetime":
        field["format"] = "any"
    if column.unit:
        field |= {"unit": column.unit, "unitCode": CODES[column.unit]}
    words = [word for word in WORDS.get(column.name, ()) if word]
    if words:
        field["constraints"] = {"enum": words}
    if column.name in keys and len(keys) == 1:
        field["constraints"] = {"required": True, "unique": True}
    return field


def _member(name: str) -> zipfile.ZipInfo:
    """A member without a date: the same catalogue gives the same bytes."""
    made = zipfile.ZipInfo(name)
    made.compress_type = zipfile.ZIP_DEFLATED
    return made
