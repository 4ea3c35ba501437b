"""What a check found: lines for a person, JSON for a script, JUnit XML, annotations and a summary for build servers."""

from __future__ import annotations

import html
import json
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from xml.etree import ElementTree

from halfinch.check.folder import SheetCheck


def to_lines(checks: Sequence[SheetCheck], limit: int = 0, *, quiet: bool = False) -> Iterator[str]:
    """One line a difference under one line a fixture; `limit` > 0 cuts a long list, and says by how much."""
    for check in checks:
        if quiet and check.passed:
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
    state = state_of(check)
    expected = f"{want['value']} expected" + (f", {want['hold']} to be held" if want["hold"] else "")
    counts = ", ".join(f"{number} {status}" for status, number in got.items() if number) or "no figure"
    unsigned = f"; {check.unconfirmed} rows confirmed by nobody" if check.unconfirmed else ""
    return f"{state:9}{check.name}: {expected}; read {counts}{unsigned}"


def state_of(check: SheetCheck) -> str:
    """ok | differs | unsigned, in one word."""
    return "ok" if check.passed else "differs" if check.differences else "unsigned"


def _sum_up_all(checks: Sequence[SheetCheck]) -> str:
    kinds = Counter(difference.kind for check in checks for difference in check.differences)
    figures = sum(check.expected["value"] for check in checks)
    apart = sum(bool(check.differences) for check in checks)
    tail = ", ".join(f"{number} {kind}" for kind, number in kinds.most_common())
    head = f"{len(checks)} fixtures, {figures} expected figures"
    unsigned = sum(state_of(check) == "unsigned" for check in checks)
    waiting = f"{unsigned} not signed by anybody" if unsigned else ""
    differing = f"{apart} fixtures differ ({tail})" if apart else ""
    return f"{head}: {'; '.join(filter(None, (differing, waiting))) or 'all as expected'}"


def to_json(checks: Sequence[SheetCheck]) -> str:
    """A list with one object a fixture: name, expected, counts, seconds, messages, differences."""
    return json.dumps([asdict(check) for check in checks], indent=2, ensure_ascii=False)


def to_junit(checks: Sequence[SheetCheck]) -> bytes:
    """One test case a fixture, its differences as the text of one failure."""
    seconds = f"{sum(check.seconds for check in checks):.3f}"
    states = Counter(state_of(check) for check in checks)
    suite = ElementTree.Element(
        "testsuite", name="halfinch check", tests=str(len(checks)), failures=str(states["differs"]), errors="0",
        skipped=str(states["unsigned"]), time=seconds,
    )  # fmt: skip
    for check in checks:
        folder, _, name = check.name.rpartition("/")
        classname = "fixtures." + folder.replace("/", ".") if folder else "fixtures"
        case = ElementTree.SubElement(suite, "testcase", classname=classname, name=name, time=f"{check.seconds:.3f}")
        if check.differences:
            count = len(check.differences)
            failure = ElementTree.SubElement(case, "failure", message=f"{count} difference{'s' * (count > 1)}")
            failure.text = "\n".join(_clean(f"{d.kind}: {d.message}") for d in check.differences)
        elif check.unconfirmed:
            ElementTree.SubElement(case, "skipped", message=f"{check.unconfirmed} rows are confirmed by nobody")
    root = ElementTree.Element("testsuites")
    root.append(suite)
    ElementTree.indent(root)
    data: bytes = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return data


def _clean(text: str) -> str:
    """XML 1.0 allows no control characters, and a printed cell may hold some."""
    return "".join(c if c in "\t\n" or c.isprintable() else "?" for c in text)


MOST_TOLD = 10
"""Differences that one annotation or one part of a summary lists; a build server cuts long ones."""


def to_github(checks: Sequence[SheetCheck]) -> Iterator[str]:
    """Workflow commands that a GitHub runner shows beside the changed lines: one a fixture that does not pass."""
    for check in checks:
        if check.passed:
            continue
        line = next((d.line for d in check.differences if d.line), 1)
        kind = "error" if check.differences else "warning"
        where = f"file={_escaped(check.file, ':,')},line={line},title={_escaped(check.name, ':,')}"
        yield f"::{kind} {where}::{_escaped(chr(10).join(_told(check)))}"
    yield _sum_up_all(checks)


def to_markdown(checks: Sequence[SheetCheck]) -> str:
    """A summary for a pull request: how many passed, and of the others what differs."""
    lines = [f"### {_sum_up_all(checks)}", ""]
    rest = [check for check in checks if not check.passed]
    if rest:
        lines += ["| fixture | state | expected | differences |", "| --- | --- | --- | --- |"]
        lines += [
            f"| {_in_markdown(c.name)} | {state_of(c)} | {c.expected['value']} | {len(c.differences)} |" for c in rest
        ]
    for check in rest:
        told = "\n".join(f"- {_in_markdown(text)}" for text in _told(check))
        lines += ["", f"<details><summary>{_in_markdown(check.name)}</summary>", "", told, "", "</details>"]
    return "\n".join(lines) + "\n"


def _told(check: SheetCheck) -> list[str]:
    told = [*check.messages, *(f"{d.kind}: {d.message}" for d in check.differences[:MOST_TOLD])]
    if len(check.differences) > MOST_TOLD:
        told.append(f"and {len(check.differences) - MOST_TOLD} more")
    if check.unconfirmed:
        told.append(f"{check.unconfirmed} rows are confirmed by nobody: halfinch fixture sign {check.file} --by NAME")
    return told


def _escaped(text: str, more: str = "") -> str:
    """A text inside a workflow command: printed cells must not end it or begin another."""
    return "".join(f"%{ord(c):02X}" if c in "%\r\n" + more else c for c in text)


def _in_markdown(text: str) -> str:
    """A text in one cell or line of Markdown, markup in it shown as it is."""
    shown = " ".join(_clean(text).split())
    return html.escape(re.sub(r"([\\`*_\[\]|~#])", r"\\\1", shown), quote=False)
