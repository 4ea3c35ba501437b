"""What an audit looks at: the tables of one moment, laid out so that each rule finds its columns side by side.

Nothing is judged here. Figures that a person ruled are past the rules of plausibility (frames `values`, `sizes`,
`steps`); they need their ruling.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from halfinch.catalogue import store
from halfinch.catalogue.audit.judging import CLEAN, RUN_KEYS
from halfinch.catalogue.identity import digest
from halfinch.catalogue.rulings import RULED
from halfinch.figure import NM_PER_INCH
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pandas as pd

TABLES = (
    "current_figures", "sizes_from_figures", "kept_or_told", "current_garments", "current_findings",
    "current_sheets", "rulings", "receipts", "taped", "garments",
)  # fmt: skip

PAST = """
    WITH seen AS (SELECT sheet_id, min(seen_from) AS seen_from, bool_and(seen_to IS NOT NULL) AS gone
                  FROM receipts GROUP BY sheet_id),
    latest AS (SELECT reading_id, seen_from FROM readings JOIN seen USING (sheet_id) WHERE gone
               QUALIFY row_number() OVER (PARTITION BY sheet_id ORDER BY read_at DESC, reading_id) = 1)
    SELECT f.garment_id, f.merchant, f.sheet_id, f.size_system, f.size, f.length, f.point, f.length_nm, seen_from
    FROM figures f JOIN latest USING (reading_id) WHERE f.status IN ('accepted', 'assumed')"""
"""Clean figures of sheets that others have taken the place of, each by its latest reading."""

NAMES = {
    "value": "inches",
    "there": "is there",
    "findings": "findings on it",
    "rulings": "rulings in force",
    "told": "told",
    "kept": "kept as the figures tell it",
    "moved": "inches it moved",
    "twins": "sheets with this table",
    "reading_there": "its reading is in force",
    "figure_there": "its figure is there",
    "garment_there": "its garment is there",
    "sheet_there": "its sheet is there",
}
"""Column to the words a person is told."""

LETTERS = {name: i for i, name in enumerate(("xxs", "xs", "s", "m", "l", "xl", "xxl", "3xl", "4xl"))}
SIZED_BY_BODY = ("waist", "hip")
"""Points by which a size label promises a body: a merchant's size 10 means about the same in each of his styles."""
LEAST_SHEETS, LEAST_SIZES = 3, 3
"""A past of fewer sheets, or a comparison over fewer sizes, says nothing of a merchant."""

Tables = Mapping[str, "pd.DataFrame"]


def fetch_tables(path: Path, wait: float = store.DEFAULT_WAIT) -> dict[str, pd.DataFrame]:
    """The tables of one moment, and `past`. Raises CatalogueError."""
    with store.reading(path, wait) as connection:
        tables = {name: connection.execute(f"SELECT * FROM {name}").df() for name in TABLES}
        return {**tables, "past": connection.execute(PAST).df()}


def make_frames(tables: Tables, knowledge: Knowledge) -> dict[str, pd.DataFrame]:
    """Every frame of the suite out of the tables of one moment."""
    figures = make_figures(tables)
    runs = make_runs(figures)
    return {
        "figures": figures,
        "values": make_values(figures),
        "sizes": make_sizes(tables["sizes_from_figures"], figures, knowledge),
        "kept": tables["kept_or_told"].reset_index(drop=True),
        "runs": runs,
        "steps": runs[runs["judged"].astype(bool)].reset_index(drop=True),
        "cells": make_cells(figures),
        "garments": make_garments(tables["current_garments"], figures),
        "sheets": make_sheets(tables),
        "receipts": tables["receipts"][tables["receipts"]["seen_to"].isna()].reset_index(drop=True),
        "findings": make_findings(tables),
        "rulings": make_rulings(tables["rulings"]),
        "taped": make_taped(tables),
        "styles": make_style_drift(figures, tables["past"]),
        "merchants": make_merchant_drift(figures, tables),
    }


def make_figures(tables: Tables) -> pd.DataFrame:
    """Every figure in force, and what there is of findings, rulings, garment and sheet for it."""
    ours = tables["current_figures"].reset_index(drop=True)
    for column in ("inches", "inches_to", "half_inch", "tolerance", "tolerance_minus", "tolerance_plus"):
        ours[column] = ours[column].astype("float64")
    findings = tables["current_findings"]
    ours["findings"] = ours["figure_id"].map(findings["figure_id"].value_counts()).fillna(0).astype("int64")
    differing = set(findings.loc[findings["rule"].isin(("figures_differ", "sheets_differ")), "figure_id"])
    ours["differs_told"] = ours["figure_id"].isin(differing)
    ours["garment_there"] = ours["garment_id"].isin(set(tables["garments"]["garment_id"]))
    ours["sheet_there"] = ours["sheet_id"].isin(set(tables["current_sheets"]["sheet_id"]))
    ruled = rulings_in_force(tables["rulings"])
    cells = zip(*(ours[name] for name in ("place", "raw", "point", "size", "length")), strict=True)
    ours["rulings"] = [int(cell in ruled) for cell in cells]
    seen = tables["receipts"].groupby("sheet_id")["seen_from"].min()
    ours["seen_from"] = seen.reindex(ours["sheet_id"]).to_numpy()
    return ours


def rulings_in_force(rulings: pd.DataFrame) -> set[tuple[Any, ...]]:
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


def make_values(figures: pd.DataFrame) -> pd.DataFrame:
    """A row a number of the clean catalogue, upper ends of ranges as rows of their own: `value`, inches."""
    import pandas as pd

    clean = figures[figures["status"].isin(CLEAN) & (figures["basis"] != RULED)]
    upper = clean[clean["inches_to"].notna()]
    return pd.concat([clean.assign(value=clean["inches"]), upper.assign(value=upper["inches_to"])], ignore_index=True)


def make_sizes(sizes: pd.DataFrame, figures: pd.DataFrame, knowledge: Knowledge) -> pd.DataFrame:
    """The clean catalogue in floats, without what was ruled; a dress size's table is no promise of the label."""
    wide = sizes.reset_index(drop=True)
    ruled = set(figures.loc[figures["basis"] == RULED, "figure_id"])
    for point in knowledge.points:
        wide[point] = wide[point].astype("float64").mask(wide[f"{point}_figure"].isin(ruled))
        if point.startswith("label_"):
            wide[point] = wide[point].where(wide["size_system"] == "waist")
    return wide


def make_runs(figures: pd.DataFrame) -> pd.DataFrame:
    """One point of one garment, reading and length over its sizes in order (`at`), held ones too; `judged`: clean."""
    told = figures[(figures["size"] != "") & (figures["status"] != "set_aside")]
    runs = _in_order(told.drop_duplicates([*RUN_KEYS, "size"]), RUN_KEYS)
    runs["at"] = runs.groupby(RUN_KEYS, sort=False).cumcount()
    runs["judged"] = runs["status"].isin(CLEAN) & (runs["basis"] != RULED)
    return runs.reset_index(drop=True)


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


def make_cells(figures: pd.DataFrame) -> pd.DataFrame:
    """Every size of a run beside every point of its table: `told` 1 where a figure stands, held ones too, else 0.

    A point told for all sizes at once, or for no named length, belongs to no run and leaves no gap.
    """
    table = ["garment_id", "reading_id", "length"]
    names = ["sheet", "merchant", "style"]
    told = figures[(figures["size"] != "") & (figures["size_scope"] == "one") & ~_of_no_pair(figures)]
    sizes = told.drop_duplicates([*table, "size"])[[*table, *names, "size"]]
    points = told.drop_duplicates([*table, "point"])[[*table, "point"]]
    cells = sizes.merge(points, on=table)
    there = told.drop_duplicates([*table, "size", "point"])[[*table, "size", "point"]].assign(told=1)
    cells = cells.merge(there, on=[*table, "size", "point"], how="left")
    return cells.assign(told=cells["told"].fillna(0).astype("int64"))


def _of_no_pair(figures: pd.DataFrame) -> pd.Series[bool]:
    """Figures of the body a size is meant for, or of the label: no measure of the pair."""
    return figures["point"].str.startswith(("body_", "label_"))


def make_garments(garments: pd.DataFrame, figures: pd.DataFrame) -> pd.DataFrame:
    """Garments in force: `table` (digest of all clean figures), `figures` in it, `named` (whose style it is), `twins`
    (sheets of garments with the same table)."""
    clean = figures[figures["status"].isin(CLEAN) & ~_of_no_pair(figures)]
    parts = ["size", "length", "point", "length_nm"]
    clean = clean.drop_duplicates(["garment_id", *parts]).sort_values(parts)
    lines = clean["size"] + "\0" + clean["length"] + "\0" + clean["point"] + "\0" + clean["length_nm"].astype("string")
    tables = lines.groupby(clean["garment_id"]).agg(lambda told: digest(*told))
    ours = garments.reset_index(drop=True)
    ours["table"] = ours["garment_id"].map(tables).fillna("").astype("string")
    counts = ours["garment_id"].map(clean["garment_id"].value_counts())
    ours["figures"] = counts.fillna(0).astype("int64")
    code = ours["style_code"].where(ours["style_code"] != "", ours["style"])
    ours["named"] = code.where(code != "", ours["garment_id"]) + "\0" + ours["block"]
    ours["price"], ours["stretch"] = ours["price"].astype("float64"), ours["stretch"].astype("float64")
    sheets = figures.drop_duplicates("garment_id").set_index("garment_id")["sheet"]
    ours["sheet"] = ours["garment_id"].map(sheets).fillna("").astype("string")
    ours["twins"] = ours.groupby("table", sort=False)["sheet"].transform(lambda told: ", ".join(sorted(set(told))))
    return ours


def make_sheets(tables: Tables) -> pd.DataFrame:
    """Sheets in force; `figures`: how many figures of theirs there are, empty where none is to be expected."""
    sheets = tables["current_sheets"].reset_index(drop=True)
    counts = sheets["sheet_id"].map(tables["current_figures"]["sheet_id"].value_counts()).fillna(0)
    return sheets.assign(figures=counts.where(sheets["outcome"] == "read"))


def make_findings(tables: Tables) -> pd.DataFrame:
    findings = tables["current_findings"].reset_index(drop=True)
    return findings.assign(
        figure_there=findings["figure_id"].isin(set(tables["current_figures"]["figure_id"])),
        garment_there=findings["garment_id"].isin(set(tables["garments"]["garment_id"])),
    )


def make_rulings(rulings: pd.DataFrame) -> pd.DataFrame:
    ours = rulings.reset_index(drop=True)
    undone = ours["undoes"].isin(set(ours["ruling_id"]))
    return ours.assign(inches=ours["inches"].astype("float64"), undone_there=undone)


def make_taped(tables: Tables) -> pd.DataFrame:
    taped = tables["taped"].reset_index(drop=True)
    there = taped["garment_id"].isin(set(tables["garments"]["garment_id"]))
    return taped.assign(value=taped["inches"].astype("float64"), garment_there=there)


DRIFT = ["sheet", "merchant", "style", "point", "moved", "compared"]


def make_style_drift(figures: pd.DataFrame, past: pd.DataFrame) -> pd.DataFrame:
    """A style whose earlier sheet another has taken the place of: `moved`, the middle of how far a point moved over
    the sizes that both tell, inches. Fewer than three sizes say nothing."""
    keys = ["garment_id", "size", "length", "point"]
    before = past.sort_values("seen_from").drop_duplicates(keys, keep="last")[[*keys, "length_nm"]]
    now = figures[figures["status"].isin(CLEAN)].merge(before, on=keys, suffixes=("", "_before"))
    now["moved"] = (now["length_nm"] - now["length_nm_before"]) / NM_PER_INCH
    return _middle(now)


def make_merchant_drift(figures: pd.DataFrame, tables: Tables) -> pd.DataFrame:
    """A merchant's size against the same size on his earlier sheets (waist and hip of one block): `moved`, inches."""
    import pandas as pd

    blocks = tables["garments"].drop_duplicates("garment_id").set_index("garment_id")["block"]
    now = figures[figures["status"].isin(CLEAN)].assign(sheet_now=True)
    both = pd.concat([now, tables["past"].assign(sheet_now=False)], ignore_index=True)
    both = both[both["point"].isin(SIZED_BY_BODY) & (both["merchant"] != "") & (both["size"] != "")]
    if both.empty:
        return pd.DataFrame(columns=DRIFT)
    both = both.assign(block=both["garment_id"].map(blocks).fillna("").astype("string"))
    keys = ["merchant", "block", "size_system", "size", "point"]
    by_sheet = both.groupby([*keys, "seen_from", "sheet_id"], sort=True)["length_nm"].median().reset_index()
    by_moment = by_sheet.groupby([*keys, "seen_from"], sort=True)["length_nm"]
    moments = by_moment.agg(middle="median", sheets="size").reset_index()
    earlier = moments.groupby(keys, sort=False)
    moments["before"] = earlier["middle"].transform(lambda told: told.expanding().median().shift())
    moments["sheets"] = earlier["sheets"].transform(lambda told: told.cumsum().shift())
    told = both[both["sheet_now"].astype(bool)].merge(moments, on=[*keys, "seen_from"])
    told = told[told["sheets"] >= LEAST_SHEETS]
    return _middle(told.assign(moved=(told["length_nm"] - told["before"]) / NM_PER_INCH))


def _middle(moved: pd.DataFrame) -> pd.DataFrame:
    """One row a sheet, garment and point: the median over its sizes."""
    by = moved.groupby(["sheet", "merchant", "style", "garment_id", "point"], sort=True)["moved"]
    rows = by.agg(moved="median", compared="size").reset_index()
    return rows.loc[rows["compared"] >= LEAST_SIZES, DRIFT].reset_index(drop=True)
