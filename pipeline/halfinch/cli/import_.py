"""`halfinch import`: files, folders and containers become rows of a catalogue."""

from __future__ import annotations

from pathlib import Path

import click
from click.core import ParameterSource

from halfinch.cli.options import CATALOGUE_VARIABLE, json_option, reading_options
from halfinch.errors import UsageError


@click.command("import")
@click.argument("paths", nargs=-1, required=True, metavar="PATH...", type=click.Path(path_type=Path))
@click.option(
    "--catalogue",
    "-c",
    envvar=CATALOGUE_VARIABLE,
    type=click.Path(path_type=Path),
    default=None,
    help="The catalogue's file, such as shop.duckdb (or the variable HALFINCH_CATALOGUE).",
)
@click.option(
    "--to",
    "lake",
    type=click.Path(path_type=Path),
    default=None,
    metavar="LAKE",
    help="A lake instead of a catalogue: a folder of Parquet files, or s3://BUCKET/PATH.",
)
@click.option(
    "--on", default="", metavar="dask://HOST:PORT", help="Let the workers of this Dask cluster read the sheets."
)
@click.option("--merchant", default="", metavar="NAME", help="Whose sheets these are, where they do not say so.")
@click.option("--as", "named", default="", metavar="NAME", help="Name the source otherwise than by its path.")
@click.option("--no-keep", is_flag=True, help="Do not keep the sheets' bytes in CATALOGUE.sheets/.")
@click.option("--all", "everything", is_flag=True, help="Show every sheet and every held figure.")
@json_option
@click.option("--quiet", "-q", is_flag=True, help="Print nothing but errors.")
@reading_options
@click.pass_context
def command(
    context: click.Context,
    paths: tuple[Path, ...],
    catalogue: Path | None,
    lake: Path | None,
    on: str,
    merchant: str,
    named: str,
    no_keep: bool,
    everything: bool,
    as_json: bool,
    quiet: bool,
    jobs: int | None,
    time_limit: float,
    memory_limit: int,
    schemas: Path | None,
    wait: float,
) -> None:
    """Read sheets (PDF, HTML, CSV, workbooks, ZIP and GZIP of them) into a catalogue.

    A PATH is a file or a folder; a folder below it is taken for the merchant's name where the sheets do not give one.
    The catalogue is made where there is none. Importing the same sheet twice is once; a new version of a sheet at the
    same place takes the place of the earlier one. What was held or failed is listed with reasons.

    \b
      halfinch import sheets/ --catalogue shop.duckdb
      halfinch import "Spec pack.pdf" --merchant "Aldersgate" -c shop.duckdb
      halfinch import download.csv --as aldersgate/prices.csv -c shop.duckdb
      halfinch import sheets/ -c shop.duckdb --json > report.json

    Where one machine or one file is too small: --on has a cluster read, --to writes a lake, which every command that
    only reads takes as a catalogue. Both may be stopped anywhere; the same command goes on.

    \b
      halfinch import sheets/ --on dask://scheduler:8786 -c shop.duckdb
      halfinch import sheets/ --on dask://scheduler:8786 --to s3://specs/lake

    \b
    Exit status: 0 every sheet was read, or holds nothing of ours; 3 a sheet failed or was read partly;
    4 figures were held, nothing else; 2 wrong usage.
    """
    from halfinch.cli.reporting import print_report, progress_bar, report_as_json, tell_habits
    from halfinch.work.importing import Options, import_paths
    from halfinch.work.lake_import import import_to_lake

    if lake is not None and context.get_parameter_source("catalogue") is ParameterSource.COMMANDLINE:
        raise UsageError("Sheets go into a catalogue or into a lake: leave out --catalogue or --to.")
    into = lake or catalogue
    if into is None:
        raise click.MissingParameter(param_hint="'--catalogue'", param_type="option", ctx=context)
    options = Options(merchant, named, not no_keep, jobs, time_limit, memory_limit, wait, schemas, on)
    with progress_bar("reading", quiet=quiet or as_json) as progress:
        bring = import_paths if lake is None else import_to_lake
        report = bring(into, paths, options, progress)
    if as_json:
        click.echo(report_as_json(report))
    elif not quiet:
        print_report(report, everything=everything)
        tell_habits(into, wait)
    context.exit(report.exit_status)
