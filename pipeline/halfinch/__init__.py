"""halfinch: suppliers' sheets in, a clean catalogue of exact inches out.

    import halfinch
    shop = halfinch.open_catalogue("shop.duckdb")
    shop.add("sheets/")
    shop.sizes()

Everything is loaded when it is first used, so that importing halfinch costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from halfinch.api import OpenCatalogue as OpenCatalogue
    from halfinch.api import open_catalogue as open_catalogue
    from halfinch.api import read_sheet as read_sheet
    from halfinch.errors import HalfinchError as HalfinchError
    from halfinch.fit import load_body as load_body
    from halfinch.fit import plan_hem as plan_hem

__version__ = "0.1.0"

_PUBLIC = {
    "OpenCatalogue": "halfinch.api",
    "open_catalogue": "halfinch.api",
    "read_sheet": "halfinch.api",
    "load_body": "halfinch.fit",
    "plan_hem": "halfinch.fit",
    "HalfinchError": "halfinch.errors",
}

__all__ = ["__version__", *sorted(_PUBLIC)]


def __getattr__(name: str) -> Any:
    if name in _PUBLIC:
        return getattr(import_module(_PUBLIC[name]), name)
    raise AttributeError(f"module 'halfinch' has no attribute {name!r}")


def __dir__() -> list[str]:
    return __all__
