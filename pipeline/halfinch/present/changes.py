"""What differs between two tellings, in plain words: a few lines a garment, or figure by figure."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Any

from halfinch.catalogue.changes import Change, Diff, GarmentDiff, Said, Told
from halfinch.figure import NM_PER_INCH, to_inches
from halfinch.present.wording import Wording

FEW = 4
"""So many sizes are told one by one in a line of plain words."""

MORE_AND_LESS = {
    "front_rise": ("higher", "lower"), "back_rise": ("higher", "lower"), "inseam": ("longer", "shorter"),
    "outseam": ("longer", "shorter"), "body_height": ("taller", "shorter"), "body_inseam": ("longer", "shorter"),
    "label_inseam": ("longer", "shorter"),
}  # fmt: skip
GIRTH = ("wider", "narrower")

Lines = Iterator[str]


def diff_lines(diff: Diff, wording: Wording, *, figures: bool) -> Lines:
    """The whole difference; with `figures` every figure under the words of its garment."""
    for garment in diff.garments:
        yield ""
        yield f"{_heading(garment)}"
        for line in plain_words(garment, wording):
            yield f"  {line}"
        if figures:
            for change in garment.changes:
                yield f"    {figure_line(change, wording)}"
    if diff.garments:
        yield ""
    yield summary(diff)


def summary(diff: Diff) -> str:
    """One line: how many garments and figures differ, and how."""
    if not diff.garments:
        return f"No difference: {_count(diff.alike, 'garment')} told alike."
    kinds: dict[str, int] = defaultdict(int)
    for change in diff.changes:
        kinds[change.what] += 1
    said = {"changed": "changed", "status": "of another standing", "restated": "printed otherwise", "new": "new",
            "gone": "gone"}  # fmt: skip
    told = ", ".join(f"{kinds[kind]:,} {word}" for kind, word in said.items() if kinds[kind])
    come = sum(one.old is None for one in diff.garments)
    gone = sum(one.new is None for one in diff.garments)
    differ = len(diff.garments) - come - gone
    garments = ", ".join(
        text
        for number, text in (
            (differ, f"{_count(differ, 'garment')} changed"), (come, f"{come:,} new"), (gone, f"{gone:,} gone"),
            (diff.alike, f"{diff.alike:,} alike"),
        )
        if number
    )  # fmt: skip
    return f"{garments}." + (f" Figures: {told}." if told else "")


def plain_words(garment: GarmentDiff, wording: Wording) -> Lines:
    """What a person would say of it."""
    if garment.old is None or garment.new is None:
        word = "new" if garment.old is None else "no longer told"
        yield f"{word}: {_extent(garment.told)}"
        return
    if garment.taken:
        yield f"taken for one with {_full_name(garment.old)}: {garment.taken}"
    for column, before, after in garment.words:
        yield _word_change(column, before, after)
    rest = list(garment.changes)
    for what, word in (("new", "is new"), ("gone", "is gone")):
        rest, lines = _whole(garment, what, word, rest)
        yield from lines
    by_point: dict[tuple[str, str, str, int], list[Change]] = defaultdict(list)
    for change in rest:
        by_point[(change.point, change.length, change.what, change.by_nm)].append(change)
    for group in by_point.values():
        yield _group(group, garment, wording)


def _whole(garment: GarmentDiff, what: str, word: str, changes: list[Change]) -> tuple[list[Change], list[str]]:
    """Lengths, sizes and points of which all is new, or gone, in a line each; and what is left."""
    side = garment.new if what == "new" else garment.old
    assert side is not None
    lines = []
    for name, at in (("length", 3), ("size", 2), ("point", 1)):
        told: dict[str, int] = defaultdict(int)
        for point, size, length in side.figures:
            told[("", point, size, length)[at]] += 1
        groups: dict[str, list[Change]] = defaultdict(list)
        for change in changes:
            if change.what == what:
                groups[("", change.point, change.size, change.length)[at]].append(change)
        whole = [key for key, group in groups.items() if len(group) == told[key] and len(told) > 1]
        for key in whole:
            called = key.replace("_", " ") if name == "point" else f"{name} {key}" if key else f"no {name}"
            sizes = _sizes(list(dict.fromkeys(change.size for change in groups[key])))
            of = f" of {sizes}" if name != "size" and sizes else ""
            lines.append(f"{called} {word}: {_count(len(groups[key]), 'figure')}{of}")
        changes = [c for c in changes if c.what != what or ("", c.point, c.size, c.length)[at] not in whole]
    return changes, lines


def _group(group: Sequence[Change], garment: GarmentDiff, wording: Wording) -> str:
    first = group[0]
    sizes = list(dict.fromkeys(change.size for change in group))
    every = {size for point, size, length in garment.told.figures if (point, length) == (first.point, first.length)}
    which = f"in all {len(sizes)} sizes" if len(sizes) > 2 and set(sizes) == every else f"in {_sizes(sizes)}"
    which = "" if sizes == [""] else f" {which}"
    name = " ".join(part for part in (wording.point(first.point), first.length) if part)
    return f"{name}: {_what(first, wording)}{which}{_values(group, wording)}"


def _what(change: Change, wording: Wording) -> str:
    if change.what == "new":
        return "told now"
    if change.what == "gone":
        return "no longer told"
    assert change.old is not None
    assert change.new is not None
    if change.what == "status":
        return f"was {change.old.status}, is {change.new.status}"
    if change.what == "restated":
        return f"the same, printed {_print(change.new)} now"
    if not change.by_nm:
        return "another upper end"
    more, less = MORE_AND_LESS.get(change.point, GIRTH)
    return f"{wording.show(abs(change.by_nm) / NM_PER_INCH)} {more if change.by_nm > 0 else less}"


def _print(said: Said) -> str:
    return " ".join(part for part in (said.convention, f"in {said.unit}" if said.unit else "") if part) or "otherwise"


def _values(group: Sequence[Change], wording: Wording) -> str:
    """ " (29 1/2 > 29)", one for all, or a few sizes one by one."""
    told = {size: text for size, text in ((change.size, _value(change, wording)) for change in group) if text}
    if len(set(told.values())) == 1:
        return f" ({next(iter(told.values()))})"
    shown = ", ".join(f"{size}: {text}" if size else text for size, text in list(told.items())[:FEW])
    more = f", and {len(told) - FEW} more" if len(told) > FEW else ""
    return f" ({shown}{more})" if shown else ""


def _value(change: Change, wording: Wording) -> str:
    old, new = (None if said is None else _number(said, wording) for said in (change.old, change.new))
    if change.what in ("new", "gone") or old == new:
        return new or old or ""
    return f"{old} > {new}"


def _number(said: Said, wording: Wording) -> str:
    text = wording.number(said.nm / NM_PER_INCH)
    return text if said.nm_to is None else f"{text} to {wording.number(said.nm_to / NM_PER_INCH)}"


def figure_line(change: Change, wording: Wording) -> str:
    """One figure: what it was, what it is, as printed and where."""
    of = " ".join(part for part in (wording.point(change.point), change.size, change.length) if part)
    sides = [_side(said, wording) for said in (change.old, change.new)]
    return f"{of}: {sides[0]} > {sides[1]}"


def _side(said: Said | None, wording: Wording) -> str:
    if said is None:
        return "-"
    standing = f", {said.status}" if said.status not in ("accepted", "assumed") else ""
    return f'{_number(said, wording)} {wording.unit}{standing} ("{said.raw}" {said.place})'


def _word_change(column: str, before: str, after: str) -> str:
    name = column.replace("_", " ")
    if not before:
        return f"{name} is told now: {after}"
    return f"{name} is no longer told: {before}" if not after else f"{name}: {before} > {after}"


def _heading(garment: GarmentDiff) -> str:
    return _full_name(garment.told)


def _full_name(told: Told) -> str:
    code = told.words.get("style_code", "")
    code = f" {code}" if code and code != told.name else ""
    merchant = told.words.get("merchant", "")
    return f"{told.name}{code}" + (f" ({merchant})" if merchant else "")


def _extent(told: Told) -> str:
    sizes = _sizes(list(dict.fromkeys(size for _, size, _ in told.figures)))
    return _count(sum(map(len, told.figures.values())), "figure") + (f" of {sizes}" if sizes else "")


def _sizes(sizes: Sequence[str]) -> str:
    """ "size 8", "sizes 8, 10, 12", "7 sizes"."""
    named = [size for size in sizes if size]
    if not named:
        return ""
    if len(named) == 1:
        return f"size {named[0]}"
    return f"sizes {', '.join(named)}" if len(named) <= FEW else f"{len(named)} sizes"


def _count(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def diff_record(diff: Diff) -> dict[str, Any]:
    """As plain data: inches as numbers, keys stable.

    {"old", "new", "alike", "troubles", "garments": [{"garment_id", "merchant", "style", "style_code", "block",
    "state": changed | new | gone, "taken", "same", "words": [{"word", "old", "new"}], "figures": [{"what", "point",
    "size", "length", "by", "old": {"inches", "inches_to", "status", "raw", "unit", "convention", "sheet", "place"} or
    null, "new": the same}]}]}
    """
    return {
        "old": diff.old, "new": diff.new, "alike": diff.alike, "troubles": list(diff.troubles),
        "garments": [_garment_record(garment) for garment in diff.garments],
    }  # fmt: skip


def _garment_record(garment: GarmentDiff) -> dict[str, Any]:
    state = "new" if garment.old is None else "gone" if garment.new is None else "changed"
    return {
        "garment_id": garment.told.garment_id,
        **{word: garment.told.words.get(word, "") for word in ("merchant", "style", "style_code", "block")},
        "state": state, "taken": garment.taken, "same": garment.same,
        "words": [{"word": word, "old": before, "new": after} for word, before, after in garment.words],
        "figures": [
            {
                "what": one.what, "point": one.point, "size": one.size, "length": one.length,
                "by": float(to_inches(one.by_nm)) if one.old is not None and one.new is not None else None,
                "old": _said_record(one.old), "new": _said_record(one.new),
            }
            for one in garment.changes
        ],
    }  # fmt: skip


def _said_record(said: Said | None) -> dict[str, Any] | None:
    if said is None:
        return None
    return {
        "inches": float(to_inches(said.nm)),
        "inches_to": None if said.nm_to is None else float(to_inches(said.nm_to)),
        **{name: getattr(said, name) for name in ("status", "raw", "unit", "convention", "sheet", "place")},
    }
