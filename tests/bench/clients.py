"""Fifty browsers at one workbench at once: how long an answer takes, and that none is an error.

    make bench                                    a minute, over the fixtures
    python tests/bench/clients.py --seconds 10 --clients 5

Each client is a session of its own. It opens pages at random, the held figures more often than others, and now and then
rules on a figure and takes it back, so that readers and writers meet. Writes build/clients.json.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import random
import re
import subprocess
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

import httpx

ROOT = Path(__file__).resolve().parents[2]
SCREENS = ("/sheets", "/held", "/catalogue", "/bodies", "/match", "/papers", "/glance", "/help", "/openapi.json")
RULES_EVERY = 25
"""One in so many requests is a ruling; it is taken back with the next one."""
THINKS = 0.2
"""Most seconds between two requests of a client, chosen evenly from none to these."""
LEAST = 2
"""Requests of each client, even where the time is over."""
LONGEST = 60.0


@dataclass
class Tally:
    """What all clients met."""

    seconds: list[float] = field(default_factory=list)
    rulings: list[float] = field(default_factory=list)
    errors: Counter[str] = field(default_factory=Counter)

    def report(self) -> dict[str, object]:
        return {
            "requests": len(self.seconds), "rulings": len(self.rulings), "median": share(self.seconds, 0.5),
            "slow": share(self.seconds, 0.95), "slowest": max(self.seconds, default=0.0),
            "median_ruling": share(self.rulings, 0.5), "errors": dict(self.errors),
        }  # fmt: skip


def share(values: list[float], part: float) -> float:
    return sorted(values)[int(part * (len(values) - 1))] if values else 0.0


async def ask(client: httpx.AsyncClient, tally: Tally, method: str, path: str, data: dict[str, str]) -> httpx.Response:
    """One request; anything but an answer below 400 is an error."""
    began = time.perf_counter()
    origin = str(client.base_url).rstrip("/")
    answer = await client.request(method, path, data=data or None, headers={"origin": origin} if data else {})
    took = time.perf_counter() - began
    tally.seconds.append(took)
    if method == "POST":
        tally.rulings.append(took)
    if answer.status_code >= 400:
        tally.errors[f"{answer.status_code} {method} {re.sub(r'[0-9a-f]{16,}', '…', path)}"] += 1
    return answer


async def browse(url: str, figures: list[str], until: float, number: int, tally: Tally) -> None:
    """One client's time."""
    choose = random.Random(number)
    async with httpx.AsyncClient(base_url=url, timeout=LONGEST) as client:
        page = (await ask(client, tally, "GET", "/help", {})).text
        token = page.split('name="csrf" content="')[1].split('"')[0]
        asked = 0
        while asked < LEAST or time.monotonic() < until:
            asked += 1
            try:
                if figures and choose.randrange(RULES_EVERY) == 0:
                    figure = choose.choice(figures)
                    await ask(client, tally, "POST", f"/held/{figure}", {"csrf": token, "decision": "not ours"})
                    await ask(client, tally, "POST", "/held/undo", {"csrf": token})
                elif figures and choose.randrange(2):
                    await ask(client, tally, "GET", f"/held/{choose.choice(figures)}", {})
                else:
                    await ask(client, tally, "GET", choose.choice(SCREENS), {})
            except httpx.HTTPError as error:
                tally.errors[type(error).__name__] += 1
            await asyncio.sleep(choose.random() * THINKS)


async def browse_together(url: str, figures: list[str], clients: int, seconds: float) -> Tally:
    """All of them, from the same moment on. `figures` are ids of held ones."""
    tally, until = Tally(), time.monotonic() + seconds
    await asyncio.gather(*(browse(url, figures, until, number, tally) for number in range(clients)))
    return tally


def run(folder: Path, clients: int, seconds: float) -> dict[str, object]:
    """A server of its own process over the fixtures, and the clients in this one."""
    from halfinch.catalogue import store
    from halfinch.work.importing import Options, import_paths

    catalogue = folder / "shop.duckdb"
    import_paths(catalogue, [ROOT / "fixtures"], Options())
    (figures,) = store.read_frames(catalogue, "current_figures")
    held = [str(one) for one in figures[figures["status"] == "held"]["figure_id"]]
    command = [sys.executable, "-m", "halfinch", "serve", "--catalogue", str(catalogue), "--bodies",
               str(ROOT / "fixtures" / "demo" / "bodies"), "--port", "0"]  # fmt: skip
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout is not None
            url = server.stdout.readline().split(" at ")[1].strip().rstrip("/")
            wait_for(url)
            tally = asyncio.run(browse_together(url, held, clients, seconds))
        finally:
            server.terminate()
    return {"clients": clients, "for": seconds, "figures": len(figures), **tally.report()}


def wait_for(url: str) -> None:
    until = time.monotonic() + 30
    while True:
        try:
            httpx.get(f"{url}/help", timeout=30)
            return
        except httpx.ConnectError:
            if time.monotonic() > until:
                raise
            time.sleep(0.05)


def main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--clients", type=int, default=50)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--output", type=Path, default=ROOT / "build" / "clients.json")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        record = run(Path(folder), options.clients, options.seconds)
    print("{clients} clients for {for:g} s: {requests} answers, {rulings} of them to rulings; seconds by the clock: "
          "median {median:.2f}, 19 of 20 within {slow:.2f}, slowest {slowest:.2f}; "
          "a ruling {median_ruling:.2f}".format(**record))  # fmt: skip
    print(f"errors: {record['errors'] or 'none'}")
    options.output.parent.mkdir(parents=True, exist_ok=True)
    options.output.write_text(json.dumps(record, indent=2) + "\n", encoding="utf-8")
    return 1 if record["errors"] else 0


if __name__ == "__main__":
    sys.exit(main())
