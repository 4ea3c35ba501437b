"""The audit: the rules of `schemas/` as a great-expectations suite over the whole catalogue.

In: the frames of current figures and of `sizes`. Out: `Audit`, one `Check` a rule with what broke it. The limits are
the very ones that judge a single sheet, so a figure changed behind the catalogue's back is found by the next audit.
great_expectations is an extra (`pip install 'halfinch[audit]'`); its analytics are switched off before it is imported.
"""

from __future__ import annotations

import os
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from halfinch.errors import MissingExtraError
from halfinch.figure import BASES, CONVENTIONS, NM_PER_INCH, STATUSES
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pandas as pd

MOST_EXAMPLES = 20
CLEAN = ("accepted", "assumed")


@dataclass(frozen=True, slots=True)
class Check:
    """One rule over the catalogue."""

    rule: str
    means: str
    looked_at: int
    broken: int
    examples: tuple[str, ...]

    @property
    def passed(self) -> bool:
        return self.broken == 0


@dataclass(frozen=True, slots=True)
class Audit:
    """The outcome of one audit."""

    at: str
    catalogue: str
    knowledge: str
    figures: int
    sizes: int
    checks: tuple[Check, ...]

    @property
    def passed(self) -> bool:
        return all(check.passed for check in self.checks)

    def to_json(self) -> dict[str, Any]:
        """Plain values for `json.dump`: passed, counts, and a record a check."""
        record = asdict(self)
        record["passed"] = self.passed
        for check, one in zip(self.checks, record["checks"], strict=True):
            one["passed"] = check.passed
        return record


@dataclass(frozen=True, slots=True)
class Rule:
    """An expectation with the frame and column it looks at."""

    name: str
    means: str
    frame: str
    column: str
    expectation: Any


def load_engine() -> Any:
    """great_expectations without its telemetry and progress bars. Raises MissingExtraError where it is not installed."""
    os.environ["GX_ANALYTICS_ENABLED"] = "False"
    os.environ.setdefault("TQDM_DISABLE", "1")
    try:
        import great_expectations as gx
    except ImportError:
        raise MissingExtraError(
            "audit needs great-expectations, which is not installed; install it with: pip install 'halfinch[audit]'"
        ) from None
    return gx


def run_audit(figures: pd.DataFrame, sizes: pd.DataFrame, knowledge: Knowledge, catalogue: str) -> Audit:
    """Every rule over the frames. `figures`: the current figures table; `sizes`: the view, one row a size."""
    gx = load_engine()
    frames = make_frames(figures, sizes, knowledge)
    rules = [rule for rule in build_rules(gx, knowledge) if rule.column in frames[rule.frame]]
    checks = [check for name in frames for check in run_suite(gx, name, frames[name], rules)]
    return Audit(
        at=datetime.now(UTC).isoformat(timespec="seconds"),
        catalogue=catalogue,
        knowledge=knowledge.digest,
        figures=len(figures),
        sizes=len(sizes),
        checks=tuple(checks),
    )


def run_suite(gx: Any, name: str, frame: pd.DataFrame, rules: list[Rule]) -> list[Check]:
    """One suite over one frame."""
    mine = [rule for rule in rules if rule.frame == name]
    context = gx.get_context(mode="ephemeral")
    context.variables.progress_bars = {"globally": False, "metric_calculations": False}
    asset = context.data_sources.add_pandas(name).add_dataframe_asset(name)
    suite = context.suites.add(gx.ExpectationSuite(name=f"halfinch {name}"))
    for rule in mine:
        suite.add_expectation(rule.expectation)
    batch = asset.add_batch_definition_whole_dataframe("all")
    definition = context.validation_definitions.add(gx.ValidationDefinition(name=name, data=batch, suite=suite))
    outcome = definition.run(batch_parameters={"dataframe": frame}, result_format="COMPLETE")
    by_rule = {one.expectation_config.meta["rule"]: one for one in outcome.results}
    return [make_check(rule, by_rule[rule.name], frame) for rule in mine]


def make_check(rule: Rule, outcome: Any, frame: pd.DataFrame) -> Check:
    """What one expectation found, with the rows that broke it named."""
    if outcome.exception_info and outcome.exception_info.get("raised_exception"):
        raise RuntimeError(f"audit rule {rule.name}: {outcome.exception_info}")
    rows = outcome.result.get("unexpected_index_list") or []
    broken = int(outcome.result.get("unexpected_count") or 0)
    examples = tuple(name_row(frame, row, rule.column) for row in rows[:MOST_EXAMPLES])
    return Check(rule.name, rule.means, int(outcome.result.get("element_count") or 0), broken, examples)


def name_row(frame: pd.DataFrame, row: Any, column: str) -> str:
    """A row in words: whose figure it is, where it is printed, and the value that broke the rule."""
    record = frame.loc[row]
    parts = [
        str(record[name])
        for name in ("sheet", "place", "merchant", "style", "size", "length", "point")
        if record.get(name)
    ]
    return f"{' · '.join(parts)}: {column} = {record[column]}"


def make_frames(figures: pd.DataFrame, sizes: pd.DataFrame, knowledge: Knowledge) -> dict[str, pd.DataFrame]:
    """figures (with its half inch checked), sizes (with a column a relation) and steps (from one size to the next)."""
    ours = figures.copy()
    ours["inches_from_nm"] = ours["length_nm"].astype("float64") / NM_PER_INCH - ours["inches"].astype("float64")
    ours["halves_off"] = (ours["inches"].astype("float64") - ours["half_inch"].astype("float64")).abs()
    ours["range_upside"] = ours["length_to_nm"].astype("float64") - ours["length_nm"].astype("float64")
    wide = sizes.copy()
    for name, relation in knowledge.relations.relation.items():
        names = (relation.of, *relation.to)
        if not all(one in wide for one in names):
            continue
        rest = sum(wide[one].astype("float64") for one in relation.to)
        of = wide[relation.of].astype("float64")
        wide[f"relation_{name}"] = of - rest if relation.form == "difference" else of / rest
    return {"figures": ours.reset_index(drop=True), "sizes": wide.reset_index(drop=True), "steps": make_steps(ours)}


def make_steps(figures: pd.DataFrame) -> pd.DataFrame:
    """One row a step of a run (a point of one garment and length, sizes in the sheet's order): `step_POINT`."""
    clean = figures[figures["status"].isin(CLEAN) & (figures["size"] != "")]
    keys = ["garment_id", "reading_id", "length", "point"]
    runs = clean.drop_duplicates([*keys, "size"]).copy()
    runs["step"] = runs.groupby(keys, sort=False)["inches"].transform(lambda one: one.astype("float64").diff().abs())
    for point in runs["point"].unique():
        runs[f"step_{point}"] = runs["step"].where(runs["point"] == point)
    return runs.reset_index(drop=True)


def build_rules(gx: Any, knowledge: Knowledge) -> list[Rule]:
    """The suite: storage, words, ranges, relations and grades."""
    between = gx.expectations.ExpectColumnValuesToBeBetween
    in_set = gx.expectations.ExpectColumnValuesToBeInSet
    rules: list[Rule] = []

    def add(name: str, means: str, frame: str, column: str, kind: Any, **options: Any) -> None:
        rules.append(Rule(name, means, frame, column, kind(column=column, meta={"rule": name}, **options)))

    add("figure-unique", "every figure_id once", "figures", "figure_id", gx.expectations.ExpectColumnValuesToBeUnique)
    for column in ("figure_id", "garment_id", "reading_id", "point", "raw", "place"):
        add(f"{column}-given", f"{column} is there", "figures", column, gx.expectations.ExpectColumnValuesToNotBeNull)
    add("status-known", "a known status", "figures", "status", in_set, value_set=list(STATUSES))
    add("basis-known", "a known basis", "figures", "basis", in_set, value_set=list(BASES))
    add("convention-known", "flat, round or not said", "figures", "convention", in_set, value_set=list(CONVENTIONS))
    add("point-known", "a known point", "figures", "point", in_set, value_set=list(knowledge.points))
    add("length-positive", "a length above nothing", "figures", "length_nm", between, min_value=1)
    add(
        "inches-exact",
        "inches are made of the stored nanometres",
        "figures",
        "inches_from_nm",
        between,
        min_value=-1e-6,
        max_value=1e-6,
    )
    add("half-inch-near", "the half inch is the nearest", "figures", "halves_off", between, min_value=0, max_value=0.25)
    add("range-upright", "a range runs upwards", "figures", "range_upside", between, min_value=0)
    for name, point in knowledge.points.items():
        limits = {"min_value": float(point.low), "max_value": float(point.high)}
        add(
            f"range-{name}",
            f"{name} within {limits['min_value']:g} to {limits['max_value']:g} in",
            "sizes",
            name,
            between,
            **limits,
        )
        if point.of == "garment":
            most = float(max(abs(point.grade_least), abs(point.grade_most)))
            add(
                f"grade-{name}",
                f"{name} steps by at most {most:g} in",
                "steps",
                f"step_{name}",
                between,
                min_value=0,
                max_value=most,
            )
    for name, relation in knowledge.relations.relation.items():
        low, high = _float(relation.limits.low), _float(relation.limits.high)
        add(f"relation-{name}", relation.because, "sizes", f"relation_{name}", between, min_value=low, max_value=high)
    return rules


def _float(value: Fraction) -> float:
    return float(value)
