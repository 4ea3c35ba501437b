"""Archives that unpack to more than anybody has room for, or never end."""

from __future__ import annotations

import bz2
import gzip
import io
import lzma
import struct
import tarfile

from .corpus import FIGURES, HONEST, trick, zipped


@trick("zip", "failed", says="times smaller|holds .* MB", full=1_000_000_000, short=30_000_000)
def zip_of_zeros(count: int) -> bytes:
    return zipped([("a.csv", bytes(count))])


@trick("csv.gz", "failed", says="times smaller|holds .* MB", full=1_000_000_000, short=30_000_000)
def gzip_of_zeros(count: int) -> bytes:
    return gzip.compress(b"0" * count)


@trick("csv.bz2", "failed", says="times smaller|holds .* MB", full=400_000_000, short=30_000_000)
def bzip2_of_zeros(count: int) -> bytes:
    return bz2.compress(b"0" * count)


@trick("csv.xz", "failed", says="times smaller|holds .* MB", full=1_000_000_000, short=30_000_000)
def xz_of_zeros(count: int) -> bytes:
    return lzma.compress(b"0" * count, preset=1)


@trick("zip", "failed", "read", says="times smaller|holds .* MB", full=200_000_000, short=20_000_000, figures=FIGURES)
def bomb_beside_a_sheet(count: int) -> bytes:
    return zipped([("bomb.csv", bytes(count)), ("sheet.csv", HONEST)])


@trick("zip", "failed", says="deep", full=200, short=30)
def zip_in_zip(count: int) -> bytes:
    data = HONEST.encode()
    for _ in range(count):
        data = zipped([("x.zip", data)])
    return data


@trick("zip", "failed", says="MB", full=16, short=1)
def zip_fan(count: int) -> bytes:
    """Each archive holds `count` of the next: 16 x 16 x 16 files of seventy megabytes."""
    data = zipped([("a.csv", (b"%d,%d\n" * 3_000 % tuple(range(6_000))) * 2_000)])
    for _ in range(2):
        data = zipped([(f"{number}.zip", data) for number in range(count)])
    return data


@trick("zip", says="more than 5000 files", full=60_000, short=5_200)
def zip_of_many(count: int) -> bytes:
    return zipped([(f"{number}.csv", b"") for number in range(count)], 1)


@trick("zip", "failed", says="overlap", full=20_000, short=200)
def zip_of_one_many_times(count: int) -> bytes:
    """Every entry of the directory is the same member: little is packed, much comes out."""
    packed = zipped([("a.csv", b"a,b\n" + b"1,2\n" * 100_000)])
    begin = packed.rindex(b"PK\x01\x02")
    end = packed.rindex(b"PK\x05\x06")
    entry = packed[begin:end]
    tail = struct.pack("<4sHHHHIIH", b"PK\x05\x06", 0, 0, count, count, len(entry) * count, begin, 0)
    return packed[:begin] + entry * count + tail


@trick("tar", "failed", "read", says="", figures=FIGURES)
def tar_of_devices(count: int) -> bytes:
    """Links, devices and names that lead out of the archive; the one sheet in it is read."""
    packed = io.BytesIO()
    with tarfile.open(fileobj=packed, mode="w") as archive:
        for name, kind, to in (
            ("out", tarfile.SYMTYPE, "/etc/passwd"),
            ("hard", tarfile.LNKTYPE, "../../etc/passwd"),
            ("null", tarfile.CHRTYPE, ""),
            ("pipe", tarfile.FIFOTYPE, ""),
        ):
            member = tarfile.TarInfo(name)
            member.type, member.linkname = kind, to
            archive.addfile(member)
        member = tarfile.TarInfo("../../../tmp/sheet.csv")
        member.size = len(HONEST)
        archive.addfile(member, io.BytesIO(HONEST.encode()))
    return packed.getvalue()
