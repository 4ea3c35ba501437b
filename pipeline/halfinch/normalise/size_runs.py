"""A header line of sizes: what the labels say together, and how surely the line is one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from halfinch.knowledge import Knowledge
from halfinch.normalise.size_parts import SizeLabel
from halfinch.normalise.size_words import SizeWords

Labels = list[SizeLabel | None]


@dataclass(frozen=True, slots=True)
class SizeRun:
    """What a header line says."""

    labels: list[SizeLabel | None]
    """Aligned with the texts; None where a text is no size (TOL, GRADE, empty)."""
    score: float
    """0..1: how surely the line is a size header: known run, even steps, order of letters."""
    system: str = ""
    """The one system of all labels, '' where they differ or the run leaves it open."""
    kind: str = "size"
    """size | length (the line names lengths only: Petite, Regular, Tall)."""


def read_run(
    bodies: Sequence[str], labels: Labels, lengths: Sequence[str], words: SizeWords, knowledge: Knowledge
) -> SizeRun | None:
    """`bodies`: the folded texts; `labels`, `lengths`: what each says alone. None when nothing says anything."""
    filled = [at for at, body in enumerate(bodies) if body]
    named = _read_length_run(bodies, labels, lengths, filled, words)
    if named:
        return named
    labels = _read_portuguese(bodies, labels, filled, words)
    labels = _tell_letter_marks(labels, words)
    sized = [at for at in filled if labels[at] is not None]
    if not sized:
        return None
    found = [label for label in labels if label is not None]
    system = _choose_system(found, knowledge)
    score = len(sized) / len(filled) * _score(found, words, knowledge)
    if len(found) == 1:
        score = min(score, max(0.25, 0.9 * found[0].strength))
    labels = [_adopt(label, system) if label else None for label in labels]
    return SizeRun(labels, round(min(score, 1.0), 3), system)


def _read_length_run(
    bodies: Sequence[str], labels: Labels, lengths: Sequence[str], filled: list[int], words: SizeWords
) -> SizeRun | None:
    """Petite Regular Tall; Short Medium Long; S R L; P R T; L28 L30 L32."""
    made: Labels = [None] * len(bodies)
    certain = 0
    for at in filled:
        body = bodies[at]
        length = lengths[at] or words.marks.get(body, "")
        if not length and body in words.medium:
            length = "regular"
        elif length and body not in words.alpha:
            certain += 1
        if length:
            made[at] = SizeLabel("", length=length, strength=0.9)
    said = [label for label in made if label]
    if len(said) < max(2, 0.7 * len(filled)) or not certain or _are_letters([bodies[at] for at in filled], words):
        return None
    if any(labels[at] is not None and made[at] is None for at in filled):
        return None
    score = len(said) / len(filled) * (0.95 if len({label.length for label in said}) > 1 else 0.5)
    return SizeRun(made, round(score, 3), "", "length")


def _are_letters(bodies: list[str], words: SizeWords) -> bool:
    """P M G GG and XS P M L: P is a letter size among letters. P S R T are lengths."""
    others = [body for body in bodies if body not in ("p", "pp")]
    return (
        len(others) < len(bodies) and len(others) > 0 and all(b in words.alpha or b in words.portuguese for b in others)
    )


def _read_portuguese(bodies: Sequence[str], labels: Labels, filled: list[int], words: SizeWords) -> Labels:
    if not filled or not any(bodies[at] in words.portuguese for at in filled):
        return labels
    tokens = [bodies[at] for at in filled]
    if len(tokens) < 2 or not all(t in words.portuguese or t in words.alpha for t in tokens):
        return labels
    if all(t in words.alpha for t in tokens):
        return labels
    made = list(labels)
    for at in filled:
        made[at] = SizeLabel(bodies[at].upper(), "alpha", strength=0.8)
    return made


def _tell_letter_marks(labels: Labels, words: SizeWords) -> Labels:
    """27(S) 27(R) 27(L): one number under several letters means lengths; 27(S) 29(M) 31(L) one size in two systems."""
    marked = {
        (label.size, label.also)
        for label in labels
        if label and len(label.also) == 1 and label.also[0].casefold() in words.marks
    }
    numbers = [size for size, _ in marked]
    beside_length = {label.size for label in labels if label and label.length and not label.also}
    repeated = {size for size in numbers if numbers.count(size) > 1 or size in beside_length}
    made: Labels = []
    for label in labels:
        if label and label.size in repeated and len(label.also) == 1 and label.also[0].casefold() in words.marks:
            label = replace(label, also=(), length=words.marks[label.also[0].casefold()])
        made.append(label)
    return made


def _adopt(label: SizeLabel, system: str) -> SizeLabel:
    """The run's system for a label that left it open; a waist's size is its labelled waist."""
    if system and not label.system:
        label = replace(label, system=system)
    if label.system == "waist" and label.waist is None and label.size.isdigit():
        label = replace(label, waist=Fraction(int(label.size)))
    return label


def _choose_system(labels: list[SizeLabel], knowledge: Knowledge) -> str:
    told = {label.system for label in labels if label.system}
    open_ = [label for label in labels if not label.system]
    if not open_:
        return told.pop() if len(told) == 1 else ""
    tokens = {label.size for label in labels if label.size}
    systems = knowledge.size_systems.system
    if told == {"waist"}:
        return "waist" if tokens <= set(systems["waist"].sizes) | set(systems["waist"].seldom) else ""
    if len(told) > 1 or "alpha" in told:
        return ""
    usual = [name for name, system in systems.items() if tokens <= set(system.sizes)]
    possible = [name for name, system in systems.items() if tokens <= {*system.sizes, *system.seldom}]
    if told:
        only = next(iter(told))
        return only if only in possible else ""
    if "US" in usual and tokens & {"0", "2"}:
        return "US"  # the other even systems begin above (UK 2 is seldom)
    return usual[0] if usual == possible and len(usual) == 1 else ""


def _score(labels: list[SizeLabel], words: SizeWords, knowledge: Knowledge) -> float:
    strong = [label.strength for label in labels]
    mean = sum(strong) / len(strong)
    letters = [words.alpha_order[a] for label in labels if (a := words.alpha.get(label.size.casefold())) is not None]
    numbers = [label for label in labels if label.size.isdigit()]
    if len(letters) >= 2 and len(letters) >= len(labels) - 2 and not numbers:
        return 0.97 if _rises(letters) else max(0.6, 0.8 * mean)
    bare = [label for label in numbers if label.strength < 0.5]
    if len(bare) < max(1, len(labels) / 2):
        ordered = not numbers or _rises([_rank(label.size) for label in numbers], loosely=True)
        return mean if ordered else 0.85 * mean
    return _score_numbers([label.size for label in numbers], len(labels), knowledge)


def _rank(size: str) -> int:
    """00 comes before 0, 000 before 00."""
    return 1 - len(size) if not size.strip("0") else int(size)


def _rises(ranks: list[int], loosely: bool = False) -> bool:
    pairs = pairwise(ranks)
    return all(low <= high if loosely else low < high for low, high in pairs)


def _score_numbers(sizes: list[str], total: int, knowledge: Knowledge) -> float:
    """Bare numbers: how well they are a piece of a known system's order."""
    runs = _split_runs([_rank(size) for size in sizes])
    share = len(sizes) / total
    if len(sizes) == 1:
        return 0.25 * share
    if len(set(sizes)) == 1:
        return 0.05  # 30 30 30: a constant figure rather than sizes
    if runs is None:
        return 0.15 * share
    best = max(
        _score_piece(sizes, runs[0], system.sizes, system.seldom) for system in knowledge.size_systems.system.values()
    )
    if len(runs[0]) == 2:
        best *= 0.75
    return best * share * (0.95 if len(runs) > 1 else 1.0)


def _split_runs(ranks: list[int]) -> list[list[int]] | None:
    """The rising pieces (0 2 4 0 2 4 under two headings), all alike; falling lines are turned. None: no order."""
    if _rises(ranks):
        return [ranks]
    if _rises(ranks[::-1]):
        return [ranks[::-1]]
    pieces: list[list[int]] = [[ranks[0]]]
    for rank in ranks[1:]:
        if rank > pieces[-1][-1]:
            pieces[-1].append(rank)
        else:
            pieces.append([rank])
    alike = len(pieces[0]) > 1 and all(piece == pieces[0] for piece in pieces)
    pairs = all(low <= high for low, high in pairwise(ranks))
    if alike:
        return pieces
    distinct = sorted(set(ranks))
    return [distinct] if pairs and len(distinct) > 1 and len(ranks) % len(distinct) == 0 else None


def _score_piece(sizes: list[str], ranks: list[int], usual: Sequence[str], seldom: Sequence[str]) -> float:
    known = {_rank(size): at for at, size in enumerate(usual) if size.isdigit()}
    rare = {_rank(size) for size in seldom if size.isdigit()}
    steps = [high - low for low, high in pairwise(ranks)]
    if not all(rank in known or rank in rare for rank in ranks):
        if len(set(steps)) == 1 and ranks[0] >= 0 and ranks[-1] <= 62:
            return 0.35
        return 0.1
    rarely = sum(rank not in known for rank in ranks)
    if rarely == len(ranks):
        return 0.75 if set(steps) == {2} and ranks[-1] <= 33 else 0.3
    if rarely:
        # 00 0 1 3: odd sizes between even ones; 10 11 12 13 rather are figures.
        return 0.35 if set(steps) == {1} and ranks[0] > 3 else 0.6 if rarely * 2 <= len(ranks) else 0.45
    places = [known[rank] for rank in ranks]
    hops = {high - low for low, high in pairwise(places)}
    if hops == {1}:
        return 0.95
    if len(hops) == 1 and hops <= {2}:
        return 0.7
    if hops <= {1, 2}:
        return 0.8
    return 0.5 if max(hops) <= 4 else 0.3
