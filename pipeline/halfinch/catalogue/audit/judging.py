"""The arithmetic of the audit: for each row of a frame, whether it keeps a rule of the trade.

Plain functions of (rows, limits) that give a boolean a row, True where there is nothing to say. `expectations` makes
each a custom expectation under its own name. Lengths are nanometres or inches as the columns say.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from halfinch.catalogue.identity import digest
from halfinch.catalogue.views import SAME_NM
from halfinch.figure import NM_PER_INCH
from halfinch.normalise.numbers import find_numbers, read_number
from halfinch.normalise.units import to_nm
from halfinch.plausibility.lengths import RANK

if TYPE_CHECKING:
    import pandas as pd

SIX_DECIMALS = 1e-6
"""Inches are stored with six decimals; nanometres are exact."""

CLEAN = ("accepted", "assumed")
PRINTED = ("declared", "inferred")
REPEATS = 40
"""A cell that serves several garments numbers its figures; no more than so many are tried."""

LEAST_RUN = 4
"""Sizes from which on a run tells what is usual in it."""
MOSTLY = 0.5
"""A point that so many sizes of a run tell is a point of the run."""
LEAST_COPIED = 12
"""Figures from which on two tables are not alike by chance (two points over six sizes)."""

Limits = Mapping[str, Any]
Judge = Callable[["pd.DataFrame", Limits], "pd.Series[bool]"]


def inches_are_nanometres(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """Columns inches, nanometres: the same length, or neither is there."""
    inches, nm = (rows[name].astype("float64") for name in rows.columns)
    return (inches - nm / NM_PER_INCH).abs().le(SIX_DECIMALS) | (inches.isna() & nm.isna())


def half_inch_is_nearest(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """half_inch, length_nm: the nearest half, ties to the even half."""
    import numpy as np

    # Quotients that are exact halves are exact in binary too, so `rint` (ties to even) meets every tie.
    nearest = np.rint(rows["length_nm"].to_numpy("float64") / (NM_PER_INCH // 2)) / 2
    return _series(rows, list(rows["half_inch"].to_numpy("float64") == nearest))


def length_is_printed(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """raw, unit, convention, length_nm, basis: the length is one that the printed text can mean.

    Figures that were worked out of others, or ruled, are not printed as they are stored: nothing is said of them.
    """
    kept = []
    for raw, unit, convention, nm, basis in rows[PRINT_COLUMNS].itertuples(index=False):
        readings = numbers_of(raw, unit) if basis in PRINTED and unit in limits["units"] else []
        times = 2 if convention == "flat" else 1
        kept.append(not readings or any(times * one == nm for one in readings))
    return _series(rows, kept)


PRINT_COLUMNS = ["raw", "unit", "convention", "length_nm", "basis"]


def numbers_of(raw: str, unit: str) -> list[int]:
    """Every length, in nanometres, that a printed text can stand for in a unit; none where no number is found in it."""
    found = [read_number(raw, decimal=decimal, unit=unit) for decimal in ("", ",", ".")]
    found += [one.printed for one in find_numbers(raw)]
    lengths = set()
    for printed in found:
        for one in (printed, printed.second if printed else None):
            if one is not None:
                values = (one.value, *one.rivals, *((one.upper,) if one.upper is not None else ()))
                lengths |= {to_nm(value, of) for value in values for of in {unit, one.unit or unit}}
    return sorted(lengths)


def length_is_positive(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """status, length_nm: a clean figure is longer than nothing."""
    return ~rows["status"].isin(CLEAN) | rows["length_nm"].ge(1)


def range_runs_upwards(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """length_nm, length_to_nm: the upper end of a printed range is not below the lower one."""
    return rows["length_to_nm"].isna() | rows["length_to_nm"].ge(rows["length_nm"])


def tolerance_is_the_wider(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """tolerance, tolerance_minus, tolerance_plus: the wider of those stated, where any is."""
    stated = rows[["tolerance_minus", "tolerance_plus"]].astype("float64").max(axis=1)
    return stated.isna() | rows["tolerance"].astype("float64").eq(stated)


def id_is_own(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """figure_id, reading_id, place, point, size, length: the id is the digest of the others."""
    return _series(rows, [_is_own_id(*row) for row in rows[ID_COLUMNS].itertuples(index=False)])


ID_COLUMNS = ["figure_id", "reading_id", "place", "point", "size", "length"]


def _is_own_id(figure_id: str, *told: str) -> bool:
    parts = ("figure", *told)
    if digest(*parts) == figure_id:
        return True
    return any(digest(*parts, str(again)) == figure_id for again in range(2, REPEATS))


def doubt_is_told(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """status, findings: a figure that is held or assumed has a finding that says why."""
    return ~rows["status"].isin(("held", "assumed")) | rows["findings"].ge(1)


def ruling_is_there(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """status, basis, rulings: what is ruled or set aside has a ruling in force at its cell."""
    asked = (rows["basis"] == "ruled") | (rows["status"] == "set_aside")
    return ~asked | rows["rulings"].ge(1)


def told_once(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """Clean figures of one point, size and length of a garment in one reading agree, or a finding says they do not."""
    keys = ["reading_id", "garment_id", "size", "length", "point"]
    clean = rows[rows["status"].isin(CLEAN)]
    by = clean.groupby(keys, sort=False)["length_nm"]
    apart = (by.transform("max") - by.transform("min")) > SAME_NM
    broken = apart & ~clean["differs_told"].astype(bool)
    return ~broken.reindex(rows.index, fill_value=False)


def is_within(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """point, value: a figure of the point `limits` speaks of lies between low and high inches."""
    return ~rows["point"].eq(limits["point"]) | rows["value"].between(limits["low"], limits["high"])


def relation_holds(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """Columns of one size, inches: `of` less the sum of `to`, or over it, lies between low and high."""
    total = rows[list(limits["to"])].astype("float64").sum(axis=1)
    of: pd.Series[float] = rows[str(limits["of"])].astype("float64")
    stands: pd.Series[float] = of - total if limits["form"] == "difference" else of / total
    return stands.between(limits["low"], limits["high"])


RUN_KEYS = ["garment_id", "reading_id", "length", "point"]
"""A run: one point of one garment in one reading and length, over its sizes in order (`at`: 0, 1, 2 ...)."""


def step_is_small(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """Inches change by no more than `most` from one size to the next, whatever sizes lie between two known ones."""
    by = rows.groupby(RUN_KEYS, sort=False)
    step = by["inches"].diff().abs() / by["at"].diff()
    return ~step.gt(limits["most"])


def run_moves(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """A run of three sizes or more is not one and the same length under every size; what is held counts, and passes."""
    by = rows.groupby(RUN_KEYS, sort=False)["length_nm"]
    return (by.transform("size") < 3) | (by.transform("nunique") > 1) | ~rows["judged"].astype(bool)


def longer_is_longer(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """Inseams of one size grow from the shortest named length to the longest; lengths of one rank are not compared."""
    keys = ["garment_id", "reading_id", "size"]
    named = rows[rows["length"].isin(set(RANK))].drop_duplicates([*keys, "length"])
    named = named.assign(rank=named["length"].map(RANK)).sort_values("rank", kind="stable")
    by = named.groupby(keys, sort=False)
    broken = by["rank"].diff().gt(0) & by["inches"].diff().le(0)
    return ~broken.reindex(rows.index, fill_value=False)


def run_is_whole(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """A point that most sizes of a run tell is told, or held, for each of them (`told`: 0 or 1)."""
    by = rows.groupby(RUN_KEYS, sort=False)["told"]
    of_the_run = (by.transform("size") >= LEAST_RUN) & (by.transform("mean") > MOSTLY)
    return ~of_the_run | rows["told"].ge(1)


def is_no_copy(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """No two styles have one and the same table, as a pasted one would (`table`: digest of it, `figures` in it)."""
    names = rows.groupby("table", sort=False)["named"].transform("nunique")
    return (rows["figures"] < LEAST_COPIED) | (names < 2)


def keeps_his_measure(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """point, moved: a point has not moved by more than `most` inches against the merchant's own past."""
    return ~rows["point"].eq(limits["point"]) | ~rows["moved"].abs().gt(limits["most"])


def points_at_something(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """An id column and whether its row is there: '' points nowhere and needs nothing."""
    name, there = rows.columns
    return rows[name].eq("") | rows[there].astype(bool)


def correction_says_what(rows: pd.DataFrame, limits: Limits) -> pd.Series[bool]:
    """decision, inches: "should be" says which length, and it is longer than nothing."""
    return ~rows["decision"].eq("should be") | rows["inches"].astype("float64").gt(0)


def _series(rows: pd.DataFrame, kept: list[bool]) -> pd.Series[bool]:
    import pandas as pd

    return pd.Series(kept, index=rows.index, dtype=bool)


JUDGES: Mapping[str, Judge] = {
    judge.__name__: judge
    for judge in (
        inches_are_nanometres, half_inch_is_nearest, length_is_printed, length_is_positive, range_runs_upwards,
        tolerance_is_the_wider, id_is_own, doubt_is_told, ruling_is_there, told_once, is_within, relation_holds,
        step_is_small, run_moves, longer_is_longer, run_is_whole, is_no_copy, keeps_his_measure, points_at_something,
        correction_says_what,
    )
}  # fmt: skip
