"""Documents with nothing of ours in them: no garment figure of theirs may be clean, none may take long.

Invented ones (`foreign_docs/`): charts of other goods that share our words, tables full of likely numbers, bodies,
papers of the trade, prose. A seed chooses one and prints it: as it is, turned, listed line by line, without its title.
Carried ones: whatever documents the packages of the set-up bring along, read as they are.
"""

from __future__ import annotations

import random
import resource
import time
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from importlib import metadata
from pathlib import Path

from .doc import Block, Cell, Doc, Heading, Items, Para, Table
from .plan import Wish, print_doc
from .truth import POINTS

FOLDER = Path(__file__).parent / "foreign_docs"
SHELF: dict[str, dict[str, str]] = {
    path.stem: tomllib.loads(path.read_text("utf-8")) for path in sorted(FOLDER.glob("*.toml"))
}
NAMES = [(kind, name) for kind, docs in SHELF.items() for name in docs]
WAYS = {"as it is": 6, "turned": 3, "listed": 2, "untitled": 1}
UNTELLABLE = {"garments", "papers", "persons"}
"""Kinds whose tables only their title tells from ours: they are never printed without it."""
CARRIERS = ("scikit-learn", "statsmodels", "numpy", "pandas", "altair", "great-expectations", "narwhals", "fonttools")
SUFFIXES = {".csv", ".tsv", ".xls", ".xlsx", ".ods", ".pdf", ".html", ".json", ".txt", ".md"}
SMALLEST, LARGEST = 60, 600_000
SECONDS_A_PAGE = 10
MOST_MEGABYTES = 700


@dataclass(frozen=True, slots=True)
class Foreign:
    name: str
    kind: str
    format: str
    clean: tuple[str, ...]
    """Figures of a garment that came clean, labels too: each is an invention."""
    seconds: float
    """Of the processor."""
    megabytes: int
    """Most memory that the process has held so far."""
    failed: str
    again: str
    """How to read it again."""


def parse_doc(text: str) -> Doc:
    """A doc from its lines: `#` heading, `|` row, `-` item, any other a paragraph."""
    doc = Doc("", "en")
    for line in text.strip().splitlines():
        mark, rest = line[:1], line[1:].strip()
        if mark == "|":
            cells = [Cell(part.strip(), number_of(part)) for part in rest.split("|")]
            if not doc.blocks or not isinstance(doc.blocks[-1], Table):
                doc.blocks.append(Table([]))
            table = doc.blocks[-1]
            assert isinstance(table, Table)
            table.rows.append(cells)
        elif mark == "-":
            if not doc.blocks or not isinstance(doc.blocks[-1], Items):
                doc.blocks.append(Items([]))
            items = doc.blocks[-1]
            assert isinstance(items, Items)
            items.lines.append(rest)
        elif mark == "#":
            doc.title = doc.title or rest
            doc.blocks.append(Heading(rest, 1 if doc.title == rest else 2))
        else:
            doc.blocks.append(Para(line))
    for block in doc.blocks:
        if isinstance(block, Table):
            square(block)
    return doc


def square(table: Table) -> None:
    """All rows as long as the longest."""
    width = max(len(row) for row in table.rows)
    table.rows = [[*row, *[Cell("")] * (width - len(row))] for row in table.rows]


def number_of(text: str) -> Fraction | None:
    bare = text.strip()
    return Fraction(bare) if bare.replace(".", "", 1).isdigit() and bare.isascii() else None


def draw_foreign(seed: int) -> tuple[str, Doc]:
    """One document and its kind and name."""
    rng = random.Random(f"{seed}/foreign")
    kind, name = NAMES[seed % len(NAMES)]
    doc = parse_doc(SHELF[kind][name])
    ways = dict(WAYS)
    if kind in UNTELLABLE or not any(isinstance(block, Table) for block in doc.blocks):
        ways.pop("untitled")
    way = rng.choices(list(ways), list(ways.values()))[0]
    doc.blocks = [block for old in doc.blocks for block in changed(old, way)]
    doc.title = doc.title or name
    doc.merchant = rng.choice(["Tarnfield Works", "Oddlane House", "Hennock & Daughters"])
    if way == "untitled":
        doc.title, doc.merchant = "Document", "Document"
    eastern = [ch for ch in SHELF[kind][name] if ord(ch) > 0x2E80]
    if eastern:
        doc.language = "ja" if any(0x3040 <= ord(ch) < 0x3100 for ch in eastern) else "zh"
    return f"{kind}: {name}, {way}", doc


def changed(block: Block, way: str) -> list[Block]:
    """The block as it is printed this way."""
    if not isinstance(block, Table):
        return [] if way == "untitled" else [block]
    if way == "turned":
        return [Table([list(row) for row in zip(*block.rows, strict=True)])]
    if way == "listed":
        head, *rows = block.rows
        lines = []
        for row in rows:
            lines.append(f"{head[0].text} {row[0].text}")
            lines += [f"{label.text}: {cell.text}" for label, cell in zip(head[1:], row[1:], strict=True)]
        return [Items(lines)]
    return [block]


def run_foreign(task: tuple[int, Wish]) -> Foreign:
    """Prints one and reads it."""
    seed, wish = task
    kind, doc = draw_foreign(seed)
    printed = print_doc(doc, seed, wish)
    again = f"python -m tests.press --foreign --show {seed}"
    return read_foreign(printed.data, printed.name, kind, doc.facts["format"], again)


def read_foreign(data: bytes, name: str, kind: str, form: str, again: str) -> Foreign:
    """Reads one document; what came clean, how long it took a page."""
    from halfinch import knowledge, work

    known = knowledge.load()
    began = time.process_time()
    results = work.read_sheet(data, name, known)
    seconds = (time.process_time() - began) / max(1, *(result.pages for result in results))
    clean = tuple(
        f"{figure.point} {figure.size} = {figure.length_nm / 25.4e6:.2f} in ({figure.raw!r}, {figure.status})"
        for result in results
        for figure in result.figures
        if figure.status in ("accepted", "assumed") and (figure.point in POINTS or figure.point.startswith("label_"))
    )
    failed = "; ".join(result.message for result in results if result.log)
    return Foreign(name, kind, form, clean, seconds, peak_megabytes(), failed, again)


def peak_megabytes() -> int:
    """Most memory that this process has held. Linux's `ru_maxrss` also counts what its parent held when it began."""
    status = Path("/proc/self/status")
    if status.exists():
        peak = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM"))
        return int(peak.split()[1]) // 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def carried() -> list[Path]:
    """Documents that the packages of the set-up carry, in a fixed order."""
    return sorted(path for carrier in CARRIERS for path in carried_by(carrier))


def carried_by(distribution: str) -> Iterator[Path]:
    try:
        files = metadata.files(distribution) or []
    except metadata.PackageNotFoundError:
        return
    for file in files:
        path = Path(str(file.locate()))
        if path.suffix.lower() in SUFFIXES and path.is_file() and SMALLEST <= path.stat().st_size <= LARGEST:
            yield path


def run_carried(path: Path) -> Foreign:
    """Reads one document of a package."""
    form = path.suffix.lower().lstrip(".")
    return read_foreign(path.read_bytes(), path.name, "carried", form, f"halfinch read {path}")


def foreign_report(rows: Sequence[Foreign]) -> str:
    """How many documents gave a garment figure, and which; by format; the slowest."""
    bad = [row for row in rows if row.clean]
    slow = [row for row in rows if row.seconds > SECONDS_A_PAGE]
    crashed = [row for row in rows if row.failed]
    slowest = max(rows, key=lambda row: row.seconds)
    forms = sorted({row.format for row in rows})
    lines = [
        f"{len(rows)} foreign documents ({sum(row.kind == 'carried' for row in rows)} carried by packages), "
        f"{len(bad)} with clean garment figures ({sum(len(row.clean) for row in bad)} figures), "
        f"{len(crashed)} crashed, {len(slow)} slower than {SECONDS_A_PAGE} s a page",
        ", ".join(f"{form} {sum(row.format == form for row in rows)}" for form in forms),
        f"slowest {slowest.seconds:.2f} s ({slowest.name}); most memory {max(row.megabytes for row in rows)} MB",
    ]
    lines += [f"{row.again}   # {row.kind}, {row.format}: {len(row.clean)}: {row.clean[0]}" for row in bad]
    lines += [f"{row.again}   # {row.kind}, {row.format}: {row.seconds:.1f} s" for row in slow]
    lines += [f"{row.again}   # {row.kind}, {row.format}: {row.failed}" for row in crashed]
    return "\n".join(lines)
