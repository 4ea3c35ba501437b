"""`halfinch fixture`: a sheet becomes a fixture, drafted by the program and signed by a person."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from halfinch.cli.options import schemas_option


@click.group("fixture")
def command() -> None:
    """Make a fixture of a sheet: its expected figures are drafted, corrected by hand, and signed.

    \b
      halfinch fixture new fixtures/maison/wide.pdf
      halfinch fixture sign fixtures/maison/wide.expected.csv --by Odile
      halfinch check fixtures/maison
    """


@command.command("new")
@click.argument("sheet", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@schemas_option
def new(sheet: Path, schemas: Path | None) -> None:
    """Draft NAME.expected.csv beside SHEET from what is read of it.

    A draft says what the program believes, not what is right. Compare every row with the sheet and correct it; until
    somebody signs it, `halfinch check` does not let the fixture pass.
    """
    from halfinch.catalogue.files import write_whole
    from halfinch.check.draft import as_text, draft_rows, name_expected
    from halfinch.knowledge import load
    from halfinch.work import read_sheet

    expected = name_expected(sheet)
    rows = draft_rows(read_sheet(sheet.read_bytes(), sheet.name, load(schemas)))
    write_whole(expected, as_text(rows))
    kinds = [row["expect"] for row in rows]
    told = ", ".join(
        f"{kinds.count(kind)} {words}"
        for kind, words in (("value", "figures"), ("hold", "to be held"), ("nothing", "row that expects nothing"))
        if kind in kinds
    )
    click.echo(f"{expected}: {told}, as read and confirmed by nobody.")
    click.echo(f"Compare each with the sheet, correct it, then: halfinch fixture sign {expected} --by NAME")


@command.command("sign")
@click.argument("expected", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--by", required=True, help="Who has compared every row with the sheet.")
def sign(expected: Path, by: str) -> None:
    """Say that every row of EXPECTED was compared with the sheet and is right."""
    from halfinch.catalogue.files import write_whole
    from halfinch.check.draft import signed
    from halfinch.errors import UsageError

    if not by.strip():
        raise UsageError("--by is empty; name who has compared the rows with the sheet.")
    text, count = signed(expected, f"{by.strip()}, {date.today().isoformat()}")
    write_whole(expected, text)
    click.echo(f"{expected}: {count} rows signed by {by.strip()}.")
