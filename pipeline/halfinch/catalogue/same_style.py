"""Finding a style again: pairs of garments that may be one style under other spellings or codes, with the evidence.

A proposal is for a person to confirm or to refuse; nothing is ever merged by it. Pairs worth comparing are those that
share a code, a name, a pattern of figures, or, within a merchant, a name that is spelt alike; each is then scored by
the weights of `same_style.toml`.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from halfinch.catalogue.changes import Said, Told, What, one_length
from halfinch.catalogue.identity import digest, slug
from halfinch.catalogue.same_decisions import Pair
from halfinch.catalogue.tables import GARMENT_POINTS
from halfinch.catalogue.views import SAME_NM
from halfinch.knowledge.spec_same import SameStyle

LOOK_ALIKE = str.maketrans("oil", "011")
"""Letters that are taken for digits in a code."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """`weight` above 0 speaks for one style."""

    says: str
    weight: float


@dataclass(frozen=True, slots=True)
class Proposal:
    """Two garments that may be one style."""

    one: Told
    other: Told
    evidence: tuple[Evidence, ...]

    @property
    def pair(self) -> Pair:
        first, second = sorted((self.one.garment_id, self.other.garment_id))
        return first, second

    @property
    def proposal_id(self) -> str:
        return proposal_id(self.pair)

    @property
    def score(self) -> float:
        return sum(piece.weight for piece in self.evidence)


def proposal_id(pair: Pair) -> str:
    """What a person names a pair by."""
    return digest("proposal", *pair)


def find_proposals(garments: Sequence[Told], rules: SameStyle, decided: Collection[Pair] = ()) -> list[Proposal]:
    """The pairs that reach the limit, surest first; those that were decided already are left out."""
    by_id = {told.garment_id: told for told in garments}
    found = []
    for pair in {pair for pair in candidates(garments, rules) if pair not in decided}:
        one, other = sorted((by_id[name] for name in pair), key=_in_order)
        found.append(Proposal(one, other, weigh(one, other, rules)))
    least = float(rules.limit["propose"].value)
    proposals = [proposal for proposal in found if proposal.score >= least]
    return sorted(proposals, key=lambda proposal: (-proposal.score, proposal.pair))


def _in_order(told: Told) -> tuple[str, str, str]:
    return told.words.get("merchant", ""), told.name, told.garment_id


def candidates(garments: Sequence[Told], rules: SameStyle) -> Iterator[Pair]:
    """Pairs worth comparing, some of them several times."""
    common = int(rules.limit["common"].value)
    keys: tuple[Callable[[Told], str], ...] = (_folded_code, _code_stem, _name_key)
    for key in keys:
        yield from _sharing(((told.garment_id, [key(told)]) for told in garments), common, 1)
    figures = ((told.garment_id, [(p, s, said[0].nm) for (p, s, _), said in _usable(told)]) for told in garments)
    yield from _sharing(figures, common, int(rules.limit["figures"].value))
    yield from _spelt_alike(garments, float(rules.limit["name"].value))


def _sharing(borne: Iterable[tuple[str, Sequence[object]]], most: int, least: int) -> Iterator[Pair]:
    """Pairs that share `least` keys, each of which no more than `most` bear."""
    bearers: dict[object, set[str]] = defaultdict(set)
    for garment_id, keys in borne:
        for key in keys:
            if key:
                bearers[key].add(garment_id)
    shared: Counter[Pair] = Counter()
    for names in bearers.values():
        if 2 <= len(names) <= most:
            shared.update((one, other) for one, other in combinations(sorted(names), 2))
    return (pair for pair, count in shared.items() if count >= least)


def _spelt_alike(garments: Sequence[Told], least: float) -> Iterator[Pair]:
    """Within a merchant: names that rapidfuzz finds alike."""
    from rapidfuzz.fuzz import token_sort_ratio
    from rapidfuzz.process import cdist

    of: dict[str, list[Told]] = defaultdict(list)
    for told in garments:
        if _name(told):
            of[slug(told.words.get("merchant", ""))].append(told)
    for group in of.values():
        names = [_name(told) for told in group]
        near = cdist(names, names, scorer=token_sort_ratio, score_cutoff=least)
        for row, column in zip(*near.nonzero(), strict=True):
            if row < column:
                one, other = sorted((group[row].garment_id, group[column].garment_id))
                yield one, other


def weigh(one: Told, other: Told, rules: SameStyle) -> tuple[Evidence, ...]:
    """Every piece of evidence, for and against."""
    weights = {name: float(row.value) for name, row in rules.weight.items()}
    limits = {name: float(row.value) for name, row in rules.limit.items()}
    found = [*_weigh_codes(one, other, weights), *_weigh_names(one, other, weights, limits["name"])]
    found += _weigh_figures(one, other, weights["same_figures"], int(limits["figures"]))
    merchants, silhouettes, blocks, fabrics = (
        (one.words.get(word, ""), other.words.get(word, "")) for word in ("merchant", "silhouette", "block", "fabric")
    )
    if slug(merchants[0]) != slug(merchants[1]):
        found.append(Evidence("another merchant", weights["other_merchant"]))
    if all(silhouettes):
        same = silhouettes[0] == silhouettes[1]
        says = f"both are {silhouettes[0]}" if same else f"{silhouettes[0]} here, {silhouettes[1]} there"
        found.append(Evidence(says, weights["same_silhouette" if same else "other_silhouette"]))
    if all(blocks) and slug(blocks[0]) != slug(blocks[1]):
        found.append(Evidence(f"{blocks[0]} here, {blocks[1]} there", weights["other_block"]))
    if all(fabrics) and _alike(*fabrics) >= limits["fabric"]:
        found.append(Evidence("the same fabric", weights["alike_fabric"]))
    return tuple(found)


def _weigh_codes(one: Told, other: Told, weights: dict[str, float]) -> Iterator[Evidence]:
    codes = [told.words.get("style_code", "") for told in (one, other)]
    if not all(codes):
        return
    if _code(one) == _code(other):
        yield Evidence(f"the same code, {codes[1]}", weights["same_code"])
    elif _folded_code(one) == _folded_code(other) or _code_stem(one) == _code_stem(other) != "":
        yield Evidence(f"codes alike: {codes[0]}, {codes[1]}", weights["alike_code"])
    else:
        yield Evidence(f"other codes: {codes[0]}, {codes[1]}", weights["other_code"])


def _weigh_names(one: Told, other: Told, weights: dict[str, float], least: float) -> Iterator[Evidence]:
    names = [_name(told) for told in (one, other)]
    if not all(names):
        return
    told = f"{one.words['style']}, {other.words['style']}"
    if _name_key(one) == _name_key(other):
        yield Evidence(f"the same name, {other.words['style']}", weights["same_name"])
        return
    numbers = [set(re.findall(r"\d+", name)) for name in names]
    if numbers[0] != numbers[1] and all(numbers):
        yield Evidence(f"other numbers: {told}", weights["other_number"])
    likeness = _alike(*names)
    if likeness >= least:
        yield Evidence(f"names alike: {told}", weights["alike_name"] * (likeness - least) / (100 - least))


def _weigh_figures(one: Told, other: Told, weight: float, least: int) -> Iterator[Evidence]:
    """A length that only one side names may be another one: then figures that differ say nothing."""
    told = dict(_usable(one)), dict(_usable(other))
    here, there = one_length(*told)
    both = here.keys() & there.keys()
    if len(both) < least:
        return
    same = sum(abs(here[what][0].nm - there[what][0].nm) <= SAME_NM for what in both)
    worth = 2 * same / len(both) - 1
    if worth > 0 or (here, there) == told:
        yield Evidence(f"{same} of {len(both)} figures that both tell agree", weight * worth)


def _usable(told: Told) -> Iterator[tuple[What, tuple[Said, ...]]]:
    """What counts: figures of the garment itself that may be believed."""
    for what, said in told.figures.items():
        if what[0] in GARMENT_POINTS and said[0].value[2]:
            yield what, said


def _alike(one: str, other: str) -> float:
    from rapidfuzz.fuzz import token_sort_ratio

    return float(token_sort_ratio(slug(one).replace("-", " "), slug(other).replace("-", " ")))


def _name(told: Told) -> str:
    return slug(told.words.get("style", "")).replace("-", " ")


def _name_key(told: Told) -> str:
    """The words of a name in order, a plural s left off: jean wide, wide jeans."""
    return " ".join(sorted(word.removesuffix("s") if len(word) > 3 else word for word in _name(told).split()))


def _code(told: Told) -> str:
    return slug(told.words.get("style_code", "")).replace("-", "")


def _folded_code(told: Told) -> str:
    return _code(told).translate(LOOK_ALIKE)


def _code_stem(told: Told) -> str:
    """A code without the letters behind its last digit: TM-2207P is TM-2207; '' where too little is left."""
    stem = re.sub(r"(?<=\d)[a-z]{1,2}$", "", _code(told))
    return stem if len(stem) >= 4 else ""
