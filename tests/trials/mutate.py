"""Every fixture with bytes flipped, cut and spliced: `python -m tests.trials.mutate --files 20000` (`make mutate`).

None may crash or hang, and no clean figure may come of it that the mutated file does not print. A flipped digit of a
text is another figure, honestly read: it is counted as *printed*. One whose print stands in the fixture, under another
point or size than there, is counted as *moved*: a cut may honestly move it (a column lost with its head). What is in
neither is *invented*, a fault.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from halfinch.figure import SheetResult
from halfinch.work.files import find_files
from halfinch.work.pool import Setting, Task, read_all

ROOT = Path(__file__).resolve().parents[2]
LIMIT = 60.0
Key = tuple[str, str, int]


def mutated(data: bytes, other: bytes, rng: random.Random) -> tuple[str, bytes]:
    """One way to damage a file, and what is left."""
    kind = rng.choice(
        ("flip", "flip", "flip-many", "digit", "cut-end", "cut-out", "cut-begin", "double", "splice", "zeros")
    )
    content = bytearray(data)
    at = rng.randrange(len(content))
    length = min(len(content) - at, rng.choice((1, 2, 7, 64, 512, 4_096)))
    if kind == "flip":
        content[at] ^= 1 << rng.randrange(8)
    elif kind == "flip-many":
        for _ in range(rng.randint(2, 40)):
            content[rng.randrange(len(content))] = rng.randrange(256)
    elif kind == "digit":
        places = [place for place, byte in enumerate(content[:200_000]) if 48 <= byte <= 57]
        if places:
            content[rng.choice(places)] = rng.choice(b"0123456789,./ -")
    elif kind == "cut-end":
        del content[at:]
    elif kind == "cut-out":
        del content[at : at + length]
    elif kind == "cut-begin":
        del content[:length]
    elif kind == "double":
        content[at:at] = content[at : at + length]
    elif kind == "splice":
        start = rng.randrange(len(other))
        content[at : at + length] = other[start : start + length]
    else:
        content[at : at + length] = bytes(length)
    return kind, bytes(content)


@dataclass(slots=True)
class Counts:
    """What came of the mutated files."""

    outcomes: Counter[str] = field(default_factory=Counter)
    figures: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)


def clean(results: list[SheetResult]) -> dict[Key, str]:
    """Point, size and length of the clean figures, with their print."""
    return {
        (figure.point, figure.size, figure.length_nm): figure.raw
        for result in results
        for figure in result.figures
        if figure.status in ("accepted", "assumed")
    }


def printed_in(data: bytes, name: str) -> str:
    """All that a file prints, told by its reader alone."""
    from halfinch.errors import SheetError
    from halfinch.readers import read_bytes

    said: list[str] = []
    for _, sheet in read_bytes(data, name):
        if not isinstance(sheet, SheetError):
            said += [text.text for text in sheet.texts] + [cell.text for grid in sheet.grids for cell in grid.cells]
    return "".join("\n".join(said).split())


def judge(task: Task, kind: str, results: list[SheetResult], whole: dict[Key, str], counts: Counts) -> None:
    """Enters one mutated file."""
    for result in results:
        counts.outcomes[result.outcome] += 1
        if result.log or "was stopped" in result.message or "process that read" in result.message:
            counts.faults.append(f"{task.name} ({kind}): {result.message} {result.log.strip()[-300:]}")
    prints, text = set(whole.values()), ""
    for key, raw in clean(results).items():
        if key in whole:
            counts.figures["the fixture's"] += 1
        elif raw in prints:
            counts.figures["moved"] += 1
        else:
            text = text or printed_in(task.data, task.name)
            told = all(word in text for word in raw.split() if word != "/")
            counts.figures["printed" if told else "invented"] += 1
            if not told:
                counts.faults.append(f"{task.name} ({kind}): {key} is printed nowhere ({raw!r})")


def run(files: int, seed: int, jobs: int, limit: float = LIMIT, most: int = 400_000) -> Counts:
    """Mutates fixtures in turn until there are so many files; fixtures of more than `most` bytes are left out."""
    rng = random.Random(seed)
    found = [one for one in find_files([ROOT / "fixtures"], ROOT / "none.duckdb") if not one.trouble]
    sheets = [(one.name, one.path.read_bytes()) for one in found]
    sheets = [(name, data) for name, data in sheets if 0 < len(data) <= most]
    rng.shuffle(sheets)
    counts, kinds, wholes = Counts(), dict[int, str](), dict[str, dict[Key, str]]()
    chosen = [sheets[number % len(sheets)] for number in range(files)]

    def originals() -> Iterator[Task]:
        yield from (Task(data, name) for name, data in dict(chosen).items())

    def tasks() -> Iterator[Task]:
        for number, (name, data) in enumerate(chosen):
            kinds[number], content = mutated(data, rng.choice(sheets)[1], rng)
            yield Task(content, name, number=number)

    for task, results in read_all(originals(), Setting(), jobs=jobs, limit=limit):
        wholes[task.name] = clean(results)
    for task, results in read_all(tasks(), Setting(), jobs=jobs, limit=limit):
        judge(task, kinds.pop(task.number), results, wholes[task.name], counts)
    return counts


def main() -> int:
    """Prints the counts and every fault; 1 where there is one."""
    parser = argparse.ArgumentParser(prog="python -m tests.trials.mutate", description=__doc__)
    parser.add_argument("--files", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=random.randrange(10**9))
    parser.add_argument("--jobs", type=int, default=2)
    options = parser.parse_args()
    counts = run(options.files, options.seed, options.jobs)
    sys.stdout.write(f"{options.files} mutated files, seed {options.seed}: {dict(counts.outcomes)}\n")
    sys.stdout.write(f"clean figures: {dict(counts.figures)}\n{len(counts.faults)} faults\n")
    sys.stdout.writelines(f"  {fault}\n" for fault in counts.faults)
    return 1 if counts.faults else 0


if __name__ == "__main__":
    sys.exit(main())
