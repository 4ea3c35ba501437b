"""Figures in running text, with their spans. Dates, prices, shares, sizes, codes and counts are none."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from halfinch.normalise.number_grammar import Draft, Hints, make_printed, read_draft
from halfinch.normalise.number_text import FRACTION_OPEN, canonicalise
from halfinch.normalise.printed import FoundNumber, Printed
from halfinch.normalise.unit_words import CJK, load_words

# Capitals only: "inseam 30 may vary" names no month.
_MONTHS = (
    r"(?:(?-i:J)(?:an(?:uary|uar)?|une?|uni|uly?|uli)|(?-i:F)eb(?:ruary|ruar)?|(?-i:M)(?:ar(?:ch)?|ärz|ay|ai)"
    r"|(?-i:A)(?:pr(?:il)?|ug(?:ust)?)|(?-i:S)ept?(?:ember)?|(?-i:O)[ck]t(?:ober)?|(?-i:N)ov(?:ember)?|(?-i:D)e[cz](?:ember)?)\b"
)
_MASKED = re.compile(
    r"https?://\S+|www\.\S+|[\w.+-]{1,64}@[\w.-]{1,80}"  # addresses
    r"|\d{1,4}([./-])\d{1,2}\1\d{2,4}(?!\d)"  # dates in figures
    rf"|\d{{1,2}}\.?[ -]{_MONTHS}\.?(?:[ -]\d{{2,4}})?"  # 4 Mar, 4-Mar-26
    rf"|\b{_MONTHS}\.?[ -]\d{{1,2}}(?:,? \d{{4}})?(?!\d|[.,/]\d| ?\"| ?(?:in|cm|mm)\b)"  # Mar 4, 2026
    # telephones
    r"|\+\d[\d ()-]{8,}\d|\(\d{3}\) ?\d{3}[-. ]\d{4}|\d{3}([-.])\d{3,4}\2\d{4}(?!\d)|\b0\d{2,4}[-/ ]\d{3}[\d -]*"
    r"|\d+-\d{4,}(?!\d)|\d{5,}[\d-]*"  # article numbers
    r"|\d{1,2}:\d{2}(?!\d)|\d+:\d+"  # times, ratios
    r"|(?:\d+(?:[.,]\d+)? ?(?:-|/|to) ?)?\d+(?:[.,]\d+)? ?%(?!\d)",  # shares
    re.IGNORECASE,
)
_HYPHENED = re.compile(r"(?i)(?<![\w])in(?=-[sl])")
"""No inch mark behind a figure: 75.5 In-seam, 76 In-leg."""
_MASK, _APART = "\x04", "\x05"
"""What stands for something masked; the first sign of one that no number before it goes on into."""
_GOES_ON = re.compile(r"\d{1,2}/\d")
"""Half a percent behind its whole: "3 1/2 %"."""
_START = re.compile(rf"[\d{FRACTION_OPEN}±~≈≤≥<>+]|(?<![\d])[.,]\d|(?<![^\W\d_])[^\W\d_]")
_LATIN = re.compile(rf"[^\W\d_{CJK}]")
_CJK = re.compile(rf"[{CJK}]")
_CODE_BEFORE = re.compile(r"\d[-/.,]$|[#№@_&=\\]$")
_DASHED = re.compile(r"([^\W_]+)-$")
_YEAR = re.compile(r"(?:19|20)\d{2}")
_LISTED = re.compile(r"^(.*?)(?:\d{1,3} ?(?:,|/|&|-|and|und|et|y|e|to|or) ?)+$", re.DOTALL)
_LIST_GOES_ON = re.compile(r" ?(?:[,/&;.)\n]|(?:and|und|et|y|e|to|or)\b|$)")
_PAIR = re.compile(r" ?x ?\d", re.IGNORECASE)
_PAIRED = re.compile(r"\d(?:\"| ?cm| ?in)? ?x ?$", re.IGNORECASE)


_MINUTES = "'’′‘"


def find_numbers(text: str, *, decimal: str = "", listed: bool = False) -> list[FoundNumber]:
    """All figures that may be lengths in `text`, in order; the spans do not overlap.

    Left out: dates, times, addresses, prices, shares, telephone and article numbers, years, numbers glued to letters
    (W29, A-1432, 28S), behind a size word or in front of a counted thing ("size 28", "5 pockets"), pairs (28x30).
    listed: the text is a table without its lines, where bare numbers follow each other; sizes are among them then.
    """
    return list(_find_numbers(text, decimal, listed))


@lru_cache(maxsize=4096)
def _find_numbers(text: str, decimal: str, listed: bool) -> tuple[FoundNumber, ...]:
    canonical = canonicalise(text)
    body = _MASKED.sub(_mask, canonical.text)
    body = _HYPHENED.sub("zz", body) if listed else body
    hints = Hints(decimal, "", prose=True)
    found: list[FoundNumber] = []
    at = 0
    words = load_words()
    while start := _START.search(body, at):
        at = start.start()
        if body[at].isalpha() and not words.may_lead(body, at):
            at += 1
            continue
        draft = read_draft(body, at, hints) if _may_begin(body, at) else None
        if draft is None:
            at = _skip(body, at)
            continue
        if (_is_listed_figure if listed else _is_length)(body, at, draft):
            begin, end = canonical.starts[at], canonical.starts[draft.end - 1] + 1
            end = _widen(canonical.starts, draft.end, end)
            while end < len(text) and text[end] in _MINUTES and text[end - 1] in _MINUTES:
                end += 1  # two minute marks that became one inch mark
            found.append(FoundNumber(begin, end, _unquote(body, at, draft)))
        at = max(draft.end, at + 1)
    return tuple(found)


def _mask(match: re.Match[str]) -> str:
    return (_MASK if _GOES_ON.match(match[0]) else _APART) + _MASK * (len(match[0]) - 1)


def _unquote(body: str, at: int, draft: Draft) -> Printed:
    """In (the "28" is short) the second mark closes a quotation and is no inch mark."""
    printed = make_printed(draft, "")
    quoted = at > 0 and body[at - 1] == '"' and not body[max(0, at - 2) : at - 1].isdigit()
    if quoted and printed.unit == "in" and body[draft.quantity.end - 1] == '"':
        return replace(printed, unit="")
    return printed


def _widen(starts: tuple[int, ...], end: int, least: int) -> int:
    """The end of a span where several printed characters became one: up to the next one that was kept."""
    return max(least, starts[end]) if end < len(starts) and starts[end] - least <= 0 else least


def _skip(body: str, at: int) -> int:
    """Behind the word or run of digits that begins at `at`."""
    if body[at].isdigit() or body[at] == FRACTION_OPEN:
        run = re.compile(r"[\d.,/\x01\x02]+").match(body, at)
        return run.end() if run else at + 1
    return at + 1


def _may_begin(body: str, at: int) -> bool:
    """False inside a word, a number or a code: 28 in W28, 5 in 10.5."""
    if at == 0:
        return True
    before = body[at - 1]
    return not (
        before.isdigit() or before == _MASK or _LATIN.match(before) or _CODE_BEFORE.search(body[max(0, at - 3) : at])
    )


def _is_listed_figure(body: str, at: int, draft: Draft) -> bool:
    """In a table without its lines only what is glued to a word or is a price is no figure."""
    ahead, behind = body[max(0, at - 24) : at], body[draft.end : draft.end + 24]
    return not _touches_word(behind, bool(draft.quantity.unit)) and not _is_price(ahead, behind)


def _is_length(body: str, at: int, draft: Draft) -> bool:
    quantity, end = draft.quantity, draft.end
    words = load_words()
    ahead, behind = body[max(0, at - 24) : at], body[end : end + 24]
    if _touches_word(behind, bool(quantity.unit)) or _is_price(ahead, behind):
        return False
    if quantity.unit:
        return not (quantity.doubt.startswith('"in"') and words.label.search(ahead))
    if words.counted.match(behind) or words.label.search(ahead) or _is_code(ahead) or _is_listed(body, at, behind):
        return False
    if _PAIR.match(behind) or _PAIRED.search(ahead):
        return False
    return not _YEAR.fullmatch(body[at:end].strip())


def _is_listed(body: str, at: int, behind: str) -> bool:
    """25 and 26 in "sizes 24, 25 and 26": sizes too, as long as no word of a measure follows."""
    before = _LISTED.search(body[max(0, at - 80) : at])
    return before is not None and bool(_LIST_GOES_ON.match(behind) and load_words().label.search(before[1]))


def _is_code(ahead: str) -> bool:
    """A-1432 is a code, Inseam-30 a label and its figure."""
    word = _DASHED.search(ahead)
    return word is not None and (len(word[1]) < 4 or word[1].isupper() or not word[1].isalpha())


def _touches_word(behind: str, has_unit: bool) -> bool:
    if not behind:
        return False
    if behind[0] in f"%{_MASK}{_APART}" or (behind[:2] in (" %", f" {_MASK}") and not behind[2:3].isdigit()):
        return True
    if has_unit:
        return bool(_LATIN.match(behind) or re.match(r"-\d", behind))
    # Chinese and Japanese go on without a blank: 臀围92大腿围56.
    word = behind[0].isalnum() and not _CJK.match(behind)
    return word or behind[0] in "_@" or bool(re.match(r"[/.,-]\d|-[^\W\d_]|'[^\W\d_]", behind))


def _is_price(ahead: str, behind: str) -> bool:
    currency = load_words().currency
    if currency.match(behind.lstrip(" ")):
        return True
    return any(currency.fullmatch(ahead.rstrip(" ")[-length:]) for length in (1, 2, 3, 4)) and not ahead[-1:].isalpha()
