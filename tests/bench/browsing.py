"""The workbench over a million sizes: how long real requests take, and many clients at once.

python -m tests.bench.browsing                                     a million sizes, medians of each request
python -m tests.bench.browsing --clients 50 --seconds 60           the same, then so many clients for so long
"""

from __future__ import annotations

import argparse
import json
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import httpx

ROOT = Path(__file__).parents[2]
BODIES = ROOT / "fixtures" / "demo" / "bodies"
ALLOWED = 300
"""Milliseconds that the median of a request may take, on two cores that do nothing else."""
QUESTIONS = {
    "first page": "/catalogue",
    "filter": "/catalogue?silhouette=wide&point=inseam&low=28&high=31&told=&unit=in",
    "three filters, ordered": "/catalogue?point=front_rise&low=10&high=12&told=accepted&point=inseam&low=28&high=31"
    "&told=&point=leg_opening&low=18&high=&told=&unit=in&order=price",
    "words": "/catalogue?find=style+12",
    "ordered by a point": "/catalogue?order=-inseam",
    "a page deep within": "/catalogue?page=12000",
    "match": "/catalogue?body={body}",
    "match, filtered": "/catalogue?silhouette=wide&point=front_rise&low=9&high=13&told=&unit=in&body={body}",
}


class Shop:
    """A server in a process of its own over a catalogue of so many sizes."""

    def __init__(self, folder: Path, sizes: int) -> None:
        from tests.bench.many_sizes import make_sizes

        self.catalogue = folder / "shop.duckdb"
        make_sizes(self.catalogue, sizes)
        shutil.copytree(BODIES, folder / "bodies")
        self.log = (folder / "log").open("wb")
        command = [sys.executable, "-m", "halfinch", "serve", "-c", str(self.catalogue), "--bodies",
                   str(folder / "bodies"), "--port", "8399"]  # fmt: skip
        self.process = subprocess.Popen(command, stdout=self.log, stderr=self.log)
        self.client = httpx.Client(base_url="http://127.0.0.1:8399", timeout=120)
        for _ in range(200):
            try:
                self.client.get("/help")
                break
            except httpx.TransportError:
                time.sleep(0.1)

    def body(self) -> str:
        """The handle of the first body."""
        return re.findall(r'name="body">.*?<option value="([^"]+)"', self.client.get("/catalogue").text, re.S)[0]

    def used(self) -> float:
        """Milliseconds of the processor that the server has used so far (Linux)."""
        fields = Path(f"/proc/{self.process.pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) * 1000 / os.sysconf("SC_CLK_TCK")

    def close(self) -> None:
        self.client.close()
        self.process.terminate()
        self.process.wait(20)
        self.log.close()


def ask(client: httpx.Client, path: str) -> float:
    """Milliseconds. Raises for an answer that is no page."""
    begun = time.perf_counter()
    answer = client.get(path)
    took = (time.perf_counter() - begun) * 1000
    if answer.status_code != 200:
        raise RuntimeError(f"{path}: {answer.status_code}")
    return took


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--sizes", type=int, default=1_000_000)
    parser.add_argument("--repeats", type=int, default=7)
    parser.add_argument("--output", type=Path, default=ROOT / "build" / "bench-browsing.json")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        shop = Shop(Path(folder), options.sizes)
        try:
            paths = {name: path.format(body=shop.body()) for name, path in QUESTIONS.items()}
            record: dict[str, object] = {"sizes": options.sizes}
            print(
                f"{options.sizes:,} sizes; milliseconds, the median of {options.repeats} requests, and of the processor"
            )
            for name, path in paths.items():
                ask(shop.client, path)
                before = shop.used()
                median = statistics.median(ask(shop.client, path) for _ in range(options.repeats))
                used = (shop.used() - before) / options.repeats
                record[name] = {"median": round(median), "processor": round(used)}
                late = "" if median < ALLOWED else f"   more than {ALLOWED}"
                print(f"  {name:<26}{median:8.0f}{used:8.0f}{late}")
        finally:
            shop.close()
    options.output.parent.mkdir(parents=True, exist_ok=True)
    options.output.write_text(json.dumps(record, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
