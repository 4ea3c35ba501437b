from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from invented import STAMP, Shop

from halfinch.catalogue.landing import land


@pytest.fixture(scope="session")
def empty_catalogue(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("empty") / "shop.duckdb"
    land(path, [], STAMP)
    return path


@pytest.fixture
def shop(tmp_path: Path, empty_catalogue: Path) -> Shop:
    """A catalogue of its own for a test, empty."""
    made = Shop(tmp_path)
    shutil.copyfile(empty_catalogue, made.path)
    return made
