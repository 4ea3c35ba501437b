"""Readers of tables on the same documents: ours, pdfplumber's two strategies, and general libraries that are installed.

Each gives the tables of a file as relations (adjacency.py). The general libraries are no part of the set-up: they are
measured where they are there (`pip install camelot-py pymupdf img2table`), in whatever setting they offer. A cell that
a library leaves to a wider or higher neighbour counts as spanned by it, so that nobody loses by the form of his answer.
"""

from __future__ import annotations

import importlib
import importlib.util
import io
import tempfile
import warnings
from collections import Counter
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from tests.readers import adjacency

Found = list[Counter[adjacency.Relation]]
Read = Callable[[bytes], Found]


def ours(data: bytes) -> Found:
    from halfinch.readers.pdf import read

    return [adjacency.grid_relations(grid) for grid in read(data, "report.pdf").grids]


def plumber(strategy: str) -> Read:
    """`extract_tables` with both strategies set to lines or text."""

    def read(data: bytes) -> Found:
        import pdfplumber

        settings = {"vertical_strategy": strategy, "horizontal_strategy": strategy}
        with pdfplumber.open(io.BytesIO(data)) as document:
            return [_spanned(table) for page in document.pages for table in page.find_tables(settings)]

    return read


def mupdf(strategy: str) -> Read:
    library = importlib.import_module("pymupdf")

    def read(data: bytes) -> Found:
        with library.open(stream=data, filetype="pdf") as document:
            return [_spanned(table) for page in document for table in page.find_tables(strategy=strategy).tables]

    return read


def camelot(flavor: str) -> Read:
    library = importlib.import_module("camelot")

    def read(data: bytes) -> Found:
        with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings():
            warnings.simplefilter("ignore")
            path = Path(folder) / "report.pdf"
            path.write_bytes(data)
            return [
                adjacency.table_relations(_open_cells(table))
                for table in library.read_pdf(str(path), pages="all", flavor=flavor)
            ]

    return read


def img2table(kind: str) -> Read:
    """Ruled tables alone, or borderless ones too; the text is the PDF's own, nothing is recognised in pictures."""
    library = importlib.import_module("img2table.document")

    def read(data: bytes) -> Found:
        found = library.PDF(io.BytesIO(data)).extract_tables(borderless_tables=kind == "borderless")
        return [_boxed(table) for tables in found.values() for table in tables]

    return read


def _boxed(table: Any) -> Counter[adjacency.Relation]:
    """A table of img2table's kind: a merged cell is told in each place with the same box."""
    seen: dict[tuple[int, int, int, int], tuple[int, int]] = {}
    shown: list[list[str | None]] = []
    for r, row in enumerate(table.content.values()):
        shown.append([])
        for c, cell in enumerate(row):
            box = (cell.bbox.x1, cell.bbox.y1, cell.bbox.x2, cell.bbox.y2)
            first = seen.setdefault(box, (r, c))
            shown[-1].append((cell.value or "") if first == (r, c) else "<" if first[0] == r else "^")
    return adjacency.table_relations(shown)


def _spanned(table: Any) -> Counter[adjacency.Relation]:
    """A table of pdfplumber's kind: a missing cell belongs to the box that covers its place."""
    texts = table.extract()
    boxes = [list(row.cells) for row in table.rows]
    lefts = [min((row[c][0] for row in boxes if row[c]), default=None) for c in range(max(map(len, boxes), default=0))]
    tops = [min((box[1] for box in row if box), default=None) for row in boxes]
    shown: list[list[str | None]] = [list(row) for row in texts]
    for r, row in enumerate(boxes):
        for c, box in enumerate(row):
            x, y = lefts[c], tops[r]
            if box or x is None or y is None:
                continue
            for way, near in (("<", boxes[r][:c]), ("^", [boxes[k][c] for k in range(r)])):
                if any(one and one[0] <= x + 1 < one[2] and one[1] <= y + 1 < one[3] for one in near):
                    shown[r][c] = way
                    break
    return adjacency.table_relations(shown)


def _open_cells(table: Any) -> list[list[str]]:
    """A table of camelot's kind: an empty cell without a line towards its neighbour is the neighbour's."""
    rows = table.df.values.tolist()
    for r, row in enumerate(table.cells):
        for c, cell in enumerate(row):
            if rows[r][c].strip():
                continue
            if c and not cell.left:
                rows[r][c] = "<"
            elif r and not cell.top:
                rows[r][c] = "^"
    return rows


def readers() -> dict[str, Read]:
    """Name to reader; those of libraries that are not installed are left out."""
    found: dict[str, Read] = {"halfinch": ours}
    found |= {f"pdfplumber {one}": plumber(one) for one in ("lines", "text")}
    if importlib.util.find_spec("camelot"):
        found |= {f"camelot {one}": camelot(one) for one in ("lattice", "stream", "network", "hybrid")}
    if importlib.util.find_spec("pymupdf"):
        found |= {f"pymupdf {one}": mupdf(one) for one in ("lines", "text")}
    if importlib.util.find_spec("img2table"):
        found |= {f"img2table {one}": img2table(one) for one in ("ruled", "borderless")}
    return found


def score(read: Read, data: bytes, truth: Iterable[adjacency.Table]) -> float:
    """F1 of one document; a reader that fails on it found nothing."""
    try:
        found = read(data)
    except Exception:  # noqa: BLE001 - another's fault is his score, not our end
        found = []
    return adjacency.f1(found, [adjacency.table_relations(table) for table in truth])
