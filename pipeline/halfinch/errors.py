"""The one family of errors that halfinch raises on purpose.

Each message is one clear sentence: what is wrong, where (file, page, cell) and what to do. Anything else that escapes
is a bug and is meant to be seen.
"""

from __future__ import annotations


class HalfinchError(Exception):
    """Base of every error a person can cause or cure. `exit_status` is what the command line ends with."""

    exit_status = 2


class KnowledgeError(HalfinchError):
    """A file of `schemas/` is wrong: names the file, the line and the key."""


class SheetError(HalfinchError):
    """A sheet cannot be read at all: empty, cut short, encrypted, of an unknown kind. The batch goes on."""

    exit_status = 3


class BodyError(HalfinchError):
    """A body file is wrong. Never quotes a measure: a body's figures are private."""


class CatalogueError(HalfinchError):
    """A catalogue is missing, foreign, locked, older than can be upgraded, or newer than this program."""


class BusyError(CatalogueError):
    """Another program has the catalogue just now; the same call may well succeed a moment later."""


class UsageError(HalfinchError):
    """The command line or a call asks for something that does not exist."""


class MissingExtraError(HalfinchError):
    """A command needs an optional part that is not installed; the message says which to install."""


class RecoveredWarning(UserWarning):
    """A catalogue was opened at its last whole state; the message says what was put aside and what to look after."""
