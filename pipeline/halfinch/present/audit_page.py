"""Audits as pages to browse: no script, nothing loaded from anywhere, readable in print.

A page an audit, an index of all audits kept in the folder, and what the rules say.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jinja2 import Environment

Record = dict[str, Any]


def render_audit(audit: Record, *, linked: bool = False) -> str:
    """The page of `Audit.to_json()`: what is broken with the rows that broke it, then every rule by area.

    `linked`: with the way back to the index beside it.
    """
    failed = sorted((check for check in audit["checks"] if not check["passed"]), key=lambda check: check["severity"])
    return _pages().get_template("audit.html").render(
        audit=audit, failed=failed, areas=_by_area(audit["checks"]), linked=linked, **_counts(audit)
    )  # fmt: skip


def render_index(past: Sequence[tuple[str, Record]]) -> str:
    """The index of a folder of audits, the latest first: name of each and its record, given oldest first."""
    lines: list[Record] = []
    before: set[str] = set()
    for name, record in past:
        failed = {check["rule"] for check in record["checks"] if not check["passed"]}
        line = {"name": name, "audit": record, **_counts(record)}
        if lines:
            line |= {"broken": sorted(failed - before), "mended": sorted(before - failed)}
        lines.append(line)
        before = failed
    return _pages().get_template("audit_index.html").render(lines=lines[::-1])


def render_rules(audit: Record) -> str:
    """What every rule says, which expectation asks it, and how much a breach matters."""
    return _pages().get_template("audit_rules.html").render(areas=_by_area(audit["checks"]), audit=audit)


def _counts(audit: Record) -> dict[str, int]:
    failed = [check["severity"] for check in audit["checks"] if not check["passed"]]
    return {"broken_count": failed.count("critical"), "doubtful_count": len(failed) - failed.count("critical")}


def _by_area(checks: Sequence[Record]) -> dict[str, list[Record]]:
    areas: dict[str, list[Record]] = {}
    for check in checks:
        areas.setdefault(check["area"], []).append(check)
    return areas


def _pages() -> Environment:
    from jinja2 import Environment, PackageLoader

    return Environment(loader=PackageLoader("halfinch.present"), autoescape=True, trim_blocks=True, lstrip_blocks=True)
