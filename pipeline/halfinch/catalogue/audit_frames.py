"""What an audit looks at: the tables in force with columns in which a broken rule shows.

Five frames: `figures` (a row a figure, all of them), `values` (a row a clean number, upper ends of ranges too),
`sizes` (a row of the clean catalogue, as the figures tell it), `kept` (the same rows, as they are kept) and `steps`
(from one size, or one length, to the next). A cell that a rule has
nothing to say about is empty, and passes. Figures that a person ruled are past the plausibility rules; they need their
ruling.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from halfinch.catalogue.identity import digest
from halfinch.catalogue.rulings import RULED
from halfinch.figure import NM_PER_INCH
from halfinch.knowledge import Knowledge
from halfinch.knowledge.spec_relations import Relation
from halfinch.normalise.numbers import find_numbers, read_number
from halfinch.normalise.units import to_nm
from halfinch.plausibility.lengths import RANK

if TYPE_CHECKING:
    import pandas as pd

CLEAN = ("accepted", "assumed")
REPEATS = 40
"""A cell that serves several garments numbers its figures; no more than so many are tried."""

NAMES = {
    "inches_off": "inches less nanometres",
    "inches_to_off": "inches_to less nanometres",
    "half_inch_off": "half inch less the nearest",
    "range_width": "upper less lower end in nm",
    "raw_off": "stored less printed, in nm",
    "tolerance_off": "tolerance less the wider one stated",
    "clean_nm": "length_nm",
    "clean_point": "point",
    "own_id": "made of reading, place, point, size and length",
    "garment_known": "the garment is there",
    "sheet_known": "the sheet is there",
    "told": "a finding says why",
    "ruling_known": "a ruling in force",
    "longer_by": "inches longer than the shorter length",
    "kept": "kept as the figures tell it",
    "waist_moves": "the waist grows with the size",
}
"""Column to the words a person is told."""

LETTERS = {name: i for i, name in enumerate(("xxs", "xs", "s", "m", "l", "xl", "xxl", "3xl", "4xl"))}


def make_frames(tables: Mapping[str, pd.DataFrame], knowledge: Knowledge) -> dict[str, pd.DataFrame]:
    """The five frames out of the tables of one moment."""
    figures = make_figures(tables, set(knowledge.enumerations.set["unit"].words))
    return {
        "figures": figures,
        "values": make_values(figures, knowledge),
        "sizes": make_sizes(tables["sizes_from_figures"], figures, knowledge),
        "kept": tables["kept_or_told"].reset_index(drop=True),
        "steps": make_steps(figures, knowledge),
    }


def make_figures(tables: Mapping[str, pd.DataFrame], units: set[str]) -> pd.DataFrame:
    """Every figure in force, with what its stored numbers, its identity and its company should agree on."""
    import numpy as np
    import pandas as pd

    ours = tables["current_figures"].reset_index(drop=True)
    numbers = ["inches", "inches_to", "half_inch", "tolerance", "tolerance_minus", "tolerance_plus", "length_to_nm"]
    for column in numbers:
        ours[column] = ours[column].astype("float64")
    nm = ours["length_nm"].astype("float64")
    ours["inches_off"] = ours["inches"] - nm / NM_PER_INCH
    ours["inches_to_off"] = ours["inches_to"].fillna(0) - ours["length_to_nm"].fillna(0) / NM_PER_INCH
    # Quotients that are exact halves are exact in binary too, so `rint` (ties to even) meets every tie.
    ours["half_inch_off"] = ours["half_inch"] - np.rint(nm / (NM_PER_INCH // 2)) / 2
    ours["range_width"] = ours["length_to_nm"] - nm
    stated = ours[["tolerance_minus", "tolerance_plus"]].max(axis=1)
    ours["tolerance_off"] = ours["tolerance"] - stated
    clean = ours["status"].isin(CLEAN)
    ours["clean_nm"] = nm.where(clean)
    ours["clean_point"] = ours["point"].where(clean)
    ours["raw_off"] = _unlike_print(ours, units)
    ours["own_id"] = [_is_own_id(*row) for row in ours[ID_COLUMNS].itertuples(index=False)]
    ours["garment_known"] = ours["garment_id"].isin(set(tables["current_garments"]["garment_id"]))
    ours["sheet_known"] = ours["sheet_id"].isin(set(tables["current_sheets"]["sheet_id"]))
    told = ours["figure_id"].isin(set(tables["current_findings"]["figure_id"]))
    ours["told"] = told.where(ours["status"].isin(("held", "assumed")))
    in_force = _rulings_in_force(tables["rulings"])
    keys = zip(*(ours[c] for c in ("place", "raw", "point", "size", "length")), strict=True)
    found = pd.Series([key in in_force for key in keys], index=ours.index, dtype=object)
    ours["ruling_known"] = found.where((ours["basis"] == RULED) | (ours["status"] == "set_aside"))
    return ours


ID_COLUMNS = ["figure_id", "reading_id", "place", "point", "size", "length"]


def _is_own_id(figure_id: str, *told: str) -> bool:
    parts = ("figure", *told)
    if digest(*parts) == figure_id:
        return True
    return any(digest(*parts, str(again)) == figure_id for again in range(2, REPEATS))


def _rulings_in_force(rulings: pd.DataFrame) -> set[tuple[Any, ...]]:
    """Cells that are ruled on. Not the sheet: a later one at the same source keeps the rulings of its cells."""
    undone: set[str] = set()
    found: set[tuple[Any, ...]] = set()
    for row in reversed(rulings.sort_values("at", kind="stable").to_dict("records")):
        if row["ruling_id"] in undone:
            continue
        if row["decision"] == "undo":
            undone.add(row["undoes"])
        else:
            found.add(tuple(row[name] for name in ("place", "printed", "point", "size", "length")))
    return found


def _unlike_print(figures: pd.DataFrame, units: set[str]) -> list[float | None]:
    """How far the stored length lies from the nearest number that the printed text can be read as, nanometres.

    Figures that were worked out of others, or ruled, are not printed as they are stored: nothing is said of them.
    """
    off: list[float | None] = []
    for raw, unit, convention, nm, basis in figures[["raw", "unit", "convention", "length_nm", "basis"]].itertuples(
        index=False
    ):
        readings = numbers_of(raw, unit) if basis in ("declared", "inferred") and unit in units else []
        times = 2 if convention == "flat" else 1
        off.append(min((abs(times * one - nm) for one in readings), default=None))
    return off


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


def make_values(figures: pd.DataFrame, knowledge: Knowledge) -> pd.DataFrame:
    """A row a number of the clean catalogue, upper ends of ranges as rows of their own: `range_POINT`, inches."""
    import pandas as pd

    clean = figures[figures["status"].isin(CLEAN) & (figures["basis"] != RULED)]
    upper = clean[clean["inches_to"].notna()]
    values = pd.concat([clean.assign(value=clean["inches"]), upper.assign(value=upper["inches_to"])], ignore_index=True)
    for point in knowledge.points:
        values[f"range_{point}"] = values["value"].where(values["point"] == point)
    return values


def make_sizes(sizes: pd.DataFrame, figures: pd.DataFrame, knowledge: Knowledge) -> pd.DataFrame:
    """The clean catalogue with a column a relation, empty where a point is missing or was ruled."""
    wide = sizes.reset_index(drop=True)
    ruled = set(figures.loc[figures["basis"] == RULED, "figure_id"])
    added = {f"relation_{name}": _relate(wide, one, ruled) for name, one in knowledge.relations.relation.items()}
    return wide.assign(**added)


def _relate(wide: pd.DataFrame, relation: Relation, ruled: set[str]) -> pd.Series[float]:
    names = (relation.of, *relation.to)
    of, *rest = (wide[name].astype("float64").mask(wide[f"{name}_figure"].isin(ruled)) for name in names)
    total = sum(rest[1:], rest[0])
    outcome: pd.Series[float] = of - total if relation.form == "difference" else of / total
    if any(name.startswith("label_") for name in names):  # a published table's body range is no promise of the label
        outcome = outcome.where(wide["size_system"] == "waist")
    return outcome


def make_steps(figures: pd.DataFrame, knowledge: Knowledge) -> pd.DataFrame:
    """Two kinds of rows. From size to size of a run (a point of one garment, reading and length): `step_POINT`, inches
    a step, and `waist_moves`. From a shorter to a longer length of one size: `longer_by`, inches of inseam."""
    import pandas as pd

    told = figures[(figures["size"] != "") & (figures["status"] != "set_aside")]
    keys = ["garment_id", "reading_id", "length", "point"]
    runs = _in_order(told.drop_duplicates([*keys, "size"]), keys)
    runs["at"] = runs.groupby(keys, sort=False).cumcount()
    runs["waist_moves"] = (runs.groupby(keys, sort=False)["length_nm"].transform("nunique") > 1).where(
        (runs["point"] == "waist") & (runs.groupby(keys, sort=False)["at"].transform("size") >= 3)
    )
    runs = runs[runs["status"].isin(CLEAN) & (runs["basis"] != RULED)]
    by = runs.groupby(keys, sort=False)
    step = by["inches"].diff().abs() / by["at"].diff()
    steps = {f"step_{point}": step.where(runs["point"] == point) for point in knowledge.points}
    return pd.concat([runs.assign(**steps), _make_lengths(told)], ignore_index=True)


def _in_order(runs: pd.DataFrame, keys: list[str]) -> pd.DataFrame:
    """Runs whose sizes are all numbers, or all letters, by size; others as the sheet has them."""
    runs = runs.reset_index(drop=True)
    number = runs["size"].str.extract(r"^(\d+(?:\.\d+)?)(.*)$")
    runs["number"], runs["tail"] = number[0].astype("float64"), number[1]
    runs["letter"] = runs["size"].str.casefold().map(LETTERS)
    by = runs.groupby(keys, sort=False)
    numbered = (by["number"].transform("count") == by["size"].transform("size")) & (
        by["tail"].transform("nunique") == 1
    )
    lettered = by["letter"].transform("count") == by["size"].transform("size")
    order = runs["number"].where(numbered, runs["letter"].where(lettered, runs.index.to_series()))
    return runs.assign(order=order).sort_values("order", kind="stable")


def _make_lengths(told: pd.DataFrame) -> pd.DataFrame:
    """Inseams of one size from the shortest named length to the longest; lengths of one rank are not compared."""
    inseams = told[
        (told["point"] == "inseam")
        & told["length"].isin(set(RANK))
        & told["status"].isin(CLEAN)
        & (told["basis"] != RULED)
    ]
    keys = ["garment_id", "reading_id", "size"]
    inseams = inseams.drop_duplicates([*keys, "length"]).assign(rank=lambda rows: rows["length"].map(RANK))
    inseams = inseams.sort_values("rank", kind="stable")
    by = inseams.groupby(keys, sort=False)
    return inseams.assign(longer_by=by["inches"].diff().where(by["rank"].diff() > 0))
