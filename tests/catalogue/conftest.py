from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from invented import STAMP, Shop

from halfinch.catalogue.landing import land
from halfinch.errors import CatalogueError


@pytest.fixture(scope="session")
def empty_catalogue(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("empty") / "shop.duckdb"
    land(path, [], STAMP)
    return path


@pytest.fixture
def shop(tmp_path: Path, empty_catalogue: Path) -> Iterator[Shop]:
    """A catalogue of its own for a test, empty. Whatever the test does, kept sizes say in the end what figures say."""
    made = Shop(tmp_path)
    shutil.copyfile(empty_catalogue, made.path)
    yield made
    try:
        differing = made.ask("SELECT * FROM kept_or_told WHERE NOT kept")
    except CatalogueError:  # damaged by the test
        return
    assert differing == []
