"""JSON inside scripts: JSON-LD, state blocks, ``window.state = {...}``, ``JSON.parse("...")``, object literals."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any, cast

from halfinch.readers.html.words import is_dull_key

_JSON_TYPES = re.compile(r"json", re.IGNORECASE)
_STARTS = re.compile(
    r"(?P<parse>JSON\.parse\(\s{0,40})?(?:(?<=[=(:,\[])|(?<=return)|(?<=^))\s{0,40}(?P<open>[{\[]|[\"'`](?=[\[{]|\\\"|\d+:))",
    re.MULTILINE,
)
_MAX_TRIES = 400
_MAX_LITERAL = 2_000_000
_OPENING = re.compile(r"\s*(?://\s*)?(?:<!--|<!\[CDATA\[)")
_CLOSING = re.compile(r"(?://\s*)?(?:-->|\]\]>)\s*$")
_DECODER = json.JSONDecoder(strict=False)


def values_in_script(text: str, kind: str) -> Iterator[tuple[object, str]]:
    """(value, pointer within the script) of all JSON values in a script that are objects or lists.

    Scripts that say they are JSON are read whole; programs are searched for values that are assigned or passed. What
    cannot be read is passed over: a script is no sheet.
    """
    if opening := _OPENING.match(text):
        text = text[opening.end() :]
    if closing := _CLOSING.search(text, max(0, len(text) - 40)):
        text = text[: closing.start()]
    text = text.strip().rstrip(";").strip()
    if not text:
        return
    if _JSON_TYPES.search(kind):
        if "ld+" not in kind and len(text) > _SMALL and not _may_tell(text):
            return
        value = read_json(text)
        if isinstance(value, (dict, list)):
            yield _unpack(value), ""
        return
    if kind and "script" not in kind.lower() and kind.lower() != "module":
        return
    if not _may_tell(text):
        return
    for number, value in enumerate(_search(text), 1):
        yield _unpack(value), f"/value[{number}]"


_SMALL = 20_000
_KEYED_FIGURE = re.compile(
    r"""(?:["']([^"'\\\n:]{1,80})\\{0,3}["']|[{,\s]([\w$-]{1,60}))\s{0,4}:\s{0,4}\\{0,3}["']?[~<+-]?[\d½¼¾⅛⅜⅝⅞]"""
)
_LISTED_FIGURE = re.compile(r"""\[\s{0,4}\\*["']?(?:\d|[½¼¾⅛⅜⅝⅞])""")
_MARKUP = tuple(re.compile(sign + r"(?:li|p|br|table|td|dl|div|ul)\b") for sign in ("<", "&lt;", r"\\u003[cC]"))


def _may_tell(text: str) -> bool:
    """A quick look whether a script can hold figures: under a key that is not dull, in a list, or within markup."""
    if _LISTED_FIGURE.search(text) or any(sign.search(text) for sign in _MARKUP):
        return True
    return any(not is_dull_key(quoted or bare) for quoted, bare in set(_KEYED_FIGURE.findall(text)))


def read_json(text: str) -> object:
    """A JSON text, or one with the slips of hand-written pages (a comma before the end, raw line breaks); else None."""
    try:
        return json.loads(text, strict=False)
    except (ValueError, RecursionError):
        pass
    try:
        return _DECODER.raw_decode(re.sub(r",(\s*[}\]])", r"\1", text))[0]
    except (ValueError, RecursionError):
        return read_literal(text, 0)[0]


def _search(text: str) -> Iterator[object]:
    at, tries = 0, 0
    while tries < _MAX_TRIES:
        found = _STARTS.search(text, at)
        if found is None:
            return
        tries += 1
        start = found.start("open")
        sign = text[start]
        if sign in "\"'`":
            value, stop = _string_at(text, start)
        else:
            value, stop = _value_at(text, start)
        if isinstance(value, (dict, list)) and value:
            yield value
        at = max(stop, start + 1)


def _value_at(text: str, start: int) -> tuple[object, int]:
    try:
        return _DECODER.raw_decode(text, start)
    except (ValueError, RecursionError):
        return read_literal(text, start)


_QUOTED = {
    '"': re.compile(r'"((?:[^"\\\n]|\\.)*)"', re.DOTALL),
    "'": re.compile(r"'((?:[^'\\\n]|\\.)*)'", re.DOTALL),
    "`": re.compile(r"`((?:[^`\\]|\\.)*)`", re.DOTALL),
}


def _string_at(text: str, start: int) -> tuple[object, int]:
    """A value that stands in quotes within the program: ``JSON.parse("{\\"a\\":1}")``, ``push([1, "..."])``."""
    found = _QUOTED[text[start]].match(text, start)
    if found is None:
        return None, start + 1
    inner = _unescape(found.group(1))
    numbered = re.match(r"[0-9a-z]+:(?=[\[{])", inner)
    value = read_json(inner[numbered.end() :] if numbered else inner) if len(inner) > 6 else None
    return value, found.end()


_ESCAPE = re.compile(r"\\(u[0-9a-fA-F]{4}|x[0-9a-fA-F]{2}|u\{[0-9a-fA-F]{1,6}\}|.)", re.DOTALL)
_SHORT = {"n": "\n", "t": "\t", "r": "\r", "b": "\b", "f": "\f", "v": "\v", "0": "", "\n": ""}


def _unescape(text: str) -> str:
    def one(found: re.Match[str]) -> str:
        sign = found.group(1)
        if len(sign) > 1:
            number = int(sign[1:].strip("{}"), 16)
            return chr(number) if number <= 0x10FFFF else ""
        return _SHORT.get(sign, sign)

    if "\\" not in text:
        return text
    plain = _ESCAPE.sub(one, text)
    return plain.encode("utf-16", "surrogatepass").decode("utf-16", "replace")


# ---- object literals ---------------------------------------------------------------------------------------------

_TOKEN = re.compile(
    r"""\s+ | //[^\n]* | /\*.*?\*/ |
    (?P<string>"(?:[^"\\\n]|\\.)*" | '(?:[^'\\\n]|\\.)*' | `(?:[^`\\$]|\\.|\$(?!\{))*`) |
    (?P<number>-?(?:0[xX][0-9a-fA-F]+|\d+\.?\d*(?:[eE][+-]?\d+)?|\.\d+)) |
    (?P<word>!0|!1|void\ 0|[A-Za-z_$][\w$]*) |
    (?P<sign>[{}\[\],:])""",
    re.VERBOSE | re.DOTALL,
)
_WORDS = {"true": "true", "!0": "true", "false": "false", "!1": "false"}


def read_literal(text: str, start: int) -> tuple[object, int]:
    """A JavaScript object or list literal of plain values at `start`; (None, where it broke off) if it is a program.

    Unquoted keys, single quotes, comments, trailing commas and undefined are understood; names and calls are not.
    """
    out: list[str] = []
    depth, at, limit = 0, start, min(len(text), start + _MAX_LITERAL)
    while at < limit:
        found = _TOKEN.match(text, at, limit)
        if found is None:
            return None, at
        at = found.end()
        kind = found.lastgroup
        if kind is None:
            continue
        token = found.group(kind)
        if kind == "sign":
            depth += (token in "{[") - (token in "}]")
            if token in "}]" and out and out[-1] == ",":
                out.pop()
            out.append(token)
            if depth == 0:
                break
        elif kind == "string":
            out.append(json.dumps(_unescape(token[1:-1])))
        elif kind == "number":
            out.append(_number(token))
        else:
            key = re.compile(r"\s*:").match(text, at)
            if key is None and token not in _WORDS and token not in ("null", "undefined", "NaN", "void 0", "Infinity"):
                return None, at
            out.append(json.dumps(token) if key else _WORDS.get(token, "null"))
        if len(out) >= 2 and kind == "number" and out[-2] in "{," and text[at : at + 1] == ":":
            out[-1] = json.dumps(token)
    try:
        return json.loads("".join(out)), at
    except (ValueError, RecursionError):
        return None, at


def _number(token: str) -> str:
    if token.lower().startswith("0x"):
        return str(int(token, 16))
    token = token.rstrip(".") if token.endswith(".") else token
    token = "0" + token if token.startswith(".") else token.replace("-.", "-0.")
    return token if len(token) < 2 or token.lstrip("-")[0] != "0" or "." in token else json.dumps(token)


def _unpack(value: object) -> object:
    """Strings that are JSON themselves (state within state) are opened, two levels deep; the value is changed."""
    waiting: list[tuple[object, int]] = [(value, 0)]
    seen = 0
    while waiting and seen < 200_000:
        one, depth = waiting.pop()
        seen += 1
        if not isinstance(one, (dict, list)):
            continue
        holder: Any = one
        for key, part in list(one.items() if isinstance(one, dict) else enumerate(one)):
            if isinstance(part, str) and depth < 2 and 8 < len(part) < 2_000_000:
                opened = _open_string(part)
                if opened is not None:
                    holder[key] = opened
                    waiting.append((opened, depth + 1))
            else:
                waiting.append((part, depth))
    return value


_NUMBERED_LINE = re.compile(r"^[0-9a-f]{1,4}:([\[{].*)$", re.MULTILINE)


def _open_string(text: str) -> object:
    """A string that is JSON, or lines of JSON that are numbered as a page streams them (``3:{...}``); else None."""
    first = text.lstrip()[:1]
    try:
        if first in ("{", "["):
            return cast(object, json.loads(text))
        if _NUMBERED_LINE.match(text):
            return [read_json(line) for line in _NUMBERED_LINE.findall(text)[:1_000]]
    except (ValueError, RecursionError):
        return None
    return None
