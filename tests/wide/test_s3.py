"""A lake in object storage: a real server that speaks S3, started here on loopback."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from moto.server import ThreadedMotoServer

from halfinch.catalogue import store
from halfinch.catalogue.lake import commits, compacting
from halfinch.catalogue.lake.commits import Commit
from halfinch.catalogue.lake.objects import S3Objects, open_objects
from halfinch.cli import group
from halfinch.errors import CatalogueError
from halfinch.work import lake_import
from halfinch.work.importing import Options, import_paths
from halfinch.work.lake_import import import_to_lake

from .ground import differences, lay, one_is_the_first, sheet

DEMO = Path(__file__).parents[2] / "fixtures" / "demo"
HERE = Options(jobs=0)
LAKE = Path("s3://specs/lake")
"""As the command line hands it on: a Path makes one slash of two."""


@pytest.fixture(scope="module")
def server() -> Iterator[str]:
    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    running = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    running.start()
    host, port = running.get_host_and_port()
    yield f"http://{host}:{port}"
    running.stop()


@pytest.fixture(autouse=True)
def bucket(server: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[None]:
    """An empty bucket; sources are seen from the folder of work."""
    said = {"AWS_ACCESS_KEY_ID": "key", "AWS_SECRET_ACCESS_KEY": "secret", "AWS_DEFAULT_REGION": "us-east-1"}
    for name, value in {**said, "AWS_ENDPOINT_URL": server}.items():
        monkeypatch.setenv(name, value)
    monkeypatch.chdir(tmp_path)
    filesystem = S3Objects("specs").filesystem
    filesystem.mkdir("specs")
    yield
    filesystem.rm("specs", recursive=True)


def test_a_lake_in_s3_says_what_the_catalogue_says(tmp_path: Path) -> None:
    lay(tmp_path / "sheets", 2)
    import_paths(tmp_path / "shop.duckdb", [tmp_path / "sheets"], HERE)
    import_to_lake(LAKE, [tmp_path / "sheets"], HERE)
    (tmp_path / "sheets" / "merchant a" / "style0.csv").write_text(sheet("Style 0", 33), encoding="utf-8")
    import_paths(tmp_path / "shop.duckdb", [tmp_path / "sheets"], HERE)
    import_to_lake(LAKE, [tmp_path / "sheets"], HERE)
    objects = open_objects(LAKE)
    done = compacting.compact(objects, 0)
    assert done.objects < done.objects_before
    assert differences(tmp_path / "shop.duckdb", LAKE) == {}
    assert {entry.name for entry in objects.entries("data")} == commits.listed([commits.newest(objects)])


def test_commands_take_an_address(tmp_path: Path) -> None:
    run = CliRunner().invoke
    lay(tmp_path / "sheets", 1)
    assert run(group, ["import", "sheets", "--to", "s3://specs/lake", "-j", "0", "-q"]).exit_code == 0
    found = run(group, ["query", "SELECT count(*) AS n FROM sizes", "-c", "s3://specs/lake", "--format", "csv"])
    assert found.stdout.split() == ["n", "4"]
    body = str(DEMO / "bodies" / "ottilie.toml")
    assert "4 sizes judged" in run(group, ["match", body, "-c", "s3://specs/lake"]).stdout
    assert run(group, ["report", "-c", "s3://specs/lake"]).exit_code == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["lake.report.html", "sheets"]


def test_of_many_writers_one_is_the_first() -> None:
    one_is_the_first(open_objects(LAKE), writers=8)


class Deaf(S3Objects):
    """The answer to the first conditional put is lost."""

    lost: list[str] = []  # noqa: RUF012

    def put_new(self, name: str, data: bytes) -> bool:
        done = super().put_new(name, data)
        if name.startswith("commits/") and not self.lost:
            self.lost.append(name)
            raise CatalogueError("the connection was reset")
        return done


def test_an_acknowledgement_that_was_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lay(tmp_path / "sheets", 1)
    monkeypatch.setattr(lake_import, "open_objects", lambda path: Deaf("specs/lake"))
    import_to_lake(LAKE, [tmp_path / "sheets"], HERE)
    assert Deaf.lost
    assert commits.newest(open_objects(LAKE)).number == 1
    with store.reading(LAKE) as connection:
        assert connection.execute("SELECT count(*) FROM sheets").fetchall() == [(1,)]


def test_a_bucket_or_a_server_that_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(CatalogueError, match="nowhere"):
        import_to_lake(Path("s3://nowhere/lake"), [DEMO], HERE)
    with monkeypatch.context() as patched:
        patched.setenv("AWS_ENDPOINT_URL", "http://127.0.0.1:9")
        S3Objects("specs").filesystem.clear_instance_cache()
        with pytest.raises(CatalogueError, match="cannot be re"):
            import_to_lake(LAKE, [DEMO], HERE)
    S3Objects("specs").filesystem.clear_instance_cache()
    with (
        pytest.raises(CatalogueError, match="There is no lake at s3://specs/other"),
        store.reading(Path("s3://specs/other")),
    ):
        pass


def test_a_commit_needs_no_more_than_one_number() -> None:
    objects = open_objects(LAKE)
    assert commits.put(objects, Commit(1))
    assert not commits.put(objects, Commit(1))
