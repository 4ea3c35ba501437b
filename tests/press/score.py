"""Compares what was read with what was printed, and counts by sheet.

Silent errors are wrong or invented figures among those that count as clean (accepted and assumed); needless holds are
figures that had to be read and were held; the rest of the difference is missed.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import sqrt

from halfinch.figure import Figure, SheetResult

from .doc import Doc
from .truth import POINTS, Expected

SLACK_NM = 20
CLEAN = ("accepted", "assumed")
LENGTHS = {"extra short": "short", "petite": "short", "short": "short", "regular": "regular", "standard": "regular"}
LENGTHS |= {"tall": "long", "long": "long", "extra long": "long"}


@dataclass(frozen=True, slots=True)
class Slip:
    """One difference: kind is wrong | invented | held | missed | attribute."""

    kind: str
    text: str


@dataclass(slots=True)
class Score:
    """One sheet's counts."""

    must: int = 0
    read: int = 0
    clean: int = 0
    silent: int = 0
    held: int = 0
    missed: int = 0
    holds_expected: int = 0
    tolerances: int = 0
    tolerances_right: int = 0
    slips: list[Slip] = field(default_factory=list)
    failed: str = ""


def short_size(text: str) -> str:
    """Sizes compare by their first token, without system words: 'US 8' and '8' are one."""
    bare = re.sub(r"^(us|uk|eu|fr|it|size|w|gr\.?)[ .]?(?=\d)", "", text.strip().lower())
    return re.split(r"[ /(]", bare)[0]


def short_length(text: str) -> str:
    low = text.lower()
    return LENGTHS.get(low, low)


def same_garment(style: str, wanted: str) -> bool:
    a, b = ("".join(name.casefold().split()) for name in (style, wanted))
    return bool(a) and (a in b or b in a)


def same_place(figure: Figure, expected: Expected) -> bool:
    """Same point, size and length; a figure told once for all counts for each."""
    if figure.point != expected.point:
        return False
    told_for_all = expected.size == "*" or (figure.size_scope != "one" and not figure.size)
    size = told_for_all or short_size(figure.size) == short_size(expected.size)
    length = short_length(figure.length) == short_length(expected.length)
    loose = figure.length_scope != "one" and (not figure.length or not expected.length)
    return size and (length or loose)


def compare(doc: Doc, results: Sequence[SheetResult]) -> Score:
    """Counts one sheet against its truth."""
    score = Score()
    score.failed = "; ".join(r.message for r in results if r.outcome == "failed")
    figures = [entry for result in results for entry in _with_style(result)]
    meant: list[list[Expected]] = [[] for _ in figures]
    for expected in doc.truth:
        hits = [
            number
            for number, (figure, style) in enumerate(figures)
            if same_place(figure, expected) and (not doc.several or same_garment(style, expected.garment))
        ]
        for number in hits:
            meant[number].append(expected)
        _count(score, expected, [figures[number][0] for number in hits])
    for (figure, style), wanted in zip(figures, meant, strict=True):
        if figure.status in CLEAN:
            _count_clean(score, figure, style, wanted)
    return score


def _count_clean(score: Score, figure: Figure, style: str, wanted: list[Expected]) -> None:
    """A clean figure counts once: right only where it is right for every size that it is told for."""
    score.clean += 1
    if not wanted:
        score.silent += 1
        score.slips.append(Slip("invented", f"{_told(figure)} of {style!r}, printed {figure.raw!r} at {figure.place}"))
        return
    astray = next((e for e in wanted if e.expect == "hold" or not _right(figure, e)), None)
    if astray is not None:
        score.silent += 1
        lengths = " or ".join(f"{nm / 25.4e6:.4f}" for nm in astray.nm) or "no figure of ours"
        told = f"{_told(figure)}, should be {lengths} ({astray.printed!r}) {astray.why}"
        score.slips.append(Slip("not held" if astray.expect == "hold" else "wrong", told))


def _right(figure: Figure, expected: Expected) -> bool:
    return any(abs(figure.length_nm - nm) <= SLACK_NM for nm in expected.nm)


def _with_style(result: SheetResult) -> Iterable[tuple[Figure, str]]:
    styles = {g.key: f"{g.style} {g.style_code}".strip() for g in result.garments}
    ours = (
        figure for figure in result.figures if figure.point in POINTS
    )  # figures of bodies and labels are kept apart
    return [(figure, styles.get(figure.garment, "")) for figure in ours]


def _told(figure: Figure) -> str:
    size = f"{figure.point} {figure.size or '-'} {figure.length}".strip()
    return (
        f"{size} = {figure.length_nm / 25.4e6:.4f} in ({figure.status}, {figure.unit}, {figure.convention or 'length'})"
    )


def _count(score: Score, expected: Expected, hits: list[Figure]) -> None:
    """Was what had to be read read, held or missed?"""
    if expected.expect == "hold":
        score.holds_expected += 1
    if expected.expect != "value":
        return
    score.must += 1
    name = f"{expected.point} {expected.size} {expected.length} ({expected.printed!r})"
    if any(figure.status in CLEAN and _right(figure, expected) for figure in hits):
        score.read += 1
        _count_tolerance(score, expected, [figure for figure in hits if _right(figure, expected)], name)
    elif any(figure.status == "held" for figure in hits):
        score.held += 1
        score.slips.append(Slip("held", name))
    else:
        score.missed += 1
        score.slips.append(Slip("missed", name))


def _count_tolerance(score: Score, expected: Expected, hits: list[Figure], name: str) -> None:
    if expected.tolerance_nm is None:
        return
    score.tolerances += 1
    if any(abs((figure.tolerance_plus_nm or 0) - expected.tolerance_nm) <= SLACK_NM for figure in hits):
        score.tolerances_right += 1
    else:
        score.slips.append(Slip("attribute", f"{name}: tolerance {[f.tolerance_plus_nm for f in hits]}"))


def interval(parts: Sequence[tuple[int, int]]) -> tuple[float, float, float]:
    """Share and its 95 % interval, clustered by sheet: Wilson's with the sheets' design effect.

    Wilson (1927) as in E. B. Wilson, JASA 22; the design effect is the ratio estimator's variance over the binomial's
    (Kish, Survey Sampling, 1965).
    """
    total = sum(n for _, n in parts)
    if not total:
        return (float("nan"), 0.0, 1.0)
    share = sum(k for k, _ in parts) / total
    sheets = [(k, n) for k, n in parts if n]
    plain = share * (1 - share) / total
    effect = 1.0
    if plain > 0 and len(sheets) > 1:
        spread = sum((k - share * n) ** 2 for k, n in sheets) * len(sheets) / (len(sheets) - 1) / total**2
        effect = max(1.0, spread / plain)
    elif len(sheets):
        effect = max(1.0, total / len(sheets))
    n, z = total / effect, 1.96
    middle, half = share + z * z / (2 * n), z * sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    return share, max(0.0, (middle - half) / (1 + z * z / n)), min(1.0, (middle + half) / (1 + z * z / n))


def table_of(rows: Sequence[tuple[dict[str, str], Score]], facts: Sequence[str]) -> str:
    """Recall, silent errors and needless holds for all sheets, then by each fact."""
    lines = [
        f"{'':34}{'sheets':>7}{'figures':>8}  {'recall %':22}{'silent %':22}{'needless holds %':22}",
        _line("all", [s for _, s in rows]),
    ]
    for fact in facts:
        groups: dict[str, list[Score]] = defaultdict(list)
        for known, score in rows:
            groups[known.get(fact, "-")].append(score)
        lines.append(f"-- {fact}")
        lines += [_line(f"  {name}", scores) for name, scores in sorted(groups.items())]
    return "\n".join(lines)


def _line(name: str, scores: Sequence[Score]) -> str:
    must = sum(s.must for s in scores)
    recall = interval([(s.read, s.must) for s in scores])
    silent = interval([(s.silent, max(s.clean, s.silent)) for s in scores])
    held = interval([(s.held, s.must) for s in scores])
    cells = "".join(f"{_percent(part):22}" for part in (recall, silent, held))
    return f"{name:34}{len(scores):>7}{must:>8}  {cells}"


def _percent(part: tuple[float, float, float]) -> str:
    return f"{100 * part[0]:6.2f} [{100 * part[1]:.2f}-{100 * part[2]:.2f}]"
