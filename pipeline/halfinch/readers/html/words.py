"""What HTML's tags, roles and the usual class words mean for the reading of a page. Nothing of garments."""

from __future__ import annotations

import re
from functools import lru_cache
from itertools import pairwise


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


# Their text is never part of the page.
RAW_TAGS = frozenset({"script", "style", "title", "textarea", "noembed", "noframes", "object", "applet"})
SILENT_TAGS = _set(
    "script style title noembed noframes link meta base col colgroup datalist param source track audio video canvas "
    "map area defs desc metadata annotation annotation-xml"
)
# Break the line before and after (HTML standard, "Rendering", sections 15.3.3 to 15.3.8: display: block and tables).
BLOCK_TAGS = _set(
    "address article aside blockquote body caption center dd details dialog dir div dl dt fieldset figcaption figure "
    "footer form h1 h2 h3 h4 h5 h6 header hgroup hr html legend li listing main menu nav ol optgroup option p pre "
    "search section select summary table tbody td tfoot th thead tr ul frameset iframe xmp plaintext noscript "
    "template svg text button"
)
HEADINGS = {f"h{n}": n for n in range(1, 7)}
BOLD_TAGS = frozenset({"b", "strong"})
STRUCK_TAGS = frozenset({"s", "del", "strike"})
CHROME_TAGS = frozenset({"nav", "footer", "aside", "header", "button"})
CHROME_ROLES = _set(
    "navigation banner contentinfo complementary search tab tablist menu menubar menuitem toolbar button breadcrumb"
)
TABLE_ROLES = frozenset({"table", "grid", "treegrid"})
CELL_ROLES = frozenset({"cell", "gridcell", "columnheader", "rowheader"})
HEADER_ROLES = frozenset({"columnheader", "rowheader"})

# Class or id words by which pages name the parts around their content (common practice).
CHROME_WORDS = _set("cookie cookies consent gdpr breadcrumb breadcrumbs navbar sitenav newsletter skiplink")
# Hidden when the page loads, shown by a person's click (common practice).
REACHED_WORDS = _set(
    "tab tabs tabpane tabpanel tabcontent pane panel panels modal dialog drawer accordion collapse collapsible popup "
    "popover lightbox offcanvas flyout slide expandable"
)
REACHED_ROLES = frozenset({"tabpanel", "dialog", "alertdialog"})
TAB_WORDS = frozenset({"tab", "tabs", "tablist", "pills", "toggle", "switch", "switcher", "toggler", "segmented"})
# Class words that say that repeated boxes are rows and cells (common practice).
TABLE_WORDS = _set(
    "table tbl row rows cell cells col cols column columns grid spec specs specification attr attribute attributes "
    "measure measures measurement measurements chart size sizes dimension dimensions detail details property "
    "properties value values label labels key data th td tr thead tbody"
)
# Attribute words by which a control and the part it shows are tied together.
TIE_WORDS = _set("tab tabs panel pane target content toggle unit units filter view show open controls")

_WORD = re.compile(r"[a-z]+|[A-Z]+(?![a-z])|[A-Z][a-z]*|\d+")


@lru_cache(maxsize=4096)
def class_tokens(*values: str) -> frozenset[str]:
    """``("size-chart__Row", "tabPanel")`` gives size, chart, row, tab, panel and tabpanel."""
    words: set[str] = set()
    for value in values:
        for name in value[:500].split():
            parts = [part.lower() for part in _WORD.findall(name)]
            words.update(parts)
            words.update(a + b for a, b in pairwise(parts))
            words.add(name.lower())
    return frozenset(words)


def split_words(name: str) -> str:
    """An attribute's or key's name in words: ``front-rise``, ``frontRise`` and ``front_rise`` give ``front rise``."""
    return " ".join(_WORD.findall(name)).lower()


# Last words of keys whose numbers measure nothing a sheet tells (common practice).
DULL_WORDS = _set(
    "id ids index idx count counts position pos delay speed duration step page pages key ts time timestamp date "
    "version price prices amount cents width height ratio zoom offset order row col column level depth v reactid "
    "testid colspan rowspan total max min quantity qty stock inventory rank rating ratings reviews review score x y z "
    "sku gtin ean upc barcode hash status code port ttl timeout limit weight opacity discount percent percentage "
    "number no num src url uid guid uuid token category parent phone zip postcode year month day hour minute second "
    "scale lat lng latitude longitude radius loop slides items"
)


def is_dull_key(key: str) -> bool:
    words = _WORD.findall(key)
    if not words:
        return not any(char.isalpha() for char in key)  # a name in other letters is a name
    return words[-1].lower() in DULL_WORDS
