"""The fixtures are what their makers write: no sheet or expectation was edited by hand."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from fixtures.makers.__main__ import load_makers  # noqa: E402
from fixtures.makers.kit import SHEETS  # noqa: E402

load_makers()
TEXTS = (".html", ".mhtml", ".csv", ".tsv")


@pytest.mark.parametrize("name", sorted(SHEETS))
def test_makers_write_what_stands_in_the_folder(name: str) -> None:
    """Expectations and text sheets are the same byte by byte; PDF and workbooks depend on their writing library's
    version, so they are only asked to come out the same twice."""
    path = ROOT / "fixtures" / name
    data, expected = SHEETS[name]()
    assert path.with_name(path.name.split(".")[0] + ".expected.csv").read_bytes() == expected.csv()
    if name.endswith(TEXTS):
        assert path.read_bytes() == data
    else:
        assert SHEETS[name]()[0] == data


def test_every_sheet_in_the_folder_has_a_maker() -> None:
    from halfinch.check import find_fixtures

    assert {fixture.name for fixture in find_fixtures([ROOT / "fixtures"])} == set(SHEETS)
