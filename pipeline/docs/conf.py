"""How Sphinx renders the reference: `make docs` writes it to build/docs. Tables that the program knows are written in
where a page says ``<!-- NAME -->``."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from halfinch import __version__
from halfinch.catalogue import tables
from halfinch.catalogue.for_analysts import CLEAN_FIGURES, all_macros
from halfinch.catalogue.same_decisions import STYLE_GROUPS
from halfinch.catalogue.views import SIZES

project = "halfinch"
author = "the halfinch developers"
release = version = __version__
extensions = ["sphinx.ext.autodoc", "sphinx.ext.napoleon", "sphinx.ext.viewcode", "myst_parser"]
html_theme = "furo"
html_title = f"halfinch {version}"
html_copy_source = False
html_show_copyright = False
autodoc_member_order = "bysource"
autodoc_typehints = "signature"
autodoc_typehints_format = "short"
python_maximum_signature_line_length = 80
napoleon_numpy_docstring = False
myst_heading_anchors = 3
smartquotes = False
default_role = "code"
suppress_warnings = ["myst.strikethrough"]


def _rows(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [head, tuple("---" for _ in head), *rows]
    return "\n".join("| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |" for line in lines)


def _columns(told: Iterable[tables.Table]) -> str:
    return "\n\n".join(
        f"### `{table.name}`\n\n{table.means}.\n\n"
        + _rows(("column", "type", "means"), ((f"`{c.name}`", c.type, c.means) for c in table.columns))
        for table in told
    )


def _sizes() -> str:
    """The columns of `sizes`, those of one point for all."""
    shown = [c for c in SIZES.columns if not any(c.name.startswith(p) for p in tables.POINTS if p != "inseam")]
    return _columns([tables.Table("sizes", SIZES.means, tuple(shown))])


def _macros() -> str:
    return "\n\n".join(f"### `{one.name}`\n\n```sql\n{one.call}\n```\n\n{one.means}." for one in all_macros())


WRITTEN: dict[str, Callable[[], str]] = {
    "sizes": _sizes,
    "clean_figures": lambda: _columns([CLEAN_FIGURES]),
    "style_groups": lambda: _columns([STYLE_GROUPS]),
    "tables": lambda: _columns(tables.TABLES),
    "macros": _macros,
}


def _write_in(app: Any, name: str, source: list[str]) -> None:
    for mark, text in WRITTEN.items():
        if f"<!-- {mark} -->" in source[0]:
            source[0] = source[0].replace(f"<!-- {mark} -->", text())


def setup(app: Any) -> None:
    app.connect("source-read", _write_in)
