"""Small sheets made by hand, and figures written so short that a case fits a line.

A figure is written ``SIZE/LENGTH=VALUE`` behind the name of its point: ``waist 4=28 6=29 | inseam */petite=28``.
The size is ``-`` where it is not said and ``*`` where the figure holds for all sizes. The value is exact: inches where
it is a whole number of 1/64 in (``27.5``), else centimetres (``71.2cm``), of the full girth. Behind it stand
``~`` for assumed, ``!`` for held, ``+`` for derived; nothing for accepted.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

import pytest

from halfinch import knowledge
from halfinch.figure import NM_PER_INCH, Figure, Garment, SheetResult
from halfinch.interpret import interpret
from halfinch.readers import read_plain
from halfinch.sheet import HEADER, Cell, Grid, Sheet, Text, place

MARK = {"accepted": "", "assumed": "~", "held": "!"}


def xfail(reason: str) -> pytest.MarkDecorator:
    """A case that fails for a known reason; passing is a failure too, so that the mark goes with the fault."""
    return pytest.mark.xfail(strict=True, reason=reason)


def read_text(text: str, name: str) -> SheetResult:
    """The text of a file as the program reads it: reader and interpretation together."""
    sheet = read_plain(text.encode(), name)
    assert isinstance(sheet, Sheet), str(sheet)
    return interpret(sheet, knowledge.load())


def read_csv(text: str, name: str = "sheet.csv") -> SheetResult:
    """Delimited text; the blanks that make a case readable are taken off each line."""
    return read_text("\n".join(line.strip() for line in text.strip("\n").split("\n")) + "\n", name)


def read_html(body: str, title: str = "") -> SheetResult:
    """A page with this body."""
    return read_text(f"<html><head><title>{title}</title></head><body>{body}</body></html>", "sheet.html")


def table(*rows: Sequence[str]) -> str:
    """An HTML table of plain cells."""
    return (
        "<table>" + "".join("<tr>" + "".join(f"<td>{cell}</td>" for cell in row) + "</tr>" for row in rows) + "</table>"
    )


def grid(rows: Sequence[Sequence[str]], order: int = 1, *, caption: str = "", head: int = 0, at: int = 1) -> Grid:
    """A grid of plain cells; empty strings are left out. The first `head` rows are marked as headings."""
    cells = tuple(
        Cell(
            text=text,
            row=row,
            column=column,
            place=place(table=at, row=row, col=column),
            marks=frozenset({HEADER}) if row <= head else frozenset(),
        )
        for row, line in enumerate(rows, start=1)
        for column, text in enumerate(line, start=1)
        if text
    )
    return Grid(cells, order, caption=caption, place=place(table=at))


def sheet(*blocks: Sequence[Sequence[str]] | str, name: str = "sheet.pdf", **meta: str) -> Sheet:
    """A sheet of grids (lists of rows) and texts: "# " begins a heading, "~ " a running head, else a paragraph."""
    grids: list[Grid] = []
    texts: list[Text] = []
    for order, block in enumerate(blocks, start=1):
        if isinstance(block, str):
            kind = "heading" if block.startswith("# ") else "chrome" if block.startswith("~ ") else "paragraph"
            bare = block[2:] if kind != "paragraph" else block
            level = 1 if kind == "heading" else 0
            texts.append(Text(bare, order, kind, level, place=place(text=len(texts) + 1)))
        else:
            grids.append(grid(block, order, at=len(grids) + 1))
    return Sheet(name, "pdf", "by hand", tuple(grids), tuple(texts), pages=1, meta=meta)


def read_sheet(*blocks: Sequence[Sequence[str]] | str, name: str = "sheet.pdf", **meta: str) -> SheetResult:
    """What the program makes of such a sheet."""
    return interpret(sheet(*blocks, name=name, **meta), knowledge.load())


def show_length(nm: int) -> str:
    """Exact: inches for whole 1/64 in, else centimetres."""
    if nm * 64 % NM_PER_INCH == 0:
        return f"{nm / NM_PER_INCH:.6f}".rstrip("0").rstrip(".")
    assert nm % 1000 == 0, f"{nm} nm is neither a 64th of an inch nor a micrometre"
    return f"{nm / 10_000_000:.4f}".rstrip("0").rstrip(".") + "cm"


def show_figure(figure: Figure) -> str:
    """One figure without its point: ``4/petite=28~``."""
    size = figure.size or ("*" if figure.size_scope == "all" else "-")
    length = f"/{figure.length}" if figure.length else ""
    upper = f"..{show_length(figure.length_to_nm)}" if figure.length_to_nm is not None else ""
    derived = "+" if figure.basis == "derived" else ""
    return f"{size}{length}={show_length(figure.length_nm)}{upper}{derived}{MARK[figure.status]}"


def show(figures: Iterable[Figure]) -> dict[str, set[str]]:
    """Point to its figures, each in short form; the same figure twice fails. What labels promise is left out."""
    found: dict[str, set[str]] = defaultdict(set)
    for figure in (one for one in figures if not one.point.startswith("label_")):
        short = show_figure(figure)
        assert short not in found[figure.point], f"{figure.point} {short} twice"
        found[figure.point].add(short)
    return dict(found)


def want(text: str) -> dict[str, set[str]]:
    """``waist 4=28 6=29 | inseam -=30`` as `show` gives it; '' is nothing at all."""
    parts = [part.split() for part in text.replace("\n", " ").split("|") if part.strip()]
    return {part[0]: set(part[1:]) for part in parts}


def by_style(result: SheetResult) -> dict[str, dict[str, set[str]]]:
    """Name of the garment (style, code, block, as far as said) to its figures in short form."""
    names = {garment.key: name_garment(garment) for garment in result.garments}
    found: dict[str, list[Figure]] = defaultdict(list)
    for figure in result.figures:
        found[names[figure.garment]].append(figure)
    return {name: show(figures) for name, figures in found.items()}


def name_garment(garment: Garment) -> str:
    """``Alma HW-2 plus`` from style, code and block."""
    return " ".join(part for part in (garment.style, garment.style_code, garment.block) if part)


def rules(result: SheetResult) -> set[str]:
    """Names of all rules that had something to say."""
    return {finding.rule for finding in result.findings}


def held_by(result: SheetResult) -> dict[str, str]:
    """``POINT SIZE`` of every held figure to the rules that hold it."""
    found: dict[str, set[str]] = defaultdict(set)
    for finding in result.findings:
        if finding.severity == "error":
            for index in finding.figures:
                figure = result.figures[index]
                found[f"{figure.point} {figure.size}".strip()].add(finding.rule)
    return {name: " ".join(sorted(names)) for name, names in found.items()}
