"""Rows under the wrong label or in the wrong unit: two that would suit far better exchanged, one that is in the other.

Asked before flat or round is decided: a silent label must not explain a swap away by turning its convention. The table
is scored as it is printed, with each two rows exchanged, and with each row in the other unit, every silent girth read
in the way that suits best. Where another table is believed far more easily than the printed one, its rows are held.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations, pairwise, product
from statistics import median

from halfinch.interpret.conventions import make_hints
from halfinch.interpret.evidence import inch_factor, is_girth
from halfinch.interpret.raw import RawFigure
from halfinch.interpret.special import qualifiers_of
from halfinch.interpret.weighing import (
    HEADING,
    OUTSIDE,
    UNUSUAL,
    Hints,
    Scale,
    mixture_cost,
    ratio_cost,
    weigh_numbers,
)
from halfinch.knowledge import Knowledge
from halfinch.knowledge.reading import Span
from halfinch.knowledge.spec_relations import Relation

FAR_BETTER = 6.0
"""Rows are suspected when another table is believed so much more easily: nearly what a broken relation costs ..."""
BELIEVED = 13.0
"""... and is itself believed: more than one thing wrong, and nothing is mended by one exchange."""
UNLIKE, STANDING = 2.0, 4.0
"""What it costs to believe that a length grows thrice as fast as usual, or that a waist hardly grows at all."""
NAMES = {"in": "inches", "cm": "centimetres"}


@dataclass(frozen=True, slots=True)
class Row:
    """One point's printed numbers in one table. `unit` is its label's; `own` where the numbers carry their unit."""

    point: str
    numbers: tuple[float, ...]
    unit: str
    own: bool
    said: str
    """flat | round where label or cell say so."""
    figures: tuple[RawFigure, ...]
    """Whose label and sizes these are."""

    @property
    def inches(self) -> tuple[float, ...]:
        return in_inches(self.numbers, self.unit)


@lru_cache(maxsize=4096)
def in_inches(numbers: tuple[float, ...], unit: str) -> tuple[float, ...]:
    """A row's numbers in inches: each row is tried in hundreds of tables."""
    factor = float(inch_factor(unit))
    return tuple(one * factor for one in numbers)


@lru_cache(maxsize=4096)
def middles(numbers: tuple[float, ...], unit: str) -> tuple[float, float, float]:
    """The middle of a row's smaller sizes, of its larger ones, and of all, in inches as printed."""
    inches = in_inches(numbers, unit)
    half = (len(inches) + 1) // 2
    return median(inches[:half]), median(inches[-half:]), median(inches)


Rows = dict[str, Row]


def doubt_rows(raws: Iterable[RawFigure], knowledge: Knowledge) -> list[RawFigure]:
    """Holds the rows of each table that would suit far better exchanged or in the other unit; gives the others."""
    suspects: set[int] = set()
    raws = list(raws)
    for group in tables_of(raws, knowledge):
        points = find_misplaced(group, knowledge)
        for figure in group:
            if figure.point not in points:
                continue
            suspects.add(id(figure))
            if len(points) == 2:
                one, two = points
                figure.hold(
                    "rows-exchanged", f"the figures of {one} and {two} would suit exchanged; ask which is which"
                )
            else:
                said, other = ("cm", "in") if figure.unit == "cm" else ("in", "cm")
                figure.hold(
                    "row-in-other-unit",
                    f"{figure.point} reads like {NAMES[other]}, its label or heading says {NAMES[said]}; ask which",
                )
    return [raw for raw in raws if id(raw) not in suspects]


def tables_of(raws: list[RawFigure], knowledge: Knowledge) -> Iterator[list[RawFigure]]:
    """The figures of one garment, block and length; those told for all lengths stand in each of them."""
    groups: dict[tuple[int, str, str], list[RawFigure]] = defaultdict(list)
    for raw in raws:
        if raw.body or not raw.unit or not hasattr(knowledge.reading.typical, raw.point):
            continue
        if not raw.holds and "stretched" not in qualifiers_of(raw):
            attributes = raw.facets.attributes
            groups[raw.block, attributes.get("style", ""), attributes.get("style_code", "")].append(raw)
    for group in groups.values():
        for length in {raw.length for raw in group if raw.length} or {""}:
            yield [raw for raw in group if raw.length in ("", length)]


def find_misplaced(group: list[RawFigure], knowledge: Knowledge) -> tuple[str, ...]:
    """The points of the rows that stand wrong in a table: two exchanged or one in the other unit; mostly none."""
    rows = rows_of(group)
    hints = make_hints({point: list(row.figures) for point, row in rows.items()}, knowledge)
    hints = replace(hints, flat_labels=False)
    printed = score_rows(rows, hints, knowledge)
    silent = any(not row.said and is_girth(knowledge, point) for point, row in rows.items())
    if len(rows) < 2 or printed.score > -FAR_BETTER or not (silent or printed.broken):
        return ()
    others = [(score_rows(table, hints, knowledge).score, names) for table, names in rival_tables(rows)]
    best, points = max(others, key=lambda pair: pair[0], default=(printed.score, ()))
    gain = best - printed.score
    # Where all is said, limits and relations speak for themselves; where none is broken, much may be merely unusual.
    least = FAR_BETTER * (2.5 if not silent else 1 if printed.broken else 1.3)
    if gain < least or (best < -BELIEVED and gain < -1.5 * best):
        return ()
    return points


def rows_of(group: list[RawFigure]) -> Rows:
    """The rows of a table by point, in the order of the sheet; a size that is printed twice counts once."""
    members: dict[str, dict[str | int, RawFigure]] = defaultdict(dict)
    for raw in group:
        members[raw.point].setdefault(raw.size.size if raw.size is not None else raw.position, raw)
    rows: Rows = {}
    for point, by_size in members.items():
        figures = list(by_size.values())
        first = figures[0]
        said = first.printed.convention or (first.label.convention if first.label is not None else "")
        numbers = tuple(float(one.printed.value) for one in figures)
        rows[point] = Row(point, numbers, first.unit, first.unit_from == "cell", said, tuple(figures))
    return rows


def rival_tables(rows: Rows) -> Iterator[tuple[Rows, tuple[str, ...]]]:
    """The table with two rows exchanged under their labels, and with one in the other unit."""
    for one, two in combinations(rows, 2):
        a, b = rows[one], rows[two]
        if len(a.numbers) == len(b.numbers):
            yield rows | {one: under_label(a, b), two: under_label(b, a)}, (one, two)
    for point, row in rows.items():
        if not row.own and row.unit in NAMES:
            yield rows | {point: replace(row, unit="in" if row.unit == "cm" else "cm")}, (point,)


def under_label(label: Row, numbers: Row) -> Row:
    """The numbers of one row under the label of another: a unit printed in the cells comes along, a heading's stays."""
    return replace(label, numbers=numbers.numbers, unit=numbers.unit if numbers.own else label.unit)


def step_cost(row: Row, knowledge: Knowledge) -> float:
    """What a row's growth from size to size costs to believe: lengths hardly grow, waist and hip do."""
    if len(row.numbers) < 3:
        return 0.0
    step = median(abs(b - a) for a, b in pairwise(row.inches))
    usual = knowledge.points[row.point]
    if usual.kind == "length":
        return UNLIKE if step > 3 * float(usual.grade_high) else 0.0
    if row.point in ("waist", "hip") and step * 4 < float(usual.grade_low):
        return STANDING if row.point == "waist" else UNLIKE
    return 0.0


@dataclass(frozen=True, slots=True, order=True)
class Score:
    """How easily a table is believed, 0 at best, and whether a limit of a figure or a relation is broken in it."""

    score: float
    broken: bool


def score_rows(rows: Rows, hints: Hints, knowledge: Knowledge) -> Score:
    """The score of a table in the combination of flat and round that suits it best."""
    scales = {point: weigh_numbers(row.inches, list(row.figures), hints, knowledge) for point, row in rows.items()}
    steps = sum(step_cost(row, knowledge) for row in rows.values())
    choices = [
        (rows[point].said,) if rows[point].said in scale.cost else tuple(scale.cost) for point, scale in scales.items()
    ]
    best = max(
        score_combination(rows, dict(zip(scales, chosen, strict=True)), scales, knowledge)
        for chosen in product(*choices)
    )
    granted = HEADING * sum("flat" in scale.cost for point, scale in scales.items() if point in hints.heading)
    return replace(best, score=best.score - granted - steps)


def score_combination(rows: Rows, chosen: dict[str, str], scales: dict[str, Scale], knowledge: Knowledge) -> Score:
    """The same with flat or round chosen for every girth: the figures each, and how they stand to one another."""
    costs = [scale.cost[chosen[point]] for point, scale in scales.items()]
    spots = spots_of(rows, chosen)
    girths = [row for point, row in rows.items() if is_girth(knowledge, point)]
    for ratio in knowledge.reading.ratio.values():
        through_other = any(point in rows for point in ratio.unless)
        # Where flat or round is said, the difference of waist and hip says all that their ratio does.
        by_difference = (ratio.of, ratio.to) == ("waist", "hip") and all(row.said for row in girths)
        if ratio.of in spots and ratio.to in spots and not through_other and not by_difference:
            pairs = zip(spots[ratio.of], spots[ratio.to], strict=True)
            costs.append(max(ratio_cost(one / other, ratio, None) if other else OUTSIDE for one, other in pairs))
    for relation in knowledge.relations.relation.values():
        if relation.form == "difference" and relation.of in spots and all(point in spots for point in relation.to):
            sums = zip(spots[relation.of], *(spots[point] for point in relation.to), strict=True)
            costs.append(max(difference_cost(one - sum(rest), relation) for one, *rest in sums))
    ways = {row.point: chosen[row.point] for row in girths}
    mixed = mixture_cost(ways, knowledge.reading.mixture)
    return Score(-sum(costs) - mixed, any(cost >= OUTSIDE for cost in costs))


def spots_of(rows: Rows, chosen: dict[str, str]) -> dict[str, tuple[float, ...]]:
    """The middle of each row's smaller and larger sizes, full inches; of all where rows have not the same sizes."""
    alike = len({len(row.numbers) for row in rows.values()}) == 1
    found: dict[str, tuple[float, ...]] = {}
    for point, row in rows.items():
        smaller, larger, all_sizes = middles(row.numbers, row.unit)
        times = 2 if chosen[point] == "flat" else 1
        found[point] = (times * smaller, times * larger) if alike else (times * all_sizes,)
    return found


def in_span(value: float, span: Span) -> bool:
    return float(span.low) <= value <= float(span.high)


def difference_cost(value: float, relation: Relation) -> float:
    """What a difference of two points costs to believe."""
    return OUTSIDE if not in_span(value, relation.limits) else 0.0 if in_span(value, relation.usual) else UNUSUAL
