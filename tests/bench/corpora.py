"""Files for the bench, made from the press: the same seeds give the same files. Kept in build/bench for the next time.

tech packs     one PDF a garment, as the press prints them
catalogue      300 pages of prose and prices, every 30th of them a page of specs
web pages      HTML, each in a shop's usual page of 50 KB to 2 MB
workbooks      XLSX
small files    delimited text
long file      one CSV of 100,000 rows, six points a row
"""

from __future__ import annotations

import csv
import io
import json
import random
from collections.abc import Callable, Iterator
from pathlib import Path

from tests.press.plan import Wish, print_sheet

ROOT = Path(__file__).resolve().parents[2]
KEPT = ROOT / "build" / "bench"
FIRST_SEED = 4_000_000
PROSE = """season denim indigo washed soft relaxed clean line pocket seam stitch made mill cotton fabric weight rinse
fade tapered wide leg straight look worn classic story workshop hands detail button zip finish hem waistband back"""
WORDS = PROSE.split()


def print_sheets(kind: str, count: int) -> Iterator[tuple[str, bytes]]:
    """So many sheets of the press in one format (pdf, html, xlsx, csv), with their names."""
    seed = FIRST_SEED
    while count:
        printed = print_sheet(seed, Wish(format=kind))
        seed += 1
        if printed.name.endswith(f".{kind}"):
            count -= 1
            yield printed.name, printed.data


def make_packs(folder: Path, count: int = 60) -> None:
    for name, data in print_sheets("pdf", count):
        (folder / name).write_bytes(data)


def make_books(folder: Path, count: int = 60) -> None:
    for name, data in print_sheets("xlsx", count):
        (folder / name).write_bytes(data)


def make_small(folder: Path, count: int = 60) -> None:
    for name, data in print_sheets("csv", count):
        (folder / name).write_bytes(data)


def make_pages(folder: Path, count: int = 40) -> None:
    """Pages of 50 KB to 2 MB, sizes spread evenly on a scale of doublings."""
    rng = random.Random(FIRST_SEED)
    for index, (name, data) in enumerate(print_sheets("html", count)):
        size = int(50_000 * 40 ** (index / max(1, count - 1)))
        (folder / name).write_text(_dress(data.decode("utf-8", "replace"), size, rng), encoding="utf-8")


def _dress(page: str, size: int, rng: random.Random) -> str:
    """A page with menus, offers, scripts and a footer around it, until it has about `size` characters."""
    head, found, rest = page.partition("</head>")
    if not found:
        head, rest = "<html><head><title>Shop</title>", f"<body>{page}</body></html>"
    body, _, tail = rest.rpartition("</body>")
    opening, closing = body.find(">") + 1, tail or "</html>"
    state = {"products": [{"id": rng.randrange(10**6), "words": _words(rng, 12)} for _ in range(size // 400)]}
    menu = "".join(f'<li class="m-{n}"><a href="/c/{n}" data-n="{n}">{_words(rng, 2)}</a></li>' for n in range(80))
    room = max(0, size - len(page) - len(json.dumps(state)) - len(menu))
    card = (
        '<div class="tile t{n}" data-id="{n}"><a href="/p/{n}"><img src="/i/{n}.jpg" alt="{w}"></a>'
        "<p>{w}</p><span>{p}.00 EUR</span></div>"
    )
    tiles = [card.format(n=n, w=_words(rng, 4), p=rng.randint(20, 190)) for n in range(room // 220)]
    return (
        f"{head}<script>window.state={json.dumps(state)}</script></head>{body[:opening]}<nav><ul>{menu}</ul></nav>"
        f"{body[opening:]}<section><h2>More to look at</h2>{''.join(tiles)}</section>"
        f"<footer><p>{_words(rng, 60)}</p></footer></body>{closing}"
    )


def _words(rng: random.Random, count: int) -> str:
    return " ".join(rng.choice(WORDS) for _ in range(count))


def make_catalogue(folder: Path, pages: int = 300, specs: int = 10) -> None:
    """One PDF: pages of prose and prices, with pages of specs spread evenly among them."""
    from reportlab.lib.pagesizes import A4, landscape
    from reportlab.pdfgen import canvas

    rng = random.Random(FIRST_SEED)
    every = max(1, pages // specs)
    paper = canvas.Canvas(str(folder / f"catalogue-{pages}.pdf"), pagesize=landscape(A4))
    for number in range(pages):
        if number % every == every - 1:
            _draw_specs(paper, number, rng)
        else:
            _draw_look(paper, number, rng)
        paper.setFont("Helvetica", 7)
        paper.drawString(400, 20, f"page {number + 1}")
        paper.showPage()
    paper.save()


def _draw_look(paper: object, number: int, rng: random.Random) -> None:
    from reportlab.pdfgen.canvas import Canvas

    assert isinstance(paper, Canvas)
    paper.setFont("Helvetica-Bold", 18)
    paper.drawString(60, 540, f"Look {number}: {_words(rng, 2)}")
    paper.setFont("Helvetica", 10)
    for line in range(rng.randint(8, 26)):
        paper.drawString(60, 510 - 14 * line, _words(rng, 14))
    for line in range(rng.randint(3, 6)):
        paper.drawString(560, 500 - 20 * line, f"{_words(rng, 2)}   EUR {rng.randint(50, 190)}.00")
    paper.rect(540, 60, 240, 260)


POINTS = {
    "Waist": (28, 1),
    "Hip": (38, 1),
    "Front rise": (10, 0.25),
    "Inseam": (30, 0),
    "Thigh": (22, 0.5),
    "Leg opening": (15, 0.25),
}
"""The second size's figure in inches, and the step from size to size."""


def _draw_specs(paper: object, number: int, rng: random.Random) -> None:
    from reportlab.pdfgen.canvas import Canvas

    assert isinstance(paper, Canvas)
    paper.setFont("Helvetica-Bold", 14)
    paper.drawString(60, 540, f"Style Marlow {number} straight jeans, measurements in inches, full circumference")
    paper.setFont("Helvetica", 9)
    shift = rng.choice((0, 0.25, 0.5))
    rows = [["Point", *(str(size) for size in range(24, 33))]]
    for point, (base, step) in POINTS.items():
        rows.append([point, *(f"{base + shift + step * (at - 2):g}" for at in range(9))])
    for row, cells in enumerate(rows):
        for column, text in enumerate(cells):
            left = 60 + (0 if column == 0 else 80 + 50 * column)
            paper.drawString(left, 500 - 18 * row, text)
        paper.line(60, 496 - 18 * row, 640, 496 - 18 * row)


def make_long(folder: Path, rows: int = 100_000) -> None:
    """One CSV: a row a style and size, a column a point."""
    rng = random.Random(FIRST_SEED)
    made = io.StringIO()
    writer = csv.writer(made, lineterminator="\n")
    writer.writerow(["style", "size", *(f"{point.lower()} (in)" for point in POINTS)])
    for start in range(0, rows, 10):
        style, shift = f"Jeans {start // 10:05d}", rng.choice((0, 0.25, 0.5))
        for at in range(min(10, rows - start)):
            values = [f"{base + shift + step * (at - 2):g}" for base, step in POINTS.values()]
            writer.writerow([style, 24 + at, *values])
    (folder / f"long-{rows}.csv").write_text(made.getvalue(), encoding="utf-8")


MAKERS: dict[str, Callable[[Path], None]] = {
    "packs": make_packs,
    "catalogue": make_catalogue,
    "pages": make_pages,
    "books": make_books,
    "small": make_small,
    "long": make_long,
}


def files_of(name: str) -> list[Path]:
    """The files of one corpus, made when they are not there yet."""
    folder = KEPT / name
    if not folder.exists():
        unfinished = folder.with_name(f"{name}.part")
        unfinished.mkdir(parents=True, exist_ok=True)
        MAKERS[name](unfinished)
        unfinished.rename(folder)
    return sorted(folder.iterdir())
