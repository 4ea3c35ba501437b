"""Why a sheet was read as it was, in words: what competed, what won by how much, what was held and left out.

In: a `SheetResult` and the `Account` of its interpretation. Out: lines for the terminal, or plain data for `--json`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any

from halfinch.figure import Figure, Finding, SheetResult
from halfinch.interpret.account import Account, Band, ConventionChoice, PassedOver, Sense, Settled, UnitChoice, Way

MOST_NUMBERS = 6
LONGEST = 72
SUBJECTS = {
    "garment": "the garment itself",
    "body": "the body a size is meant for",
    "unclear": "garment or body: not clear, so its figures are held",
    "doubted": "a garment, but little says that it is trousers, so its figures are held",
    "other": "none of ours, so its figures are left out",
}
SAID_BY = {
    "cell": "printed in the cell",
    "label": "said by the label",
    "heading": "said by a heading or note",
    "context": "said by the surroundings",
    "inferred": "not printed: taken from the figures",
    "": "not said",
}

Line = tuple[str, bool]
"""(text, whether it is a heading)."""


def why_lines(result: SheetResult, account: Account) -> Iterator[Line]:
    """The whole account: texts, then band by band, then what is held, then what was left out."""
    counts = {status: sum(figure.status == status for figure in result.figures) for status in ("accepted", "assumed")}
    held = sum(figure.status == "held" for figure in result.figures)
    yield f"{result.sheet}: {counts['accepted']} accepted, {counts['assumed']} assumed, {held} held", True
    yield from _told_lines(account)
    last = {band.block: number for number, band in enumerate(account.bands)}
    for number, band in enumerate(account.bands):
        yield from _band_lines(number + 1, band)
        if last[band.block] == number:
            yield from _choice_lines(band.block, account)  # decided for all bands of a table together
    blocks = set(last)
    yield from _prose_lines([one for one in account.settled if one.block not in blocks], account, blocks)
    yield from _finding_lines(result)
    yield from _passed_lines(account.passed_over)


def why_data(result: SheetResult, account: Account) -> dict[str, Any]:
    """The same as plain data; each band carries its `margin` (null where nothing competed)."""
    data = asdict(account)
    for made, band in zip(data["bands"], account.bands, strict=True):
        made["margin"] = band.margin
    for choice in data["conventions"]:
        for margin in choice["margins"]:
            margin["by"] = None if margin["by"] == float("inf") else margin["by"]
    findings = [
        {**asdict(finding), "figures": [_short(result.figures[index]) for index in finding.figures]}
        for finding in result.findings
    ]
    return {"sheet": result.sheet, "outcome": result.outcome, "message": result.message, **data, "findings": findings}


def _told_lines(account: Account) -> Iterator[Line]:
    saying = [told for told in account.told if told.says]
    silent = [told for told in account.told if not told.says]
    if saying:
        yield "What the texts around the tables say", True
    for told in saying:
        yield f"  {_quote(told.text)} ({told.place or 'no place'})", False
        yield f"      {'; '.join(told.says)}", False
    if silent:
        more = "one more text says" if len(silent) == 1 else f"{len(silent)} more texts say"
        yield f"  {more} nothing that counts", False


def _band_lines(number: int, band: Band) -> Iterator[Line]:
    yield f"Band {number}: {band.place or 'a table told in text'}", True
    if band.around:
        yield f"  around it: {'; '.join(band.around)}", False
    if not band.ways:
        yield "  no reading found a point of ours in it", False
        yield from _sense_lines(band.senses)
        return
    yield "  ways it could lie             score  figures  left over", False
    for place, way in enumerate(band.ways):
        yield from _way_lines(way, place == 0)
    yield f"  {_verdict(band)}", False
    yield from _subject_lines(band)
    yield from _sense_lines(band.senses)


def _way_lines(way: Way, won: bool) -> Iterator[Line]:
    mark = ">" if won else " "
    yield f"  {mark} {way.way:<24} {way.score:>8.1f} {way.figures:>8} {len(way.left_over):>10}", False
    taken_off = f", less {way.worth - way.score:.1f} for numbers it cannot place" if way.left_over else ""
    points = ", ".join(way.points) or "none"
    yield f"      {points}: worth {way.worth:.1f}{taken_off}", False
    if way.left_over:
        yield f"      not placed: {_some(way.left_over)}", False


def _verdict(band: Band) -> str:
    winner = band.ways[0].way
    if band.margin is None:
        return f"“{winner}” has no rival"
    rival = band.ways[1].way
    if band.margin >= band.asked:
        return f"“{winner}” wins: {band.margin:.1f} times the score of “{rival}” ({band.asked:g} times is asked)"
    return (
        f"“{winner}” scores only {band.margin:.2f} times “{rival}” ({band.asked:g} times is asked); "
        "held where the two say different things"
    )


def _subject_lines(band: Band) -> Iterator[Line]:
    if band.subject:
        yield f"  it is about {SUBJECTS[band.subject]}; {band.kept} of {band.ways[0].figures} figures stay", False
    for evidence in band.because:
        yield f"      {evidence}", False


def _sense_lines(senses: Sequence[Sense]) -> Iterator[Line]:
    """Labels and headings with what they were taken for; then what was not understood, where it has letters."""
    sizes = list(dict.fromkeys(one.text for one in senses if one.taken_as.startswith("size ")))
    named = [one for one in senses if one.taken_as and one.taken_as != "figure" and one.text not in sizes]
    strange = [one for one in senses if not one.taken_as and any(char.isalpha() for char in one.text)]
    if named or sizes:
        yield "  labels and headings, as understood", False
    for one in {(one.text, one.taken_as): one for one in named}.values():
        left = f"; not understood in it: {_quote(one.left_over)}" if one.left_over else ""
        kind = "read over: " if one.read_over else ""
        yield f"      {_quote(one.text)} = {kind}{one.taken_as}{left}", False
    if sizes:
        yield f"      sizes: {', '.join(_quote(size) for size in sizes)}", False
    if strange:
        yield f"  not understood: {_some([_quote(one.text) for one in strange])}", False


def _choice_lines(block: int, account: Account) -> Iterator[Line]:
    for unit in [one for one in account.units if one.block == block]:
        yield _unit_line(unit), False
    for choice in [one for one in account.conventions if block in one.blocks]:
        yield from _convention_lines(choice)
    settled = [one for one in account.settled if one.block == block]
    if settled:
        yield "  so the figures are", False
    for told in dict.fromkeys(_settled(one) for one in settled):
        points = dict.fromkeys(one.point for one in settled if _settled(one) == told)
        yield f"      {', '.join(points)}: {told}", False


def _unit_line(unit: UnitChoice) -> str:
    scores = ", ".join(f"{name} {score:.2f}" for name, score in unit.scores)
    if unit.said:
        return f"  unit: a heading says {unit.said}; how well the figures suit each (0 to 1): {scores}"
    return f"  unit: not printed for {unit.figures} figures; how well they suit each (0 to 1): {scores}"


def _convention_lines(choice: ConventionChoice) -> Iterator[Line]:
    yield "  flat or round, where it is not printed", False
    for margin in choice.margins:
        by = "nothing speaks for the other" if margin.by == float("inf") else f"ahead by {margin.by:.1f}"
        asked = f"{margin.asked:g} is asked" + ("" if margin.by >= margin.asked else ": too little, so it is open")
        yield f"      {margin.point}: {margin.taken}, {by} ({asked})", False
    for rival in choice.rivals:
        chosen = ", ".join(f"{point} {convention}" for point, convention in rival.chosen)
        yield f"      {rival.score:>8.1f}  {chosen}", False


def _settled(one: Settled) -> str:
    unit = f"{one.unit or 'no unit'} ({SAID_BY.get(one.unit_from, one.unit_from)})"
    if not one.convention:
        return unit
    return f"{unit}, {one.convention} ({SAID_BY.get(one.convention_from, one.convention_from)})"


def _prose_lines(settled: Sequence[Settled], account: Account, blocks: set[int]) -> Iterator[Line]:
    """Figures that stand in sentences."""
    if not settled:
        return
    yield "In sentences", True
    for block in dict.fromkeys(one.block for one in settled):
        if block not in blocks:
            yield from _choice_lines(block, account)


def _finding_lines(result: SheetResult) -> Iterator[Line]:
    """Errors first: each with its figures, and what would settle it."""
    kinds = (("error", "Held, and what would settle it"), ("warn", "Worth a look"), ("note", "Assumed"))
    for severity, title in kinds:
        found = [finding for finding in result.findings if finding.severity == severity]
        if found:
            yield title, True
        for finding in found:
            yield from _finding(finding, result.figures)


def _finding(finding: Finding, figures: Sequence[Figure]) -> Iterator[Line]:
    yield f"  {finding.rule}: {finding.message}", False
    if finding.suggestion:
        yield f"      {finding.suggestion}", False
    concerned = [figures[index] for index in finding.figures if index < len(figures)]
    by_point: dict[str, list[Figure]] = defaultdict(list)
    for figure in concerned:
        by_point[figure.point].append(figure)
    for point, members in by_point.items():
        told = [f"{figure.size or figure.length or '-'} “{figure.raw}”" for figure in members]
        yield f"      {point}: {_some(told)}  ({members[0].place})", False


def _passed_lines(passed: Sequence[PassedOver]) -> Iterator[Line]:
    if not passed:
        return
    yield "Left out on purpose", True
    for why in dict.fromkeys(one.why for one in passed):
        members = [one for one in passed if one.why == why]
        yield f"  {why}: {len(members)}", False
        for one in members[:MOST_NUMBERS]:
            yield f"      {_quote(one.text)} ({one.place or 'no place'})", False
        if len(members) > MOST_NUMBERS:
            yield f"      and {len(members) - MOST_NUMBERS} more", False


def _short(figure: Figure) -> dict[str, str]:
    return {
        "point": figure.point, "size": figure.size, "length": figure.length, "raw": figure.raw,
        "place": figure.place, "status": figure.status,
    }  # fmt: skip


def _quote(text: str) -> str:
    one = " ".join(text.split())
    return f"“{one}”" if len(one) <= LONGEST else f"“{one[: LONGEST - 1]}…”"


def _some(items: Sequence[str]) -> str:
    more = f" and {len(items) - MOST_NUMBERS} more" if len(items) > MOST_NUMBERS else ""
    return ", ".join(items[:MOST_NUMBERS]) + more
