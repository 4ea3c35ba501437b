"""A Dask cluster of processes of this machine, started as a person starts one, to be killed by tests."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

from distributed import Client

ROOT = Path(__file__).parents[2]
START = 60.0
QUIET = {
    "DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES": "1",
    "DASK_DISTRIBUTED__COMM__TIMEOUTS__CONNECT": "5s",
    "DASK_DISTRIBUTED__ADMIN__TICK__LIMIT": "1h",
    "DASK_LOGGING__DISTRIBUTED": "critical",
}


class Dask:
    """A scheduler and its workers, one thread each, on loopback."""

    def __init__(self, workers: int, folder: Path) -> None:
        self.workers, self.nothing = workers, folder
        (folder / "halfinch").mkdir()
        (folder / "halfinch" / "__init__.py").write_text("raise ImportError\n", encoding="utf-8")
        self._running: list[subprocess.Popen[bytes]] = []
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]

    @property
    def address(self) -> str:
        return f"dask://127.0.0.1:{self.port}"

    def __enter__(self) -> Dask:
        self._start()
        return self

    def __exit__(self, *error: object) -> None:
        self._stop()

    def _start(self) -> None:
        where = f"tcp://127.0.0.1:{self.port}"
        self._run("dask_scheduler", "--host", "127.0.0.1", "--port", str(self.port), "--no-dashboard", "--no-show")
        options = ("--nthreads", "1", "--no-dashboard", "--host", "127.0.0.1", "--memory-limit", "0")
        self._run("dask_worker", where, "--nworkers", str(self.workers), *options)
        self.wait()

    def _run(self, module: str, *arguments: str) -> None:
        """A scheduler needs no halfinch, and finds none."""
        ours = os.pathsep.join([str(ROOT / "pipeline"), str(ROOT / "tests"), str(ROOT)])
        paths = str(self.nothing) if module == "dask_scheduler" else ours
        self._running.append(
            subprocess.Popen(
                [sys.executable, "-m", f"distributed.cli.{module}", *arguments],
                env={**os.environ, **QUIET, "PYTHONPATH": paths},
                cwd="/tmp",
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
            )
        )

    def wait(self) -> None:
        """Until every worker is there."""
        until = time.monotonic() + START
        while time.monotonic() < until:
            try:
                with Client(f"tcp://127.0.0.1:{self.port}", timeout=2, set_as_default=False) as client:
                    client.wait_for_workers(self.workers, timeout=START)
                    return
            except OSError:
                time.sleep(0.1)
        raise TimeoutError("the cluster does not start")

    def worker_processes(self) -> list[int]:
        self.wait()
        with Client(f"tcp://127.0.0.1:{self.port}", set_as_default=False) as client:
            return sorted(client.run(os.getpid).values())

    def kill_worker(self) -> int:
        """kill -9 for one worker; its nanny starts another one."""
        process = self.worker_processes()[0]
        os.kill(process, signal.SIGKILL)
        return process

    def restart(self) -> bool:
        """kill -9 for all of it, and a new one at the same address."""
        self._stop()
        self._start()
        return True

    def _stop(self) -> None:
        for process in self._running:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()
        self._running.clear()
