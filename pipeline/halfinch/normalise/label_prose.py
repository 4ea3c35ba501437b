"""Labels within sentences, lists and rows of text.

A clause ends at a stop, a comma, a bracket, a line's end and a number that is not part of a place ("14 in below
crotch"). Words beside a name belong to it: "waist (relaxed, laid flat)" is one label.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from halfinch.knowledge import Knowledge
from halfinch.knowledge.folding import fold
from halfinch.normalise.label_lexicon import OVER, POINT, Lexicon, make_lexicon
from halfinch.normalise.label_match import Match, Place, Word, find_matches, find_place, know_words, with_place_origin
from halfinch.normalise.label_reading import PointLabel, read_words
from halfinch.normalise.label_short import choose_words, may_be_cut
from halfinch.normalise.label_tokens import INCH_SIGNS, Token, cut_tokens

_BREAKS = frozenset(".;:|,()[]{}/=•·*!?。、，；：（）／｜・")
_SOFT_BREAKS = frozenset("(,（，")
BEND_FROM = 6
"""In prose only a word of so many letters may be a misspelling of ours."""
_MODIFIERS = ("qualifier", "convention", "whose")


@dataclass(frozen=True, slots=True)
class FoundLabel:
    """A label within a text, characters `start` to `end`."""

    start: int
    end: int
    label: PointLabel


def find_labels_in_clauses(text: str, knowledge: Knowledge) -> list[FoundLabel]:
    """Mentions of points, and of things to be read over, in running text; in order, not overlapping."""
    lexicon = make_lexicon(knowledge)
    words = _know(cut_tokens(text), lexicon)
    if not words:
        return []
    words = _write_out(words, text, knowledge, lexicon)
    words = [word for index, word in enumerate(words) if not _is_mark_of_cut(words, index, text, lexicon)]
    places = _find_places(words, lexicon)
    kept = [place for place in places if _serves(place, words, text, knowledge, lexicon)]
    taken = frozenset(index for place in kept for index in place.words)
    found: list[FoundLabel] = []
    for clause in _cut_clauses(words, text, taken):
        if found and _follows(found[-1], clause, words, text) and _explains(clause, words, lexicon):
            longer = _extend(found[-1], clause, words, text, knowledge, lexicon)
            if longer is not None:
                found[-1] = longer
                continue
        found.extend(_read_clause(clause, words, knowledge, lexicon))
    return [_with_places(label, kept, words, text) for label in found]


def cuts_label(word: str, knowledge: Knowledge) -> bool:
    """Whether a word before a stop may be one cut short within a label: "inkl. Bund", "excl. waistband"."""
    lexicon = make_lexicon(knowledge)
    known = fold(word)
    kinds = {entry.kind for entry in lexicon.entries.get((known,), ())}
    return bool(lexicon.roles.get(known, frozenset()) & {"including", "cut"}) or "qualifier" in kinds


def _know(tokens: list[Token], lexicon: Lexicon) -> list[Word]:
    words: list[Word] = []
    for token in tokens:
        words.extend(know_words([token], lexicon, bend=len(token.text) >= BEND_FROM))
    return words


def _write_out(words: list[Word], text: str, knowledge: Knowledge, lexicon: Lexicon) -> list[Word]:
    """The words with those cut short written out, stretch by stretch between signs and numbers."""
    if not any(may_be_cut(word, text, lexicon) for word in words):
        return words
    written: list[Word] = []
    stretch: list[Word] = []
    for index, word in enumerate([*words, None]):
        dot = word is not None and word.text == "." and index > 0 and words[index - 1].token.end == word.token.start
        if word is not None and not dot and word.token.kind != "number" and word.text not in _BREAKS - {"(", ")"}:
            stretch.append(word)
            continue
        if dot and word is not None and not _ends_sentence(word, text):
            stretch.append(word)
            continue
        written.extend(choose_words(stretch, text, knowledge, lexicon) or stretch)
        written.extend([word] if word is not None else [])
        stretch = []
    return written


def _ends_sentence(dot: Word, text: str) -> bool:
    """A stop before a new line, a capital or the end of the text."""
    after = text[dot.token.end : dot.token.end + 2]
    return not after.strip() or after[:1] == "\n" or (after[:1].isspace() and after[1:2].isupper())


def _is_mark_of_cut(words: list[Word], index: int, text: str, lexicon: Lexicon) -> bool:
    """The stop of a cut word ("incl.", "Tiro del.", "B. Rise") ends no clause."""
    if words[index].text != "." or index == 0 or index + 1 == len(words):
        return False
    before, after = words[index - 1], words[index + 1]
    if before.token.end != words[index].token.start or before.token.kind != "word":
        return False
    if len(before.text) == 1:
        named = lexicon.entries.get(tuple(sorted((before.text, after.text))), ())
        return any(entry.kind in (POINT, OVER) for entry in named)
    roles = lexicon.roles.get(before.text, frozenset())
    spelt = before.token.text != fold(before.token.raw) and not _ends_sentence(words[index], text)
    return "including" in roles or "cut" in roles or spelt


def _find_places(words: list[Word], lexicon: Lexicon) -> list[Place]:
    """Every place in a text; each is looked for from its own number on."""
    places: list[Place] = []
    for index, word in enumerate(words):
        if word.token.kind != "number" or any(index in place.words for place in places):
            continue
        low, high = max(0, index - 8), min(len(words), index + 9)
        window = words[low:high]
        masked = [
            replace(one, token=replace(one.token, kind="word"), text="\0")
            if one.token.kind == "number" and low + i < index
            else one
            for i, one in enumerate(window)
        ]
        place = find_place(masked, lexicon)
        if place is not None and index - low in place.words:
            places.append(replace(place, words=frozenset(low + i for i in place.words)))
    return places


def _serves(place: Place, words: list[Word], text: str, knowledge: Knowledge, lexicon: Lexicon) -> bool:
    """Whether the name before a place is one that a place can belong to: a girth, not a length."""
    first = min(place.words)
    before = list(range(max(0, first - 8), first))
    while before and any(words[i].token.kind == "number" or words[i].text in ".;" for i in before):
        before.pop(0)
    if not before:
        return False
    mentions = [m for m in find_matches([words[i] for i in before], lexicon) if m.entry.kind in (POINT, OVER)]
    if not mentions:
        return False
    entry = mentions[-1].entry
    return entry.kind == OVER or knowledge.points[entry.name].kind == "circumference"


def _cut_clauses(words: list[Word], text: str, taken: frozenset[int]) -> list[list[int]]:
    clauses: list[list[int]] = [[]]
    for index, word in enumerate(words):
        if index in taken:
            continue
        previous = index - 1
        between = text[words[previous].token.end : word.token.start] if previous >= 0 else ""
        number = word.token.kind == "number" and word.token.text.replace(" ", "") not in ("1⁄2", "1/2")
        number = number or (word.token.kind == "number" and not _before_name(words, index))
        if number or word.text in _BREAKS or word.token.raw in INCH_SIGNS:
            clauses.append([])
            continue
        if "\n" in between or (previous in taken and clauses[-1] and index - clauses[-1][-1] > 1):
            clauses.append([])
        clauses[-1].append(index)
    return [clause for clause in clauses if clause]


def _before_name(words: list[Word], index: int) -> bool:
    """ "1/2 waist" is half a waist; "waist 1/2" is a figure."""
    return (
        index + 1 < len(words)
        and words[index + 1].token.kind in ("word", "eastern")
        and (index == 0 or words[index - 1].token.kind == "sign")
    )


def _read_clause(clause: list[int], words: list[Word], knowledge: Knowledge, lexicon: Lexicon) -> list[FoundLabel]:
    """The labels of one clause: one, or one for each subject where small words join several."""
    local = [words[i] for i in clause]
    if not any(word.text in lexicon.in_names for word in local):
        return []
    matches = find_matches(local, lexicon)
    mentions = [match for match in matches if match.entry.kind in (POINT, OVER)]
    found: list[FoundLabel] = []
    for group in _group(mentions, local, lexicon):
        low, high = _reach(group, mentions, matches, len(local))
        low, high = _take_in(low, high, local, mentions, lexicon)
        if _goes_on(local, high, lexicon):
            continue
        label = read_words([replace(word) for word in local[low:high]], knowledge, lexicon)
        if label is None:
            if len(group) > 1:
                for one in group:
                    found.extend(_single(one, local, knowledge, lexicon))
            continue
        found.append(FoundLabel(local[low].token.start, local[high - 1].token.end, label))
    return found


def _take_in(low: int, high: int, local: list[Word], mentions: list[Match], lexicon: Lexicon) -> tuple[int, int]:
    """The rest of a compound, and words beside a name that make it another: "Taillenhöhe", "hauteur de taille"."""
    named = {i for match in mentions for i in match.at}
    while low and local[low - 1].token is local[low].token:
        low -= 1
    while high < len(local) and local[high].token is local[high - 1].token:
        high += 1
    for step, edge in ((-1, low - 1), (1, high)):
        index = edge
        while 0 <= index < len(local) and lexicon.is_filler(local[index].text):
            index += step
        if not 0 <= index < len(local) or index in named:
            continue
        if lexicon.roles.get(local[index].text, frozenset()) & {"length_noun", "piece"}:
            low, high = min(low, index), max(high, index + 1)
    return low, high


def _goes_on(local: list[Word], high: int, lexicon: Lexicon) -> bool:
    """ "knee to floor": the way to something, and no figure of the knee."""
    if high + 1 >= len(local) or local[high + 1].token.kind not in ("word", "eastern"):
        return False
    roles = lexicon.roles.get(local[high].text, frozenset())
    return "to" in roles and not roles & {"at", "filler"} and not lexicon.roles.get(local[high + 1].text)


def _single(match: Match, local: list[Word], knowledge: Knowledge, lexicon: Lexicon) -> list[FoundLabel]:
    span = local[match.first : match.last + 1]
    label = read_words(span, knowledge, lexicon)
    return [FoundLabel(span[0].token.start, span[-1].token.end, label)] if label is not None else []


def _group(mentions: list[Match], local: list[Word], lexicon: Lexicon) -> list[list[Match]]:
    """Mentions that make one label: those with no "and" and few other words between them."""
    groups: list[list[Match]] = []
    for match in mentions:
        if groups:
            last = groups[-1][-1]
            between = [local[i] for i in range(last.last + 1, match.first)]
            joined = any("and" in lexicon.roles.get(word.text, ()) for word in between)
            if not joined and len(between) <= 3 and all(_is_small(word, lexicon) for word in between):
                groups[-1].append(match)
                continue
        groups.append([match])
    return groups


def _is_small(word: Word, lexicon: Lexicon) -> bool:
    return bool(lexicon.roles.get(word.text)) or word.token.kind == "sign"


def _reach(group: list[Match], mentions: list[Match], matches: list[Match], count: int) -> tuple[int, int]:
    """The words of a label: from its first name to its last, and the modifiers that touch it."""
    low, high = min(one.first for one in group), max(one.last for one in group) + 1
    grown = True
    while grown:
        grown = False
        for match in matches:
            if match.entry.kind not in _MODIFIERS:
                continue
            if match.last == low - 1 or (match.last < low and low - match.last <= 2):
                low, grown = match.first, True
            elif match.first == high or (match.first > high and match.first - high <= 1):
                high, grown = match.last + 1, True
        others = [one for one in mentions if one not in group]
        if any(low <= one.first < high for one in others):
            return min(one.first for one in group), max(one.last for one in group) + 1
    return low, min(high, count)


def _explains(clause: list[int], words: list[Word], lexicon: Lexicon) -> bool:
    """A clause of known words only, that says more of the name before it: "relaxed", "at crotch", "crotch to top"."""
    local = [words[i] for i in clause]
    covered = {i for match in find_matches(local, lexicon) for i in match.at}
    if lexicon.is_filler(local[-1].text):
        return False  # "thigh, with a 27 in inseam"
    return bool(covered) and all(i in covered or _is_small(word, lexicon) for i, word in enumerate(local))


def _follows(label: FoundLabel, clause: list[int], words: list[Word], text: str) -> bool:
    between = text[label.end : words[clause[0]].token.start]
    return len(between) <= 3 and any(sign in between for sign in _SOFT_BREAKS) and not any(c.isdigit() for c in between)


def _extend(
    found: FoundLabel, clause: list[int], words: list[Word], text: str, knowledge: Knowledge, lexicon: Lexicon
) -> FoundLabel | None:
    """A label with the clause that follows it in brackets or after a comma; None when that names something else."""
    end = words[clause[-1]].token.end
    inside = [word for word in words if found.start <= word.token.start and word.token.end <= end]
    label = read_words(inside, knowledge, lexicon)
    same = label is not None and (label.point, label.not_ours) == (found.label.point, found.label.not_ours)
    more = found.label.point and not any(
        match.entry.kind in (POINT, OVER) for match in find_matches([words[i] for i in clause], lexicon)
    )
    if label is None or not (same or (more and label.point)):
        return None  # "rise (back)" is the back rise; "rise, back pocket" is not
    bracketed = "(" in text[found.end : end] or "（" in text[found.end : end]
    if not bracketed and not more:
        alone = read_words([replace(words[i]) for i in clause], knowledge, lexicon)
        if alone is not None and alone.point not in ("", found.label.point):
            return None  # "waist to hem, with an inside leg of"
    return FoundLabel(found.start, end, label)


def _with_places(found: FoundLabel, places: list[Place], words: list[Word], text: str) -> FoundLabel:
    """A label with the place behind it: "thigh (1 in below crotch)"."""
    if not found.label.point:
        return _cover(found, places, words, text)
    for place in places:
        start = min(words[i].token.start for i in place.words)
        between = text[found.end : start] if start >= found.end else None
        if between is None or len(between) > 6 or any(c.isdigit() for c in between):
            continue
        end = max(words[i].token.end for i in place.words)
        known = with_place_origin(place, found.label.point)
        label: PointLabel = replace(
            found.label, at=known.amount, at_unit=known.unit, at_from=known.origin if known.amount is not None else ""
        )
        return FoundLabel(found.start, end, label)
    return found


def _cover(found: FoundLabel, places: list[Place], words: list[Word], text: str) -> FoundLabel:
    for place in places:
        start = min(words[i].token.start for i in place.words)
        if 0 <= start - found.end <= 6:
            return replace(found, end=max(words[i].token.end for i in place.words))
    return found
