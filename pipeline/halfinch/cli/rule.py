"""`halfinch rule`: a person decides about a figure."""

from __future__ import annotations

import getpass
from decimal import Decimal, InvalidOperation
from pathlib import Path

import click

from halfinch.cli.options import catalogue_option, wait_option
from halfinch.errors import UsageError


@click.command("rule")
@click.argument("figure", required=False, default="")
@catalogue_option
@click.option("--right", is_flag=True, help="The figure is right as printed.")
@click.option("--should-be", metavar="INCHES", help="It should be so many inches (full girth).")
@click.option("--not-ours", is_flag=True, help="It is no figure of ours.")
@click.option("--undo", metavar="RULING", help="Take a ruling back.")
@click.option("--from", "file", type=click.Path(path_type=Path, dir_okay=False), help="Bring in an export of rulings.")
@click.option("--by", default="", help="Who decided. [default: you]")
@click.option("--why", default="", help="The reason.")
@wait_option
def command(
    figure: str,
    catalogue: Path,
    right: bool,
    should_be: str | None,
    not_ours: bool,
    undo: str | None,
    file: Path | None,
    by: str,
    why: str,
    wait: float,
) -> None:
    """Decide about one FIGURE, named by its id (`halfinch import --all` shows the ids of held figures).

    A ruling is kept by sheet, place and printed text, and holds for every later reading of the sheet. Nothing is ever
    erased: what was decided is taken back by another row.

    \b
      halfinch rule 4c1f... --right --why "taped it" -c shop.duckdb
      halfinch rule 4c1f... --should-be 29.5 --why "merchant's letter" -c shop.duckdb
      halfinch rule --undo 81ab... -c shop.duckdb
      halfinch rule --from rulings.csv -c shop.duckdb
    """
    from halfinch.catalogue import rulings

    wanted = [bool(choice) for choice in (right, should_be is not None, not_ours, undo, file)]
    if sum(wanted) != 1:
        raise UsageError("Say one of --right, --should-be, --not-ours, --undo, --from.")
    by = by or getpass.getuser()
    if file is not None:
        count = rulings.import_rulings(catalogue, rulings.read_rulings_file(file), wait)
        click.echo(f"{count} rulings are new.")
        return
    if undo is not None:
        click.echo(rulings.undo(catalogue, undo, by=by, why=why, wait=wait).ruling_id)
        return
    if not figure:
        raise UsageError("Name the figure by its id; `halfinch import --all` shows the ids of held figures.")
    decision = "right" if right else "not ours" if not_ours else "should be"
    inches = None if should_be is None else _inches(should_be)
    click.echo(rulings.rule(catalogue, figure, decision, by=by, why=why, inches=inches, wait=wait).ruling_id)


def _inches(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        raise UsageError(f'"{text}" is no number of inches; write 29.5.') from None
