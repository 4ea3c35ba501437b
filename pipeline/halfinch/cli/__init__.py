"""The command line: parses arguments, calls, prints. Nothing else.

Every command is a module of this package with a click command called `command`; it is imported only when it is used,
so that `halfinch --help` stays instant. To add one: write the module, name it in `COMMANDS`.
"""

from __future__ import annotations

import errno
import importlib
import importlib.util
import os
import sys
import warnings
from typing import NoReturn

import click

from halfinch import __version__
from halfinch.cli.terminal import tame, tame_output
from halfinch.errors import HalfinchError, RecoveredWarning

COMMANDS: dict[str, tuple[str, str]] = {
    "serve": ("halfinch.cli.serve", "Open the workbench: all of this in a browser."),
    "import": ("halfinch.cli.import_", "Read sheets into a catalogue."),
    "read": ("halfinch.cli.read", "Show what the reader sees in one sheet; nothing is stored."),
    "match": ("halfinch.cli.match", "Which garments fit a body, as bought or hemmed."),
    "body": ("halfinch.cli.body", "Make a body file step by step, or check one."),
    "compare": ("halfinch.cli.compare", "Chosen garments side by side with the favourite pair."),
    "wanted": ("halfinch.cli.wanted", "Which figures to look for: a short list to shop with."),
    "tape": ("halfinch.cli.tape", "The tape book: what pairs that arrived measured, and what became of them."),
    "paper": ("halfinch.cli.paper", "Papers to hand out: for client, tailor and merchant, and of one garment."),
    "hem": ("halfinch.cli.hem", "Work out one hem from figures typed in."),
    "export": (
        "halfinch.cli.export",
        "Write tables as CSV, Parquet, JSON Lines, workbook, JSON-LD or data package.",
    ),
    "report": ("halfinch.cli.report", "The catalogue as one page of charts."),
    "query": ("halfinch.cli.query", "Ask the catalogue in SQL: read-only, stopped when it does not end."),
    "rule": ("halfinch.cli.rule", "Decide about a held or wrong figure."),
    "habits": ("halfinch.cli.habits", "What is known of how merchants print, and what rulings speak for."),
    "same": ("halfinch.cli.same", "Styles found again under other spellings or codes, for you to confirm."),
    "diff": ("halfinch.cli.diff", "What changed between two sheets, dates or catalogues, in plain words."),
    "merge": ("halfinch.cli.merge", "Take other catalogues into this one."),
    "reread": ("halfinch.cli.reread", "Read sheets again after program or knowledge changed."),
    "check": ("halfinch.cli.check", "Compare fixtures with their expected figures."),
    "fixture": ("halfinch.cli.fixture", "Make a fixture of a sheet: drafted, corrected by hand, signed."),
    "audit": ("halfinch.cli.audit", "Check every figure of a catalogue against the rules."),
    "compact": ("halfinch.cli.compact", "Join the small files of a lake."),
    "backup": ("halfinch.cli.backup", "Copy a catalogue and read the copy back."),
}
"""Command to its module and the line that `--help` shows, in the order of a day's work."""


NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EROFS)
"""A full disk, a quota, a file that may not grow, a disk that may not be written."""


class LazyGroup(click.Group):
    """A group that knows its commands by name and imports one when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return [name for name, (module, _) in COMMANDS.items() if _exists(module)]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.list_commands(ctx):
            return None
        command = importlib.import_module(COMMANDS[cmd_name][0]).command
        assert isinstance(command, click.Command)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        name = args[0] if args else ""
        if name and not name.startswith("-") and name not in self.list_commands(ctx):
            from difflib import get_close_matches

            near = get_close_matches(name, self.list_commands(ctx), n=1)
            hint = f' Did you mean "{near[0]}"?' if near else ""
            ctx.fail(f'There is no command "{name}".{hint} `halfinch --help` lists them.')
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, COMMANDS[name][1]) for name in self.list_commands(ctx)])


def _exists(module: str) -> bool:
    return importlib.util.find_spec(module) is not None


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="halfinch")
def group() -> None:
    """Suppliers' measurement sheets in, a clean catalogue of exact inches out.

    \b
    A day's work:
      halfinch import sheets/ --catalogue shop.duckdb        read a folder of sheets
      halfinch match ana.toml --catalogue shop.duckdb        what fits Ana, as bought or hemmed
      halfinch export --catalogue shop.duckdb --table sizes  the clean catalogue as CSV

    \b
    Exit status: 0 all well; 2 wrong usage, or a catalogue or body that cannot be used;
    3 a sheet failed or was read partly; 4 figures were held, nothing else.

    `halfinch COMMAND --help` explains a command, with examples.
    """


def main(arguments: list[str] | None = None) -> NoReturn:
    """Runs the command line and ends the process with its exit status."""
    warnings.showwarning = _warn
    tame_output()
    try:
        status = group.main(args=arguments, prog_name="halfinch", standalone_mode=False)
        sys.stdout.flush()
    except HalfinchError as error:
        _complain(str(error))
        status = error.exit_status
    except click.UsageError as error:
        error.show(tame(sys.stderr))
        status = 2
    except click.ClickException as error:
        error.show(tame(sys.stderr))
        status = error.exit_code
    except (click.Abort, KeyboardInterrupt):
        _complain("stopped; what had landed stays, whole sheets only.")
        status = 130
    except BrokenPipeError:
        # Whoever read our output has gone (`| head`): nothing more to say, and nothing to say it to.
        _let_go_of_output()
        status = 141
    except OSError as error:
        if error.errno not in NO_ROOM:
            raise
        _complain(f"{error.filename or 'the output'} cannot be written ({error.strerror}); name another place.")
        status = 2
    try:
        sys.stdout.flush()
    except OSError:  # it has been told
        _let_go_of_output()
    sys.exit(status if isinstance(status, int) else 0)


def _let_go_of_output() -> None:
    """What is left to be written to standard output goes nowhere."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _warn(
    message: Warning | str,
    category: type[Warning],
    filename: str,
    lineno: int,
    file: object = None,
    line: object = None,
) -> None:
    """What a person should know is told as an error is; what libraries say to programmers is not."""
    if issubclass(category, RecoveredWarning):
        _complain(str(message))


def _complain(sentence: str) -> None:
    told = "".join(char if char.isprintable() or char == "\n" else "\ufffd" for char in sentence)
    click.echo(f"halfinch: {told}", err=True)
