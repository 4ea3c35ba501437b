"""Past audits: a folder with a JSON file each, beside the catalogue unless another is named.

The catalogue itself is not written to: whoever damages it does not reach what was found in it before.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from halfinch.catalogue.audit.run import Audit
from halfinch.catalogue.files import make_folder, write_whole
from halfinch.catalogue.lake.objects import beside

Record = dict[str, Any]
NEEDED = frozenset({"at", "catalogue", "figures", "sizes", "passed", "checks"})


@dataclass(frozen=True, slots=True)
class Change:
    """What differs from the audit before: names of rules."""

    since: str
    broken: tuple[str, ...]
    """Newly broken, warnings too."""
    mended: tuple[str, ...]


def folder_beside(catalogue: Path) -> Path:
    """Where the audits of a catalogue are kept unless another folder is named."""
    return beside(catalogue, f"{catalogue.stem}.audits")


def keep(folder: Path, audit: Audit) -> Path:
    """Adds an audit to the folder and gives its file. Raises CatalogueError where it cannot be written."""
    make_folder(folder)
    stamp = audit.at.partition("+")[0].replace(":", "-")
    file = folder / f"audit-{stamp}.json"
    again = 1
    while file.exists():
        again += 1
        file = folder / f"audit-{stamp}-{again}.json"
    write_whole(file, json.dumps(audit.to_json(), indent=1, ensure_ascii=False) + "\n")
    return file


def read_past(folder: Path) -> list[tuple[str, Record]]:
    """Name (without ending) and record of every audit in the folder, the oldest first; other files are passed over."""
    found = []
    for file in sorted(folder.glob("audit-*.json")):
        try:
            record = json.loads(file.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            continue
        if isinstance(record, dict) and record.keys() >= NEEDED:
            found.append((file.stem, record))
    return sorted(found, key=lambda one: (one[1]["at"], len(one[0]), one[0]))


def failed_rules(record: Record) -> dict[str, str]:
    """Rule to severity, for the rules that did not pass."""
    return {check["rule"]: check.get("severity", "critical") for check in record["checks"] if not check["passed"]}


def compare(before: Record | None, now: Record) -> Change | None:
    """What changed between two audits; None where there is none before."""
    if before is None:
        return None
    old, new = failed_rules(before), failed_rules(now)
    return Change(
        before["at"], tuple(rule for rule in new if rule not in old), tuple(rule for rule in old if rule not in new)
    )
