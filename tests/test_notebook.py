"""The notebook of the demo runs from top to bottom and shows what its texts promise."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from typing import Any

import pytest

NOTEBOOK = Path(__file__).parents[1] / "fixtures" / "demo" / "first_hour.py"


@pytest.fixture(scope="module")
def shown() -> dict[str, Any]:
    """Names of the notebook after a run; a cell that fails raises."""
    spec = importlib.util.spec_from_file_location("first_hour", NOTEBOOK)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    _, names = module.app.run()
    return dict(names)


def test_every_cell_has_something_to_show(shown: dict[str, Any]) -> None:
    assert len(shown["report"].lines) == 9
    assert len(shown["held"]) == 1
    assert len(shown["sizes"]) == 77
    for name in ("told", "openings", "share", "fits", "answer"):
        assert len(shown[name]) > 0, name
    assert shown["curve"].to_dict()["mark"]["type"] == "line"
    assert set(shown["fits"]["verdict"]) <= {"fits as bought", "fits with a hem", "near miss"}
