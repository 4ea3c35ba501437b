"""The twelve questions of the reference, answered in SQL and in pandas: the same, on every kind of catalogue."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from invented import Shop, figure, sheet

import halfinch
from halfinch.catalogue.rulings import rule
from halfinch.catalogue.tapes import Taped, add_taped
from halfinch.figure import Figure, Finding, Garment

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "pipeline" / "docs" / "questions.md").read_text(encoding="utf-8")
OPENING, *PARTS = re.split(r"^## ", PAGE, flags=re.MULTILINE)


def block(part: str, kind: str) -> str:
    found = re.findall(rf"^```{kind}\n(.*?)^```$", part, re.DOTALL | re.MULTILINE)
    assert len(found) == 1, part.splitlines()[0]
    return str(found[0])


RUN = ("front_rise", 10.25, 0.25), ("inseam", 29, 0), ("waist", 28, 1), ("hip", 38, 1), ("leg_opening", 21.5, 0.25)


def garment_of(key: str, garment: Garment, length: str, less: float = 0) -> list[Figure]:
    """A whole size run."""
    return [
        figure(
            point,
            inches - less + step * n,
            size,
            length=length,
            garment=key,
            place=f"{garment.style}{point}{size}{length}",
        )
        for n, size in enumerate(("8", "10", "12"))
        for point, inches, step in RUN
    ]


def demo(shop: Shop) -> None:
    shop.path.unlink()
    halfinch.open_catalogue(shop.path).add(ROOT / "fixtures" / "demo")
    taped(shop)


def taped(shop: Shop) -> None:
    """Of every second row a pair that is an eighth longer than its sheet."""
    rows = shop.ask("SELECT garment_id, size, length, inseam FROM sizes WHERE inseam IS NOT NULL ORDER BY ALL")
    for number, (garment_id, size, length, inseam) in enumerate(rows[::2]):
        longer = inseam + Decimal("0.125") * (number % 3)
        add_taped(shop.path, Taped(garment_id, size, length, {"inseam": longer}, "unwashed", "", "her", ""))


def nothing(shop: Shop) -> None:
    pass


def one(shop: Shop) -> None:
    shop.land(sheet("a.csv", figure("inseam", 29)))


def same_styles(shop: Shop) -> None:
    """Two merchants tell the same two styles, one of them in letters and with a petite length that differs."""
    for merchant, less in (("Aldersgate", 0.0), ("Brackley", 0.5)):
        wide = Garment("g", merchant=merchant, style="Larkrise Straight", style_code="LS-1", silhouette="wide")
        slim = Garment("s", merchant=merchant, style="Slim", style_code="S-2", block="curvy")
        figures = [*garment_of("g", wide, "petite", less + 0.75), *garment_of("g", wide, "regular", less)]
        figures += [figure(p, v + less, size, garment="s") for size in ("XS", "M/L", "30") for p, v, _ in RUN]
        shop.land(sheet(f"{merchant}.csv", *figures, garments=(wide, slim)))
    taped(shop)


def held(shop: Shop) -> None:
    odd = figure("hip", 3, "8", status="held")
    unsaid = figure("waist", 28, "8", status="assumed", basis="inferred")
    findings = (
        Finding("range", "error", "too small", figures=(0,)), Finding("run", "error", "out of its run", figures=(0,)),
        Finding("unit-unsaid", "note", "inches", figures=(1,)),
    )  # fmt: skip
    shop.land(sheet("a.csv", odd, unsaid, figure("inseam", 29), findings=findings))


def ruled(shop: Shop) -> None:
    held(shop)
    ((figure_id,),) = shop.ask("SELECT figure_id FROM figures WHERE status = 'held'")
    rule(shop.path, figure_id, "should be", inches=Decimal(38), why="taped it", by="her")


SHOPS: dict[str, Callable[[Shop], None]] = {
    "the demo": demo, "empty": nothing, "one figure": one, "two merchants, the same styles": same_styles,
    "held figures": held, "ruled figures": ruled,
}  # fmt: skip


def compare(sql: pd.DataFrame, frame: pd.DataFrame, what: str) -> None:
    """The same rows in the same order, numbers to a millionth."""
    assert list(frame.columns) == list(sql.columns), what
    assert len(frame) == len(sql), what
    for name in sql.columns:
        told, found = sql[name], frame[name]
        if pd.api.types.is_numeric_dtype(told):
            np.testing.assert_allclose(
                found.to_numpy(float), told.to_numpy(float), atol=1e-6, err_msg=f"{what}: {name}"
            )
        else:
            assert list(found) == list(told), f"{what}: {name}"


@pytest.mark.parametrize("kind", SHOPS)
def test_sql_and_pandas_say_the_same(kind: str, shop: Shop) -> None:
    SHOPS[kind](shop)
    names: dict[str, Any] = {"shop": halfinch.open_catalogue(shop.path)}
    exec(block(OPENING, "python"), names)
    answered = 0
    for part in PARTS:
        answer = names["shop"].sql(block(part, "sql"))
        exec(block(part, "python"), names)
        compare(answer, names["answer"], f"{kind}: {part.splitlines()[0]}")
        answered += len(answer) > 0
    assert len(PARTS) == 12
    if kind == "the demo":
        assert answered >= 11
    if kind == "empty":
        assert answered == 0


def test_a_question_that_has_an_answer_elsewhere(shop: Shop) -> None:
    """What the demo has no example of (petite wide legs of 22 in and less) has one here."""
    same_styles(shop)
    assert len(halfinch.open_catalogue(shop.path).sql(block(PARTS[0], "sql"))) == 6
