"""`halfinch backup`: a copy that was read back."""

from __future__ import annotations

from pathlib import Path

import click

from halfinch.cli.options import catalogue_option, wait_option


@click.command("backup")
@catalogue_option
@click.option("--output", "-o", type=click.Path(path_type=Path), help="The copy. [default: named after the moment]")
@click.option("--no-sheets", is_flag=True, help="Do not copy the kept sheets.")
@wait_option
def command(catalogue: Path, output: Path | None, no_sheets: bool, wait: float) -> None:
    """Copy a catalogue, and the sheets kept beside it, while nobody writes; read the copy back and compare every row.

    \b
      halfinch backup --catalogue shop.duckdb
      halfinch backup -c shop.duckdb --output backups/monday.duckdb
    """
    from halfinch.catalogue.backup import back_up

    click.echo(str(back_up(catalogue, output, with_sheets=not no_sheets, wait=wait)))
