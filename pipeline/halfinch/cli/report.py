"""`halfinch report`: the catalogue as one page of charts."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from halfinch.cli.options import catalogue_option, schemas_option, wait_option

if TYPE_CHECKING:
    from halfinch.fit.body import Body
    from halfinch.knowledge import Knowledge


@click.command("report")
@catalogue_option
@click.option(
    "--output",
    "-o",
    type=click.Path(path_type=Path, dir_okay=False),
    default=None,
    help="The page to write. [default: NAME.report.html beside the catalogue]",
)
@click.option(
    "--bodies",
    multiple=True,
    type=click.Path(path_type=Path, exists=True),
    help="A body file or a folder of them: how much of the catalogue each can wear. May be given more than once.",
)
@schemas_option
@wait_option
def command(catalogue: Path, output: Path | None, bodies: tuple[Path, ...], schemas: Path | None, wait: float) -> None:
    """Write one page with charts inside: sheets and their fate, what is told and what is missing, grading, silhouettes,
    half inches, who can wear how much of it, what is held and what is unusual, each with its printed cell.

    The page stands alone: nothing is loaded from anywhere, and it can be printed. Made with --bodies it reveals them.

    \b
      halfinch report --catalogue shop.duckdb
      halfinch report -c shop.duckdb --bodies clients/ --output report.html
    """
    import pandas as pd

    from halfinch.catalogue.files import write_whole
    from halfinch.catalogue.lake.objects import beside
    from halfinch.catalogue.report import read_report
    from halfinch.fit.coverage import cover
    from halfinch.fit.sizes import open_sizes
    from halfinch.knowledge import load
    from halfinch.present.report_page import render_report

    knowledge = load(schemas)
    wearers = [one for path in bodies for one in _read(path, knowledge)]
    report = read_report(catalogue, knowledge, wait=wait)
    covered = None
    if wearers:
        with open_sizes(catalogue, knowledge, wait=wait) as sizes:
            covered = pd.DataFrame(cover(sizes, wearers, knowledge))
    page = output or beside(catalogue, f"{catalogue.stem}.report.html")
    write_whole(page, render_report(catalogue.name, report, covered), private=bool(wearers))
    if wearers:
        click.echo("This report was made for bodies and reveals them: keep it as private as their files.", err=True)
    click.echo(f"{page}: {report.counts['sizes']:,} sizes of {report.counts['garments']:,} garments.")


def _read(path: Path, knowledge: Knowledge) -> list[tuple[str, Body]]:
    from halfinch.fit.body_file import load_body
    from halfinch.fit.matching import load_bodies

    return load_bodies(path, knowledge) if path.is_dir() else [(path.stem, load_body(path, knowledge))]
