"""The server itself: uvicorn on one address, without its own log of requests."""

from __future__ import annotations

import logging
import socket
import sys

import uvicorn

from halfinch.errors import UsageError
from halfinch.workbench.app import create_app
from halfinch.workbench.settings import Settings


def bind(host: str, port: int) -> socket.socket:
    """A listening place; port 0 takes any free one. Raises UsageError where it is taken or not ours."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    # Named as TCP, so that asyncio switches Nagle's algorithm off: it would hold every answer back by 40 ms.
    place = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if sys.platform != "win32":
            place.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        place.bind((host, port))
    except OSError as error:
        place.close()
        raise UsageError(
            f"Nothing can listen at {host} port {port} ({error.strerror}); another one is named with --port."
        ) from None
    return place


def make_server(settings: Settings) -> uvicorn.Server:
    """A server that has not begun yet; `run(sockets=[bind(...)])` begins it."""
    config = uvicorn.Config(
        create_app(settings),
        access_log=False,  # it would write whole addresses; the guard writes paths
        log_level="warning",
        server_header=False,
        proxy_headers=False,
        ws="none",
        timeout_graceful_shutdown=3,
    )
    return uvicorn.Server(config)


def serve(settings: Settings, place: socket.socket, *, log: bool = False) -> None:
    """Serves until the process is told to stop."""
    if log:
        logging.basicConfig(format="%(asctime)s %(message)s", datefmt="%H:%M:%S")
        logging.getLogger("halfinch.workbench").setLevel(logging.INFO)
    make_server(settings).run(sockets=[place])
