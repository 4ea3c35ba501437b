"""Custom expectations, one for each rule of the trade: great-expectations asks, `judging` answers.

Every class says which columns it looks at and which function judges them; limits come from `schemas/` by way of the
suite. Import this module through `run.load_engine`, which switches the engine's analytics off first.
"""

from __future__ import annotations

from typing import Any, ClassVar

from great_expectations.compatibility import pydantic
from great_expectations.execution_engine.pandas_execution_engine import PandasExecutionEngine
from great_expectations.expectations.expectation import MulticolumnMapExpectation
from great_expectations.expectations.metrics.map_metric_provider.multicolumn_condition_partial import (
    multicolumn_condition_partial,
)
from great_expectations.expectations.metrics.map_metric_provider.multicolumn_map_metric_provider import (
    MulticolumnMapMetricProvider,
)

from halfinch.catalogue.audit.judging import ID_COLUMNS, JUDGES, PRINT_COLUMNS, RUN_KEYS

METRIC = "halfinch.rows_keep_rule"


def looks_at(*columns: str) -> Any:
    """The columns that an expectation looks at unless it is told others."""
    return pydantic.Field(default=list(columns))


class RowsKeepRule(MulticolumnMapMetricProvider):
    """The one metric behind all of them: which rows keep the rule that `judge` names."""

    condition_metric_name = METRIC
    condition_domain_keys = ("batch_id", "table", "column_list", "row_condition", "condition_parser", "ignore_row_if")
    condition_value_keys = ("judge", "limits")

    @multicolumn_condition_partial(engine=PandasExecutionEngine)  # type: ignore[untyped-decorator]
    def _pandas(cls, column_list: Any, **kwargs: Any) -> Any:
        if column_list.empty:
            return column_list.index.to_series().astype(bool)
        return JUDGES[kwargs["judge"]](column_list, kwargs["limits"] or {}).astype(bool)


class TradeExpectation(MulticolumnMapExpectation):
    """A rule of the trade over the rows of a frame. `judge` names a function of `judging`, `limits` is what it gets."""

    map_metric: ClassVar[str] = METRIC
    args_keys = ("column_list",)
    success_keys: ClassVar[tuple[str, ...]] = ("mostly", "judge", "limits")
    judge: str
    limits: dict[str, Any] = pydantic.Field(default_factory=dict)


class ExpectInchesToBeTheirNanometres(TradeExpectation):
    judge: str = "inches_are_nanometres"
    column_list: list[str] = looks_at("inches", "length_nm")


class ExpectHalfInchToBeNearest(TradeExpectation):
    judge: str = "half_inch_is_nearest"
    column_list: list[str] = looks_at("half_inch", "length_nm")


class ExpectLengthToBePrinted(TradeExpectation):
    judge: str = "length_is_printed"
    column_list: list[str] = looks_at(*PRINT_COLUMNS)


class ExpectCleanLengthToBePositive(TradeExpectation):
    judge: str = "length_is_positive"
    column_list: list[str] = looks_at("status", "length_nm")


class ExpectRangeToRunUpwards(TradeExpectation):
    judge: str = "range_runs_upwards"
    column_list: list[str] = looks_at("length_nm", "length_to_nm")


class ExpectToleranceToBeTheWider(TradeExpectation):
    judge: str = "tolerance_is_the_wider"
    column_list: list[str] = looks_at("tolerance", "tolerance_minus", "tolerance_plus")


class ExpectFigureIdToBeItsOwn(TradeExpectation):
    judge: str = "id_is_own"
    column_list: list[str] = looks_at(*ID_COLUMNS)


class ExpectDoubtToBeTold(TradeExpectation):
    judge: str = "doubt_is_told"
    column_list: list[str] = looks_at("status", "findings")


class ExpectRuledToHaveItsRuling(TradeExpectation):
    judge: str = "ruling_is_there"
    column_list: list[str] = looks_at("status", "basis", "rulings")


class ExpectSizeToBeToldOnce(TradeExpectation):
    judge: str = "told_once"
    column_list: list[str] = looks_at(*RUN_KEYS, "size", "status", "length_nm", "differs_told")


class ExpectPointToBeWithinItsLimits(TradeExpectation):
    judge: str = "is_within"
    column_list: list[str] = looks_at("point", "value")


class ExpectPointsToStandInRelation(TradeExpectation):
    judge: str = "relation_holds"


class ExpectStepsToBeSmall(TradeExpectation):
    judge: str = "step_is_small"
    column_list: list[str] = looks_at(*RUN_KEYS, "at", "inches")


class ExpectRunToMove(TradeExpectation):
    judge: str = "run_moves"
    column_list: list[str] = looks_at(*RUN_KEYS, "length_nm", "judged")


class ExpectLongerLengthToBeLonger(TradeExpectation):
    judge: str = "longer_is_longer"
    column_list: list[str] = looks_at(*RUN_KEYS, "size", "inches")


class ExpectRunToBeWhole(TradeExpectation):
    judge: str = "run_is_whole"
    column_list: list[str] = looks_at(*RUN_KEYS, "told")


class ExpectTableNotToBeCopied(TradeExpectation):
    judge: str = "is_no_copy"
    column_list: list[str] = looks_at("table", "named", "figures")


class ExpectMerchantToKeepHisMeasure(TradeExpectation):
    judge: str = "keeps_his_measure"
    column_list: list[str] = looks_at("point", "moved")


class ExpectIdToPointAtSomething(TradeExpectation):
    judge: str = "points_at_something"


class ExpectCorrectionToSayWhat(TradeExpectation):
    judge: str = "correction_says_what"
    column_list: list[str] = looks_at("decision", "inches")
