"""How the points lie: the silhouette as told by SQL and by Python, bands, quantiles, taped differences."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from bodies import KNOWLEDGE, PETITE, body

from halfinch.catalogue import store
from halfinch.catalogue.tapes import Taped, add_taped
from halfinch.fit.body import Band
from halfinch.fit.silhouette import infer_silhouette
from halfinch.fit.spreads import Spread, compare_taped, find_spreads
from halfinch.fit.wanted import find_wanted

PAIRS = [(opening / 2, knee / 2) for opening in range(18, 62, 3) for knee in range(22, 50, 3)]


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A size for each of PAIRS whose silhouette is not said, and two wide ones."""
    path = tmp_path_factory.mktemp("spreads") / "shop.duckdb"
    with store.writing(path, create=True) as connection:
        for number, (opening, knee) in enumerate(PAIRS):
            connection.execute(
                """INSERT INTO size_rows (garment_id, merchant, size, leg_opening, leg_opening_half_inch, knee)
                   VALUES ('a', 'm', ?, ?, ?, ?)""",
                [str(number), opening, opening, knee],
            )
        for size, inseam in (("8", 30), ("10", 31)):
            connection.execute(
                """INSERT INTO size_rows (garment_id, merchant, size, silhouette, inseam, inseam_half_inch)
                   VALUES ('b', 'm', ?, 'Wide leg', ?, ?)""",
                [size, inseam, inseam],
            )
        connection.execute("INSERT INTO garments (garment_id, merchant) VALUES ('b', 'm')")
    return path


def test_sql_tells_the_silhouette_as_python_does(catalogue: Path) -> None:
    expected: dict[str, int] = {}
    for opening, knee in PAIRS:
        name = infer_silhouette(opening, knee, KNOWLEDGE)
        expected[name] = expected.get(name, 0) + 1
    found = {one.silhouette: one.sizes for one in find_spreads(catalogue, KNOWLEDGE) if one.point == "leg_opening"}
    assert found == expected
    assert len(found) > 4


def test_a_body_brings_its_bands_over_all_her_shoes(catalogue: Path) -> None:
    wearer = body(PETITE)
    (inseam,) = (one for one in find_spreads(catalogue, KNOWLEDGE, wearer) if one.point == "inseam")
    bands = [one.inseam for one in find_wanted(wearer, KNOWLEDGE, ["wide"]) if one.inseam is not None]
    assert inseam.silhouette == "wide"
    assert inseam.band == Band(min(one.low for one in bands), max(one.high for one in bands))
    assert find_spreads(catalogue, KNOWLEDGE)[0].band is None


def test_quantiles_and_the_inside_by_hand() -> None:
    spread = Spread("wide", "inseam", {28.0: 1, 29.0: 2, 30.5: 1}, Band(28.5, 30.25))
    assert [spread.at(share) for share in (0, 0.25, 0.5, 0.75, 1)] == [28, 28, 29, 29, 30.5]
    assert spread.inside == 3, "29 and, since its half inch reaches down to 30.25, 30.5"


def test_taped_beside_stated(catalogue: Path) -> None:
    assert compare_taped(catalogue, KNOWLEDGE) == ()
    add_taped(catalogue, Taped("b", "8", "", {"inseam": Decimal("30.5")}))
    (one,) = compare_taped(catalogue, KNOWLEDGE)
    assert (one.offset.point, one.differences) == ("inseam", (0.5,))
