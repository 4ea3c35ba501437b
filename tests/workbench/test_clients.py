"""Many browsers at once, for a moment: every one gets its answer. `make bench` does it for a minute."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

from tests.bench.clients import LEAST, browse_together

from halfinch.catalogue import store
from halfinch.catalogue.rulings import list_rulings

from .conftest import Server, running

CLIENTS = 50
SECONDS = 3.0


def test_fifty_at_once_all_get_their_answers(demo: Server) -> None:
    (figures,) = store.read_frames(demo.settings.catalogue, "current_figures")
    held = [str(one) for one in figures[figures["status"] == "held"]["figure_id"]]
    # In a thread of its own: Playwright keeps a loop running in this one.
    with running(replace(demo.settings, wait=60)) as patient, ThreadPoolExecutor(1) as thread:
        tally = thread.submit(asyncio.run, browse_together(patient.url, held, CLIENTS, SECONDS)).result()
    assert tally.errors == {}
    assert len(tally.seconds) > LEAST * CLIENTS
    assert {one.state for one in list_rulings(demo.settings.catalogue)} <= {"taken back", "undoing"}
