"""What the words of one label say together: the subject, the convention, the place, the unit, the score.

In: words of a label (see `label_match`). Out: a `PointLabel`, or None where no one thing is named.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise

from halfinch.knowledge import Knowledge
from halfinch.normalise.label_lexicon import OVER, POINT, Lexicon
from halfinch.normalise.label_match import Match, Place, Word, find_matches, find_midway, find_place, with_place_origin
from halfinch.normalise.label_tokens import INCH_SIGNS

_ENDS = {
    "front_rise": ("waist",),
    "back_rise": ("waist",),
    "inseam": ("leg_opening",),
    "outseam": ("leg_opening", "waist"),
}
"""Where a length ends by itself: "rise to waistband" is the rise, and no distance."""
_BANDS = ("with_band", "without_band")
WEAK = Fraction(2, 5)
"""What a name that often means another thing is worth."""
WEAK_GIRTH = Fraction(3, 5)
"""What such a name is worth where the label says flat or round: "Opening (flat)", "1/2 bottom"."""
BENT = Fraction(9, 10)
"""What a misspelling leaves of the score."""


@dataclass(frozen=True, slots=True)
class PointLabel:
    """What a label says."""

    point: str
    """waist, hip ... label_waist, body_height; '' for a name that is read over. A girth of the body is `waist` with
    the qualifier `body`."""
    not_ours: str = ""
    """What is measured instead: total_rise, pocket, height, knee_length, distance ..."""
    convention: str = ""
    unit: str = ""
    at: Fraction | None = None
    at_unit: str = ""
    at_from: str = ""
    """crotch | top edge | band"""
    qualifiers: frozenset[str] = field(default_factory=frozenset)
    code: str = ""
    if_code: str = ""
    """The point meant where the letter before it is only the letter of a row: "B. Rise" below "A. Waist"."""
    score: Fraction = Fraction(1)
    """Share of the words that were understood; less for a name that often means another thing."""
    rest: str = ""
    """The words that were not understood."""
    fuzzy: bool = False
    """A misspelling was bent."""
    bare_rise: bool = False
    """A "rise" that does not say whether it is the front, the back or both."""


def read_words(words: list[Word], knowledge: Knowledge, lexicon: Lexicon, code: str = "") -> PointLabel | None:
    """Read a label from its words; None when it names nothing known, or two points at once."""
    for place in (find_midway(words, lexicon), find_place(words, lexicon)):
        label = _read_with_place(words, place, knowledge, lexicon, code) if place is not None else None
        if label is not None:
            return label
    return _read_matches(words, find_matches(words, lexicon), None, knowledge, lexicon, code)


def _read_with_place(
    words: list[Word], place: Place, knowledge: Knowledge, lexicon: Lexicon, code: str
) -> PointLabel | None:
    placing = {i for i, word in enumerate(words) if "placing" in lexicon.roles.get(word.text, ())}
    place = replace(place, words=place.words | placing)
    matches = find_matches(words, lexicon, place.words)
    label = _read_matches(words, matches, place, knowledge, lexicon, code)
    if label is None or (label.point and knowledge.points[label.point].kind == "length"):
        return None
    return label


def _read_matches(
    words: list[Word],
    matches: list[Match],
    place: Place | None,
    knowledge: Knowledge,
    lexicon: Lexicon,
    code: str,
) -> PointLabel | None:
    if not any(match.entry.kind in (POINT, OVER) for match in matches):
        said = frozenset(i for match in matches if match.entry.kind in ("convention", "qualifier") for i in match.at)
        matches = [*matches, *_read_alone(words, (place.words if place else frozenset()) | said, lexicon)]
    matches = _turn_ends(matches, words, lexicon)
    mentions = [match for match in matches if match.entry.kind in (POINT, OVER)]
    if not mentions:
        return None
    subject = choose_subject(mentions, words, lexicon, knowledge)
    if subject is None:
        return None
    name, ours, flat_by_ends = subject
    used = _used_words(words, matches, place, lexicon)
    if ours and knowledge.points[name].kind == "circumference" and (part := _part_of_girth(words, used, lexicon)):
        return PointLabel("", f"{name}_{part}", code=code)
    qualifiers = {match.entry.name for match in matches if match.entry.kind == "qualifier"}
    whose = {match.entry.name for match in matches if match.entry.kind == "whose"}
    if name.startswith("body_") and name != "body_height":
        name, whose = name.removeprefix("body_"), whose | {"body"}
    if "body" in whose or name == "body_height":
        qualifiers.add("body")
    if ours and "label" in whose and f"label_{name}" in knowledge.points:
        name = f"label_{name}"
    if name == "waistband_height":
        qualifiers.add("waistband_height")
    score, rest = _score(words, matches, place, used, name if ours else "", knowledge, lexicon)
    length = ours and knowledge.points[name].kind == "length"
    convention = "" if length else read_convention(matches, words, lexicon) or ("flat" if flat_by_ends else "")
    if length and any("girth_noun" in lexicon.roles.get(words[i].text, ()) for i in range(len(words)) if i not in used):
        score /= 2
    placed = with_place_origin(place, name) if place is not None and ours else None
    return PointLabel(
        point=name if ours else "",
        not_ours="" if ours else name,
        convention=convention,
        unit=_unit(words, matches, place, lexicon),
        at=placed.amount if placed else None,
        at_unit=placed.unit if placed else "",
        at_from=placed.origin if placed and placed.amount is not None else "",
        qualifiers=frozenset(qualifiers),
        code=code,
        score=score,
        rest=rest,
        fuzzy=any(words[i].bent for match in matches for i in match.at),
        bare_rise=name == "front_rise"
        and ours
        and not any(words[i].text in lexicon.front for match in mentions for i in match.at),
    )


def _turn_ends(matches: list[Match], words: list[Word], lexicon: Lexicon) -> list[Match]:
    """The band's edge behind a length says where it ends: "rise (top of waistband)" has no second point."""
    lengths = [match.first for match in matches if match.entry.kind == POINT and match.entry.name in _ENDS]
    turned: list[Match] = []
    for match in matches:
        if lengths and min(lengths) < match.first and match.entry.name in ("waist", "outseam"):
            key = tuple(sorted(words[i].text for i in match.at))
            bands = [one for one in lexicon.entries.get(key, ()) if one.kind == "qualifier" and one.name in _BANDS]
            match = replace(match, entry=bands[0]) if bands else match
        turned.append(match)
    return turned


def _read_alone(words: list[Word], taken: frozenset[int], lexicon: Lexicon) -> list[Match]:
    """A short code that is the whole label but for how it is measured: "W/B", "FR", "LO", "WB relaxed", "1/2 WB"."""
    inner = [i for i, word in enumerate(words) if word.token.kind in ("word", "eastern") and i not in taken]
    inner = [i for i in inner if not any(e.kind == "unit" for e in lexicon.entries.get((words[i].text,), ()))] or inner
    key = tuple(sorted(words[i].text for i in inner))
    if any(word.token.kind == "number" for i, word in enumerate(words) if i not in taken):
        return []
    return [Match(entry, frozenset(inner)) for entry in lexicon.entries.get(key, ()) if entry.alone][:1]


def choose_subject(
    mentions: list[Match], words: list[Word], lexicon: Lexicon, knowledge: Knowledge
) -> tuple[str, bool, bool] | None:
    """(name, ours, flat by its ends) of the one thing that a label is about; None for two points of equal weight."""
    ends: list[Match] = []
    for left, right in pairwise(mentions):
        if left.entry.name == right.entry.name or not _leads_to(left, right, words, lexicon):
            continue
        if _is_level(left, right, knowledge):
            ends.append(right)
            continue
        if right.entry.name not in _ENDS.get(left.entry.name, ()):
            return "distance", False, False
        ends.append(right)
    always = {name for name, thing in knowledge.read_over.thing.items() if thing.always}
    rest = [one for one in mentions if one not in ends]
    rest = [one for one in rest if not _stands_behind(one, words, lexicon, {"including"})] or rest
    heads = [
        one
        for index, one in enumerate(rest)
        if index == 0 or one.entry.name in always or not _stands_behind(one, words, lexicon, {"at", "below"})
    ]
    points = list(dict.fromkeys(one.entry.name for one in heads if one.entry.kind == POINT))
    things = [one for one in heads if one.entry.kind == OVER]
    if len(points) == 1:
        allowed = {n for n, thing in knowledge.read_over.thing.items() if points[0] in thing.beside}
        things = [one for one in things if one.entry.name not in allowed]
    if things:
        longest = max(things, key=lambda one: len(one.at))
        return longest.entry.name, False, False
    if len(points) != 1:
        return None
    pairs = pairwise(heads)
    across = any(a.entry.name == b.entry.name and _leads_to(a, b, words, lexicon) for a, b in pairs)
    return points[0], True, across


def _is_level(left: Match, right: Match, knowledge: Knowledge) -> bool:
    """ "muslo a la altura del tiro": a girth at the level of a seam, no way from one to the other."""
    if left.entry.kind != POINT or right.entry.kind != POINT:
        return False
    return knowledge.points[left.entry.name].kind == "circumference" and right.entry.name in ("front_rise", "inseam")


def _leads_to(left: Match, right: Match, words: list[Word], lexicon: Lexicon) -> bool:
    """Whether a word for "to" stands between; one that also means "at" or "of" only where no word of place does."""
    between = [lexicon.roles.get(words[i].text, frozenset()) for i in range(left.last + 1, right.first)]
    joining = [roles for roles in between if "to" in roles]
    if any(not roles & {"at", "filler"} for roles in joining):
        return True
    placed = any({"at", "below"} & roles for roles in between if "to" not in roles)
    return bool(joining) and not placed


def _stands_behind(match: Match, words: list[Word], lexicon: Lexicon, kinds: set[str]) -> bool:
    """Whether a word of `kinds` stands before a mention: "at hip", "below pocket", "incl. waistband"."""
    index = match.first - 1
    while index >= 0:
        if lexicon.roles.get(words[index].text, frozenset()) & kinds:
            return True
        if not (words[index].text == "." or lexicon.is_filler(words[index].text)):
            return False
        index -= 1
    return False


def _used_words(words: list[Word], matches: list[Match], place: Place | None, lexicon: Lexicon) -> frozenset[int]:
    used = {i for match in matches for i in match.at}
    if place is not None:
        used |= place.words
    return frozenset(used)


def _part_of_girth(words: list[Word], used: frozenset[int], lexicon: Lexicon) -> str:
    """What makes a girth's name none: "knee height" is a length, "front waist" only a piece of one."""
    for index, word in enumerate(words):
        roles = lexicon.roles.get(word.text, frozenset())
        if index in used:
            continue
        if "length_noun" in roles and "girth_noun" not in roles and "soft" not in roles:
            return "length"
        if "piece" in roles:
            return "piece"
    return ""


def read_convention(matches: list[Match], words: list[Word], lexicon: Lexicon) -> str:
    """Flat or round; half a circumference is flat; two words that contradict each other say nothing."""
    said = {match.entry.convention for match in matches if match.entry.convention}
    half = "flat" in said
    for match in matches:
        if match.entry.kind == POINT:
            said |= _said_inside(match, words, lexicon)
        if match.entry.kind == "convention":
            said.add(match.entry.name)
            key = tuple(sorted("½" if words[i].token.kind == "number" else words[i].text for i in match.at))
            half = half or (match.entry.name == "flat" and (key in lexicon.beside or "½" in key))
    if len(said) == 2:
        return "flat" if half else ""
    return said.pop() if said else ""


def _said_inside(match: Match, words: list[Word], lexicon: Lexicon) -> set[str]:
    """Words for flat or round inside a name: "tour de taille" is round, "ancho de bajo" flat, "full hip" neither."""
    said: set[str] = set()
    for index in match.at:
        text = words[index].text
        apart = index and words[index - 1].token.kind == "sign" and index - 1 not in match.at
        if apart or "in_name" not in lexicon.roles.get(text, ()):
            said |= {entry.name for entry in lexicon.entries.get((text,), ()) if entry.kind == "convention"}
    return said


def _unit(words: list[Word], matches: list[Match], place: Place | None, lexicon: Lexicon) -> str:
    units = {match.entry.name for match in matches if match.entry.kind == "unit" and not _is_plain_in(match, words)}
    taken = place.words if place is not None else frozenset()
    for index, word in enumerate(words):
        if index in taken or (index and words[index - 1].token.kind == "number"):
            continue
        if word.token.raw in INCH_SIGNS:
            units.add("in")
        if word.text == "in" and _stands_alone(words, index):
            units.add("in")
    return units.pop() if len(units) == 1 else ""


def _is_plain_in(match: Match, words: list[Word]) -> bool:
    return len(match.at) == 1 and words[match.first].text == "in"


def _stands_alone(words: list[Word], index: int) -> bool:
    """ "in" in brackets or at the end is a unit, elsewhere a word."""
    before = words[index - 1].text if index else ""
    return index == len(words) - 1 or (
        before in ("(", "[", "/", ",", "-") and words[index + 1].text in (")", "]", "/", ".", ",")
    )


def _score(
    words: list[Word],
    matches: list[Match],
    place: Place | None,
    used: frozenset[int],
    point: str,
    knowledge: Knowledge,
    lexicon: Lexicon,
) -> tuple[Fraction, str]:
    """Share of content words that were understood, and the words that were not."""
    noun = ""
    if point:
        noun = "length_noun" if knowledge.points[point].kind == "length" else "girth_noun"
    understood = total = 0
    rest: list[str] = []
    silent = {"soft", "at", "below", "to", "and", noun}
    for index, word in enumerate(words):
        roles = lexicon.roles.get(word.text, frozenset())
        if word.token.kind == "sign" or ("filler" in roles and index not in used):
            continue
        if index in used:
            understood, total = understood + 1, total + 1
        elif not silent & roles:
            total += 1
            rest.extend([word.token.raw] if word.token.raw not in rest else [])
    score = Fraction(understood, total) if total else Fraction(1)
    mentions = [match for match in matches if match.entry.kind in (POINT, OVER)]
    if all(match.entry.weak and match.entry.kind == POINT for match in mentions):
        girth = noun == "girth_noun" and any(match.entry.kind == "convention" for match in matches)
        score *= WEAK_GIRTH if girth else WEAK
    if any(match.entry.alone for match in mentions):
        score *= Fraction(4, 5) if sum(len(words[i].text) for i in mentions[0].at) > 1 else WEAK
    if any(words[i].bent for match in mentions for i in match.at):
        score *= BENT
    return score, " ".join(rest)
