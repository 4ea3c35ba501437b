"""Inline text as a person sees it: blanks folded, breaks kept, fractions and footnote marks told apart.

While a block is gathered, signs that no page may contain (Unicode noncharacters) stand for the edges of elements;
`see_text` then settles what they mean. So ``9<sup>3</sup>/<sub>4</sub>`` becomes ``9 3/4`` and never ``93/4``, and a
footnote's ``9<sup>1</sup>`` becomes ``9¹`` and never ``91``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from halfinch.readers.html.tree import Node
from halfinch.readers.html.words import BLOCK_TAGS
from halfinch.sheet import HIDDEN, STRUCK

SUP, SUP_END, SUB, SUB_END, EDGE, GAP = "\ufdd0", "\ufdd1", "\ufdd2", "\ufdd3", "\ufdd4", "\ufdd5"
BREAK, BLANK = "\ufdd6", "\ufdd7"
_SIGNS = re.compile("[\ufdd0-\ufdef]")
_EDGES = f"[{EDGE}{GAP}]*"
_SLASH = rf"{_EDGES}\s*[/⁄∕]\s*{_EDGES}"
_STACKED = re.compile(rf"{SUP}\s*(\d{{1,3}})\s*{SUP_END}(?:{_SLASH})?{_EDGES}{SUB}\s*(\d{{1,3}})\s*{SUB_END}")
_RAISED = re.compile(rf"{SUP}\s*(\d{{1,3}})\s*{SUP_END}{_SLASH}(\d{{1,3}})(?!\d)")
_LOWERED = re.compile(rf"(?<!\d)(\d{{1,2}}){_SLASH}{SUB}\s*(\d{{1,3}})\s*{SUB_END}")
_WHOLE_RAISED = re.compile(rf"{SUP}{_EDGES}\s*(\d{{1,3}}\s*[/⁄∕]\s*\d{{1,3}}|[½¼¾⅐-⅞])\s*{_EDGES}{SUP_END}")
_NOTE = re.compile(rf"{SUP}([^{SUP}{SUP_END}]*){SUP_END}")
_INDEX = re.compile(rf"{SUB}([^{SUB}{SUB_END}]*){SUB_END}")
_SPLIT_FRACTION = re.compile(rf"(?<=\d)[{EDGE}{GAP}]+(?=\d{{1,3}}{_SLASH}\d{{1,3}}(?!\d))")
_ITEM_GAP = re.compile(rf"(?<=[\w)\"”″]){EDGE}*{GAP}[{EDGE}{GAP}]*(?=[\w½¼¾(])")
# A word and a number that only their elements tell apart: <b>Inseam</b>30.
_WORD_EDGE = re.compile(
    rf"(?<=[^\W\d_]{{2}})[{EDGE}{GAP}]+(?=\d)|(?<=\d)[{EDGE}{GAP}]+(?=[^\W\d_]{{2}})|(?<=[\w\"”″)])[{EDGE}{GAP}]+(?=[$€£¥(])"
)
_FRACTION = BLANK + r"\1/\2"
_NEEDED_BLANK = re.compile(rf"(?<=\d){BLANK}")
_RAISE = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_LOWER = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
# Zero-width and bidirectional marks, soft hyphen, byte order mark: nothing a person sees.
_UNSEEN = re.compile("[\u00ad\u034f\u061c\u180e\u200b-\u200f\u202a-\u202e\u2060-\u2064\u2066-\u2069\ufeff]")
_NUMERATOR = frozenset({"num", "numer", "numerator", "nominator", "top", "upper"})
_DENOMINATOR = frozenset({"den", "denom", "denominator", "bottom", "lower"})
# Inline in a browser's eyes, yet never used to style a part of a word (common practice).
_APART = frozenset({"input", "select", "option", "img", "svg", "label", "canvas"})


def drop_unseen(text: str) -> str:
    """Without zero-width marks, soft hyphens and the like."""
    return text if text.isascii() else _UNSEEN.sub("", text)


def see_text(raw: str, *, keep_blanks: bool = False) -> str:
    """The seen text of gathered `raw`: one line a visual line, no empty lines. `keep_blanks`: as in <pre>."""
    if SUP in raw or SUB in raw:
        raw = _settle_raised(raw)
    if EDGE in raw or GAP in raw:
        raw = _SPLIT_FRACTION.sub(BLANK, raw)
        raw = _WORD_EDGE.sub(" ", raw)
        raw = _ITEM_GAP.sub(" ", raw)
        raw = raw.replace(EDGE, "").replace(GAP, "")
    if BLANK in raw:
        raw = _NEEDED_BLANK.sub(" ", raw).replace(BLANK, "")
    raw = drop_unseen(raw)
    if keep_blanks:
        lines = [line.rstrip() for line in raw.replace(BREAK, "\n").replace("\xa0", " ").split("\n")]
        return "\n".join(line for line in lines if line.strip())
    lines = [" ".join(line.split()) for line in raw.split(BREAK)] if BREAK in raw else [" ".join(raw.split())]
    return "\n".join(line for line in lines if line)


def _settle_raised(raw: str) -> str:
    raw = _STACKED.sub(_FRACTION, raw)
    raw = _RAISED.sub(_FRACTION, raw)
    raw = _LOWERED.sub(r"\1/\2", raw)
    raw = _WHOLE_RAISED.sub(
        lambda m: BLANK + re.sub(r"\s|⁄|∕", lambda s: "" if s.group().isspace() else "/", m[1]), raw
    )
    for _ in range(3):
        if SUP in raw:
            raw = _NOTE.sub(lambda m: _as_note(m[1]), raw)
        if SUB in raw:
            raw = _INDEX.sub(lambda m: m[1].translate(_LOWER) if m[1].strip().isdigit() else m[1], raw)
    return re.sub(f"[{SUP}{SUP_END}{SUB}{SUB_END}]", "", raw)


def _as_note(text: str) -> str:
    """A raised text that is no fraction: its figures become raised figures, so that they join no number."""
    bare = re.sub(_EDGES, "", text)
    return re.sub(r"\s*,\s*", " ", bare).translate(_RAISE) if any(c.isdigit() for c in bare) else text


@dataclass(slots=True)
class Gatherer:
    """Collects the texts of one block, apart for what is plain, struck and hidden."""

    parts: dict[frozenset[str], list[str]] = field(default_factory=dict)
    _closed: Node | None = None
    """The inline element that ended last, if nothing has come since."""

    def text(self, text: str, inside: Node, keep_lines: bool = False) -> None:
        if max(text, default="") >= "\ufdd0" and _SIGNS.search(text):
            text = _SIGNS.sub("", text)
        if keep_lines:
            text = text.replace("\r\n", BREAK).replace("\n", BREAK).expandtabs(8)
        self._put(text, inside)
        if not text.isspace():
            self._closed = None

    def _put(self, text: str, inside: Node) -> None:
        marks = _MARKS[inside.hidden, inside.struck]
        self.parts.setdefault(marks, []).append(text)

    def open(self, node: Node) -> None:
        """An inline or block element begins."""
        if node.tag in BLOCK_TAGS:
            self.line_break(node)
            return
        sign = EDGE
        stacked = _stacked(node)
        if node.tag == "sup" or stacked == SUP:
            sign = SUP
        elif node.tag == "sub" or stacked == SUB:
            sign = SUB
        elif node.tag in _APART or "-" in node.tag:
            sign = " "
        elif self._closed is not None and self._closed.parent is node.parent and _told_apart(self._closed, node):
            sign = GAP
        self._put(sign, node)

    def close(self, node: Node) -> None:
        if node.tag in BLOCK_TAGS:
            self.line_break(node)
            return
        sign = EDGE
        stacked = _stacked(node)
        if node.tag == "sup" or stacked == SUP:
            sign = SUP_END
        elif node.tag == "sub" or stacked == SUB:
            sign = SUB_END
        elif node.tag in _APART or "-" in node.tag:
            sign = " "
        self._put(sign, node)
        self._closed = node

    def line_break(self, _node: Node) -> None:
        for pieces in self.parts.values():
            pieces.append(BREAK)
        self._closed = None

    def take(self, *, keep_blanks: bool = False) -> list[tuple[str, frozenset[str]]]:
        """(text, marks) of all that was gathered and is not empty, plain text first; starts afresh."""
        taken = [
            (text, marks)
            for marks, pieces in sorted(self.parts.items(), key=lambda item: len(item[0]))
            if (text := see_text("".join(pieces), keep_blanks=keep_blanks))
        ]
        self.parts = {}
        self._closed = None
        return taken


_MARKS = {
    (False, False): frozenset[str](),
    (False, True): frozenset({STRUCK}),
    (True, False): frozenset({HIDDEN}),
    (True, True): frozenset({HIDDEN, STRUCK}),
}


def _stacked(node: Node) -> str:
    """SUP or SUB where the element is the upper or lower part of a fraction set in two boxes; else ''."""
    parent = node.parent
    if parent is None or not 2 <= len(parent.kids) <= 6:
        return ""
    if parent.tag == "mfrac":
        return SUP if parent.kids[0] is node else SUB
    if parent.tag == "msup" and parent.kids[-1] is node:
        return SUP
    if "class" not in node.attrs or node.size > 3:
        return ""
    words = node.words
    if words & _NUMERATOR and any(kid.words & _DENOMINATOR for kid in parent.kids):
        return SUP
    if words & _DENOMINATOR and any(kid.words & _NUMERATOR for kid in parent.kids):
        return SUB
    return ""


def _told_apart(before: Node, node: Node) -> bool:
    """Two inline elements side by side that are items of their own, not a word that an editor has cut in two."""
    one, other = before.attrs, node.attrs
    if before.tag != node.tag and "a" not in (before.tag, node.tag):
        return bool(one.get("class")) and bool(other.get("class"))
    if one.get("class") or other.get("class"):
        return True
    return any(key.startswith("data-") for key in (*one, *other)) or (node.tag == "a")
