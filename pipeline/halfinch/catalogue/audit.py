"""The audit: the rules of `schemas/` as a great-expectations suite over the whole catalogue.

In: the tables in force. Out: `Audit`, one `Check` a rule with what broke it. Limits come from the files that judge a
single sheet, so a figure that was changed behind the catalogue's back is found by the next audit. What the rules look
at is worked out in `audit_frames.py`, the rules themselves stand in `audit_rules.py`.

great_expectations is an extra (`pip install 'halfinch[audit]'`); its analytics are switched off before it is imported.
"""

from __future__ import annotations

import importlib.util
import os
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from halfinch.catalogue import store
from halfinch.catalogue.audit_frames import NAMES, make_frames
from halfinch.catalogue.audit_rules import Rule, build_rules
from halfinch.errors import MissingExtraError
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pandas as pd

MOST_EXAMPLES = 20
TABLES = (
    "current_figures",
    "sizes_from_figures",
    "kept_or_told",
    "current_garments",
    "current_findings",
    "current_sheets",
    "rulings",
)
NAMED_BY = ("sheet", "place", "merchant", "style", "size", "length", "point")
"""Columns that tell a person which row it is."""


@dataclass(frozen=True, slots=True)
class Check:
    """One rule over the catalogue: how many values it looked at, how many broke it, the first of them in words."""

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
    """The outcome of one audit. `at` is UTC, `knowledge` the digest of the rules' files."""

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


def require_engine() -> None:
    """Raises MissingExtraError where great_expectations is not installed; loads nothing."""
    if importlib.util.find_spec("great_expectations") is None:
        raise MissingExtraError(
            "audit needs great-expectations, which is not installed; install it with: pip install 'halfinch[audit]'"
        )


def load_engine() -> Any:
    """great_expectations with its analytics switched off. Raises MissingExtraError where it is not installed."""
    require_engine()
    os.environ["GX_ANALYTICS_ENABLED"] = "False"
    import great_expectations as gx

    return gx


def audit_catalogue(path: Path, knowledge: Knowledge, *, wait: float = store.DEFAULT_WAIT) -> Audit:
    """Every rule over everything in force. Raises MissingExtraError, CatalogueError."""
    require_engine()
    tables = dict(zip(TABLES, store.read_frames(path, *TABLES, wait=wait), strict=True))
    gx = load_engine()
    frames = make_frames(tables, knowledge)
    rules = build_rules(gx, knowledge)
    checks = [check for name, frame in frames.items() for check in run_suite(gx, name, frame, rules)]
    return Audit(
        at=datetime.now(UTC).isoformat(timespec="seconds"),
        catalogue=path.name,
        knowledge=knowledge.digest,
        figures=len(tables["current_figures"]),
        sizes=len(tables["sizes_from_figures"]),
        checks=tuple(checks),
    )


def run_suite(gx: Any, name: str, frame: pd.DataFrame, rules: Sequence[Rule]) -> list[Check]:
    """The rules of one frame as one suite, in an ephemeral context: nothing is written anywhere."""
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
    raised = [one for one in _exceptions(outcome.exception_info) if one.get("raised_exception")]
    if raised:
        raise RuntimeError(f"audit rule {rule.name}: {raised[0].get('exception_message')}")
    rows = outcome.result.get("unexpected_index_list") or []
    examples = tuple(name_row(frame, row, rule.column) for row in rows[:MOST_EXAMPLES])
    looked_at = int(outcome.result.get("element_count") or 0) - int(outcome.result.get("missing_count") or 0)
    return Check(rule.name, rule.means, looked_at, int(outcome.result.get("unexpected_count") or 0), examples)


def _exceptions(info: dict[str, Any] | None) -> list[dict[str, Any]]:
    """The engine tells one exception flat, several by the metric that raised them."""
    told = info or {}
    return [told] if "raised_exception" in told else list(told.values())


def name_row(frame: pd.DataFrame, row: Any, column: str) -> str:
    """A row in words: whose figure it is, where it is printed, and the value that broke the rule."""
    record = frame.loc[row]
    parts = [str(record[name]) for name in NAMED_BY if record.get(name)]
    printed = f', printed "{record["raw"]}"' if record.get("raw") else ""
    return f"{' · '.join(parts)}: {NAMES.get(column, column)} = {_show(record[column])}{printed}"


def _show(value: Any) -> str:
    return f"{value:.10g}" if isinstance(value, float) else str(value)
