"""`halfinch rule`: a person decides about figures."""

from __future__ import annotations

import getpass
import json
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

import click

from halfinch.cli.options import catalogue_option, json_option, wait_option
from halfinch.errors import UsageError

if TYPE_CHECKING:
    from halfinch.catalogue.rulings import Listed, Ruling


@click.command("rule")
@click.argument("figure", required=False, default="")
@catalogue_option
@click.option(
    "--sheet", default="", help="Instead of FIGURE: the held figures of this sheet, narrowed by what follows."
)
@click.option("--point", default="", help="Only this point: leg_opening, front_rise ...")
@click.option("--size", default="", help="Only this size.")
@click.option("--length", default="", help="Only this length: petite, regular, tall ...")
@click.option("--style", default="", help="Only this style or style code.")
@click.option("--table", default="", metavar="N", help="Only this table of the sheet.")
@click.option("--row", default="", metavar="N", help="Only this row.")
@click.option("--column", default="", metavar="N", help="Only this column, by number or letter.")
@click.option("--any", "standing", is_flag=True, help="Accepted and assumed figures too, not only held ones.")
@click.option("--right", is_flag=True, help="The figure is right as printed, and as it was read.")
@click.option("--should-be", metavar="INCHES", help="It should be so many inches (full girth).")
@click.option("--not-ours", is_flag=True, help="It is no figure of ours.")
@click.option("--undo", multiple=True, metavar="RULING", help="Take a ruling back; repeat it for several.")
@click.option(
    "--from", "file", type=click.Path(path_type=Path, dir_okay=False),
    help="Rulings from a file: an export of them, or a list of your own (CSV, TOML).",
)  # fmt: skip
@click.option("--list", "listing", is_flag=True, help="Show every ruling.")
@click.option("--orphans", is_flag=True, help="Show the rulings that find no figure any more.")
@json_option
@click.option("--by", default="", help="Who decided. [default: you]")
@click.option("--why", default="", help="The reason.")
@wait_option
def command(
    figure: str, catalogue: Path, sheet: str, point: str, size: str, length: str, style: str, table: str, row: str,
    column: str, standing: bool, right: bool, should_be: str | None, not_ours: bool, undo: tuple[str, ...],
    file: Path | None, listing: bool, orphans: bool, as_json: bool, by: str, why: str, wait: float,
) -> None:  # fmt: skip
    """Decide about one FIGURE, named by its id (`halfinch import --all` shows the ids of held figures), or about all
    held figures of a row, a column, a size or a point of a sheet.

    A ruling is kept by sheet, place and printed text, and holds for every later reading of the sheet, and for a later
    sheet at the same place whose cell says the same. Nothing is ever erased: what was decided is taken back by another
    row, and what was printed stays as it is.

    \b
      halfinch rule 4c1f... --right --why "taped it" -c shop.duckdb
      halfinch rule 4c1f... --should-be 29.5 --why "merchant's letter" -c shop.duckdb
      halfinch rule --sheet wide.pdf --point leg_opening --right -c shop.duckdb
      halfinch rule --sheet wide.xlsx --row 7 --not-ours -c shop.duckdb
      halfinch rule --undo 81ab... -c shop.duckdb
      halfinch rule --from rulings.csv -c shop.duckdb
      halfinch rule --list -c shop.duckdb
    """
    from halfinch.catalogue import rulings
    from halfinch.catalogue.choosing import Choice, Request, rule_chosen
    from halfinch.catalogue.rulings_file import read_rulings_file
    from halfinch.cli.reporting import tell_habits

    wanted = [bool(choice) for choice in (right, should_be is not None, not_ours, undo, file, listing or orphans)]
    if sum(wanted) != 1:
        raise UsageError("Say one of --right, --should-be, --not-ours, --undo, --from, --list, --orphans.")
    by = by or getpass.getuser()
    choice = Choice(figure, sheet, point, size, length, style, table, row, column, standing=standing)
    if (undo or file or listing or orphans) and choice != Choice():
        raise UsageError("A figure or a sheet is named only with --right, --should-be or --not-ours.")
    if listing or orphans:
        listed = [one for one in rulings.list_rulings(catalogue, wait) if not orphans or one.state == "orphaned"]
        _show(listed, "No ruling is orphaned." if orphans else "No rulings yet.", as_json=as_json)
        return
    if undo:
        made = rulings.undo_all(catalogue, undo, by=by, why=why, wait=wait)
    elif file is not None:
        read = read_rulings_file(file, by)
        if all(isinstance(one, rulings.Ruling) for one in read):
            count = rulings.import_rulings(catalogue, read, wait)  # type: ignore[arg-type]
            click.echo(f"{count} ruling{'s are' if count != 1 else ' is'} new.")
            tell_habits(catalogue, wait)
            return
        made = rule_chosen(catalogue, read, wait)  # type: ignore[arg-type]
    else:
        what = "right" if right else "not ours" if not_ours else "should be"
        inches = None if should_be is None else _inches(should_be)
        decision = rulings.Decision(what, by, why, inches)
        made = rule_chosen(catalogue, [Request(choice, decision)], wait)
    _tell(made, as_json=as_json)
    if not as_json:
        tell_habits(catalogue, wait)


def _tell(made: list[Ruling], *, as_json: bool) -> None:
    """The ids, for --undo; what they are about where there are several."""
    if as_json:
        click.echo(json.dumps([_plain(one) for one in made], ensure_ascii=False, indent=2))
        return
    for one in made:
        about = " ".join(part for part in (one.point, one.size, one.length, f'"{one.printed}"') if part)
        click.echo(one.ruling_id if len(made) == 1 else f"{one.ruling_id}  {about} ({one.place})")


def _show(listed: list[Listed], nothing: str, *, as_json: bool) -> None:
    if as_json:
        rows = [{**_plain(one.ruling), "state": one.state, "sheet": one.sheet} for one in listed]
        click.echo(json.dumps(rows, ensure_ascii=False, indent=2))
        return
    for one in listed:
        ruling = one.ruling
        what = f"should be {ruling.inches.normalize():f} in" if ruling.decision == "should be" and ruling.inches else ""
        about = " ".join(part for part in (ruling.point, ruling.size, ruling.length) if part)
        why = f": {ruling.why}" if ruling.why else ""
        where = f"{one.sheet or 'a sheet not seen here'} ({ruling.place})"
        what = what or (f"undo of {ruling.undoes[:8]}" if ruling.undoes else ruling.decision)
        click.echo(f"{ruling.ruling_id[:12]}  {ruling.at:%Y-%m-%d %H:%M} UTC  {one.state}  {ruling.by}: {what}{why}")
        click.echo(f'    {about} "{ruling.printed}", {where}')
    if not listed:
        click.echo(nothing)


def _plain(ruling: Ruling) -> dict[str, object]:
    return {
        "ruling_id": ruling.ruling_id, "sheet_id": ruling.sheet_id, "place": ruling.place, "printed": ruling.printed,
        "point": ruling.point, "size": ruling.size, "length": ruling.length, "decision": ruling.decision,
        "inches": None if ruling.inches is None else float(ruling.inches), "why": ruling.why, "by": ruling.by,
        "at": f"{ruling.at.isoformat()}Z", "undoes": ruling.undoes,
    }  # fmt: skip


def _inches(text: str) -> Decimal:
    try:
        return Decimal(text.replace(",", "."))
    except InvalidOperation:
        raise UsageError(f'"{text}" is no number of inches; write 29.5.') from None
