"""Prints cell adjacency (F1, averaged by document) of every reader that is here, over fresh invented reports."""

from __future__ import annotations

import argparse
import random
import sys
from pathlib import Path
from statistics import mean

from tests.tables.writers import RULINGS, Document, make_document
from tests.tables.yardsticks import readers, score

GENERAL = ("camelot", "pymupdf", "img2table")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.tables", description=__doc__)
    parser.add_argument("--documents", type=int, default=150)
    parser.add_argument("--start", type=int, help="first seed; drawn where it is not given")
    parser.add_argument("--worst", type=int, default=0, help="list the documents that halfinch reads worst")
    parser.add_argument("--save", type=Path, help="folder for the documents that are listed")
    parser.add_argument("--only-ours", action="store_true")
    asked = parser.parse_args()
    start = random.SystemRandom().randrange(1_000_000, 1_000_000_000) if asked.start is None else asked.start
    documents = [make_document(start + i) for i in range(asked.documents)]
    found = {name: read for name, read in readers().items() if name == "halfinch" or not asked.only_ours}
    scores = {name: [score(read, one.data, one.truth) for one in documents] for name, read in found.items()}
    print(f"{len(documents)} documents from seed {start}; cell adjacency, F1 averaged by document")
    print_table(documents, scores)
    missing = [name for name in GENERAL if not any(one.startswith(name) for one in found)]
    if missing and not asked.only_ours:
        print(f"not installed, so not measured: {', '.join(missing)}")
    worst = sorted(zip(scores["halfinch"], documents, strict=True), key=lambda pair: pair[0])[: asked.worst]
    for value, one in worst:
        print(f"  {value:.3f}  {one.name}")
        if asked.save:
            asked.save.mkdir(parents=True, exist_ok=True)
            (asked.save / f"{one.name.replace('/', '-')}.pdf").write_bytes(one.data)
    best = max(mean(values) for name, values in scores.items() if name != "halfinch") if len(scores) > 1 else 0.0
    sys.exit(0 if mean(scores["halfinch"]) > best else 1)


def print_table(documents: list[Document], scores: dict[str, list[float]]) -> None:
    print(f"{'':<20}{'all':>8}" + "".join(f"{ruling:>12}" for ruling in RULINGS))
    for name, values in sorted(scores.items(), key=lambda pair: -mean(pair[1])):
        parts = [
            [value for value, one in zip(values, documents, strict=True) if one.ruling == ruling] for ruling in RULINGS
        ]
        cells = "".join(f"{mean(part):>12.3f}" if part else f"{'-':>12}" for part in parts)
        print(f"{name:<20}{mean(values):>8.3f}{cells}")


if __name__ == "__main__":
    main()
