"""`python -m tests.supply code | licences | pinned | known` (`make audit-deps`, `make wheel`)."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tomllib
from collections import Counter
from importlib import metadata
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LOOKED_AT = Path(__file__).with_name("looked_at.toml")
COPYLEFT = re.compile(r"\bA?GPL|Affero|General Public License(?! v?2?.*[Cc]lasspath)")
LESSER = re.compile(r"LGPL|Lesser|Library General")


def closure(extras: tuple[str, ...] = ("audit",)) -> dict[str, metadata.Distribution]:
    """halfinch's dependencies with their own, as installed here, by name; those of `extras` too."""
    from packaging.requirements import Requirement

    found: dict[str, metadata.Distribution] = {}
    waiting: list[tuple[str, frozenset[str]]] = [("halfinch", frozenset(extras))]
    seen = set(waiting)
    while waiting:
        name, wanted = waiting.pop()
        try:
            one = metadata.distribution(name)
        except metadata.PackageNotFoundError:  # for another system
            continue
        found[re.sub(r"[-_.]+", "-", one.metadata["Name"]).lower()] = one
        for line in one.requires or ():
            asked = Requirement(line)
            if asked.marker is None or any(asked.marker.evaluate({"extra": extra}) for extra in (*wanted, "")):
                more = (asked.name, frozenset(asked.extras))
                if more not in seen:
                    seen.add(more)
                    waiting.append(more)
    del found["halfinch"]
    return dict(sorted(found.items()))


def licence_of(one: metadata.Distribution) -> str:
    """As the package says: an SPDX expression, else its classifiers, else the head of its text."""
    told = one.metadata
    if told.get("License-Expression"):
        return str(told["License-Expression"])
    classified = [
        line.rsplit(" :: ", 1)[-1] for line in told.get_all("Classifier") or () if line.startswith("License ::")
    ]
    free = (told.get("License") or "").strip().splitlines()
    return "; ".join(one for one in classified if one != "OSI Approved") or (free[0][:60] if free else "")


def licences() -> int:
    """Prints the list as Markdown; 1 where a licence is unknown or would bind those who pass halfinch on."""
    odd: list[str] = []
    sys.stdout.write("| package | version | licence |\n| --- | --- | --- |\n")
    for name, one in closure().items():
        licence = licence_of(one)
        sys.stdout.write(f"| {name} | {one.version} | {licence or 'not told'} |\n")
        if not licence or (COPYLEFT.search(licence) and not LESSER.search(licence)):
            odd.append(f"{name}: {licence or 'its licence is not told'}")
    sys.stderr.writelines(f"look at {line}\n" for line in odd)
    return 1 if odd else 0


def pinned() -> int:
    """Prints what an installation of halfinch brings, with its versions: what the SBOM is made of."""
    sys.stdout.writelines(f"{name}=={one.version}\n" for name, one in closure().items())
    return 0


def code() -> int:
    """bandit over our code, beside what somebody has looked at: 1 where it says more, or less, of a file."""
    command = [sys.executable, "-m", "bandit", "-q", "-r", "pipeline/halfinch", "-f", "json"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    found: Counter[tuple[str, str]] = Counter()
    lines: dict[tuple[str, str], list[int]] = {}
    for one in json.loads(done.stdout)["results"]:
        key = (one["test_id"], one["filename"].removeprefix("pipeline/halfinch/"))
        found[key] += 1
        lines.setdefault(key, []).append(one["line_number"])
    with LOOKED_AT.open("rb") as file:
        rows = tomllib.load(file)
    known = {(test, name): count for test, row in rows.items() for name, count in row["files"].items()}
    for key in sorted(found.keys() | known.keys()):
        if found[key] != known.get(key, 0):
            at = ", ".join(map(str, lines.get(key, ())))
            sys.stdout.write(f"{key[1]}: {key[0]} {found[key]} times, {known.get(key, 0)} looked at (lines {at})\n")
    same = dict(found) == known
    sys.stdout.write(f"{sum(found.values())} findings of bandit, {'all' if same else 'not all'} of them looked at\n")
    return 0 if same else 1


def known() -> int:
    """pip-audit over what an installation brings; 3 where the list of known faults cannot be reached."""
    asked = ROOT / "build" / "pinned.txt"
    asked.parent.mkdir(exist_ok=True)
    asked.write_text("".join(f"{name}=={one.version}\n" for name, one in closure().items()), encoding="utf-8")
    command = [
        sys.executable,
        "-m",
        "pip_audit",
        "--no-deps",
        "--disable-pip",
        "-r",
        str(asked),
        "--progress-spinner=off",
    ]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=600)
    if re.search(r"ConnectionError|ServiceError|Max retries|Failed to (?:connect|resolve)|HTTPError", done.stderr):
        sys.stdout.write("the list of known faults cannot be reached from here: nothing was compared\n")
        return 3
    sys.stdout.write(done.stdout + done.stderr)
    left = done.stdout.count("could not be audited")
    if left:
        sys.stdout.write(
            f"{left} packages could not be compared: the list of known faults is not to be had from here\n"
        )
    return done.returncode or (3 if left else 0)


TASKS = {"code": code, "licences": licences, "pinned": pinned, "known": known}

if __name__ == "__main__":
    if sys.argv[1:] and sys.argv[1] in TASKS:
        sys.exit(TASKS[sys.argv[1]]())
    sys.exit(f"one of {', '.join(TASKS)}")
