"""What changed between two tellings: which garments are one, which figures differ and how; said in plain words."""

from __future__ import annotations

import time
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from invented import STAMP, Shop, figure, sheet

from halfinch.catalogue import store
from halfinch.catalogue.changes import Telling, compare, telling_at, telling_of_rows
from halfinch.catalogue.rows import Rows, rows_of
from halfinch.figure import Figure, Garment
from halfinch.present.changes import diff_lines, diff_record
from halfinch.present.wording import Wording

WIDE = Garment("g", merchant="Aldersgate", style="Wide", style_code="AW-10")


def telling(*figures: Figure, garments: tuple[Garment, ...] = (WIDE,), name: str = "a.csv") -> Telling:
    result = sheet(name, *figures, garments=garments)
    rows: Rows = rows_of(result, "", "", STAMP, datetime(2026, 1, 1))
    return telling_of_rows(name, rows.of["garments"], rows.of["figures"])


def run(
    point: str, first: float, step: float = 0, sizes: tuple[str, ...] = ("8", "10", "12"), **more: Any
) -> list[Figure]:
    return [figure(point, first + step * n, size, **more) for n, size in enumerate(sizes)]


BEFORE = telling(*run("inseam", 29.5), *run("waist", 28, 1), name="before.csv")

CASES = [
    pytest.param(telling(*run("inseam", 29.5), *run("waist", 28, 1)), [], id="the same"),
    pytest.param(
        telling(*run("inseam", 29.5, place="page=2"), *run("waist", 28, 1)), [], id="rows moved on the sheet"
    ),
    pytest.param(
        telling(*run("inseam", 29), *run("waist", 28, 1)), ["inseam: 1/2 in shorter in all 3 sizes (29 1/2 > 29)"],
        id="a whole row",
    ),
    pytest.param(
        telling(*run("inseam", 29.5), *run("waist", 28, 1)[:2], figure("waist", 31.25, "12")),
        ["waist: 1 1/4 in wider in size 12 (30 > 31 1/4)"],
        id="one figure",
    ),
    pytest.param(
        telling(*run("inseam", 29.5, length="regular"), *run("waist", 28, 1, length="regular")), [],
        id="a length is named now",
    ),
    pytest.param(
        telling(*run("inseam", 29.5, sizes=("8", "10", "12", "14")), *run("waist", 28, 1, ("8", "10", "12", "14"))),
        ["size 14 is new: 2 figures"],
        id="a size more",
    ),
    pytest.param(telling(*run("inseam", 29.5)), ["waist is gone: 3 figures of sizes 8, 10, 12"], id="a point less"),
    pytest.param(
        telling(*run("inseam", 29.5), *run("waist", 28, 1)[:2], figure("waist", 3, "12", status="held")),
        ["waist: 27 in narrower in size 12 (30 > 3)"],
        id="a figure that is held now",
    ),
    pytest.param(
        telling(*run("inseam", 29.5), *run("waist", 28, 1)[:2], figure("waist", 30, "12", status="held")),
        ["waist: was accepted, is held in size 12 (30)"],
        id="the same figure, held now",
    ),
    pytest.param(
        telling(*run("inseam", 29.5), *run("waist", 28, 1)[:2], figure("waist", 30, "12", length_to_nm=787_400_000)),
        ["waist: another upper end in size 12 (30 > 30 to 31)"],
        id="a range",
    ),
    pytest.param(
        telling(*(figure("inseam", Fraction(749, 254) * 10, size, unit="cm") for size in ("8", "10", "12")),
                *run("waist", 28, 1)),
        ["inseam: the same, printed in cm now in all 3 sizes (29 1/2 > 29.49)"],
        id="in centimetres now, rounded",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("after", "words"), CASES)
def test_one_garment_in_plain_words(after: Telling, words: list[str]) -> None:
    diff = compare(BEFORE, after)
    lines = [line.strip() for line in diff_lines(diff, Wording(), figures=False)]
    assert lines[2 if diff.garments else 0 : -2 if diff.garments else -1] == words
    assert bool(diff.garments) == bool(words)


def one(**words: str) -> Telling:
    named = {"merchant": "Aldersgate", "style": "Wide", "style_code": "AW-10"} | words
    return telling(*run("inseam", 29.5), *run("waist", 28, 1), garments=(Garment("g", **named),))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("words", "taken"),
    [
        pytest.param({"style": "Wide Leg"}, "", id="another name, the same code"),
        pytest.param({"style_code": ""}, "", id="no code, the same name"),
        pytest.param({"style_code": "AW-11"}, "", id="another code, the same name"),
        pytest.param({"merchant": "ALDERSGATE", "style_code": "aw 10"}, "", id="other spelling"),
        pytest.param({"style": "Wyde", "style_code": ""}, None, id="another name"),
        pytest.param({"style": "Wide Leg 2", "style_code": "AW-11"}, None, id="another style"),
        pytest.param({"merchant": "Brackley"}, None, id="another merchant"),
    ],
)
def test_which_garments_are_one(words: dict[str, str], taken: str | None) -> None:
    diff = compare(one(), one(**words))
    if taken is None:
        assert sorted(garment.old is None for garment in diff.garments) == [False, True]
    else:
        assert {garment.taken for garment in diff.garments} <= {taken}
        assert not list(diff.changes)


def test_a_renamed_style_is_found_again_by_its_name() -> None:
    old = telling(*run("inseam", 29.5), garments=(Garment("g", merchant="A", style="Marnie Curvy Wide Leg Jean"),))
    new = telling(*run("inseam", 29.5), garments=(Garment("g", merchant="A", style="Marnie Wide Leg Curvy Jeans"),))
    (found,) = compare(old, new).garments
    assert found.taken == "names alike"
    assert found.words == (("style", "Marnie Curvy Wide Leg Jean", "Marnie Wide Leg Curvy Jeans"),)


def test_two_versions_of_a_sheet_without_names_are_one() -> None:
    old = telling(*run("inseam", 29.5), garments=(Garment("g"),))
    new = telling(*run("inseam", 30), garments=(Garment("g", style="Wide"),))
    (found,) = compare(old, new, lone_pair=True).garments
    assert [change.by_nm for change in found.changes] == [12_700_000] * 3
    assert len(compare(old, new).garments) == 2


def test_turned_round_everything_is_turned_round() -> None:
    after = telling(*run("inseam", 29, 0.25), *run("hip", 38, 1), figure("waist", 28, "8"))
    there, back = compare(BEFORE, after), compare(after, BEFORE)
    turned = {"new": "gone", "gone": "new"}
    assert [(turned.get(c.what, c.what), c.point, c.size, -c.by_nm) for c in there.changes] == [
        (c.what, c.point, c.size, c.by_nm) for c in back.changes
    ]


def test_the_same_record_says_it_to_a_script() -> None:
    after = telling(*run("inseam", 29), *run("waist", 28, 1), name="after.csv")
    record = diff_record(compare(BEFORE, after))
    assert (record["old"], record["new"], record["alike"]) == ("before.csv", "after.csv", 0)
    (garment,) = record["garments"]
    assert (garment["state"], garment["style"], garment["same"]) == ("changed", "Wide", 3)
    assert [(f["what"], f["point"], f["size"], f["by"]) for f in garment["figures"]] == [
        ("changed", "inseam", size, -0.5) for size in ("8", "10", "12")
    ]
    assert garment["figures"][0]["new"]["raw"] == "29"


def test_a_catalogue_on_two_dates(shop: Shop) -> None:
    shop.land(sheet("a.csv", *run("inseam", 29.5)), source="a.csv")
    time.sleep(0.01)
    between = store.now()
    time.sleep(0.01)
    shop.land(sheet("a.csv", *run("inseam", 30)), source="a.csv")
    shop.land(sheet("b.csv", *run("waist", 28), garments=(Garment("g", merchant="Brackley", style="Slim"),)))
    with store.reading(shop.path) as connection:
        then, now, before = (telling_at(connection, "", at) for at in (between, None, between - timedelta(days=1)))
    diff = compare(then, now)
    assert [(c.what, c.by_nm) for c in diff.changes] == [("changed", 12_700_000)] * 3
    assert [garment.old is None for garment in diff.garments] == [False, True]
    assert before.garments == ()


def test_what_was_ruled_out_is_not_told(shop: Shop, tmp_path: Path) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29.5), figure("hip", 60, status="set_aside")))
    with store.reading(shop.path) as connection:
        (told,) = telling_at(connection, "").garments
    assert {what[0] for what in told.figures} == {"inseam"}
