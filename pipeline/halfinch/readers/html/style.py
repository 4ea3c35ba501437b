"""The little of CSS that decides what a person sees: display, visibility, line-through, the columns of a grid.

Only what the page itself carries is read: style attributes and <style> elements (and a saved page's stored style
sheets). Selectors are matched as far as they are made of tags, classes, ids and attribute names joined by blanks or
">"; a rule with anything else (``:hover``, ``+``, ``:not(...)``) is passed over, save that it can show that something
hidden is meant to be shown at a click.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache

from halfinch.readers.html.tree import Node

_MAX_CSS = 1_000_000
_MAX_RULES = 5_000
_MAX_ALIKE = 60
_MAX_CLIMB = 64
_MAX_STEPS = 300_000
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_TOLD = re.compile(r"display|visibility|line-through|grid-template-columns|mso-hide|font-size\s*:\s*0", re.IGNORECASE)
_COMPOUND = re.compile(r"(?P<tag>[a-z][\w-]*|\*)?(?P<rest>(?:[.#][\w-]+|\[[\w-]+(?:=[^\]]*)?\])*)$", re.IGNORECASE)
_PART = re.compile(r"([.#])([\w-]+)|\[([\w-]+)(?:=[\"']?([^\"'\]]*)[\"']?)?\]")
_SIMPLE = re.compile(r"\.[\w-]+")
_NAMED = re.compile(r"[.#][\w-]+")
_STATE = re.compile(r":(?:checked|target|focus|hover|active|focus-within|not)\b")


@dataclass(frozen=True, slots=True)
class Look:
    """Declarations that matter; '' where a rule does not say. `hides`: '' | 'yes' | 'no'."""

    hides: str = ""
    display: str = ""
    struck: bool = False
    tracks: int = 0


@dataclass(frozen=True, slots=True)
class _Compound:
    tag: str
    names: frozenset[str]
    """Classes as ``.name``, ids as ``#name``."""
    attrs: tuple[tuple[str, str | None], ...]

    def matches(self, node: Node, names: frozenset[str]) -> bool:
        if self.tag not in ("", "*", node.tag) or not self.names <= names:
            return False
        return all(key in node.attrs and value in (None, node.attrs[key]) for key, value in self.attrs)


@dataclass(frozen=True, slots=True)
class _Rule:
    last: _Compound
    before: tuple[tuple[_Compound, bool], ...]
    """Compounds to the left, nearest first, each with True where it must be the parent itself."""
    weight: tuple[int, int, int]
    look: Look


@dataclass(slots=True)
class Styles:
    """All rules of a page, found by a name of their last compound."""

    by_name: dict[str, list[_Rule]] = field(default_factory=lambda: defaultdict(list))
    shown_names: set[str] = field(default_factory=set)
    """Classes and ids that some rule makes visible in a state that the page may get into."""
    count: int = 0
    _known: dict[tuple[int, int], bool] = field(default_factory=dict)
    """Whether the ancestors fit a rule, by the rule and the element's parent: brothers share the answer."""
    _steps: int = 0

    def look_of(self, node: Node) -> Look:
        """The look of one element by style sheets and its own style attribute; nothing is inherited here."""
        looks = self._ruled(node) if self.count else []
        if own := node.attrs.get("style"):
            looks.append(read_declarations(own))
        if not looks:
            return _NO_LOOK
        if len(looks) == 1:
            return looks[0]
        return Look(
            hides=next((look.hides for look in reversed(looks) if look.hides), ""),
            display=next((look.display for look in reversed(looks) if look.display), ""),
            struck=any(look.struck for look in looks),
            tracks=next((look.tracks for look in reversed(looks) if look.tracks), 0),
        )

    def _ruled(self, node: Node) -> list[Look]:
        names = names_of(node)
        found = [
            rule
            for key in (*names, node.tag, "*")
            for rule in self.by_name.get(key, ())
            if rule.last.matches(node, names) and (not rule.before or self._ancestors_fit(rule, node))
        ]
        found.sort(key=lambda rule: rule.weight)
        return [rule.look for rule in found]

    def _ancestors_fit(self, rule: _Rule, node: Node) -> bool:
        """Bounded: once a page has cost too many steps, rules with ancestors count as not fitting."""
        key = (id(rule), node.parent.start if node.parent is not None else -1)
        if key not in self._known:
            if self._steps > _MAX_STEPS:
                return False
            self._known[key], steps = _ancestors_match(rule.before, node)
            self._steps += steps
        return self._known[key]

    def can_be_shown(self, node: Node) -> bool:
        """True where some rule, in a state such as ``.active`` or ``:checked``, shows an element of these names."""
        return bool(self.shown_names) and not self.shown_names.isdisjoint(names_of(node))


_NO_LOOK = Look()


def names_of(node: Node) -> frozenset[str]:
    return _names(node.attrs.get("class", ""), node.attrs.get("id", ""))


@lru_cache(maxsize=4096)
def _names(classes: str, own_id: str) -> frozenset[str]:
    names = {f".{name}" for name in classes.split()}
    if own_id:
        names.add(f"#{own_id}")
    return frozenset(names)


def _ancestors_match(before: tuple[tuple[_Compound, bool], ...], node: Node) -> tuple[bool, int]:
    """Whether they fit, and the steps it took."""
    climbed, steps = node.parent, 0
    for compound, direct in before:
        for _ in range(1 if direct else _MAX_CLIMB):
            steps += 1
            if climbed is None:
                return False, steps
            here, climbed = climbed, climbed.parent
            if compound.matches(here, names_of(here)):
                break
        else:
            return False, steps
    return True, steps


def read_declarations(text: str) -> Look:
    """``display:none; text-decoration: line-through`` as a Look."""
    if not _TOLD.search(text):
        return _NO_LOOK
    hides = display = ""
    struck, tracks = False, 0
    for part in text.split(";"):
        key, _, value = part.partition(":")
        key, value = key.strip().lower(), value.replace("!important", "").strip().lower()
        if key == "display" and value:
            hides, display = ("yes", "") if value == "none" else (hides or "no", value)
        elif key == "visibility":
            hides = "yes" if value in ("hidden", "collapse") else hides or "no"
        elif (key == "mso-hide" and value == "all") or (key == "font-size" and re.fullmatch(r"0(px|pt|em|%)?", value)):
            hides = "yes"
        elif key.startswith("text-decoration") and "line-through" in value:
            struck = True
        elif key == "grid-template-columns":
            tracks = count_tracks(value)
    return Look(hides, display, struck, tracks)


def count_tracks(value: str) -> int:
    """Columns in ``repeat(4, 1fr)`` or ``120px 1fr minmax(0, 1fr)``; 0 where the count is not fixed (auto-fill)."""
    count = 0
    rest = value
    for repeat in re.finditer(r"repeat\(\s*(\d{1,3})\s*,((?:[^()]|\([^()]*\))*)\)", value):
        inner = re.sub(r"\([^()]*\)", "", repeat.group(2)).split()
        count += int(repeat.group(1)) * max(1, len(inner))
        rest = rest.replace(repeat.group(0), " ")
    if "repeat(" in rest:
        return 0
    rest = re.sub(r"\[[^\]]*\]", " ", re.sub(r"\([^()]*\)", "", rest))
    count += sum(1 for word in rest.split() if word not in ("none", "auto-flow", "/", "initial", "unset", "inherit"))
    return count if count <= 200 else 0


def read_styles(sheets: Iterable[str]) -> Styles:
    """Rules of all style sheets that bear on what is seen; print, size-bound and malformed blocks are passed over."""
    styles = Styles()
    left = _MAX_CSS
    for sheet in sheets:
        for selectors, declarations in _rules(_COMMENT.sub("", sheet[:left])):
            look = read_declarations(declarations)
            if look != _NO_LOOK:
                _add_rule(styles, selectors, look)
        left -= len(sheet)
        if left <= 0 or styles.count >= _MAX_RULES:
            break
    return styles


def _rules(css: str) -> Iterator[tuple[str, str]]:
    """(selectors, declarations) of the rules that hold on a wide screen; other at-rules are skipped."""
    at, passed_over, depth = 0, 0, 0
    for found in re.finditer(r"[{}]", css):
        lead, at = css[at : found.start()], found.end()
        if found.group() == "{":
            depth += 1
            head = lead.rpartition(";")[2].strip()
            if passed_over:
                continue
            if head.startswith("@"):
                opens = re.match(r"@(media|supports|layer)\b(.*)", head, re.DOTALL)
                if not (opens and not re.search(r"print|max-width|max-height", opens.group(2))):
                    passed_over = depth
                continue
            selectors = head
        else:
            if not passed_over and lead.strip() and depth:
                yield selectors, lead
            if passed_over == depth:
                passed_over = 0
            selectors = ""
            depth = max(0, depth - 1)


def _add_rule(styles: Styles, selectors: str, look: Look) -> None:
    for selector in selectors.split(",")[:50]:
        selector = selector.strip()[:300]
        rule = _read_selector(selector, look)
        names = rule.last.names if rule else frozenset(_NAMED.findall(selector.rpartition(" ")[2]))
        in_state = rule is None and bool(_STATE.search(selector))
        if look.hides == "no" and names and (in_state or len(names) > 1 or (rule and rule.before)):
            styles.shown_names |= names
        if rule is None or styles.count >= _MAX_RULES:
            continue
        if len(styles.by_name[key := min(rule.last.names, default=rule.last.tag or "*")]) >= _MAX_ALIKE:
            continue
        styles.by_name[key].append(rule)
        styles.count += 1


def _read_selector(selector: str, look: Look) -> _Rule | None:
    parts = re.sub(r"\s*>\s*", " > ", selector).split()
    compounds: list[tuple[_Compound, bool]] = []
    direct = False
    for part in reversed(parts):
        if part == ">":
            direct = True
            continue
        compound = _read_compound(part)
        if compound is None:
            return None
        compounds.append((compound, direct))
        direct = False
    if not compounds or len(compounds) > 8:
        return None
    ids = sum(name.startswith("#") for compound, _ in compounds for name in compound.names)
    names = sum(len(compound.names) + len(compound.attrs) for compound, _ in compounds) - ids
    tags = sum(compound.tag not in ("", "*") for compound, _ in compounds)
    return _Rule(compounds[0][0], tuple(compounds[1:]), (ids, names, tags), look)


def _read_compound(text: str) -> _Compound | None:
    if text.startswith(".") and _SIMPLE.fullmatch(text):
        return _Compound("", frozenset((text,)), ())
    found = _COMPOUND.fullmatch(text)
    if not text or found is None:
        return None
    names: set[str] = set()
    attrs: list[tuple[str, str | None]] = []
    for sign, name, attr, value in _PART.findall(found["rest"] or ""):
        if sign:
            names.add(sign + name)
        else:
            attrs.append((attr.lower(), value or None))
    return _Compound((found["tag"] or "").lower(), frozenset(names), tuple(attrs))
