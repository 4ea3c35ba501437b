"""Each custom expectation on rows that keep its rule and rows that break it, by way of the engine."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

from halfinch.catalogue.audit.judging import JUDGES
from halfinch.catalogue.audit.run import load_engine, make_context, run_checkpoint
from halfinch.catalogue.audit.suite import Rule
from halfinch.catalogue.identity import digest
from halfinch.figure import NM_PER_INCH as INCH

RUN = {"garment_id": "g", "reading_id": "r", "length": "", "point": "waist"}
OWN = digest("figure", "r", "row=1", "waist", "8", "")


def run(*values: float, **more: Any) -> list[dict[str, Any]]:
    """Rows of one run with these inches."""
    rows = ({"inches": value, "length_nm": value * INCH, "at": at} for at, value in enumerate(values))
    return [{**RUN, "judged": True, **row, **more} for row in rows]


# Expectation, limits, rows, which of them break the rule.
CASES = [
    pytest.param(
        "ExpectInchesToBeTheirNanometres",
        {},
        [
            {"inches": 29.5, "length_nm": 29.5 * INCH},
            {"inches": 29.5, "length_nm": 30 * INCH},
            {"inches": 29.5, "length_nm": None},
            {"inches": 32.086614, "length_nm": 815_000_000},
        ],
        [1, 2],
        id="inches-are-the-nanometres",
    ),
    pytest.param(
        "ExpectHalfInchToBeNearest",
        {},
        [
            {"half_inch": h, "length_nm": i * INCH}
            for h, i in ((27.0, 27.25), (27.5, 27.25), (10.0, 9.75), (9.5, 9.75), (32.0, 32.08))
        ],
        [1, 3],
        id="ties-go-to-the-even-half",
    ),
    pytest.param(
        "ExpectLengthToBePrinted",
        {"units": ["in", "cm"]},
        [
            {"raw": raw, "unit": unit, "convention": how, "length_nm": nm, "basis": basis}
            for raw, unit, how, nm, basis in (
                ("81,5 cm", "cm", "", 815_000_000, "declared"),
                ("81,5 cm", "cm", "", 825_000_000, "declared"),
                ("14 3/4", "in", "flat", 29.5 * INCH, "inferred"),
                ("14 3/4", "in", "round", 29.5 * INCH, "inferred"),
                ("14 3/4", "in", "", 99 * INCH, "derived"),
                ("see note", "in", "", 9 * INCH, "declared"),
            )
        ],
        [1, 3],
        id="read-again-from-the-print",
    ),
    pytest.param(
        "ExpectCleanLengthToBePositive",
        {},
        [
            {"status": "accepted", "length_nm": 1},
            {"status": "assumed", "length_nm": 0},
            {"status": "held", "length_nm": 0},
        ],
        [1],
        id="held-nothing-is-no-harm",
    ),
    pytest.param(
        "ExpectRangeToRunUpwards",
        {},
        [
            {"length_nm": 5, "length_to_nm": 6},
            {"length_nm": 5, "length_to_nm": 4},
            {"length_nm": 5, "length_to_nm": None},
        ],
        [1],
        id="upper-end-above-the-lower",
    ),
    pytest.param(
        "ExpectToleranceToBeTheWider",
        {},
        [
            {"tolerance": t, "tolerance_minus": low, "tolerance_plus": high}
            for t, low, high in ((1.0, 0.5, 1.0), (0.5, 0.5, 1.0), (0.25, None, None), (0.5, None, 0.5))
        ],
        [1],
        id="the-wider-of-two",
    ),
    pytest.param(
        "ExpectFigureIdToBeItsOwn",
        {},
        [
            {"figure_id": OWN, "reading_id": "r", "place": "row=1", "point": "waist", "size": size, "length": ""}
            for size in ("8", "10")
        ],
        [1],
        id="moved-to-another-size",
    ),
    pytest.param(
        "ExpectDoubtToBeTold",
        {},
        [{"status": s, "findings": n} for s, n in (("held", 1), ("held", 0), ("assumed", 0), ("accepted", 0))],
        [1, 2],
        id="held-and-assumed-need-a-word",
    ),
    pytest.param(
        "ExpectRuledToHaveItsRuling",
        {},
        [
            {"status": s, "basis": b, "rulings": n}
            for s, b, n in (
                ("accepted", "ruled", 1),
                ("accepted", "ruled", 0),
                ("set_aside", "declared", 0),
                ("held", "declared", 0),
            )
        ],
        [1, 2],
        id="nobody-ruled",
    ),
    pytest.param(
        "ExpectSizeToBeToldOnce",
        {},
        [
            {**RUN, "size": size, "status": status, "length_nm": inches * INCH, "differs_told": told}
            for size, status, inches, told in (
                ("8", "accepted", 29, False),
                ("8", "accepted", 29.03, False),
                ("10", "accepted", 30, False),
                ("10", "accepted", 31, False),
                ("12", "accepted", 32, True),
                ("12", "accepted", 33, True),
                ("14", "accepted", 34, False),
                ("14", "held", 43, False),
            )
        ],
        [2, 3],
        id="told-twice-and-differently",
    ),
    pytest.param(
        "ExpectPointToBeWithinItsLimits",
        {"point": "inseam", "low": 16, "high": 40},
        [
            {"point": p, "value": v}
            for p, v in (("inseam", 16), ("inseam", 40.001), ("hip", 44), ("inseam", 15.9), ("inseam", 40))
        ],
        [1, 3],
        id="only-the-point-asked-for",
    ),
    pytest.param(
        "ExpectPointsToStandInRelation",
        {"of": "outseam", "to": ["inseam", "front_rise"], "form": "difference", "low": -2, "high": 3},
        [
            {"outseam": o, "inseam": i, "front_rise": r}
            for o, i, r in ((40, 30, 10), (44, 30, 10), (37, 30, 10), (None, 30, 10))
        ],
        [1, 2],
        id="side-seam-is-leg-and-rise",
    ),
    pytest.param(
        "ExpectPointsToStandInRelation",
        {"of": "thigh", "to": ["hip"], "form": "ratio", "low": 0.46, "high": 0.81},
        [{"thigh": 24, "hip": 40}, {"thigh": 34, "hip": 40}, {"thigh": 12, "hip": 40}],
        [1, 2],
        id="thigh-beside-hip",
    ),
    pytest.param("ExpectStepsToBeSmall", {"most": 5.5}, run(28, 29, 39, 40), [2], id="a-leap"),
    pytest.param(
        "ExpectRunToMove",
        {},
        run(29, 29, 29) + run(28, 29, 30, length="tall") + run(29, 29, length="short"),
        [0, 1, 2],
        id="one-waist-under-every-size",
    ),
    pytest.param(
        "ExpectLongerLengthToBeLonger",
        {},
        [
            {**RUN, "point": "inseam", "size": "8", "length": name, "inches": value}
            for name, value in (("tall", 33), ("petite", 28), ("regular", 28), ("W", 20))
        ],
        [2],
        id="a-regular-no-longer-than-a-petite",
    ),
    pytest.param(
        "ExpectRunToBeWhole",
        {},
        [{**RUN, "told": told} for told in (1, 1, 0, 1)]
        + [{**RUN, "point": "knee", "told": told} for told in (1, 0, 0, 0)],
        [2],
        id="a-gap-in-a-run",
    ),
    pytest.param(
        "ExpectTableNotToBeCopied",
        {},
        [
            {"table": t, "named": n, "figures": f}
            for t, n, f in (("a", "One", 24), ("a", "Two", 24), ("b", "Three", 24), ("c", "Four", 3), ("c", "Five", 3))
        ],
        [0, 1],
        id="a-pasted-table",
    ),
    pytest.param(
        "ExpectMerchantToKeepHisMeasure",
        {"point": "waist", "most": 1},
        [{"point": p, "moved": m} for p, m in (("waist", 1), ("waist", -1.5), ("hip", 9))],
        [1],
        id="moved-either-way",
    ),
    pytest.param(
        "ExpectIdToPointAtSomething",
        {"columns": ["figure_id", "there"]},
        [{"figure_id": i, "there": t} for i, t in (("a", True), ("b", False), ("", False))],
        [1],
        id="points-at-nothing",
    ),
    pytest.param(
        "ExpectCorrectionToSayWhat",
        {},
        [
            {"decision": d, "inches": i}
            for d, i in (("should be", 29.5), ("should be", None), ("right", None), ("should be", 0))
        ],
        [1, 3],
        id="should-be-what",
    ),
]


@pytest.fixture(scope="module")
def engine() -> Any:
    return load_engine()


@pytest.mark.parametrize(("name", "limits", "rows", "broken"), CASES)
def test_broken_rows_and_no_others_are_found(
    engine: Any, name: str, limits: dict[str, Any], rows: list[dict[str, Any]], broken: list[int]
) -> None:
    from halfinch.catalogue.audit import expectations

    options: dict[str, Any] = {"limits": limits}
    if "of" in limits:
        options |= {"column_list": [limits["of"], *limits["to"]], "ignore_row_if": "any_value_is_missing"}
    if "columns" in limits:
        options |= {"column_list": limits["columns"]}
    made = getattr(expectations, name)(meta={"rule": "it"}, **options)
    frame = pd.DataFrame(rows, index=range(100, 100 + len(rows)))
    outcome = run_checkpoint(engine, make_context(engine), "rows", frame, [Rule("it", "", "", "rows", "", made)])["it"]
    assert not any(one.get("raised_exception") for one in [outcome.exception_info]), outcome.exception_info
    assert sorted(row - 100 for row in outcome.result["unexpected_index_list"]) == broken


def test_every_judge_has_its_expectation_and_its_case() -> None:
    from halfinch.catalogue.audit import expectations

    kinds = {name for name in vars(expectations) if name.startswith("Expect")}
    asked = [getattr(expectations, name).__fields__["judge"].default for name in sorted(kinds)]
    assert sorted(asked) == sorted(JUDGES)
    assert {str(case.values[0]) for case in CASES} == kinds


@pytest.mark.parametrize("name", sorted(JUDGES))
def test_no_rows_break_no_rule(engine: Any, name: str) -> None:
    from halfinch.catalogue.audit import expectations

    (kind,) = [one for one in vars(expectations).values() if getattr(one, "__name__", "").startswith("Expect")
               and one.__fields__["judge"].default == name]  # fmt: skip
    columns = list(kind.__fields__["column_list"].default or ["a", "b"])
    made = kind(meta={"rule": "it"}, column_list=columns)
    frame = pd.DataFrame({column: pd.Series([], dtype="object") for column in columns})
    outcome = run_checkpoint(engine, make_context(engine), "none", frame, [Rule("it", "", "", "none", "", made)])["it"]
    assert outcome.success, outcome.exception_info
