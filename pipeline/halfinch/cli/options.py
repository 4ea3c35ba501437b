"""Options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])

CATALOGUE_VARIABLE = "HALFINCH_CATALOGUE"

catalogue_option = click.option(
    "--catalogue",
    "-c",
    required=True,
    envvar=CATALOGUE_VARIABLE,
    type=click.Path(path_type=Path),
    help="The catalogue's file, such as shop.duckdb (or the variable HALFINCH_CATALOGUE).",
)
wait_option = click.option(
    "--wait",
    type=click.FloatRange(min=0),
    default=30.0,
    show_default=True,
    help="Seconds to wait while another program writes the catalogue.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print the result as JSON, for scripts.")
schemas_option = click.option(
    "--schemas",
    type=click.Path(path_type=Path, file_okay=False),
    default=None,
    help="Folder of the knowledge to read with, instead of the one that came with halfinch.",
)
_jobs = click.option(
    "--jobs",
    "-j",
    type=click.IntRange(min=0),
    default=None,
    help="Sheets read at the same time. [default: one a processor; 0 reads in this process]",
)
_limit = click.option(
    "--time-limit",
    type=click.FloatRange(min=0, min_open=True),
    default=120.0,
    show_default=True,
    help="Seconds one file may take; then it fails and the others go on.",
)

_memory = click.option(
    "--memory-limit",
    type=click.IntRange(min=400),
    default=1500,
    show_default=True,
    help="Megabytes a process that reads may take; a file that needs more fails and the others go on.",
)


def reading_options(command: Command) -> Command:
    """--jobs, --time-limit, --memory-limit, --schemas, --wait."""
    for option in (wait_option, schemas_option, _memory, _limit, _jobs):
        command = option(command)
    return command
