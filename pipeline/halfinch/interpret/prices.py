"""Prices: the amount and the currency of a printed price, and the one text of a page that is its price.

In: a text, the page's language. Out: the price as printed, or its amount and ISO code.
"""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation
from functools import lru_cache

from halfinch.interpret.facets import Reader
from halfinch.knowledge import Knowledge
from halfinch.normalise.point_labels import read_header_word

_AMOUNT = r"\d{1,3}(?:[.,'’ \u00a0\u202f]\d{3})+(?:[.,]\d{1,2})?|\d+(?:[.,]\d{1,2})?"
_NUMBER = re.compile(_AMOUNT)
_PARTS = re.compile(r"\s+[|·•–—-]\s+|\n|\s{2,}|\t")
_TAIL = re.compile(r"[\s,.;*-]*(?:\([^()]{0,30}\))?\s*(?:[^\W\d_]{2,8}\.?\s*){0,3}(?:\d{1,2}\s?x\b.*)?")
"""What may stand behind a price: tax in brackets, a few words, instalments ("ou 6x de R$ 48,32")."""
LONGEST_PRICE = 80


def read_price(text: str, currency: str, knowledge: Knowledge, language: str = "") -> tuple[Decimal | None, str]:
    """ "€ 89,90" as (89.90, "EUR"); (None, '') where no price stands."""
    match = _NUMBER.search(text)
    if match is None:
        return None, ""
    number = match.group()
    cents = re.search(r"[.,](\d{1,2})$", number)
    whole = number[: cents.start()] if cents else number
    digits = re.sub(r"\D", "", whole) + (f".{cents.group(1)}" if cents else "")
    code = currency_in(text, knowledge, language)
    letters = re.search(r"\b[A-Z]{3}\b", text)
    try:
        return Decimal(digits), code or (letters.group() if letters else currency.strip().upper()[:3])
    except InvalidOperation:
        return None, ""


def currency_in(text: str, knowledge: Knowledge, language: str = "") -> str:
    """The ISO code of the currency named in a text: letters before signs; '' for none or one that is open."""
    found = [match.group() for match in _sign_pattern(knowledge).finditer(text.casefold())]
    for sign in sorted(dict.fromkeys(found), key=lambda one: -len(one)):
        rows = [row for row in knowledge.currencies.currency.values() if sign in row.signs]
        mine = [row for row in rows if language and language in row.languages]
        plain = [row for row in rows if not row.languages]
        if len(mine or plain) == 1 or (len(rows) == 1 and len(sign) > 1):
            return (mine or plain or rows)[0].name
    return ""


def is_currency(text: str, knowledge: Knowledge, language: str) -> bool:
    """Whether a sign in the text is money on a page in this language ("ft" is feet except in Hungarian)."""
    signs = {match.group() for match in _sign_pattern(knowledge).finditer(text.casefold())}
    rows = [row for row in knowledge.currencies.currency.values() if signs.intersection(row.signs)]
    return any(not row.languages or language in row.languages for row in rows)


def find_price(text: str, reader: Reader, language: str = "") -> str:
    """The price as printed where a part of a short text is nothing but a price; '' otherwise.

    "89,00 €", "Price: $128.00", "Réf. 552 – 89 €" have one; "free shipping over $75" has none.
    """
    if len(text) > LONGEST_PRICE or not any(c.isdigit() for c in text):
        return ""
    for part in _PARTS.split(text):
        for match in _priced_pattern(reader.knowledge).finditer(part):
            lead, tail = part[: match.start()].strip(" :："), part[match.end() :]
            word = read_header_word(lead, reader.knowledge) if lead else None
            if lead and not (word is not None and word.role == "price" and word.score == 1):
                break
            if _TAIL.fullmatch(tail) and is_currency(match.group(), reader.knowledge, language):
                return part[match.start() :].strip()
            break
    return ""


@lru_cache(maxsize=4)
def _sign_pattern(knowledge: Knowledge) -> re.Pattern[str]:
    signs = {sign for row in knowledge.currencies.currency.values() for sign in row.signs}
    parts = []
    for sign in sorted(signs, key=len, reverse=True):
        before = r"(?<![^\W\d_])" if sign[0].isalpha() and sign[0].isascii() else ""
        after = r"(?![^\W\d_])" if sign[-1].isalpha() and ord(sign[-1]) < 0x3000 else ""
        parts.append(before + re.escape(sign) + after)
    return re.compile("|".join(parts))


@lru_cache(maxsize=4)
def _priced_pattern(knowledge: Knowledge) -> re.Pattern[str]:
    sign = _sign_pattern(knowledge).pattern
    number = _NUMBER.pattern
    return re.compile(rf"(?:{sign})\s?(?:{number})(?![\d.,]*\d)|(?<![\d.,])(?:{number})\s?(?:{sign})\.?", re.IGNORECASE)
