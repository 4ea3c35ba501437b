"""A run of the audit: a checkpoint a frame, and what each rule found in words."""

from __future__ import annotations

import importlib.util
import os
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from halfinch.catalogue import store
from halfinch.catalogue.audit.frames import NAMES, fetch_tables, make_frames
from halfinch.catalogue.audit.suite import Rule, build_rules
from halfinch.errors import MissingExtraError
from halfinch.knowledge import Knowledge

if TYPE_CHECKING:
    import pandas as pd

MOST_EXAMPLES = 20
NAMED_BY = ("sheet", "source", "place", "merchant", "style", "size", "length", "point", "rule")
"""Columns that tell a person which row it is."""


@dataclass(frozen=True, slots=True)
class Check:
    """One rule over the catalogue: how many values it looked at, how many broke it, the first of them in words."""

    rule: str
    area: str
    severity: str
    """critical: a broken one fails the audit; warning: worth a look"""
    expectation: str
    """The engine's name of the expectation."""
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
    def broken(self) -> tuple[Check, ...]:
        """Rules whose breach means that the catalogue is wrong."""
        return tuple(check for check in self.checks if not check.passed and check.severity == "critical")

    @property
    def doubtful(self) -> tuple[Check, ...]:
        """Rules whose breach is worth a look."""
        return tuple(check for check in self.checks if not check.passed and check.severity != "critical")

    @property
    def passed(self) -> bool:
        return not self.broken

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
    tables = fetch_tables(path, wait)
    gx = load_engine()
    rules = build_rules(gx, knowledge)
    found = run_rules(gx, make_frames(tables, knowledge), rules)
    return Audit(
        at=datetime.now(UTC).isoformat(timespec="seconds"),
        catalogue=path.name,
        knowledge=knowledge.digest,
        figures=len(tables["current_figures"]),
        sizes=len(tables["sizes_from_figures"]),
        checks=tuple(found[rule.name] for rule in rules),
    )


def run_rules(gx: Any, frames: Mapping[str, pd.DataFrame], rules: Sequence[Rule]) -> dict[str, Check]:
    """The rules of every frame through a checkpoint, in a context of this process: nothing is written anywhere."""
    context = make_context(gx)
    found: dict[str, Check] = {}
    for name, frame in frames.items():
        mine = [rule for rule in rules if rule.frame == name]
        outcomes = run_checkpoint(gx, context, name, frame, mine)
        found |= {rule.name: make_check(rule, outcomes[rule.name], frame) for rule in mine}
    return found


def make_context(gx: Any) -> Any:
    """A context that lives in memory: no file, no temporary folder, no progress bar."""
    from great_expectations.data_context.types.base import DataContextConfig, InMemoryStoreBackendDefaults

    stores = InMemoryStoreBackendDefaults(init_temp_docs_sites=False)
    context = gx.get_context(mode="ephemeral", project_config=DataContextConfig(store_backend_defaults=stores))
    context.variables.progress_bars = {"globally": False, "metric_calculations": False}
    return context


def run_checkpoint(gx: Any, context: Any, name: str, frame: pd.DataFrame, rules: Sequence[Rule]) -> dict[str, Any]:
    """One frame as a whole batch against its suite; the engine's result by the rule's name."""
    asset = context.data_sources.add_pandas(name).add_dataframe_asset(name)
    suite = context.suites.add(gx.ExpectationSuite(name=f"halfinch {name}"))
    for rule in rules:
        suite.add_expectation(rule.expectation)
    batch = asset.add_batch_definition_whole_dataframe("all")
    definition = context.validation_definitions.add(gx.ValidationDefinition(name=name, data=batch, suite=suite))
    wanted = {"result_format": "COMPLETE", "include_unexpected_rows": False}
    checkpoint = gx.Checkpoint(name=name, validation_definitions=[definition], result_format=wanted)
    outcome = context.checkpoints.add(checkpoint).run(batch_parameters={"dataframe": frame})
    results = [one for result in outcome.run_results.values() for one in result.results]
    return {one.expectation_config.meta["rule"]: one for one in results}


def make_check(rule: Rule, outcome: Any, frame: pd.DataFrame) -> Check:
    """What one expectation found, with the rows that broke it named."""
    raised = [one for one in _exceptions(outcome.exception_info) if one.get("raised_exception")]
    if raised:
        raise RuntimeError(f"audit rule {rule.name}: {raised[0].get('exception_message')}")
    rows = outcome.result.get("unexpected_index_list") or []
    return Check(
        rule=rule.name,
        area=rule.area,
        severity=rule.severity,
        expectation=outcome.expectation_config.type,
        means=rule.means,
        looked_at=int(outcome.result.get("element_count") or 0) - int(outcome.result.get("missing_count") or 0),
        broken=int(outcome.result.get("unexpected_count") or 0),
        examples=tuple(name_row(frame, row, rule.column) for row in rows[:MOST_EXAMPLES]),
    )


def _exceptions(info: dict[str, Any] | None) -> list[dict[str, Any]]:
    """The engine tells one exception flat, several by the metric that raised them."""
    told = info or {}
    return [told] if "raised_exception" in told else list(told.values())


def name_row(frame: pd.DataFrame, row: Any, column: str) -> str:
    """A row in words: whose figure it is, where it is printed, and the value that broke the rule."""
    record = frame.loc[row]
    parts = [str(record[name]) for name in NAMED_BY if record.get(name) and name != column]
    printed = f', printed "{record["raw"]}"' if record.get("raw") else ""
    return f"{' · '.join(parts)}: {NAMES.get(column, column)} = {_show(record[column])}{printed}"


def _show(value: Any) -> str:
    return f"{value:.10g}" if isinstance(value, float) else str(value)
