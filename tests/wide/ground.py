"""Sheets to import, and the tables of a catalogue or lake to compare."""

from __future__ import annotations

import threading
from collections import Counter
from pathlib import Path

from halfinch.catalogue import store, tables
from halfinch.catalogue.lake.objects import Objects
from halfinch.catalogue.merging import MADE_ANEW

MOMENTS = {"imported_at", "read_at", "seen_from", "seen_to"}
"""Of the clock, not of the sheets."""
NUMBERS = {"rowid", "kind"}
"""Differ with the order of arrival."""
VIEWS = ("sizes", "clean_figures", *(f"current_{name}" for name in store.CURRENT))


def sheet(style: str, inseam: int = 30, sizes: int = 4) -> str:
    """A readable CSV of one garment."""
    labels = [28 + number for number in range(sizes)]
    rows = [
        f"Style,{style}",
        "Size," + ",".join(str(label) for label in labels),
        "Waist (in)," + ",".join(str(label + 1) for label in labels),
        "Hip (in)," + ",".join(str(label + 10) for label in labels),
        "Inseam (in)," + ",".join(str(inseam) for _ in labels),
    ]
    return "\n".join(rows) + "\n"


def lay(folder: Path, count: int, merchants: int = 3) -> Path:
    """A folder of so many sheets."""
    for number in range(count):
        place = folder / f"merchant {chr(97 + number % merchants)}"
        place.mkdir(parents=True, exist_ok=True)
        (place / f"style{number}.csv").write_text(sheet(f"Style {number}", 28 + number % 5), encoding="utf-8")
    return folder


def tell(path: Path) -> dict[str, Counter[tuple[object, ...]]]:
    """Every table and view of a catalogue or a lake: its rows, without moments and numbers of arrival."""
    told = {}
    with store.reading(path) as connection:
        for name in [table.name for table in tables.TABLES[1:] + tables.HOUSEKEEPING] + [*VIEWS, "size_rows"]:
            relation = connection.sql(f"SELECT * FROM {name} LIMIT 0")
            columns = [f'"{column}"' for column in relation.columns if column not in MOMENTS | NUMBERS]
            rows = f"SELECT {', '.join(columns)} FROM {name}"
            if name == "findings":  # of readings that are not in force any more, what sheets told of one another stays
                rows += f" WHERE rule NOT IN {MADE_ANEW}"
            told[name] = Counter(connection.execute(rows).fetchall())
    return told


def differences(one: Path, other: Path) -> dict[str, tuple[list[object], list[object]]]:
    """By table the rows that only one of both has; nothing where they say the same."""
    here, there = tell(one), tell(other)
    return {
        name: (list((here[name] - there[name]).elements())[:3], list((there[name] - here[name]).elements())[:3])
        for name in here
        if here[name] != there[name]
    }


def one_is_the_first(objects: Objects, *, writers: int) -> None:
    """Of so many who write one name at the same moment one succeeds, and what stands there is that one's."""
    won: list[int] = []

    def write(number: int) -> None:
        if objects.put_new("commits/1.json", str(number).encode()):
            won.append(number)

    threads = [threading.Thread(target=write, args=(number,)) for number in range(writers)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert objects.read("commits/1.json") == str(won[0]).encode()
    assert len(won) == 1
