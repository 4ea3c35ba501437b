"""What a running workbench knows: its settings, its secret, its templates, its handles."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cached_property
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.workbench.demo import demo_folder
from halfinch.workbench.handles import Handles
from halfinch.workbench.jobs import Jobs
from halfinch.workbench.pictures import Pictures
from halfinch.workbench.settings import Settings
from halfinch.workbench.sittings import Sittings

if TYPE_CHECKING:
    import jinja2

    from halfinch.fit.choices import Choices
    from halfinch.fit.kinds import KeptClasses
    from halfinch.knowledge import Knowledge


@dataclass(eq=False)
class Desk:
    """One per server. What a screen keeps between requests, and in no file, is a field of its own here."""

    settings: Settings
    secret: bytes = field(default_factory=lambda: secrets.token_bytes(32), repr=False)
    bodies: Handles[Path] = field(default_factory=Handles)
    """Body files by handle."""
    sittings: Sittings = field(default_factory=Sittings)
    _choices: tuple[object, Choices] | None = field(default=None, repr=False)
    """With the moment at which the catalogue's file was written."""

    @cached_property
    def jobs(self) -> Jobs:
        return Jobs(self.settings)

    @cached_property
    def pictures(self) -> Pictures:
        return Pictures(self.catalogue, self.settings.wait)

    shortlists: dict[str, list[str]] = field(default_factory=dict, repr=False)
    """Handle of a body to the pairs kept for it, until the server stops."""

    def kept(self, handle: str) -> list[str]:
        """The pairs on a wearer's shortlist, in the order in which they were put there."""
        return list(self.shortlists.get(handle, ()))

    def keep(self, handle: str, pair: str) -> None:
        """Puts a pair on the shortlist, or takes it off."""
        pairs = self.shortlists.setdefault(handle, [])
        if pair in pairs:
            pairs.remove(pair)
        else:
            pairs.append(pair)

    @cached_property
    def classes(self) -> KeptClasses:
        """What the wearers who were matched last ask of each kind of garment."""
        from halfinch.fit.kinds import KeptClasses

        return KeptClasses()

    @property
    def catalogue(self) -> Path:
        return self.settings.catalogue

    @contextmanager
    def reading(self) -> Iterator[None]:
        """Keeps the catalogue open while several things are read of it, instead of opening it for each. Nothing may be
        written inside."""
        from halfinch.catalogue import store

        with store.reading(self.catalogue, self.settings.wait):
            yield

    @property
    def is_empty(self) -> bool:
        """True until the first import has made the catalogue's file."""
        return not self.catalogue.exists()

    @property
    def has_demo(self) -> bool:
        """Whether the demo's sheets came with the program."""
        return demo_folder() is not None

    @property
    def choices(self) -> Choices:
        """What there is to choose from in the catalogue as it is now; asked for again once the file has changed."""
        from halfinch.catalogue.store import written_at
        from halfinch.fit.choices import find_choices

        written = written_at(self.catalogue)
        if self._choices is None or self._choices[0] != written:
            self._choices = (written, find_choices(self.catalogue, wait=self.settings.wait))
        return self._choices[1]

    @cached_property
    def templates(self) -> jinja2.Environment:
        from jinja2 import Environment, PackageLoader, StrictUndefined

        loader = PackageLoader("halfinch.workbench")
        return Environment(loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True,
                           lstrip_blocks=True)  # fmt: skip

    @cached_property
    def knowledge(self) -> Knowledge:
        from halfinch import knowledge

        return knowledge.load(self.settings.schemas)

    @cached_property
    def static_version(self) -> str:
        """Digest of all static files: their addresses change with them, so a browser may keep them for good."""
        folder = files("halfinch.workbench") / "static"
        parts = sorted((entry.name, entry.read_bytes()) for entry in folder.iterdir() if entry.is_file())
        return hashlib.sha256(b"".join(name.encode() + data for name, data in parts)).hexdigest()[:12]

    def sign(self, *parts: str) -> str:
        """What only this server can make of these words; never the secret itself."""
        return hmac.new(self.secret, "\0".join(parts).encode(), "sha256").hexdigest()

    def csrf_token(self, session: str) -> str:
        return self.sign("csrf", session)

    @property
    def entry_key(self) -> str:
        """What the cookie of a browser holds that has shown the token."""
        return self.sign("entry", self.settings.token)
