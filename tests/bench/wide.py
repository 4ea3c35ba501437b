"""What a lake costs: a sheet, a figure, a match; and whether it says what a catalogue says of all fixtures.

    python -m tests.bench.wide                 as part of `make bench`; writes build/bench-wide.json
    python -m tests.bench.wide --sheets 1000 --sizes 100000

    read     all fixtures read and judged in this process, a sheet
    pack     what goes to a worker: bytes a sheet
    stage    what was read becomes objects of a lake, in packs of 64 invented sheets of 56 figures (eight sizes)
    settle   one commit of all of them: what it says of garments, sizes and sheets that differ
    again    one sheet more in that lake, and its commit; open: the lake opened for a question
    compact  small objects joined; bytes a sheet and a figure afterwards
    match    the 100 best for one body with their plans, over a lake of invented sizes, beside the same in a catalogue

Seconds of the processor, peak memory of the process so far in MB.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import resource
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from tests.bench.many_sizes import make_sizes
from tests.wide.ground import differences, sheet

from halfinch import knowledge
from halfinch.catalogue import store
from halfinch.catalogue.lake import commits, compacting, shape
from halfinch.catalogue.lake.commits import Commit
from halfinch.catalogue.lake.objects import Objects, open_objects
from halfinch.catalogue.lake.opening import open_lake
from halfinch.catalogue.lake.settling import settle
from halfinch.catalogue.lake.staging import Batch, batch_name, stage
from halfinch.catalogue.lake.workspace import put_query
from halfinch.catalogue.landing import Arrival
from halfinch.catalogue.size_rows import KINDS
from halfinch.figure import SheetResult
from halfinch.fit import find_matches, load_body, open_sizes
from halfinch.work.importing import Options, import_paths, make_stamp
from halfinch.work.lake_import import import_to_lake
from halfinch.work.packs import FILES
from halfinch.work.reading import read_sheet

ROOT = Path(__file__).resolve().parents[2]
FIXTURES = ROOT / "fixtures"
BODY = FIXTURES / "demo" / "bodies" / "ottilie.toml"
SHEETS = (1_000, 5_000, 20_000)
SIZES = (100_000, 1_000_000, 10_000_000)
MERCHANTS = 500
HERE = Options(jobs=0)


def spent(work: Callable[[], Any]) -> tuple[float, Any]:
    began = time.process_time()
    result = work()
    return time.process_time() - began, result


def peak() -> int:
    return round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)


def of_fixtures(lake: Path, _: int) -> dict[str, Any]:
    """All fixtures in a catalogue and in a lake."""
    catalogue = lake.with_name("shop.duckdb")
    spent_catalogue, report = spent(lambda: import_paths(catalogue, [FIXTURES], HERE))
    spent_lake, _ = spent(lambda: import_to_lake(lake, [FIXTURES], HERE))
    sheets = len(report.lines)
    told = differences(catalogue, lake)
    known = knowledge.load()
    files = [path for path in FIXTURES.rglob("*.*") if path.suffix in (".csv", ".html", ".pdf", ".xlsx", ".tsv")]
    files = [path for path in files if not path.name.endswith(".expected.csv")]
    reading, _ = spent(lambda: [read_sheet(path.read_bytes(), path.name, known) for path in files])
    return {
        "sheets": sheets,
        "differing tables": sorted(told),
        "catalogue s/sheet": spent_catalogue / sheets,
        "lake s/sheet": spent_lake / sheets,
        "read s/sheet": reading / len(files),
        "bytes/sheet": sum(path.stat().st_size for path in files) / len(files),
    }


def invented(count: int, first: int = 0) -> Iterator[Arrival]:
    """Sheets of eight sizes and seven points, read once and then called differently."""
    text = sheet("Style", sizes=8) + "Thigh (in)," + ",".join(str(22 + n) for n in range(8)) + "\n"
    text += "Knee (in)," + ",".join("17" for _ in range(8)) + "\nLeg opening (in)," + ",".join("18" for _ in range(8))
    text += "\nFront rise (in)," + ",".join("11" for _ in range(8)) + "\n"
    (plain,) = read_sheet(text.encode(), "style.csv", knowledge.load())
    for number in range(first, first + count):
        merchant, name = f"merchant {number % MERCHANTS}", f"style{number}.csv"
        digest = hashlib.sha256(str(number).encode()).hexdigest()
        result: SheetResult = replace(
            plain,
            sheet=name,
            sheet_id=digest,
            garments=tuple(replace(one, style=f"Style {number}") for one in plain.garments),
        )
        yield Arrival(f"{merchant}/{name}", name, digest, merchant, (result,))


def staged(objects: Objects, count: int, first: int = 0) -> list[Batch]:
    stamp = make_stamp(None, None)
    by_bucket: dict[int, list[Arrival]] = {}
    batches = []

    def write(bucket: int) -> None:
        arrivals = by_bucket.pop(bucket)
        name = batch_name([(one.source, one.name, one.file_id, one.merchant) for one in arrivals], stamp)
        batches.append(stage(objects, name, bucket, arrivals, stamp))

    for arrival in invented(count, first):
        bucket = shape.bucket_of(arrival.source)
        by_bucket.setdefault(bucket, []).append(arrival)
        if len(by_bucket[bucket]) == FILES:
            write(bucket)
    for bucket in list(by_bucket):
        write(bucket)
    return batches


def of_sheets(folder: Path, count: int) -> dict[str, Any]:
    objects = open_objects(folder)
    commits.found(objects)
    stage_s, batches = spent(lambda: staged(objects, count))
    figures = sum(batch.objects["figures"].rows for batch in batches)

    def commit(batches: list[Batch]) -> Commit:
        return commits.commit_next(objects, lambda base: settle(objects, base, batches, [], store.now()))

    settle_s, made = spent(lambda: commit(batches))
    sizes = sum(one.rows for one in made.of("size_rows"))
    more = staged(objects, 1, count)
    again_s, _ = spent(lambda: commit(more))
    open_s, _ = spent(lambda: open_lake(folder).close())
    compact_s, done = spent(lambda: compacting.compact(objects, 0))
    return {
        "sheets": count, "figures": figures, "sizes": sizes,
        "stage ms/sheet": 1000 * stage_s / count, "settle ms/sheet": 1000 * settle_s / count,
        "settle us/figure": 1e6 * settle_s / figures, "again s": again_s, "open s": open_s,
        "compact ms/sheet": 1000 * compact_s / count, "objects": done.objects_before, "joined": done.objects,
        "bytes/sheet": done.bytes / count, "bytes/figure": done.bytes / figures, "peak MB": peak(),
    }  # fmt: skip


def lake_of_sizes(folder: Path, catalogue: Path) -> None:
    objects = open_objects(folder)
    commits.found(objects)
    with store.reading(catalogue) as connection:
        rows = "SELECT *, row_number() OVER () AS rowid, 1 AS generation FROM size_rows"
        table = shape.TABLES["size_rows"]
        sizes = put_query(connection, objects, "data/size_rows/1.parquet", table, rows)
        kinds = put_query(connection, objects, "data/kinds/1.parquet", KINDS, "FROM kinds")
    commits.put(objects, Commit(1, {"size_rows": sizes, "kinds": kinds}))


def of_sizes(folder: Path, count: int) -> dict[str, Any]:
    catalogue, known = ROOT / "build" / f"bench-sizes-{count}.duckdb", knowledge.load()
    if not catalogue.exists():
        catalogue.parent.mkdir(exist_ok=True)
        make_sizes(catalogue, count)
    lake_of_sizes(folder, catalogue)
    body = load_body(BODY, known)

    def match(path: Path) -> None:
        with open_sizes(path, known) as sizes:
            assert len(find_matches(sizes, body, known, top=100).plans) == 100

    match(folder)  # modules are loaded
    here, there = spent(lambda: match(catalogue))[0], spent(lambda: match(folder))[0]
    size = sum(path.stat().st_size for path in folder.rglob("*.parquet"))
    return {
        "sizes": count, "match catalogue s": here, "match lake s": there, "us/size": 1e6 * there / count,
        "bytes/size": size / count, "bytes/size catalogue": catalogue.stat().st_size / count, "peak MB": peak(),
    }  # fmt: skip


def show(title: str, rows: list[dict[str, Any]]) -> None:
    print(f"\n{title}")
    for name in rows[0]:
        values = [row[name] for row in rows]
        shown = (f"{value:>14,.4g}" if isinstance(value, float) else f"{value!s:>14}" for value in values)
        print(f"  {name:24}" + "".join(shown), flush=True)


def each(work: Callable[..., dict[str, Any]], counts: list[int]) -> list[dict[str, Any]]:
    """Every count in a folder of its own."""
    told = []
    for count in counts:
        with tempfile.TemporaryDirectory(prefix="halfinch-bench-") as folder:
            told.append(work(Path(folder) / "lake", count))
    return told


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--sheets", type=int, nargs="*", default=list(SHEETS))
    parser.add_argument("--sizes", type=int, nargs="*", default=list(SIZES))
    asked = parser.parse_args()
    told: dict[str, Any] = {}
    for name, work, counts in (
        ("fixtures", of_fixtures, [0]), ("sheets", of_sheets, asked.sheets), ("sizes", of_sizes, asked.sizes),
    ):  # fmt: skip
        told[name] = each(work, counts)
        if told[name]:
            show(name, told[name])
    target = ROOT / "build" / "bench-wide.json"
    target.parent.mkdir(exist_ok=True)
    target.write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
