"""A base size with a grade rule: the figures of the other sizes are worked out and marked as derived.

Only where the sheet names the sizes (empty columns of the run, "sizes 4-16") and the base is one of them.
"""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import replace

from halfinch.interpret.raw import RawFigure
from halfinch.knowledge import Knowledge
from halfinch.normalise.size_labels import SizeLabel, read_size_label

MOST_SIZES = 30
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
