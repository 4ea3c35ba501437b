"""What a running workbench is told at its start."""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass, field
from pathlib import Path

PORT = 8391
"""Where it listens unless told otherwise."""

LOOPBACK_NAMES = frozenset({"127.0.0.1", "localhost", "::1"})


@dataclass(frozen=True, slots=True)
class Settings:
    """One running server's. `repr` shows no token."""

    catalogue: Path
    bodies: Path
    """Folder of body files; made when the first body is saved."""
    host: str = "127.0.0.1"
    port: int = PORT
    token: str = field(default="", repr=False)
    """What a browser has to show once; '' only on loopback."""
    names: frozenset[str] = frozenset()
    """More host names under which the server may be asked for."""
    by: str = "someone"
    """Who rules, as kept with every ruling."""
    wait: float = 15.0
    """Seconds that a page waits for another program that has the catalogue."""
    schemas: Path | None = None
    jobs: int | None = None
    """Processes that read sheets; None: one a core, 0: none of their own (no page of a PDF is drawn meanwhile)."""
    largest_upload: int = 300_000_000
    """Bytes of one upload, all its files together."""
    largest_form: int = 1_000_000
    """Bytes of any other request."""

    @property
    def loopback(self) -> bool:
        return is_loopback(self.host)

    def knows_host(self, name: str) -> bool:
        """Whether a request may name this host. A name that an attacker's DNS could turn to us is never among them."""
        name = name.strip("[]").lower()
        if self.loopback:
            return name in LOOPBACK_NAMES or is_loopback(name)
        return name in LOOPBACK_NAMES | {self.host.lower()} | self.names or _is_address(name)


def is_loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True
