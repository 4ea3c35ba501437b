"""Nothing where there is nothing: every invented document in one print, and some of those that packages carry."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from typing import TypeVar

import pytest

from .foreign import (
    MOST_MEGABYTES,
    NAMES,
    SECONDS_A_PAGE,
    SHELF,
    Foreign,
    carried,
    draw_foreign,
    parse_doc,
    run_carried,
    run_foreign,
)
from .plan import Wish

LARGEST_HERE = 20_000
"""Bytes: larger documents of packages are left to `python -m tests.press --foreign --carried`."""
EVERY = 8
T = TypeVar("T")


def in_a_process(read: Callable[[T], Foreign], tasks: Iterable[T]) -> list[Foreign]:
    """Reads them in a fresh process: what the tests before these have held in memory is not the reader's."""
    with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("spawn")) as pool:
        return list(pool.map(read, tasks, chunksize=16))


def assert_nothing(rows: list[Foreign]) -> None:
    assert not [(row.again, row.kind, row.clean[0]) for row in rows if row.clean]
    assert not [(row.again, row.failed) for row in rows if row.failed]
    assert not [(row.again, row.seconds) for row in rows if row.seconds > SECONDS_A_PAGE]
    assert max(row.megabytes for row in rows) <= MOST_MEGABYTES


def test_invented_documents() -> None:
    rows = in_a_process(run_foreign, [(seed, Wish()) for seed in range(len(NAMES))])
    assert len(rows) >= 300
    assert {row.format for row in rows} == {"csv", "html", "xlsx", "ods", "json", "pdf"}
    assert_nothing(rows)


def test_documents_that_packages_carry() -> None:
    paths = [path for path in carried() if path.stat().st_size <= LARGEST_HERE][::EVERY]
    assert len(paths) >= 60
    assert_nothing(in_a_process(run_carried, paths))


@pytest.mark.parametrize("kind", SHELF)
def test_every_document_says_something(kind: str) -> None:
    for name, text in SHELF[kind].items():
        assert parse_doc(text).blocks, name


def test_the_same_seed_draws_the_same_document() -> None:
    assert draw_foreign(7) == draw_foreign(7)
