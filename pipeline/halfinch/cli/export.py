"""`halfinch export`: a table leaves the catalogue."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from halfinch.cli.options import catalogue_option, wait_option
from halfinch.errors import UsageError

TABLES = ["figures", "sheets", "garments", "findings", "rulings", "sizes"]
FORMATS = ["csv", "parquet", "jsonl", "xlsx", "jsonld", "datapackage"]
ENDINGS = {**{name: name for name in FORMATS}, "zip": "datapackage"}


@click.command("export")
@catalogue_option
@click.option(
    "--table", type=click.Choice(TABLES), default=None, help="What to write. [default: figures; as jsonld: sizes]"
)
@click.option(
    "--format", "form", type=click.Choice(FORMATS), default=None, help="[default: by the output's name, else csv]"
)
@click.option(
    "--output",
    "-o",
    type=click.Path(path_type=Path, allow_dash=True),
    default="-",
    help="The file to write; - is standard output. [default: -]",
)
@click.option(
    "--body",
    type=click.Path(path_type=Path, dir_okay=False),
    default=None,
    help="Only what fits this body, as bought or with a hem (tables sizes, garments, figures).",
)
@wait_option
def command(catalogue: Path, table: str | None, form: str | None, output: Path, body: Path | None, wait: float) -> None:
    """Write what is in force: figures (held ones too), the clean sizes, sheets, garments, findings, rulings.

    The file appears whole or not at all. CSV and workbooks of figures have the columns that are promised, Parquet and
    JSON Lines have all; Parquet has units and meanings in its metadata. Texts that a spreadsheet would take for a
    formula are guarded by an apostrophe in CSV; an import of the file takes it off again. jsonld tells the clean sizes
    in the words of schema.org, datapackage is all tables as CSV with their schema (Frictionless) in one ZIP.

    \b
      halfinch export -c shop.duckdb --table sizes --output sizes.xlsx
      halfinch export -c shop.duckdb --table figures --format csv --output - | head
      halfinch export -c shop.duckdb --table rulings --output rulings.csv
      halfinch export -c shop.duckdb --table sizes --body ana.toml --output for-ana.xlsx
      halfinch export -c shop.duckdb --output shop.jsonld
      halfinch export -c shop.duckdb --format datapackage --output shop.zip
    """
    from halfinch.catalogue.export import PACKAGE, export_table, usual_table

    to_screen = str(output) == "-"
    form = form or _by_name(output)
    if form == PACKAGE and table is not None:
        raise UsageError("A data package holds every table; leave out --table.")
    table = table or usual_table(form)
    if to_screen and form in ("parquet", "xlsx", PACKAGE) and sys.stdout.isatty():
        raise UsageError(f"{form} is no text for a terminal; name a file with --output.")
    only = None if body is None else _fitting(catalogue, body, wait)
    rows = export_table(catalogue, table, form, None if to_screen else output, only=only, wait=wait)
    if body is not None:
        click.echo("This export was made for a body and reveals it: keep it as private as the body file.", err=True)
    if not to_screen:
        click.echo(f"{output}: {rows:,} rows of {'all tables' if form == PACKAGE else table}.", err=True)


def _fitting(catalogue: Path, body: Path, wait: float) -> list[tuple[str, str, str]]:
    """garment_id, size and length of what fits a body, as bought or with a hem."""
    from halfinch.fit.body_file import load_body
    from halfinch.fit.rank import Judging, fitting_sizes
    from halfinch.fit.sizes import open_sizes
    from halfinch.knowledge import load

    knowledge = load()
    wearer = load_body(body, knowledge)
    with open_sizes(catalogue, knowledge, wait=wait) as sizes:
        return fitting_sizes(Judging(sizes, wearer, knowledge))


def _by_name(output: Path) -> str:
    return ENDINGS.get(output.suffix.lower().removeprefix("."), "csv")
