"""Reads every trick in full size, in workers with the usual limits: `python -m tests.trials.hostile [WORD ...]`."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator, Sequence

from halfinch.work.pool import Setting, Task, read_all

from . import archives, books, documents, pages, plain  # noqa: F401 - each enters its tricks
from .corpus import TRICKS, faults, told_of

LIMIT = 60.0
"""Seconds; what is stopped by it counts as a fault."""


def main(words: Sequence[str]) -> int:
    """Prints a line a trick; 1 where something is wrong with one."""
    chosen = [one for one in TRICKS.values() if not words or any(word in one.name for word in words)]
    began: dict[str, float] = {}

    def tasks() -> Iterator[Task]:
        for one in chosen:
            data = one.make(one.full)
            began[one.name] = time.monotonic()
            yield Task(data, one.name)

    wrong = 0
    for task, results in read_all(tasks(), Setting(), jobs=1, limit=LIMIT):
        found = faults(TRICKS[task.name], told_of(results))
        wrong += bool(found)
        seconds = time.monotonic() - began[task.name]
        said = "; ".join(dict.fromkeys(f"{one.outcome} {one.message}".strip() for one in results[:3]))[:150]
        head = f"{'WRONG' if found else 'ok':6}{seconds:6.1f} s {len(task.data) / 1e6:6.1f} MB"
        sys.stdout.write(f"{head}  {task.name}: {said}\n")
        sys.stdout.writelines(f"        {fault[:200]}\n" for fault in found)
        sys.stdout.flush()
    sys.stdout.write(f"{len(chosen)} hostile files, {wrong} with something wrong\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
