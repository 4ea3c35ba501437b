"""A workbook's typed number as the person at the screen sees it, through the cell's number format.

Written from the format codes of ECMA-376 part 1, 18.8.30-31: sections, conditions, digit and fraction placeholders,
literals, scaling and percent. Decimals are rounded half away from zero, as spreadsheets do for showing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import lru_cache

_TOKEN = re.compile(
    r'"(?P<quoted>[^"]*)"?|\\(?P<escaped>.)|_(?P<pad>.)|\*(?P<fill>.)|\[(?P<bracket>[^\]]*)\]'
    r"|(?P<general>General|Standard|G/通用格式)|(?P<exponent>[Ee][+-])|(?P<ampm>AM/PM|A/P|am/pm)|(?P<sign>.)",
    re.DOTALL,
)
_DATE_LETTERS = frozenset("ymdhsgeYMDHSGE")
_CONDITION = re.compile(r"^(<=|>=|<>|<|>|=)\s*(-?\d+(?:\.\d+)?)$")
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September")
_MONTH_NAMES = (*_MONTHS, "October", "November", "December")
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

Token = tuple[str, str]
"""Kind (literal, digit, point, comma, percent, slash, text, exponent, date, elapsed, general, blank) and sign."""


@dataclass(frozen=True, slots=True)
class Section:
    tokens: tuple[Token, ...]
    condition: tuple[str, Decimal] | None = None

    def has(self, kind: str) -> bool:
        return any(token[0] == kind for token in self.tokens)


@lru_cache(maxsize=4096)
def parse_format(code: str) -> tuple[Section, ...]:
    """The sections of a format code, at most four."""
    sections: list[Section] = []
    tokens: list[Token] = []
    condition: tuple[str, Decimal] | None = None
    for match in _TOKEN.finditer(code):
        kind, text = match.lastgroup or "", match.group(match.lastgroup or 0)
        if kind == "sign" and text == ";":
            sections.append(Section(tuple(tokens), condition))
            tokens, condition = [], None
        elif kind == "bracket":
            if found := _CONDITION.match(text):
                condition = (found[1], Decimal(found[2]))
            else:
                tokens += _bracket(text)
        elif token := _token(kind, text):
            tokens.append(token)
    sections.append(Section(tuple(tokens), condition))
    return tuple(sections[:4])


def _bracket(text: str) -> list[Token]:
    if text and set(text) <= set("hmsHMS"):
        return [("elapsed", text.lower())]
    if text.startswith("$"):
        symbol = text[1:].split("-")[0]
        return [("literal", symbol)] if symbol else []
    return []


def _token(kind: str, text: str) -> Token | None:
    if kind in ("quoted", "escaped"):
        return ("literal", text)
    if kind == "pad":
        return ("literal", " ")
    if kind in ("general", "exponent", "ampm"):
        return (kind, text)
    if kind != "sign":
        return None
    known = {
        "0": "digit",
        "#": "digit",
        "?": "digit",
        ".": "point",
        ",": "comma",
        "%": "percent",
        "/": "slash",
        "@": "text",
    }
    if text in known:
        return (known[text], text)
    return ("date", text) if text in _DATE_LETTERS else ("literal", text)


def is_date_format(code: str) -> bool:
    """True where the format shows a number as a date or a time."""
    return any(section.has("date") or section.has("elapsed") for section in parse_format(code)[:3])


def hides_value(code: str) -> bool:
    """True for ``;;;`` and its kin: the cell holds a number but shows nothing."""
    sections = parse_format(code)
    return len(sections) >= 3 and not any(section.tokens for section in sections[:3])


def format_number(value: Decimal, code: str) -> str:
    """The number as shown; blanks at the ends stay for the caller to strip.

    >>> format_number(Decimal("27.5"), "# ?/?"), format_number(Decimal("27.5"), '0.0" cm"')
    ('27 1/2', '27.5 cm')
    """
    section, negative = _choose_section(parse_format(code or "General"), value)
    if section.has("date") or section.has("elapsed"):
        return show_general(value)
    tokens = section.tokens
    if not tokens:
        return ""
    shown = value if negative else abs(value)
    minus = "-" if negative and value < 0 else ""
    if section.has("general") or section.has("text"):
        general = show_general(abs(shown))
        return minus + "".join(general if kind in ("general", "text") else sign for kind, sign in tokens)
    if not section.has("digit"):
        return minus + "".join(sign for _, sign in tokens)
    magnitude = abs(shown) * 100 ** sum(kind == "percent" for kind, _ in tokens)
    if _fraction_slash(tokens) is not None:
        body = _show_fraction(magnitude, tokens)
    elif section.has("exponent"):
        body = _show_exponent(magnitude, tokens)
    else:
        body = _show_decimal(magnitude, tokens)
    return (minus if any(sign in "123456789" for sign in body) else "") + body


def _choose_section(sections: tuple[Section, ...], value: Decimal) -> tuple[Section, bool]:
    """The section for the value, and whether a minus sign is to be added."""
    if any(section.condition for section in sections[:2]):
        for section in sections[:3]:
            if section.condition is None or _holds(value, section.condition):
                return section, value < 0
        return sections[-1], value < 0
    if value < 0 and len(sections) > 1:
        return sections[1], False
    if value == 0 and len(sections) > 2:
        return sections[2], False
    return sections[0], value < 0


def _holds(value: Decimal, condition: tuple[str, Decimal]) -> bool:
    operator, limit = condition
    return {
        "<": value < limit,
        "<=": value <= limit,
        ">": value > limit,
        ">=": value >= limit,
        "=": value == limit,
        "<>": value != limit,
    }[operator]


def show_general(value: Decimal) -> str:
    """A number in the format "General": eleven signs at most, so 0.1 + 0.2 shows as 0.3."""
    if value == 0:
        return "0"
    whole_digits = max(1, value.adjusted() + 1)
    if whole_digits > 11 or value.adjusted() < -9:
        return f"{value:.5E}"
    places = max(0, 10 - whole_digits)
    rounded = value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    text = format(rounded, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


# ---- decimals ----------------------------------------------------------------------------------------------------


def _show_decimal(value: Decimal, tokens: tuple[Token, ...]) -> str:
    digits = [k for k, (kind, _) in enumerate(tokens) if kind == "digit"]
    point = next((k for k, (kind, _) in enumerate(tokens) if kind == "point"), len(tokens))
    whole = [k for k in digits if k < point]
    decimals = [k for k in digits if k > point]
    commas = [k for k, (kind, _) in enumerate(tokens) if kind == "comma"]
    last_whole = whole[-1] if whole else (decimals[0] - 1 if decimals else -1)
    scale = sum(k > last_whole and (not decimals or k < decimals[0] or k > decimals[-1]) for k in commas)
    grouped = any(whole and whole[0] < k < whole[-1] for k in commas)
    rounded = (value / Decimal(1000) ** scale).quantize(Decimal(1).scaleb(-len(decimals)), ROUND_HALF_UP)
    integer, _, fraction = format(rounded, "f").partition(".")
    placed = _fill_whole(integer, [tokens[k][1] for k in whole], grouped)
    filled = dict(zip(whole, placed, strict=True))
    filled.update(zip(decimals, _fill_decimals(fraction, [tokens[k][1] for k in decimals]), strict=True))
    if not whole and integer != "0":
        filled[point] = integer + "."
    return "".join(filled.get(k, "" if kind == "comma" else sign) for k, (kind, sign) in enumerate(tokens))


def _fill_whole(integer: str, signs: list[str], grouped: bool) -> list[str]:
    """Digits for the placeholders before the point, the first one taking all that is left."""
    integer = "" if integer == "0" else integer
    least = len(signs) - next((k for k, sign in enumerate(signs) if sign == "0"), len(signs))
    padded = integer.rjust(least, "0")
    if grouped:
        head = len(padded) % 3
        parts = [padded[:head]] if head else []
        parts += [padded[k : k + 3] for k in range(head, len(padded), 3)]
        return [",".join(parts), *[""] * (len(signs) - 1)] if signs else []
    cells = list(padded[-len(signs) :].rjust(len(signs))) if signs else []
    cells = [(" " if sign == "?" else "") if cell == " " else cell for cell, sign in zip(cells, signs, strict=True)]
    if cells and len(padded) > len(signs):
        cells[0] = padded[: len(padded) - len(signs) + 1]
    return cells


def _fill_decimals(fraction: str, signs: list[str]) -> list[str]:
    cells = list(fraction.ljust(len(signs), "0"))
    for k in reversed(range(len(cells))):
        if cells[k] != "0" or signs[k] == "0":
            break
        cells[k] = " " if signs[k] == "?" else ""
    return cells


def _show_exponent(value: Decimal, tokens: tuple[Token, ...]) -> str:
    at = next(k for k, (kind, _) in enumerate(tokens) if kind == "exponent")
    power = value.adjusted() if value else 0
    mantissa = _show_decimal(value.scaleb(-power), tokens[:at])
    width = sum(kind == "digit" for kind, _ in tokens[at + 1 :])
    sign = "-" if power < 0 else ("+" if tokens[at][1].endswith("+") else "")
    return f"{mantissa}E{sign}{abs(power):0{width}d}"


# ---- fractions -----------------------------------------------------------------------------------------------------


def _fraction_slash(tokens: tuple[Token, ...]) -> int | None:
    """Where the fraction bar stands: a slash with a placeholder before it and a placeholder or figure behind it."""
    for k, (kind, _) in enumerate(tokens):
        if kind == "slash" and 0 < k < len(tokens) - 1 and tokens[k - 1][0] == "digit":
            after = tokens[k + 1]
            if after[0] == "digit" or after[1].isdigit():
                return k
    return None


def _show_fraction(value: Decimal, tokens: tuple[Token, ...]) -> str:
    slash = _fraction_slash(tokens) or 0
    start = slash
    while start > 0 and tokens[start - 1][0] == "digit":
        start -= 1
    end = slash + 1
    while end < len(tokens) and (tokens[end][0] == "digit" or tokens[end][1].isdigit()):
        end += 1
    before, below = tokens[:start], "".join(sign for _, sign in tokens[slash + 1 : end])
    tail = "".join(sign for _, sign in tokens[end:])
    has_whole = any(kind == "digit" for kind, _ in before)
    whole = int(value) if has_whole else 0
    part = _nearest_fraction(Fraction(value) - whole, below)
    if has_whole and part[0] == part[1]:
        whole, part = whole + 1, (0, part[1])
    top = f"{part[0]}/{part[1]}"
    if part[0] == 0 and has_whole:
        top = ""
    lead = ""
    if has_whole:
        places = [k for k, (kind, _) in enumerate(before) if kind == "digit"]
        show_zero = any(before[k][1] == "0" for k in places) or not top
        digits = str(whole) if whole or show_zero else ""
        lead = "".join(
            digits if k == places[0] else ("" if kind == "digit" else sign) for k, (kind, sign) in enumerate(before)
        )
    else:
        lead = "".join(sign for _, sign in before)
    return f"{lead}{top}{tail}"


def _nearest_fraction(part: Fraction, below: str) -> tuple[int, int]:
    """Numerator and denominator: over a fixed denominator ("16"), or over any of as many digits as placeholders."""
    if any(sign in "123456789" for sign in below):
        denominator = int("".join(sign if sign.isdigit() else "0" for sign in below))
        return int(part * denominator + Fraction(1, 2)), denominator
    found = part.limit_denominator(10 ** min(len(below), 7) - 1)
    return found.numerator, found.denominator


# ---- dates ---------------------------------------------------------------------------------------------------------


def format_date(value: datetime | date | time | timedelta, code: str) -> str:
    """A date as shown. Formats that leave the choice to the reader's country come out year first."""
    if isinstance(value, timedelta):
        seconds = int(value.total_seconds())
        return f"{seconds // 3600}:{seconds % 3600 // 60:02d}:{seconds % 60:02d}"
    if isinstance(value, time):
        moment = datetime.combine(date(1900, 1, 1), value)
    elif isinstance(value, datetime):
        moment = value
    else:
        moment = datetime(value.year, value.month, value.day)
    tokens = parse_format(code)[0].tokens
    if not any(kind in ("date", "elapsed") for kind, _ in tokens):
        return moment.isoformat(sep=" ")
    return _show_date(moment, _group_letters(tokens))


def _group_letters(tokens: tuple[Token, ...]) -> list[Token]:
    groups: list[Token] = []
    for kind, sign in tokens:
        sign = sign.lower() if kind == "date" else sign
        if kind == "date" and groups and groups[-1][0] == "date" and groups[-1][1][0] == sign:
            groups[-1] = ("date", groups[-1][1] + sign)
        else:
            groups.append((kind, sign))
    return groups


def _show_date(moment: datetime, groups: list[Token]) -> str:
    half_day = any(kind == "ampm" for kind, _ in groups)
    letters = [k for k, (kind, _) in enumerate(groups) if kind in ("date", "elapsed")]
    out: list[str] = []
    for k, (kind, sign) in enumerate(groups):
        if kind == "date":
            beside = (_letter_beside(groups, letters, k, -1) == "h", _letter_beside(groups, letters, k, 1) == "s")
            minutes = sign[0] == "m" and len(sign) < 3 and any(beside)
            out.append(_date_part(moment, sign, minutes, half_day))
        elif kind == "elapsed":
            out.append(str(moment.hour))
        elif kind == "ampm":
            out.append("AM" if moment.hour < 12 else "PM")
        else:
            out.append(sign)
    return "".join(out)


def _letter_beside(groups: list[Token], letters: list[int], k: int, step: int) -> str:
    at = letters.index(k) + step
    return groups[letters[at]][1][0] if 0 <= at < len(letters) else ""


def _date_part(moment: datetime, sign: str, minutes: bool, half_day: bool) -> str:
    width = 2 if len(sign) > 1 else 1
    hour = (moment.hour - 1) % 12 + 1 if half_day else moment.hour
    if sign[0] == "m" and not minutes:
        name = _MONTH_NAMES[moment.month - 1]
        return {3: name[:3], 4: name, 5: name[:1]}.get(len(sign), f"{moment.month:0{width}d}")
    if sign[0] == "d" and len(sign) > 2:
        return _DAYS[moment.weekday()][: 3 if len(sign) == 3 else None]
    if sign[0] in "ye":
        return f"{moment.year % 100:02d}" if len(sign) == 2 else str(moment.year)
    number = {"d": moment.day, "h": hour, "m": moment.minute, "s": moment.second}.get(sign[0])
    return sign if number is None else f"{number:0{width}d}"
