"""Archives: every member is a sheet of its own, a bad one is an error in its place, nothing gets out or blows up."""

from __future__ import annotations

import bz2
import gzip
import io
import lzma
import tarfile
import zipfile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfinch.errors import SheetError
from halfinch.readers import iter_members, read_bytes
from halfinch.readers.containers import MAX_SHEET, clean_member_name
from halfinch.sheet import Sheet

CSV = b"P,8\nWaist,28\n"


def pack(members: dict[str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", method) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return stream.getvalue()


def names(data: bytes, name: str = "outer.zip") -> list[str]:
    return [inner for inner, _ in iter_members(data, name)]


def errors(data: bytes, name: str = "outer.zip") -> dict[str, str]:
    return {inner: str(content) for inner, content in iter_members(data, name) if isinstance(content, SheetError)}


def test_a_plain_file_is_its_own_only_member() -> None:
    assert list(iter_members(CSV, "a.csv")) == [("a.csv", CSV)]


def test_members_are_read_in_order_and_named_by_their_way() -> None:
    data = pack({"b/specs.csv": CSV, "a.csv": CSV, "empty.csv": b""})
    found = read_bytes(data, "outer.zip")
    assert [inner for inner, _ in found] == ["outer.zip/b/specs.csv", "outer.zip/a.csv", "outer.zip/empty.csv"]
    first, empty = found[0][1], found[2][1]
    assert isinstance(first, Sheet)
    assert first.name == "outer.zip/b/specs.csv"
    assert isinstance(empty, SheetError)
    assert "is empty" in str(empty)


@pytest.mark.parametrize(
    ("data", "name", "inner"),
    [
        pytest.param(gzip.compress(CSV), "a.csv.gz", "a.csv.gz/a.csv", id="gzip"),
        pytest.param(gzip.compress(CSV), "a", "a/a", id="gzip-without-ending"),
        pytest.param(bz2.compress(CSV), "a.csv.bz2", "a.csv.bz2/a.csv", id="bzip2"),
        pytest.param(lzma.compress(CSV), "a.csv.xz", "a.csv.xz/a.csv", id="xz"),
        pytest.param(pack({"i.zip": pack({"a.csv": CSV})}), "o.zip", "o.zip/i.zip/a.csv", id="zip-in-zip"),
        pytest.param(pack({"a.csv.gz": gzip.compress(CSV)}), "o.zip", "o.zip/a.csv.gz/a.csv", id="gzip-in-zip"),
        pytest.param(pack({"a.csv": CSV}), "really.csv", "really.csv/a.csv", id="zip-named-csv"),
        pytest.param(pack({"a.csv": CSV}, zipfile.ZIP_LZMA), "o.zip", "o.zip/a.csv", id="zip-with-lzma"),
    ],
)
def test_packings(data: bytes, name: str, inner: str) -> None:
    assert list(iter_members(data, name)) == [(inner, CSV)]


def test_tar_with_gzip_and_a_link_out() -> None:
    stream = io.BytesIO()
    with tarfile.open(fileobj=stream, mode="w:gz") as archive:
        info = tarfile.TarInfo("../specs/a.csv")
        info.size = len(CSV)
        archive.addfile(info, io.BytesIO(CSV))
        link = tarfile.TarInfo("secret")
        link.type, link.linkname = tarfile.SYMTYPE, "/etc/hostname"
        archive.addfile(link)
    assert list(iter_members(stream.getvalue(), "o.tgz")) == [("o.tgz/o.tar/specs/a.csv", CSV)]


def test_what_systems_leave_behind_is_skipped() -> None:
    data = pack(
        {"a.csv": CSV, "__MACOSX/._a.csv": b"x", "d/.DS_Store": b"x", "Thumbs.db": b"x", "~$a.xlsx": b"x", "d/": b""}
    )
    assert names(data) == ["outer.zip/a.csv"]


def test_parts_of_a_saved_page_are_skipped_beside_the_page_only() -> None:
    page = b"<html><table><tr><td>Size<td>8</table></html>"
    assert names(pack({"p.html": page, "p_files/a.css": b"a{}", "p_files/i.png": b"x"})) == ["outer.zip/p.html"]
    assert names(pack({"chart.png": b"\x89PNG\r\n\x1a\n", "a.csv": CSV})) == ["outer.zip/chart.png", "outer.zip/a.csv"]


def test_an_encrypted_member_is_an_error_and_the_others_are_read() -> None:
    data = bytearray(pack({"a.csv": CSV, "b.csv": CSV}))
    data[6] |= 1  # the flag in the first local header
    data[data.find(b"PK\x01\x02") + 8] |= 1  # and in the directory
    found = dict(iter_members(bytes(data), "outer.zip"))
    assert "encrypted" in str(found["outer.zip/a.csv"])
    assert found["outer.zip/b.csv"] == CSV


def test_a_member_with_wrong_bytes_is_an_error_and_the_others_are_read() -> None:
    data = bytearray(pack({"a.csv": CSV, "b.csv": CSV}, zipfile.ZIP_STORED))
    at = data.find(b"Waist")
    data[at : at + 5] = b"Weird"
    found = dict(iter_members(bytes(data), "outer.zip"))
    assert "broken" in str(found["outer.zip/a.csv"])
    assert found["outer.zip/b.csv"] == CSV


def test_two_members_of_one_name_stay_apart() -> None:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("a.csv", CSV)
        archive.writestr("./a.csv", b"P,8\nHip,38\n")
    assert names(stream.getvalue()) == ["outer.zip/a.csv", "outer.zip/a.csv (2)"]


@pytest.mark.parametrize(
    ("data", "name", "says"),
    [
        pytest.param(pack({"a.csv": CSV})[:40], "o.zip", "broken or cut short", id="zip-cut"),
        pytest.param(gzip.compress(CSV * 100)[:30], "o.gz", "broken or cut short", id="gzip-cut"),
        pytest.param(bz2.compress(CSV)[:30], "o.bz2", "broken or cut short", id="bzip2-cut"),
        pytest.param(lzma.compress(CSV)[:30], "o.xz", "broken or cut short", id="xz-cut"),
        pytest.param(pack({}), "o.zip", "without any file", id="zip-empty"),
        pytest.param(pack({"a.csv": bytes(30_000_000)}), "o.zip", "times smaller", id="zip-bomb"),
        pytest.param(gzip.compress(bytes(30_000_000)), "o.gz", "times smaller", id="gzip-bomb"),
    ],
)
def test_bad_archives_give_one_error(data: bytes, name: str, says: str) -> None:
    found = list(iter_members(data, name))
    assert len(found) == 1
    assert isinstance(found[0][1], SheetError)
    assert says in str(found[0][1])
    assert found[0][0] in str(found[0][1])


def test_archives_within_archives_end_at_a_depth() -> None:
    data = CSV
    for _ in range(8):
        data = pack({"i.zip": data})
    assert list(errors(data).values()) == [
        "outer.zip/i.zip/i.zip/i.zip/i.zip is an archive packed 4 deep: unpack it and import what is in it."
    ]


def test_too_many_members_end_with_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("halfinch.readers.containers._Budget.__init__.__defaults__", (10_000, 5))
    data = pack({f"{k}.csv": CSV for k in range(9)})
    assert len(names(data)) == 6
    assert list(errors(data)) == ["outer.zip"]


def test_a_huge_file_is_refused_by_its_size() -> None:
    assert "holds 100 MB" in errors(b"a" * (MAX_SHEET + 1), "big.csv")["big.csv"]


@given(st.text(max_size=40))
def test_a_members_name_is_only_a_label(name: str) -> None:
    clean = clean_member_name(name)
    assert clean
    assert clean.isprintable()
    assert ".." not in clean.split("/")
    assert not clean.startswith("/")


@pytest.mark.parametrize(
    ("name", "clean"),
    [
        pytest.param("../../etc/a.csv", "etc/a.csv", id="way-out"),
        pytest.param("C:\\specs\\a.csv", "specs/a.csv", id="drive"),
        pytest.param("a\x00\x1b[31m.csv", "a__[31m.csv", id="control-signs"),
        pytest.param("a\u202egnp.csv", "a_gnp.csv", id="turned-direction"),
        pytest.param("..", "unnamed", id="nothing-left"),
    ],
)
def test_names_are_cleaned(name: str, clean: str) -> None:
    assert clean_member_name(name) == clean
