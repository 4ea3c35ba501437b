"""One size out of one piece of a label: "8P", "W29 L30", "UK 12", "9AR". `size_labels` reads lists of them."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from halfinch.normalise.size_words import SizeWords, fold_label

_NUMBER = re.compile(r"0{1,3}|0?[1-9]\d{0,2}")
_PLUS_NUMBER = re.compile(r"([1-9]\d?) ?w(omen|omens|omen's)?")
_PAIR = re.compile(
    r"(?P<w>(?:w|waist)\.? ?:?)? ?(?P<waist>\d{2,3}(?:[.,]5)?) ?(?P<behind>w|\"|'')?"
    r"(?P<gap> ?[/x,*_-]? ?)"
    r"(?P<l>(?:l|length|inseam|leg)\.? ?:?)? ?(?P<inseam>\d{2,3}(?:[.,]5)?) ?(?P<inches>\"|'')?(?P<long>l)?"
)
_WAIST_ONLY = re.compile(r"w ?(\d{2}(?:[.,]5)?)\"?")
_CHINESE = re.compile(r"(1[3-9]\d) ?[/-] ?(\d{2,3}) ?\(?([abcyz])?\)?")
_JAPANESE = re.compile(r"(\d{1,2}) ?(y|a|ab|b|be|e) ?(pp|p|r|t)")
_JAPANESE_LENGTHS = {"pp": "extra short", "p": "petite", "r": "regular", "t": "tall"}
"""JIS L 4005: PP 142 cm, P 150 cm, R 158 cm, T 166 cm."""
_NORDIC = re.compile(r"([bcd]) ?(\d{2})")
_HIP_TYPE = re.compile(r"(\d{1,2}) ?([srt]) ?([+-])")
"""Commercial Standard CS 215-58: 14T- is size 14, tall, slender hip; 14S+ short, full hip."""
_GLUED_MARK = re.compile(r"([0-6]x(?!l)|0{1,3}|[1-9]\d?(?: ?w)?)[ _-]?([a-z]{1,2})")
_SLASHED_MARK = re.compile(r"(.+?) ?[/_-] ?([a-z]{1,2})|(.+?) ?\(([a-z]{1,2})\)")
_LETTER_MARK = re.compile(r"((?:\d|x{1,3})?x?[sl]|m)[ _-]?([ptr])|(p)[ _-]?((?:\d|x{1,3})?x?[sl]|m)")
_TWO_COUNTRIES = re.compile(r"(\d{1,2}) ?\((\d{1,2})\)")
_COUNTRY_STEPS = frozenset({2, 4, 6, 8, 26, 28, 30, 32})
"""What two countries' numbers of one body differ by: FR 40 DE 38 IT 44, UK 12 US 8, EU 38 UK 12 US 8 (BSI notice)."""
_DOUBLE = re.compile(r"([^\s/-]+) ?([/-]|to|–) ?([^\s/-]+)")


@dataclass(frozen=True, slots=True)
class SizeLabel:
    """A size as a label says it."""

    size: str
    """The token as printed without its length part; '' for a label that says a length alone."""
    system: str = ""
    """US UK AU EU DE FR IT ES BR Nordic JP KR CN RU | alpha | waist | '' when unknown."""
    also: tuple[str, ...] = ()
    """The same size in other systems, as printed."""
    length: str = ""
    """extra short | petite | short | regular | long | tall | extra long | the labelled inseam as printed | ''"""
    waist: Fraction | None = None
    """Labelled waist in inches."""
    inseam: Fraction | None = None
    """Labelled inseam in inches."""
    strength: float = 0.0
    """0..1: how surely this text by itself is a size label."""


def tidy(text: str) -> str:
    """`text` without the blanks, brackets and footnotes' marks around it ("27*")."""
    text = text.strip(" .,;:*")
    if text.startswith("(") and text.endswith(")") and text.count("(") == 1:
        text = text[1:-1].strip(" .,;:")
    return text


def read_part(printed: str, words: SizeWords, system: str = "") -> SizeLabel | None:
    """`printed`: one size in canonical spelling and its own case; None when it is none."""
    body = fold_label(printed)
    if not body or len(body) > 40:
        return None
    if body in words.one_size:
        return SizeLabel(printed, system, strength=0.95)
    return (
        _read_special(printed, body, system)
        or read_pair(body, system)
        or read_core(printed, body, words, system)
        or _read_with_length(printed, body, words, system)
        or _read_with_system(printed, body, words)
        or _read_double(printed, body, words, system)
        or _read_two_countries(body, words, system)
    )


def _read_two_countries(body: str, words: SizeWords, system: str) -> SizeLabel | None:
    """48(46), 38 (12): one size under two countries' numbers; 28(30) stays a waist and a leg, or a choice."""
    found = _TWO_COUNTRIES.fullmatch(body)
    if not found or not {found[1], found[2]} <= words.numbers:
        return None
    one, other = int(found[1]), int(found[2])
    leg = 22 <= one <= 40 and 22 <= other <= 40
    if one % 2 or other % 2 or abs(one - other) not in _COUNTRY_STEPS or (leg and min(one, other) < 34):
        return None
    return SizeLabel(found[1], system, (found[2],), strength=0.9 if system else 0.45)


def read_core(printed: str, body: str, words: SizeWords, system: str = "") -> SizeLabel | None:
    """A number, letters or a plus size by itself."""
    if _NUMBER.fullmatch(body):
        return _read_bare(printed, body, words, system)
    if body in words.alpha:
        return SizeLabel(printed, system or "alpha", strength=_alpha_strength(body, words))
    plus = _PLUS_NUMBER.fullmatch(body)
    if plus and 10 <= int(plus[1]) <= 36:
        # 28W is a plus size or a waist of 28; up to 26 no jeans waist is meant (common practice).
        if int(plus[1]) % 2:
            return SizeLabel(plus[1], "waist", waist=Fraction(int(plus[1])), strength=0.85)
        sure = int(plus[1]) <= 22
        size = f"{plus[1]}W" if plus[2] else printed.replace(" ", "")
        return SizeLabel(size, system or ("US" if sure else ""), strength=0.9 if sure else 0.5)
    return None


def _read_bare(printed: str, body: str, words: SizeWords, system: str) -> SizeLabel | None:
    number = int(body)
    if body not in words.numbers and number > 130:
        return None
    if len(body) > 1 and body[0] == "0" and number:
        return SizeLabel(printed, system, strength=0.3)
    if body in ("00", "000"):
        return SizeLabel(printed, system or "US", strength=0.85)
    if system:
        waist = Fraction(number) if system == "waist" else None
        return SizeLabel(printed, system, waist=waist, strength=0.9)
    # Odd numbers from 25 to 35 are sizes of jeans and of nothing else (German short sizes are told by their system).
    jeans = number % 2 == 1 and 25 <= number <= 35
    strength = 0.3 if body in words.numbers else 0.2 if body in words.seldom else 0.1
    return SizeLabel(printed, "waist" if jeans else "", waist=Fraction(number) if jeans else None, strength=strength)


def _alpha_strength(body: str, words: SizeWords) -> float:
    if body in ("s", "m", "l"):
        return 0.6
    if not body.isascii() or body in words.medium or body in ("petit", "grand", "grande", "media", "stor", "liten"):
        return 0.6
    return 0.9


def _read_special(printed: str, body: str, system: str) -> SizeLabel | None:
    """Forms of one country: 160/84A, 9AR, C38, 14T-."""
    chinese = _CHINESE.fullmatch(body)
    if chinese and 50 <= int(chinese[2]) <= 130 and system in ("", "CN"):
        return SizeLabel(printed.replace(" ", "").replace("-", "/"), "CN", strength=0.95)
    japanese = _JAPANESE.fullmatch(body)
    if japanese and int(japanese[1]) <= 31 and int(japanese[1]) % 2:
        size = f"{japanese[1]}{japanese[2].upper()}"
        return SizeLabel(size, "JP", length=_JAPANESE_LENGTHS[japanese[3]], strength=0.95)
    nordic = _NORDIC.fullmatch(body)
    if nordic and 30 <= int(nordic[2]) <= 60 and int(nordic[2]) % 2 == 0:
        slim = nordic[1] == "d"  # D 38 is also a German 38
        return SizeLabel(printed.replace(" ", ""), system if slim else "Nordic", strength=0.5 if slim else 0.85)
    hip_type = _HIP_TYPE.fullmatch(body)
    if hip_type:
        length = {"s": "short", "r": "regular", "t": "tall"}[hip_type[2]]
        return SizeLabel(f"{hip_type[1]}{hip_type[3]}", "US", length=length, strength=0.9)
    return None


def read_pair(body: str, system: str = "") -> SizeLabel | None:
    """Waist and inseam: W29 L30, 29x30, 36/30, 29W 30L; also W29 alone."""
    only = _WAIST_ONLY.fullmatch(body)
    if only:
        waist = _number(only[1])
        sized = 20 <= waist <= 60
        return SizeLabel(only[1], "waist", waist=waist if sized else None, strength=0.95) if sized else None
    pair = _PAIR.fullmatch(body)
    if not pair:
        return None
    waist, inseam = _number(pair["waist"]), _number(pair["inseam"])
    named = bool(pair["w"] or pair["behind"] == "w") + bool(pair["l"] or pair["long"])
    gap = pair["gap"].strip()
    if not (20 <= waist <= 60 and 22 <= inseam <= 40):
        return None
    if not named and (not gap or gap not in "/x*" or (gap == "/" and _is_double(waist, inseam))):
        return None
    strength = 1.0 if named else 0.9 if gap != "/" else 0.7
    # "38/32": a continental 38 with a leg of 32 as well as a waist of 38; the run decides.
    open_ = not named and gap == "/" and waist >= 34 and waist % 2 == 0
    size, length = pair["waist"], pair["inseam"]
    kind = system if open_ else "waist"
    return SizeLabel(size, kind, (), length, None if open_ else waist, inseam, strength)


def _is_double(low: Fraction, high: Fraction) -> bool:
    """38/40 is one size for two numbers; 28/30 and 30/32 are waist and inseam."""
    return (high - low == 2 and low >= 34) or (high - low == 1 and high <= 27)


def _number(text: str) -> Fraction:
    return Fraction(text.replace(",", "."))


def _read_with_length(printed: str, body: str, words: SizeWords, system: str) -> SizeLabel | None:
    """8 Petite, Petite 8, 8P, 30L, M Short, MP, PM, 8/P, 30(S)."""
    for pattern, word_at, core_at in ((words.length_behind, 2, 1), (words.length_before, 1, 2)):
        found = pattern.fullmatch(body)
        label = _read_plain(_cut(printed, body, found[core_at]), words, system) if found else None
        if found and label and not label.length:
            return replace(label, length=words.lengths[found[word_at]], strength=max(label.strength, 0.95))
    for pattern in words.inseam_cuts:
        cut = pattern.fullmatch(body)
        label = _read_plain(_cut(printed, body, cut[1]), words, system) if cut else None
        if cut and label and not label.length:
            return replace(label, length=cut[2], inseam=_number(cut[2]), strength=0.9)
    return _read_marked(printed, body, words, system)


def _read_marked(printed: str, body: str, words: SizeWords, system: str) -> SizeLabel | None:
    glued = _GLUED_MARK.fullmatch(body)
    if glued and glued[2] in words.marks and _may_carry(glued[1], glued[2]):
        label = read_core(_cut(printed, body, glued[1]), glued[1], words, system)
        return _with_mark(label, words.marks[glued[2]], 0.9)
    letters = _LETTER_MARK.fullmatch(body)
    if letters:
        core, mark = (letters[1], letters[2]) if letters[1] else (letters[4], letters[3])
        label = read_core(_cut(printed, body, core), core, words, system) if core in words.alpha else None
        return _with_mark(label, words.marks[mark], 0.85)
    slashed = _SLASHED_MARK.fullmatch(body)
    if not slashed:
        return None
    core, mark = (slashed[1], slashed[2]) if slashed[1] else (slashed[3], slashed[4])
    label = read_core(_cut(printed, body, core), core, words, system)
    if label is None or mark not in words.marks:
        return None
    if mark in words.alpha:
        # 30(S), 27/S: the letter may be the same size in letters; read as such, a run can tell otherwise.
        if label.system == "alpha":
            return None
        return replace(label, also=(mark.upper(),), strength=0.7)
    return _with_mark(label, words.marks[mark], 0.85)


def _may_carry(core: str, mark: str) -> bool:
    """Two-letter marks stand on numbers only, and on a 1X only P, R and T: "1XL" is a letter size, no 1X long."""
    if core.endswith("x"):
        return mark in ("p", "r", "t")
    return len(mark) == 1 or (mark == "xl" and len(core) == 2)


def _with_mark(label: SizeLabel | None, length: str, strength: float) -> SizeLabel | None:
    return replace(label, length=length, strength=max(label.strength, strength)) if label else None


def _read_plain(printed: str, words: SizeWords, system: str) -> SizeLabel | None:
    """What may stand beside a length word: a size with or without its system."""
    printed = tidy(printed)
    body = fold_label(printed)
    return (
        _read_special(printed, body, system)
        or read_core(printed, body, words, system)
        or _read_with_system(printed, body, words)
        or _read_double(printed, body, words, system)
        or (read_pair(body) if body.startswith("w") else None)
    )


def _cut(printed: str, body: str, part: str) -> str:
    """`part` of the folded body in the case it was printed in."""
    at = body.find(part)
    same = len(printed) == len(body)
    return (printed[at : at + len(part)] if same else part.upper()).strip()


def _read_with_system(printed: str, body: str, words: SizeWords) -> SizeLabel | None:
    """UK 12, 12 (UK), EU36, US: 4."""
    for pattern, word_at, rest_at in ((words.system_before, 1, 2), (words.system_behind, 2, 1)):
        found = pattern.fullmatch(body)
        if not found:
            continue
        system = words.systems[found[word_at]]
        rest = tidy(_cut(printed, body, found[rest_at]))
        folded = fold_label(rest)
        label = (
            _read_special(rest, folded, system)
            or read_core(rest, folded, words, system)
            or _read_with_length(rest, folded, words, system)
            or _read_double(rest, folded, words, system)
        )
        if label:
            return replace(label, system=system, strength=1.0)
    return None


def _read_double(printed: str, body: str, words: SizeWords, system: str) -> SizeLabel | None:
    """One size under two neighbouring names: 14/16, 44-46, S/M."""
    found = _DOUBLE.fullmatch(body)
    if not found:
        return None
    low, high = (read_core(part, part, words, system) for part in (found[1], found[3]))
    if low is None or high is None:
        return None
    size = printed.replace(" ", "")
    if low.system == high.system == "alpha":
        steps = words.alpha_order[words.alpha[found[3]]] - words.alpha_order[words.alpha[found[1]]]
        return SizeLabel(size, "alpha", strength=0.85) if steps == 1 else None
    digits = [part.rstrip("w") for part in (found[1], found[3])]
    if not all(part.isdigit() for part in digits):
        return None
    step = int(digits[1]) - int(digits[0])
    if not (step == 2 or (step == 1 and 21 <= int(digits[0]) <= 40)) or int(digits[1]) > 62:
        return None
    shared = low.system if low.system == high.system else system
    if found[1].endswith("w") or found[3].endswith("w"):
        return SizeLabel(size, "US", strength=0.8)
    return SizeLabel(size, shared, strength=0.9 if system else 0.45 if found[2] == "/" else 0.25)
