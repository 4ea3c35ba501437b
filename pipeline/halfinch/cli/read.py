"""`halfinch read`: what the reader sees in a sheet, how it was interpreted, a picture of both. Nothing is stored."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from halfinch.cli.options import schemas_option
from halfinch.errors import SheetError, UsageError

if TYPE_CHECKING:
    from halfinch.sheet import Grid, Sheet, Text


@click.command("read")
@click.argument("sheet", type=click.Path(path_type=Path, allow_dash=True))
@click.option(
    "--why", is_flag=True, help="Tell how it was interpreted: what competed, what won, what was held and why."
)
@click.option("--picture", is_flag=True, help="Draw what was seen: a PNG for each page of a PDF, else an HTML page.")
@click.option(
    "--output",
    "-o",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder for the pictures.  [default: SHEET-seen]",
)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--json", "form", flag_value="json", help="Short for --format json.")
@schemas_option
@click.pass_context
def command(
    context: click.Context, sheet: Path, why: bool, picture: bool, output: Path | None, form: str, schemas: Path | None
) -> None:
    """Show the tables and texts that the reader finds in SHEET; nothing is stored.

    What they mean is asked only by --why and --picture. SHEET may be an archive: every sheet in it is shown.

    JSON is {"sheet", "grids": [{"page", "box": [x0, top, x1, bottom], "cells": [{"row", "column", "row_span",
    "column_span", "text"}]}], "texts"}; with --why it is {"sheet", "outcome", "message", "told", "bands", "units",
    "conventions", "settled", "passed_over", "findings"}. A container with several sheets gives a list of these.

    \b
      halfinch read "Spec pack.pdf"
      halfinch read "Spec pack.pdf" --why
      halfinch read "Spec pack.pdf" --picture --output pictures/
      halfinch read chart.html --format json | jq '.grids[0].cells[0]'
    """
    from halfinch.work.files import LARGEST

    if output is not None and not picture:
        raise click.UsageError("--output is where pictures go; ask for them with --picture.")
    data = _bytes_of(sheet, LARGEST)
    name = "-" if str(sheet) == "-" else sheet.name
    if why or picture:
        read = _explain(data, name, why, output or _folder_for(name) if picture else None, form, schemas)
    else:
        read = _show(data, name, form)
    troubles = [(inner, error) for inner, error in read if isinstance(error, SheetError)]
    for inner, error in troubles:
        click.echo(f"halfinch: {error}" if inner in str(error) else f"halfinch: {inner}: {error}", err=True)
    context.exit(SheetError.exit_status if troubles else 0)


def _show(data: bytes, name: str, form: str) -> Sequence[tuple[str, object]]:
    """Grids and texts of every sheet in the file."""
    from halfinch.readers import read_bytes

    read = read_bytes(data, name)
    sheets = [found for _, found in read if not isinstance(found, SheetError)]
    if form == "json":
        _print_json([_shape(found) for found in sheets], len(read))
    else:
        for found in sheets:
            _draw(found)
    return read


def _explain(
    data: bytes, name: str, why: bool, folder: Path | None, form: str, schemas: Path | None
) -> Sequence[tuple[str, object]]:
    """The account of every sheet in the file, and its pictures into `folder`."""
    from halfinch.knowledge import load
    from halfinch.present.seen import draw_sheet
    from halfinch.present.why import why_data, why_lines
    from halfinch.readers.pdf import PASSED_OVER
    from halfinch.work.explaining import explain_sheets

    read = list(explain_sheets(data, name, load(schemas)))
    found = [one for _, one in read if not isinstance(one, SheetError)]
    if why and form == "json":
        _print_json([why_data(one.result, one.account) for one in found], len(read))
    elif why:
        for one in found:
            for line, heading in why_lines(one.result, one.account):
                click.secho(line, bold=heading)
            if passed := one.sheet.meta.get(PASSED_OVER):
                click.echo(f"pages that were only glanced at, since nothing on them speaks of measures: {passed}")
    if folder is not None:
        for one in found:
            for file, content in draw_sheet(one.data, one.sheet, one.result, one.account):
                click.echo(_save(folder / file, content), err=form == "json")
    return read


def _folder_for(name: str) -> Path:
    return Path(f"{'sheet' if name == '-' else name}-seen")


def _save(path: Path, content: bytes) -> Path:
    """Writes a picture; gives its path."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    except OSError as error:
        raise UsageError(f"{path} cannot be written ({error.strerror}); name another folder with --output.") from error
    return path


def _print_json(shapes: list[dict[str, Any]], sheets: int) -> None:
    """One sheet as it is, several as a list; nothing where the only one could not be read."""
    if shapes or sheets != 1:
        click.echo(json.dumps(shapes[0] if sheets == 1 else shapes, ensure_ascii=False, indent=2))


def _bytes_of(path: Path, largest: int) -> bytes:
    if str(path) == "-":
        return sys.stdin.buffer.read()
    try:
        if path.is_dir():
            raise UsageError(f"{path} is a folder; name one sheet, or import the folder.")
        if path.stat().st_size >= largest:
            raise SheetError(f"{path} has {path.stat().st_size / 1e6:,.0f} MB; that is no measurement sheet.")
        return path.read_bytes()
    except FileNotFoundError:
        raise click.UsageError(f"{path} does not exist; name a sheet.") from None
    except OSError as error:
        raise SheetError(f"{path} cannot be read ({error.strerror}).") from error


def _shape(sheet: Sheet) -> dict[str, Any]:
    return {
        "sheet": sheet.name,
        "grids": [
            {
                "page": grid.page,
                "box": None if grid.box is None else list(grid.box),
                "cells": [
                    {
                        "row": cell.row,
                        "column": cell.column,
                        "row_span": cell.row_span,
                        "column_span": cell.column_span,
                        "text": cell.text,
                    }
                    for cell in grid.cells
                ],
            }
            for grid in sheet.grids
        ],
        "texts": [text.text for text in sheet.texts],
    }


def _draw(sheet: Sheet) -> None:
    """Grids as tables and texts as lines, in reading order, with their places."""
    from rich.console import Console
    from rich.text import Text as Styled

    console = Console(width=None if sys.stdout.isatty() else 240, highlight=False, soft_wrap=False)
    head = f"{sheet.name}: {sheet.kind}, read by {sheet.reader}, {len(sheet.grids)} grids, {len(sheet.texts)} texts"
    console.print(Styled(head, style="bold"))
    for block in sheet.blocks():
        _draw_block(console, block)
    for warning in sheet.warnings:
        console.print(Styled(f"! {warning}"))


def _draw_block(console: Any, block: Grid | Text) -> None:
    from rich import box
    from rich.table import Table
    from rich.text import Text as Styled

    from halfinch.sheet import Grid

    if not isinstance(block, Grid):
        console.print(Styled(f"[{block.kind}] {block.text}"), soft_wrap=True)
        return
    title = ", ".join(part for part in (block.place, block.caption) if part)
    table = Table(box=box.SQUARE, show_header=False, show_lines=True, title=Styled(title), title_justify="left")
    for _ in range(block.columns):
        table.add_column(overflow="fold")
    texts: dict[tuple[int, int], str] = {(cell.row, cell.column): cell.text for cell in block.cells}
    for row in range(1, block.rows + 1):
        table.add_row(*(Styled(texts.get((row, column), "")) for column in range(1, block.columns + 1)))
    console.print(table)
