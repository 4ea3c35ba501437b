"""What a check found, as lines for a person, as JSON for a script, as JUnit XML for a build server."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from xml.etree import ElementTree

from halfinch.check.folder import SheetCheck


def to_lines(checks: Sequence[SheetCheck], limit: int = 0, *, quiet: bool = False) -> Iterator[str]:
    """One line a difference under one line a fixture; `limit` > 0 cuts a long list, and says by how much."""
    for check in checks:
        if quiet and not check.differences:
            continue
        yield _sum_up(check)
        yield from (f"    {message}" for message in check.messages)
        shown = check.differences[:limit] if limit else check.differences
        for difference in shown:
            yield f"    {difference.kind}: {difference.message}"
        if len(shown) < len(check.differences):
            yield f"    and {len(check.differences) - len(shown)} more"
    yield _sum_up_all(checks)


def _sum_up(check: SheetCheck) -> str:
    want, got = check.expected, check.counts
    state = "differs" if check.differences else "ok"
    expected = f"{want['value']} expected" + (f", {want['hold']} to be held" if want["hold"] else "")
    counts = ", ".join(f"{number} {status}" for status, number in got.items() if number) or "no figure"
    return f"{state:8}{check.name}: {expected}; read {counts}"


def _sum_up_all(checks: Sequence[SheetCheck]) -> str:
    kinds = Counter(difference.kind for check in checks for difference in check.differences)
    figures = sum(check.expected["value"] for check in checks)
    apart = sum(bool(check.differences) for check in checks)
    tail = ", ".join(f"{number} {kind}" for kind, number in kinds.most_common())
    head = f"{len(checks)} fixtures, {figures} expected figures"
    return f"{head}: {apart} fixtures differ ({tail})" if apart else f"{head}: all as expected"


def to_json(checks: Sequence[SheetCheck]) -> str:
    """A list with one object a fixture: name, expected, counts, seconds, messages, differences."""
    return json.dumps([asdict(check) for check in checks], indent=2, ensure_ascii=False)


def to_junit(checks: Sequence[SheetCheck]) -> bytes:
    """One test case a fixture, its differences as the text of one failure."""
    seconds = f"{sum(check.seconds for check in checks):.3f}"
    failures = str(sum(bool(check.differences) for check in checks))
    suite = ElementTree.Element(
        "testsuite", name="halfinch check", tests=str(len(checks)), failures=failures, errors="0", time=seconds
    )
    for check in checks:
        folder, _, name = check.name.rpartition("/")
        classname = "fixtures." + folder.replace("/", ".") if folder else "fixtures"
        case = ElementTree.SubElement(suite, "testcase", classname=classname, name=name, time=f"{check.seconds:.3f}")
        if check.differences:
            count = len(check.differences)
            failure = ElementTree.SubElement(case, "failure", message=f"{count} difference{'s' * (count > 1)}")
            failure.text = "\n".join(_clean(f"{d.kind}: {d.message}") for d in check.differences)
    root = ElementTree.Element("testsuites")
    root.append(suite)
    ElementTree.indent(root)
    data: bytes = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return data


def _clean(text: str) -> str:
    """XML 1.0 allows no control characters, and a printed cell may hold some."""
    return "".join(c if c in "\t\n" or c.isprintable() else "?" for c in text)
