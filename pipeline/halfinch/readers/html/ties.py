"""Which control shows which part of a page: tabs, unit switches, accordions. Gives parts their labels.

A person reaches a tab's panel by a click, so a panel that is hidden when the page loads is not an old value; and the
tab's own word ("Inches", "Petite") belongs to what the panel holds.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field

from halfinch.readers.html.tree import Node, Tree
from halfinch.readers.html.words import REACHED_ROLES, REACHED_WORDS, TAB_WORDS, TIE_WORDS, class_tokens, split_words

_LABEL_LIMIT = 60
_POINTING = (
    "aria-controls",
    "data-target",
    "data-bs-target",
    "data-href",
    "data-controls",
    "commandfor",
    "popovertarget",
)
_CONTROLS = frozenset({"a", "button", "label", "li", "option", "input", "summary"})


@dataclass(slots=True)
class Ties:
    by_id: dict[str, Node] = field(default_factory=dict)
    label_of_id: dict[str, str] = field(default_factory=dict)
    """Ids that a control points at, with that control's words ('' where it has none)."""
    label_of_value: dict[str, str] = field(default_factory=dict)
    """Values of controls' data attributes (``data-tab="cm"``) with the controls' words."""
    switches: set[int] = field(default_factory=set)
    """Lists of tabs and labels of switches, by `Node.start`: not content of their own."""
    label_of_node: dict[int, str] = field(default_factory=dict)
    """Panels tied to their tab by position alone, by `Node.start`."""

    def is_reached(self, node: Node) -> bool:
        """True where a person can bring this element to light although it is hidden at first."""
        if node.attrs.get("id", "") in self.label_of_id or node.start in self.label_of_node:
            return True
        if node.tag in ("details", "dialog") or node.attrs.get("role", "").lower() in REACHED_ROLES:
            return True
        return not REACHED_WORDS.isdisjoint(node.words) or self._tied_value(node) is not None

    def label_for(self, node: Node, tree: Tree) -> str:
        """The words of the control that shows this element, or '' where none is known."""
        attrs = node.attrs
        if node.tag == "details":
            return next((_short(tree.text_within(kid)) for kid in node.kids if kid.tag == "summary"), "")
        if node.tag == "figure":
            return next((_short(tree.text_within(kid), 200) for kid in node.kids if kid.tag == "figcaption"), "")
        if node.tag == "fieldset":
            return next((_short(tree.text_within(kid)) for kid in node.kids if kid.tag == "legend"), "")
        if node.start in self.label_of_node:
            return self.label_of_node[node.start]
        if not attrs or node.tag in _CONTROLS or attrs.get("role") == "tab":
            return ""
        if attrs.get("role", "") in ("tabpanel", "region", "group", "dialog") or "tabpanel" in node.words:
            named = self.words_of_ids(attrs.get("aria-labelledby", ""), tree) or attrs.get("aria-label", "").strip()
            if named:
                return _short(named, 200)
        return self.label_of_id.get(attrs.get("id", ""), "") or self._tied_value(node) or ""

    def words_of_ids(self, ids: str, tree: Tree) -> str:
        named = [tree.text_within(self.by_id[name]) for name in ids.split()[:4] if name in self.by_id]
        return " ".join(text for text in named if text)

    def _tied_value(self, node: Node) -> str | None:
        if not self.label_of_value or node.tag in _CONTROLS:
            return None
        for key, value in node.attrs.items():
            if key.startswith("data-") and value in self.label_of_value and _is_tie(key):
                return self.label_of_value[value]
        return None


def _short(text: str, limit: int = _LABEL_LIMIT) -> str:
    return text if len(text) <= limit else ""


def _is_tie(key: str) -> bool:
    return not TIE_WORDS.isdisjoint(class_tokens(key))


def find_ties(tree: Tree) -> Ties:
    """Reads all controls of a page once. Time and memory grow with the number of elements only."""
    ties = Ties()
    for node in tree.nodes:
        if name := node.attrs.get("id"):
            ties.by_id.setdefault(name, node)
    for node in tree.nodes:
        if node.attrs:
            for name in _ids_pointed_at(node, ties):
                label = _control_words(node, tree)
                if not ties.label_of_id.get(name):
                    ties.label_of_id[name] = label
            _tie_values(node, tree, ties)
        if node.tag == "label" and _switches(node, ties):
            ties.switches.add(node.start)
        if len(node.kids) >= 2 and _is_tab_list(node):
            _tie_by_position(node, tree, ties)
    return ties


def _switches(label: Node, ties: Ties) -> bool:
    """True for the label of a radio button or a check box."""
    field = ties.by_id.get(label.attrs.get("for", "")) or next((kid for kid in label.kids if kid.tag == "input"), None)
    return field is not None and field.attrs.get("type", "").lower() in ("radio", "checkbox")


def _ids_pointed_at(node: Node, ties: Ties) -> Iterator[str]:
    attrs = node.attrs
    for key in _POINTING:
        for name in attrs.get(key, "").split()[:4]:
            name = name.lstrip("#")
            if name in ties.by_id and ties.by_id[name] is not node:
                yield name
    href = attrs.get("href", "")
    if href.startswith("#") and href[1:] in ties.by_id:
        yield href[1:]
    if node.tag in ("option", "input") and attrs.get("type", "radio") == "radio":
        value = attrs.get("value", "")
        if value in ties.by_id and ties.by_id[value].tag not in ("input", "option"):
            yield value
    for key, value in attrs.items():
        if key.startswith("data-") and key not in _POINTING:
            name = value[1:] if value.startswith("#") else value if _is_tie(key) else ""
            if name in ties.by_id and ties.by_id[name] is not node and name:
                yield name


def _control_words(node: Node, tree: Tree) -> str:
    """What a person reads on the control; a radio button's words stand in its label."""
    if node.tag == "input":
        name = node.attrs.get("id", "")
        label = next(
            (n for n in (node.parent.kids[:200] if node.parent else ()) if n.attrs.get("for") == name and name), None
        )
        if label is None and node.parent is not None and node.parent.tag == "label":
            label = node.parent
        return _short(tree.text_within(label)) if label else _short(node.attrs.get("aria-label", ""))
    if node.stop - node.start > 60:
        return ""
    return _short(tree.text_within(node) or node.attrs.get("aria-label", ""))


def _tie_values(node: Node, tree: Tree, ties: Ties) -> None:
    if node.tag not in _CONTROLS and node.attrs.get("role") != "tab":
        return
    chosen = node.tag in ("input", "option", "button")
    for key, value in node.attrs.items():
        named = (key.startswith("data-") and _is_tie(key)) or (chosen and key == "value" and not value.isdigit())
        if named and 0 < len(value) <= 40 and value not in ties.by_id:
            label = _control_words(node, tree)
            if label and len(ties.label_of_value) < 1_000:
                ties.label_of_value.setdefault(value, label)


def _is_tab_list(node: Node) -> bool:
    return node.attrs.get("role") == "tablist" or (
        len(node.kids) <= 12 and not TAB_WORDS.isdisjoint(node.words) and node.stop - node.start < 200
    )


def _tie_by_position(tabs: Node, tree: Tree, ties: Ties) -> None:
    """N short controls followed by N panels (or one box with N panels) and nothing that says which is whose."""
    labels = [_control_words(kid, tree) for kid in tabs.kids if kid.tag not in ("input", "br", "script", "style")]
    labels = [label for label in labels if label]
    if len(labels) >= 2 and sum(_points(kid, ties) for kid in tabs.kids) >= 2:
        ties.switches.add(tabs.start)
        return
    if len(labels) < 2 or len(labels) > 12 or tabs.parent is None:
        return
    first = bisect_right(tabs.parent.kids, tabs.start, key=lambda kid: kid.start)
    following = [kid for kid in tabs.parent.kids[first : first + 40] if _is_panel(kid)]
    for panels in (following, [kid for box in following[:1] for kid in box.kids if kid.tag not in ("br", "script")]):
        if (
            len(panels) == len(labels)
            and all(_is_panel(panel) for panel in panels)
            and len({p.tag for p in panels}) == 1
        ):
            for panel, label in zip(panels, labels, strict=True):
                if panel.attrs.get("id", "") not in ties.label_of_id:
                    ties.label_of_node.setdefault(panel.start, label)
            return


def _points(tab: Node, ties: Ties) -> bool:
    """True where the tab, or the link inside it, names its panel."""
    return any(True for node in (tab, *tab.kids[:2]) for _ in _ids_pointed_at(node, ties))


def _is_panel(node: Node) -> bool:
    return node.tag in ("div", "section", "table", "ul", "dl", "article", "figure") and node.stop - node.start > 8


def words_of_key(key: str) -> str:
    """``data-front-rise`` as ``front rise``."""
    return split_words(key.removeprefix("data-"))
