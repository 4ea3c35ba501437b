"""Every trick small, in one batch with an honest sheet at its end."""

from __future__ import annotations

import pytest

from halfinch.figure import SheetResult
from halfinch.work.pool import Setting, Task, read_all

from . import archives, books, documents, pages, plain  # noqa: F401 - each enters its tricks
from .corpus import FIGURES, HONEST, TRICKS, faults, told_of

LIMIT, MEMORY = 30.0, 900
"""Seconds and megabytes: bounds that nothing here may need; a fault names what did."""


@pytest.fixture(scope="module")
def batch() -> dict[str, list[SheetResult]]:
    tasks = [Task(one.make(one.short), one.name) for one in TRICKS.values()]
    tasks.append(Task(HONEST.encode(), "honest.csv"))
    return {task.name: results for task, results in read_all(tasks, Setting(memory=MEMORY), jobs=1, limit=LIMIT)}


@pytest.mark.parametrize("name", TRICKS)
def test_a_trick_is_read_or_refused_in_one_sentence(name: str, batch: dict[str, list[SheetResult]]) -> None:
    assert faults(TRICKS[name], told_of(batch[name])) == []


def test_the_batch_goes_on(batch: dict[str, list[SheetResult]]) -> None:
    assert told_of(batch["honest.csv"]) == [("read", "", FIGURES)]
