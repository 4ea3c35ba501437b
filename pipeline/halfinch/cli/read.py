"""`halfinch read`: what the reader sees in a sheet, nothing stored."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from halfinch.errors import SheetError, UsageError

if TYPE_CHECKING:
    from halfinch.sheet import Grid, Sheet, Text


@click.command("read")
@click.argument("sheet", type=click.Path(path_type=Path, allow_dash=True))
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.pass_context
def command(context: click.Context, sheet: Path, form: str) -> None:
    """Show the tables and texts that the reader finds in SHEET; what they mean is not asked.

    JSON is {"sheet", "grids": [{"page", "box": [x0, top, x1, bottom], "cells": [{"row", "column", "row_span",
    "column_span", "text"}]}], "texts"}; a container with several sheets gives a list of these.

    \b
      halfinch read "Spec pack.pdf"
      halfinch read chart.html --format json | jq '.grids[0].cells[0]'
    """
    from halfinch.readers import read_bytes
    from halfinch.work.files import LARGEST

    data = _bytes_of(sheet, LARGEST)
    read = read_bytes(data, "-" if str(sheet) == "-" else sheet.name)
    troubles = [(name, found) for name, found in read if isinstance(found, SheetError)]
    sheets = [found for _, found in read if not isinstance(found, SheetError)]
    if form == "json" and (sheets or not troubles):
        shapes = [_shape(found) for found in sheets]
        click.echo(json.dumps(shapes[0] if len(read) == 1 else shapes, ensure_ascii=False, indent=2))
    elif form == "text":
        for found in sheets:
            _draw(found)
    for name, error in troubles:
        click.echo(f"halfinch: {error}" if name in str(error) else f"halfinch: {name}: {error}", err=True)
    context.exit(SheetError.exit_status if troubles else 0)


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
