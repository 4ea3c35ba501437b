"""`halfinch query`: a question in SQL."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from halfinch.cli.options import catalogue_option, wait_option
from halfinch.errors import UsageError

FORMATS = ["table", "csv", "json", "parquet"]
WHOLE = 2_000
"""Characters of a cell of --about."""


@click.command("query")
@click.argument("sql", required=False)
@catalogue_option
@click.option("--about", is_flag=True, help="What there is to ask: tables, views, macros; with a name, its columns.")
@click.option(
    "--format", "form", type=click.Choice(FORMATS), default=None, help="[default: by the output's name, else table]"
)
@click.option(
    "--output",
    "-o",
    type=click.Path(path_type=Path, allow_dash=True),
    default="-",
    help="The file to write. [default: -]",
)
@click.option(
    "--rows",
    type=click.IntRange(min=1),
    default=200,
    show_default=True,
    help="Rows that a table in the terminal shows.",
)
@click.option(
    "--time-limit",
    type=click.FloatRange(min=0, min_open=True),
    default=60.0,
    show_default=True,
    help="Seconds the query may take; then it is stopped.",
)
@wait_option
def command(
    sql: str | None, catalogue: Path, about: bool, form: str | None, output: Path, rows: int, time_limit: float,
    wait: float,
) -> None:  # fmt: skip
    """Ask the catalogue in SQL (DuckDB's). `-` reads the query from standard input.

    A query only asks: it changes nothing, and reaches no file, no network and no setting. Lengths are inches, full
    girth or length. The view `sizes` is the clean catalogue, `clean_figures` the same with a row a point; macros answer
    what is asked often. `--about` lists all of it with its meaning.

    \b
      halfinch query -c shop.duckdb --about
      halfinch query -c shop.duckdb --about sizes
      halfinch query -c shop.duckdb "SELECT style, size FROM sizes WHERE leg_opening <= 22"
      halfinch query -c shop.duckdb "FROM nearest_sizes('Larkrise Straight', 30) LIMIT 5" --format csv
      halfinch query -c shop.duckdb - --output answer.parquet < question.sql
    """
    from halfinch.catalogue.asking import Limits, ask
    from halfinch.catalogue.files import opened_whole
    from halfinch.catalogue.for_analysts import about_sql
    from halfinch.present.answers import WIDEST, WRITERS, table_lines

    to_screen = str(output) == "-"
    form = form or (_by_name(output) if not to_screen else "table")
    if to_screen and form == "parquet" and sys.stdout.isatty():
        raise UsageError("parquet is no text for a terminal; name a file with --output.")
    if about:
        sql = about_sql(catalogue, sql or "", wait)
    if sql is None:
        raise UsageError("Ask something: a query, - to read it from standard input, or --about to see what there is.")
    question = sys.stdin.read() if sql == "-" else sql
    with ask(catalogue, question, Limits(time_limit), wait) as (schema, batches):
        if form == "table":
            text = "".join(f"{line}\n" for line in table_lines(schema, batches, rows, WHOLE if about else WIDEST))
            with opened_whole(None if to_screen else output) as file:
                file.write(text.encode())
            return
        with opened_whole(None if to_screen else output) as file:
            count = WRITERS[form](file, schema, batches)
    if not to_screen:
        click.echo(f"{output}: {count:,} rows.", err=True)


def _by_name(output: Path) -> str:
    ending = output.suffix.lower().removeprefix(".")
    return ending if ending in FORMATS else "table"
