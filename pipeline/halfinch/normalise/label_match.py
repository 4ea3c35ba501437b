"""Which phrases stand in a run of words, and which words say where a point is measured.

In: tokens of one label or clause. Out: `Match`es that do not overlap, and the place ("14 in below crotch").
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from halfinch.normalise.label_lexicon import OVER, POINT, Entry, Lexicon
from halfinch.normalise.label_tokens import INCH_SIGNS, Token, read_amount

PARTING = frozenset("()[]-–—,")
DASHES = frozenset("-–—−~〜～→:")
_ORDER = {
    POINT: 0,
    OVER: 0,
    "whose": 1,
    "qualifier": 2,
    "style": 3,
    "where": 3,
    "midway": 3,
    "convention": 4,
    "unit": 5,
    "filler": 6,
    "soft": 6,
}
_MENTIONS = (POINT, OVER)
_NOT_MATCHED = frozenset({"reference"})


@dataclass(frozen=True, slots=True)
class Word:
    """A token with the known words behind it (several for a compound)."""

    token: Token
    text: str
    bent: bool = False


@dataclass(frozen=True, slots=True)
class Match:
    """One phrase found. `at` are positions in the list of words."""

    entry: Entry
    at: frozenset[int]

    @property
    def first(self) -> int:
        return min(self.at)

    @property
    def last(self) -> int:
        return max(self.at)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a point is measured: `amount` from `origin`, and the words that said so."""

    amount: Fraction | None
    unit: str
    origin: str
    words: frozenset[int]


def know_words(tokens: list[Token], lexicon: Lexicon, bend: bool = True) -> list[Word]:
    """Tokens with their known words: runs of Chinese cut, compounds opened, misspellings bent where `bend`."""
    words: list[Word] = []
    for token in tokens:
        if token.kind == "eastern":
            words.extend(Word(piece, piece.text) for piece in lexicon.cut_eastern(token))
        elif token.spaced:
            words.extend(Word(token, part) for part in lexicon.part_letters(token.text))
        elif token.kind == "word":
            parts, bent = lexicon.find_words(token.text, bend)
            words.extend(Word(token, part, bent) for part in parts)
        else:
            words.append(Word(token, token.text))
    return words


def find_matches(words: list[Word], lexicon: Lexicon, taken: frozenset[int] = frozenset()) -> list[Match]:
    """The longest phrases first, none overlapping; words in `taken` are spoken for."""
    candidates = [match for match in _candidates(words, lexicon, taken) if not match.entry.alone]
    candidates = [match for match in candidates if not _is_turned(match, words, lexicon)]
    strong = [one for one in candidates if not (one.entry.weak and len(one.at) == 1)]
    chosen = _choose(strong, words, lexicon)
    if not any(one.entry.kind in _MENTIONS for one in chosen):
        chosen = _choose(candidates, words, lexicon)
    mentions = [one for one in chosen if one.entry.kind in _MENTIONS]
    if any(one.entry.weak for one in mentions) and not all(one.entry.weak for one in mentions):
        sure = [one for one in candidates if not (one.entry.kind in _MENTIONS and one.entry.weak)]
        chosen = _choose(sure, words, lexicon)
    return sorted(chosen, key=lambda one: one.first)


def _candidates(words: list[Word], lexicon: Lexicon, taken: frozenset[int]) -> list[Match]:
    every = [
        i
        for i, word in enumerate(words)
        if i not in taken and (word.token.kind != "sign" or word.text in lexicon.signs)
    ]
    spoken = [
        i
        for i in every
        if "filler" not in lexicon.roles.get(words[i].text, ())
        and words[i].token.kind in ("word", "eastern")
        and not _is_unit(words[i], lexicon)
    ]
    inner = [i for i in spoken if not lexicon.is_filler(words[i].text)]
    keys = [_key(word) for word in words]
    found: dict[frozenset[int], Match] = {}
    for indices in (every, spoken, inner) if spoken not in (every, inner) else (every, inner):
        for start in range(len(indices)):
            for stop in range(start + 1, min(len(indices), start + lexicon.longest) + 1):
                if keys[indices[stop - 1]] not in lexicon.in_phrases:
                    break  # most words of a text stand in no phrase, nor does any run with one of them
                window = indices[start:stop]
                entries = lexicon.entries.get(tuple(sorted(keys[i] for i in window)))
                if entries is None:
                    continue
                at = frozenset(window)
                if len(window) == 1 and _leads_on(words, start, indices, lexicon):
                    entries = tuple(entry for entry in entries if entry.kind != POINT)
                best = min((one for one in entries if one.kind not in _NOT_MATCHED), key=_rank, default=None)
                for entry in entries:
                    if entry.kind in _MENTIONS or entry is best:
                        known = found.get(at)
                        if known is None or _rank(entry) < _rank(known.entry):
                            found[at] = Match(entry, at)
    return list(found.values())


def _leads_on(words: list[Word], start: int, indices: list[int], lexicon: Lexicon) -> bool:
    """A word of place before another name: "bajo la rodilla" is under the knee, and no hem."""
    if not lexicon.roles.get(words[indices[start]].text, frozenset()) & {"at", "below"}:
        return False
    after = [i for i in indices[start + 1 :] if not lexicon.is_filler(words[i].text)][:1]
    return any(entry.kind in _MENTIONS for i in after for entry in lexicon.entries.get((words[i].text,), ()))


def _key(word: Word) -> str:
    return "½" if word.token.kind == "number" and word.token.text.replace(" ", "") in ("1⁄2", "1/2") else word.text


def _is_turned(match: Match, words: list[Word], lexicon: Lexicon) -> bool:
    """ "sin cintura" is without the band; in "cintura sin estirar" the small word belongs to what follows."""
    if match.entry.kind != "qualifier":
        return False
    marks = [i for i in match.at if "including" in lexicon.roles.get(words[i].text, ())]
    loose = [i for i in marks if "included" not in lexicon.roles[words[i].text] and words[i].token.kind != "eastern"]
    denied = {i for i in match.at if "not" in lexicon.roles.get(words[i].text, ()) and not _is_name(words[i], lexicon)}
    return bool(loose) and min(match.at - denied) not in marks


def _is_name(word: Word, lexicon: Lexicon) -> bool:
    return any(entry.kind in _MENTIONS for entry in lexicon.entries.get((word.text,), ()))


def _is_unit(word: Word, lexicon: Lexicon) -> bool:
    return any(entry.kind == "unit" for entry in lexicon.entries.get((word.text,), ())) and word.text != "in"


def _rank(entry: Entry) -> tuple[bool, int]:
    return entry.weak or entry.alone, _ORDER.get(entry.kind, 9)


def _choose(candidates: list[Match], words: list[Word], lexicon: Lexicon) -> list[Match]:
    """Longest first; at the same length the point before the modifier, the closer words before the scattered.

    What stands with "incl." or "without" belongs to that word; a phrase over a sign counts half a word less.
    """

    def order(match: Match) -> tuple[bool, float, int, bool, int, int]:
        band = match.entry.kind == "qualifier" and match.entry.name in ("with_band", "without_band")
        marks = ({"including", "included"} & lexicon.roles.get(words[i].text, frozenset()) for i in match.at)
        marked = band and len(match.at) > 1 and any(marks)
        crossing = any(words[i].text in PARTING for i in range(match.first, match.last))
        size = len(match.at) - (0.5 if crossing else 0)
        rank = _ORDER.get(match.entry.kind, 9)
        return not marked, -size, rank, match.entry.weak, match.last - match.first, match.first

    used: set[int] = set()
    chosen: list[Match] = []
    for match in sorted(candidates, key=order):
        if not match.at & used:
            used |= match.at
            chosen.append(match)
    return chosen


def find_place(words: list[Word], lexicon: Lexicon) -> Place | None:
    """ "14 in below crotch", "crotch - 1 in down", "裆下 2.5cm", "from top 3 in"; None where no number says where."""
    for index, word in enumerate(words):
        if word.token.kind != "number" and word.text not in ("one", "two", "three"):
            continue
        place = _place_around(words, index, lexicon)
        if place is not None:
            return place
    return None


def find_midway(words: list[Word], lexicon: Lexicon) -> Place | None:
    """ "(halfway)", "@ 1/2 inseam - 2 in", "half way between crotch and hem": a place, no half and no inseam."""
    if not any(_key(word) in lexicon.in_midway for word in words):
        return None
    for start in range(len(words)):
        for stop in range(min(len(words), start + 5), start, -1):
            inner = [i for i in range(start, stop) if not lexicon.is_filler(words[i].text)]
            if not inner or inner[0] != start or inner[-1] != stop - 1:
                continue
            entries = lexicon.entries.get(tuple(sorted(_key(words[i]) for i in inner)), ())
            if any(entry.kind == "midway" for entry in entries):
                return Place(None, "", "", frozenset(range(start, _midway_ends(words, stop, lexicon))))
    return None


def _midway_ends(words: list[Word], stop: int, lexicon: Lexicon) -> int:
    """Where the words end that say between what the middle lies, or by how much it is moved."""
    roles = lexicon.roles.get(words[stop].text, frozenset()) if stop < len(words) else frozenset()
    if "between" in roles:
        return next((i for i in range(stop, len(words)) if words[i].text in ")]"), len(words))
    if not ("less" in roles or (stop < len(words) and words[stop].text in (*DASHES, "+"))):
        return stop
    if stop + 1 == len(words) or words[stop + 1].token.kind != "number":
        return stop
    unit = stop + 2 < len(words) and _unit_of(words[stop + 2], lexicon)
    return stop + 3 if unit else stop + 2


_SPELT = {"one": Fraction(1), "two": Fraction(2), "three": Fraction(3)}


def _place_around(words: list[Word], index: int, lexicon: Lexicon) -> Place | None:
    used = {index}
    amount = _SPELT.get(words[index].text) or read_amount(words[index].token.raw)
    after = index + 1
    if after + 1 < len(words) and words[after].text in DASHES and words[after + 1].token.kind == "number":
        used |= {after, after + 1}
        amount, after = None, after + 2
    unit = ""
    if after < len(words) and (unit := _unit_of(words[after], lexicon)):
        used.add(after)
        after += 1
    elif words[index].token.kind != "number":
        return None
    below, reference, reached = _walk(words, after, 1, lexicon, {"below"})
    if below and reference:
        return Place(amount, unit, reference.entry.name, frozenset(used | reached))
    before_below, before_reference, before = _walk(words, index - 1, -1, lexicon, {"below"})
    if below and before_reference:
        return Place(amount, unit, before_reference.entry.name, frozenset(used | reached | before))
    if before_below and before_reference:
        return Place(amount, unit, before_reference.entry.name, frozenset(used | before))
    at_word = index > 0 and (words[index - 1].text == "@" or "at" in lexicon.roles.get(words[index - 1].text, ()))
    lead = {index - 1} if at_word else set()
    if at_word and not unit and not below and (origin := _origin_after(words, after, lexicon)) is not None:
        span = range(after, origin.last + 1)  # "à 190 de la ceinture": in the unit of the table
        return Place(amount, "", origin.entry.name, frozenset(used | lead | set(span)))
    # An article as often as a preposition: "a 10 in front rise", but "a 2,5 cm del tiro".
    article = at_word and words[index - 1].text in ("a", "an")
    followed = after < len(words) and words[after].token.kind == "word"  # not "cadera a 20 cm: 52"
    if article and followed and not below and _origin_after(words, after, lexicon) is None:
        return None
    if (below or at_word) and unit:
        if at_word and not below and (origin := _origin_after(words, after, lexicon)) is not None:
            span = range(after, origin.last + 1)
            return Place(amount, unit, origin.entry.name, frozenset(used | lead | set(span)))
        return Place(amount, unit, "", frozenset(used | lead | (reached if below else set())))
    return None


def _origin_after(words: list[Word], start: int, lexicon: Lexicon) -> Match | None:
    """The reference behind a small word: "a 2,5 cm del tiro"."""
    index = start
    while index < min(start + 3, len(words)) and lexicon.is_filler(words[index].text):
        index += 1
    return _reference_at(words, index, 1, lexicon) if index > start else None


def _unit_of(word: Word, lexicon: Lexicon) -> str:
    if word.token.text in INCH_SIGNS or word.token.raw in INCH_SIGNS:
        return "in"
    return next((entry.name for entry in lexicon.entries.get((word.text,), ()) if entry.kind == "unit"), "")


def _walk(
    words: list[Word], start: int, step: int, lexicon: Lexicon, kinds: set[str]
) -> tuple[bool, Match | None, set[int]]:
    """Go on from a number over words of direction and small words to a reference."""
    reached: set[int] = set()
    seen = False
    reference: Match | None = None
    index = start
    while 0 <= index < len(words):
        found = _reference_at(words, index, step, lexicon)
        roles = lexicon.roles.get(words[index].text, frozenset())
        eastern = words[index].token.kind == "eastern"
        if found is not None and (seen if step > 0 else not seen or eastern):
            reference = found
            reached |= found.at
            index = (found.last if step > 0 else found.first) + step
            if step > 0:
                break
            continue
        if kinds & roles:
            seen = True
        elif not (roles & {"filler", "soft"} or words[index].text in DASHES or words[index].text in "()@,"):
            break
        if words[index].text in "()" and step < 0:
            break
        if reference is not None and step < 0 and not kinds & roles:
            break
        reached.add(index)
        index += step
    return seen, reference, reached


def _reference_at(words: list[Word], index: int, step: int, lexicon: Lexicon) -> Match | None:
    """The longest reference ("top edge", "crotch seam") that begins (or, going back, ends) here."""
    for size in (4, 3, 2, 1):
        span = range(index, index + size) if step > 0 else range(index - size + 1, index + 1)
        if span.start < 0 or span.stop > len(words):
            continue
        for key in (tuple(sorted(words[i].text for i in span)), _bare(words, span, lexicon)):
            for entry in lexicon.entries.get(key, ()):
                if entry.kind == "reference":
                    return Match(entry, frozenset(span))
    return None


def _bare(words: list[Word], span: range, lexicon: Lexicon) -> tuple[str, ...]:
    texts = [words[i].text for i in span]
    if lexicon.is_filler(texts[0]) or lexicon.is_filler(texts[-1]):
        return ()
    return tuple(sorted(text for text in texts if not lexicon.is_filler(text)))


def with_place_origin(place: Place, point: str) -> Place:
    """A place without a named origin: thigh and knee are measured from the crotch, hips from the top edge."""
    if place.origin:
        return place
    return replace(place, origin={"thigh": "crotch", "knee": "crotch", "hip": "top edge"}.get(point, ""))
