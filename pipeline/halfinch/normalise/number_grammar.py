"""One printed figure with all that may stand around it: sign, tolerance, doubling, second unit, words, notes.

In: canonical text and a position. Out: a `Draft` and where it ends. `numbers` asks it for a whole cell or for the
figures of running text.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from fractions import Fraction

from halfinch.normalise.number_text import NOTE
from halfinch.normalise.printed import Printed
from halfinch.normalise.quantities import Quantity, are_inches_and_cm, read_quantity
from halfinch.normalise.unit_words import fold, load_words

_PLUS_MINUS = re.compile(r" ?(?:±|\+ ?/ ?-|- ?/ ?\+|\+-|-\+|\+ ?or ?-|plus/minus)[ \n]?", re.IGNORECASE)
_PLUS = re.compile(r" ?\+ ?")
_MINUS = re.compile(r" ?[/,;]? ?- ?")
_BEFORE_PLUS = re.compile(r" ?[/,;]? ?\+ ?")
_TWICE_BEFORE = re.compile(r"2 ?[x*] ?(?=\d|\x01)", re.IGNORECASE)
_TWICE = re.compile(r" ?(?:\( ?[x*] ?2 ?\)|[x*] ?2(?![\d/]|[.,]\d|\x01| ?\x01))", re.IGNORECASE)
_EQUALS = re.compile(r" ?= ?")
_SECOND = re.compile(r" ?(?:\|\||[/|;,=·•、&-]|\bor\b|\boder\b|\bou\b)? ?\n?", re.IGNORECASE)
_BRACKET = re.compile(r" ?\n?(?:\(([^()]*)\)|\[([^\[\]]*)\])")
_LEAD_GAP = re.compile(r" ?:? ?")
_TAIL_GAP = re.compile(r" ?[,;]? ?\n?")
_NOTE_MARKS = re.compile(rf" ?(\*+|{NOTE}+|#(?!\d))")


@dataclass(slots=True)
class Draft:
    """A figure being put together."""

    quantity: Quantity
    end: int
    minus: Fraction | None = None
    plus: Fraction | None = None
    kind: str = ""
    convention: str = ""
    qualifier: str = ""
    second: Printed | None = None
    doubt: str = ""
    rivals: tuple[Fraction, ...] = ()
    rest: list[tuple[int, int]] = field(default_factory=list)
    """Spans of canonical text that are notes."""

    def doubt_because(self, why: str, *rivals: Fraction) -> None:
        self.doubt = self.doubt or why
        self.rivals = (*self.rivals, *rivals)


@dataclass(frozen=True, slots=True)
class Hints:
    """What the caller knows of the text: decimal mark and unit ('' when nothing), cell or running text."""

    decimal: str = ""
    unit: str = ""
    prose: bool = False


def read_draft(text: str, at: int, hints: Hints) -> Draft | None:
    """The longest figure that begins at `at`; None when none does."""
    return _read_tolerance_alone(text, at, hints) or _read_figure(text, at, hints)


def make_printed(draft: Draft, rest: str) -> Printed:
    """The finished value; `rest` is the printed text of the draft's notes."""
    found = draft.quantity
    kind = draft.kind or ("range" if found.upper is not None else "single")
    return Printed(
        value=found.value,
        upper=found.upper,
        unit=found.unit,
        minus=draft.minus,
        plus=draft.plus,
        convention=draft.convention,
        kind=kind,
        second=draft.second,
        qualifier=draft.qualifier,
        doubt=found.doubt or draft.doubt,
        rivals=(*found.rivals, *draft.rivals),
        decimals=found.decimals,
        is_fraction=found.is_fraction,
        rest=rest,
    )


def _quantity(text: str, at: int, hints: Hints, unit: str = "") -> Quantity | None:
    return read_quantity(text, at, hints.decimal, unit or hints.unit, hints.prose)


def _read_tolerance_alone(text: str, at: int, hints: Hints) -> Draft | None:
    """± 1/4, +/- 0,5 cm, +1/2 -1/4."""
    sign = _PLUS_MINUS.match(text, at)
    if sign:
        amount = _quantity(text, sign.end(), hints)
        if amount is None or amount.upper is not None:
            return None
        return Draft(amount, amount.end, amount.value, amount.value, "tolerance")
    for first, then in ((_PLUS, _MINUS), (_MINUS, _BEFORE_PLUS)):
        start = first.match(text, at)
        one = _single(text, start.end(), hints) if start else None
        sign = then.match(text, one.end) if one else None
        other = _single(text, sign.end(), hints) if sign else None
        if one and other:
            plus, minus = (one, other) if first is _PLUS else (other, one)
            widest = max(plus, minus, key=lambda end: end.value)
            widest = replace(widest, unit=plus.unit or minus.unit, doubt=plus.doubt or minus.doubt)
            return Draft(widest, other.end, minus.value, plus.value, "tolerance")
    return None


def _single(text: str, at: int, hints: Hints) -> Quantity | None:
    """An amount that is no range, so that "+1/2-1/4" stays two amounts."""
    return read_quantity(text, at, hints.decimal, hints.unit, hints.prose, ranges=False)


def _read_figure(text: str, at: int, hints: Hints) -> Draft | None:
    start, convention, qualifier = _read_lead(text, at)
    kind = ""
    sign = 1
    if text[start : start + 1] in ("+", "-") and not (hints.prose and text[start] == "-"):
        sign = 1 if text[start] == "+" else -1
        kind = "difference"
        start += 1 + (text[start + 1 : start + 2] == " ")
    twice = _TWICE_BEFORE.match(text, start)
    quantity = _quantity(text, twice.end() if twice else start, hints)
    if twice and quantity is None:
        twice, quantity = None, _quantity(text, start, hints)
    if quantity is None or (kind and quantity.upper is not None):
        return None
    draft = Draft(replace(quantity, value=sign * quantity.value), quantity.end, None, None, kind, convention, qualifier)
    if twice:
        draft.convention = "flat"
    while _read_tail(text, draft, hints):
        pass
    return draft


def _read_lead(text: str, at: int) -> tuple[int, str, str]:
    """Words in front: "ca.", "max", "flat:". Where the number begins, the convention, the qualifier."""
    words = load_words()
    convention = qualifier = ""
    while True:
        if words.fraction.match(text, at) and read_quantity(text, at):
            return at, convention, qualifier
        found = words.beside.match(text, at)
        if not found:
            return at, convention, qualifier
        meaning = _meaning_beside(found[0])
        if meaning in ("flat", "round"):
            convention = meaning
        else:
            qualifier = meaning
        gap = _LEAD_GAP.match(text, found.end())
        at = gap.end() if gap else found.end()


def _meaning_beside(found: str) -> str:
    """What a word beside a number means, with or without the point behind it; '' where folding made another word."""
    besides = load_words().besides
    return besides.get(fold(found)) or besides.get(fold(found[:-1])) or besides.get(fold(found.replace("ı", "i")), "")


def _read_tail(text: str, draft: Draft, hints: Hints) -> bool:
    """Take one more piece behind the figure; False when nothing more belongs to it."""
    return (
        _read_twice(text, draft, hints)
        or _read_tolerance(text, draft, hints)
        or _read_beside(text, draft)
        or _read_second(text, draft, hints)
        or _read_bracket(text, draft, hints)
        or (not hints.prose and _read_note_marks(text, draft))
    )


def _read_twice(text: str, draft: Draft, hints: Hints) -> bool:
    """15 x 2, and 15 x 2 = 30."""
    found = _TWICE.match(text, draft.end)
    if not found or draft.convention == "round" or draft.quantity.value <= 2:
        return False
    end = found.end()
    equals = _EQUALS.match(text, end)
    product = _quantity(text, equals.end(), hints) if equals else None
    if product:
        if product.value != 2 * draft.quantity.value:
            return False
        end = product.end
        if product.unit and not draft.quantity.unit:
            draft.quantity = replace(draft.quantity, unit=product.unit)
    elif text[end : end + 1].isalpha():
        return False
    draft.convention, draft.end = "flat", end
    return True


def _read_tolerance(text: str, draft: Draft, hints: Hints) -> bool:
    """10 ± 0,5; 10 +/- 1/4; 10 +1/2 -1/4; 10 (± 0.5); in the number's own unit."""
    if draft.plus is not None or draft.kind:
        return False
    opened = re.compile(r" ?\( ?").match(text, draft.end)
    at = opened.end() if opened else draft.end
    stated = _read_tolerance_alone(text, at, hints)
    if stated is None:
        return not opened and _read_plus_only(text, draft, hints)
    end = stated.end
    if opened:
        closed = re.compile(r" ?\)").match(text, end)
        if not closed:
            return False
        end = closed.end()
    unit, theirs = draft.quantity.unit, stated.quantity.unit
    if theirs and unit and theirs != unit:
        draft.doubt_because("the tolerance is printed in another unit")
    elif theirs and not unit:
        draft.quantity = replace(draft.quantity, unit=theirs)
    if stated.minus is not None and stated.minus * 2 > draft.quantity.value:
        return False
    draft.minus, draft.plus, draft.end = stated.minus, stated.plus, end
    draft.doubt_because(stated.quantity.doubt) if stated.quantity.doubt else None
    return True


def _read_plus_only(text: str, draft: Draft, hints: Hints) -> bool:
    sign = _PLUS.match(text, draft.end)
    amount = _quantity(text, sign.end(), hints) if sign and not hints.prose else None
    if amount is None or amount.upper is not None:
        return False
    draft.doubt_because("the plus may be a tolerance or a sum", draft.quantity.value + amount.value)
    draft.end = amount.end
    return True


def _read_beside(text: str, draft: Draft) -> bool:
    """37 flat; 15" across; 36.5 max; 75cm左右. A second, other convention ends the figure."""
    words = load_words()
    gap = _TAIL_GAP.match(text, draft.end)
    at = gap.end() if gap else draft.end
    found = words.beside.match(text, at)
    if not found or found[0][0] in "~<>≤≥≈":
        return False
    meaning = _meaning_beside(found[0])
    if meaning in ("flat", "round"):
        if draft.convention not in ("", meaning):
            return False
        draft.convention = meaning
    elif draft.qualifier not in ("", meaning):
        return False
    else:
        draft.qualifier = meaning
    draft.end = found.end()
    return True


def _read_second(text: str, draft: Draft, hints: Hints) -> bool:
    """32" / 81 cm; 81.3cm/32"; 61.5cm 24.25in; 61.5 / 24.25 where the one is the other in inches."""
    gap = _SECOND.match(text, draft.end)
    if not gap or draft.second or draft.kind:
        return False
    at = gap.end()
    if hints.prose and "\n" in gap[0]:
        return False
    return _take_second(text, at, draft, hints) is not None


def _take_second(text: str, at: int, draft: Draft, hints: Hints) -> int | None:
    start, convention, qualifier = _read_lead(text, at)
    other = read_quantity(text, start, hints.decimal, "", hints.prose)
    if other is None or other.end == start:
        return None
    mine, theirs = draft.quantity.unit, other.unit
    if mine and theirs:
        if is_metric(mine) == is_metric(theirs) and mine == theirs:
            return None
    else:
        found = are_inches_and_cm(draft.quantity.value, other.value)
        if not found or (mine and mine != found) or (theirs and theirs == found):
            return None
        sure = mine or theirs or draft.quantity.decimals or other.decimals or other.is_fraction
        if hints.prose and not (mine or theirs):
            return None
        if not sure and not text[draft.end : start].strip(" \n"):
            draft.doubt_because("two whole numbers: inches and centimetres, or two figures", other.value)
        draft.quantity = replace(draft.quantity, unit=found)
        other = replace(other, unit="cm" if found == "in" else "in")
    second = Draft(other, other.end, None, None, "", convention or draft.convention, qualifier)
    draft.second, draft.end = make_printed(second, ""), other.end
    draft.doubt_because(other.doubt) if other.doubt else None
    return other.end


def is_metric(unit: str) -> bool:
    return unit in ("mm", "cm", "m")


def _read_bracket(text: str, draft: Draft, hints: Hints) -> bool:
    """(32 in), (flat), (29), (see note): second figure, convention, doubt, note."""
    found = _BRACKET.match(text, draft.end)
    if not found:
        return False
    inside = 1 if found[1] is not None else 2
    start, end = found.span(inside)
    content = text[start:end].strip()
    trial = replace_end(draft, found.start())
    if (
        not trial.second
        and not trial.kind
        and _take_second(text[:end], start, trial, hints) == len(text[:end].rstrip())
    ):
        draft.second, draft.quantity, draft.end = trial.second, trial.quantity, found.end()
        draft.doubt, draft.rivals = trial.doubt, trial.rivals
        return True
    trial = replace_end(draft, start)
    if _read_beside(text[:end], trial) and not text[trial.end : end].strip():
        draft.convention, draft.qualifier, draft.end = trial.convention, trial.qualifier, found.end()
        return True
    if hints.prose:
        return False
    number = read_quantity(content, 0, hints.decimal) if content else None
    if number and number.end == len(content):
        draft.doubt_because("a second number stands in brackets", number.value)
    draft.rest.append((found.start(), found.end()))
    draft.end = found.end()
    return True


def replace_end(draft: Draft, end: int) -> Draft:
    return replace(draft, end=end, rest=list(draft.rest))


def _read_note_marks(text: str, draft: Draft) -> bool:
    found = _NOTE_MARKS.match(text, draft.end)
    if not found:
        return False
    if NOTE in found[1]:
        draft.doubt_because("a raised figure behind the number: a footnote or a digit")
    draft.rest.append(found.span(1))
    draft.end = found.end()
    return True
