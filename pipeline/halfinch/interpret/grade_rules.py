"""A base size with a grade rule: the figures of the other sizes are worked out and marked as derived.

Only where the sheet names the sizes (empty columns of the run, "sizes 4-16") and the base is one of them. The rule is
one grade a row, or a step under every other size (-1 | -1 | 30 | +1 | +1), from size to size or from the base.
"""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

from halfinch.interpret.raw import RawFigure
from halfinch.knowledge import Knowledge
from halfinch.normalise.size_labels import SizeLabel, read_size_label

MOST_SIZES = 30
FROM_BASE = Fraction(7, 4)
"""Steps that grow by so much from the first size to the second are told from the base: 1, 2, 3 ..."""
FROM_SIZE = Fraction(5, 4)
"""Steps that grow by no more are told from size to size: 1, 1, 1 1/4 ..."""
_RANGE = re.compile(r"(\d{1,2})\s*(?:-|–|—|to|bis|à|a|至|~|〜)\s*(\d{1,2})")


def expand_grades(raws: list[RawFigure], knowledge: Knowledge) -> list[RawFigure]:
    """The figures with those added that a grade column implies. Printed figures are never replaced."""
    series: dict[str, list[RawFigure]] = defaultdict(list)
    for raw in raws:
        series[raw.series].append(raw)
    added: list[RawFigure] = []
    for group in series.values():
        base = group[0]
        if len(group) == 1 and base.grade is not None and base.size is not None and not base.body:
            added.extend(grade_from(base, knowledge))
    return raws + added


def work_out_steps(raws: list[RawFigure]) -> list[RawFigure]:
    """The figures with each step under a size ("+1") replaced by what it makes of the base size's figure.

    A row has one figure and else only steps. Whether they run from size to size or from the base is asked of all rows
    of a block: equal ones run from size to size, evenly growing ones from the base. Rows that say neither stay.
    """
    blocks: dict[int, dict[str, list[RawFigure]]] = defaultdict(lambda: defaultdict(list))
    for raw in raws:
        if raw.size is not None and not raw.body:
            blocks[raw.block][raw.series].append(raw)
    made: dict[int, RawFigure] = {}
    for rows in blocks.values():
        steps = {raw.position for row in rows.values() for raw in row if raw.printed.kind == "difference"}
        based = [found for row in rows.values() if (found := split_at_base(row, steps)) is not None]
        away = [amounts(side) for _, below, above in based for side in (below, above)]
        ratios = [sizes[1] / sizes[0] for sizes in away if len(sizes) > 1 and sizes[0]]
        total = bool(ratios) and min(ratios) >= FROM_BASE
        if not steps or (not total and any(ratio > FROM_SIZE for ratio in ratios)):
            continue
        for base, below, above in based:
            for sign, side in ((-1, below), (1, above)):
                value = base.printed.value
                for raw, amount in zip(side, amounts(side), strict=True):
                    value = (base.printed.value if total else value) + sign * amount
                    made[id(raw)] = stepped(raw, base, value)
    return [made.get(id(raw), raw) for raw in raws]


def split_at_base(row: list[RawFigure], steps: set[int]) -> tuple[RawFigure, list[RawFigure], list[RawFigure]] | None:
    """The base's figure and the steps to either side of it, nearest first; None where the row is no such row."""
    is_step = [raw.printed.kind == "difference" or (raw.position in steps and not raw.printed.value) for raw in row]
    bases = [index for index, step in enumerate(is_step) if not step]
    sizes = {raw.size.size for raw in row if raw.size is not None}
    if len(bases) != 1 or len(row) < 2 or len(sizes) < len(row) or not row[bases[0]].printed.value:
        return None
    at = bases[0]
    below, above = row[:at][::-1], row[at + 1 :]
    signs = {raw.printed.value > 0 for raw in below if raw.printed.value}
    if len(signs) > 1 or any(raw.printed.value < 0 for raw in above):
        return None
    return row[at], below, above


def amounts(side: list[RawFigure]) -> list[Fraction]:
    return [abs(raw.printed.value) for raw in side]


def stepped(raw: RawFigure, base: RawFigure, value: Fraction) -> RawFigure:
    """The figure of one step, in everything but its place and size as the base's."""
    return replace(
        base,
        printed=replace(base.printed, value=value, upper=None, second=None),
        text=raw.text,
        place=raw.place,
        size=raw.size,
        position=raw.position,
        basis="derived",
        holds=list(base.holds),
        notes=[*base.notes, ("graded", f"“{raw.text}” is a step of the grade rule to “{base.text}” ({base.place})")],
    )


def grade_from(base: RawFigure, knowledge: Knowledge) -> list[RawFigure]:
    """The derived figures of every other size of the run."""
    run = list(base.run) or read_size_range(base.facets.attributes.get("size_range", ""), knowledge)
    names = [label.size for label in run]
    if base.size is None or base.grade is None or base.size.size not in names or len(names) > MOST_SIZES:
        return []
    at = names.index(base.size.size)
    made = []
    for index, label in enumerate(run):
        if index == at:
            continue
        value = base.printed.value + base.grade * (index - at)
        made.append(
            replace(
                base,
                printed=replace(base.printed, value=value, upper=None, second=None),
                size=label,
                position=index,
                basis="derived",
                holds=list(base.holds),
                notes=[
                    *base.notes,
                    (
                        "graded",
                        f"worked out from size {base.size.size} (“{base.text}”) by a grade of {float(base.grade):g}",
                    ),
                ],
            )
        )
    return made


def read_size_range(text: str, knowledge: Knowledge) -> list[SizeLabel]:
    """ "4-16" as 4, 6 ... 16 and "24-32" as every waist size; "S, M, L" as listed; [] for anything else."""
    match = _RANGE.fullmatch(text.strip())
    if match:
        low, high = int(match.group(1)), int(match.group(2))
        step = 1 if low >= 22 and high <= 40 and (high - low) <= 14 and (low % 2 or high % 2 or low < 32) else 2
        if low < high and (high - low) % step == 0:
            labels = [read_size_label(str(size), knowledge) for size in range(low, high + 1, step)]
            return [label for label in labels if label is not None]
        return []
    parts = [part for part in re.split(r"[\s,;/|–—-]+", text.strip()) if part]
    labels = [read_size_label(part, knowledge) for part in parts]
    return [label for label in labels if label is not None] if len(parts) > 2 and all(labels) else []
