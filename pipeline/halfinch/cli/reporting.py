"""How an import or a rereading is told: a line per sheet, what is held and why, or all of it as JSON."""

from __future__ import annotations

import contextlib
import json
import sys
from collections.abc import Iterator
from dataclasses import asdict
from itertools import groupby
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from pathlib import Path

    from halfinch.catalogue.summary import HeldFigure, SheetLine
    from halfinch.work.importing import Progress, Report

HELD_SHOWN = 20
PRINTED_SHOWN = 6
SHEETS_SHOWN = 60
DIFFERING_SHOWN = 5


@contextlib.contextmanager
def progress_bar(words: str, *, quiet: bool) -> Iterator[Progress | None]:
    """A bar on the terminal (on standard error); nothing where nobody would see it."""
    if quiet or not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
    from rich.progress import Progress as Bar

    columns = (
        TextColumn(words),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
        TextColumn("{task.fields[at]}"),
    )
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        job = bar.add_task(words, total=None, at="")

        def step(done: int, total: int, name: str) -> None:
            bar.update(job, completed=done, total=total, at=name[-40:])

        yield step


def report_as_json(report: Report, **more: Any) -> str:
    """{"sheets": [...], "held": [...], "differing": [...], "unchanged", "stale", "exit_status"}"""
    content = {
        "sheets": [asdict(line) for line in report.lines],
        "held": [{**asdict(figure), "inches": float(figure.inches)} for figure in report.held],
        "differing": [{"sheet": sheet, "rule": rule, "message": said} for sheet, rule, said in report.differing],
        "unchanged": report.unchanged,
        "stale": report.stale,
        "exit_status": report.exit_status,
        **more,
    }
    return json.dumps(content, ensure_ascii=False, indent=2)


def print_report(report: Report, *, everything: bool) -> None:
    """The sheets as a table, then what failed, then the held figures with their reasons."""
    if report.lines:
        _print_sheets(report.lines, everything=everything)
    _print_held(report.held, everything=everything)
    _print_differing(report.differing, everything=everything)
    click.echo()
    click.echo(_in_one_line(report))
    if report.stale:
        click.echo(
            f"{_count(report.stale, 'reading')} made by another version of the program, its knowledge or the habits; "
            "`halfinch reread` makes new ones and shows what differs."
        )


def _print_sheets(lines: tuple[SheetLine, ...], *, everything: bool) -> None:
    shown = lines if everything or len(lines) <= SHEETS_SHOWN else _worth_showing(lines)
    head = ("sheet", "outcome", "garments", "accepted", "assumed", "held")
    rows = [
        (line.sheet, line.outcome, *(str(n) for n in (line.garments, line.accepted, line.assumed, line.held)))
        for line in shown
    ]
    widths = [max(len(row[at]) for row in [head, *rows]) for at in range(len(head))]
    for row, message in zip([head, *rows], ["", *(line.message for line in shown)], strict=True):
        cells = [f"{cell:<{width}}" for cell, width in zip(row[:2], widths[:2], strict=True)]
        cells += [f"{cell:>{width}}" for cell, width in zip(row[2:], widths[2:], strict=True)]
        click.echo(("  ".join(cells) + (f"  {message}" if message else "")).rstrip())
    if len(shown) < len(lines):
        click.echo(
            f"... and {_count(len(lines) - len(shown), 'sheet')} read whole with nothing held; --all shows them."
        )


def _worth_showing(lines: tuple[SheetLine, ...]) -> list[SheetLine]:
    return [line for line in lines if line.outcome in ("failed", "scanned", "partly") or line.held]


def _print_held(held: tuple[HeldFigure, ...], *, everything: bool) -> None:
    """By sheet and reason: one line for all figures that are held for the same reason."""
    if not held:
        return
    click.echo()
    click.echo("Held, a person has to look:")
    groups = [(key, list(figures)) for key, figures in groupby(held, key=_why)]
    shown = groups if everything else groups[:HELD_SHOWN]
    sheet = ""
    for (at, point, reason), figures in shown:
        if at != sheet:
            sheet = at
            click.echo(f"  {sheet}")
        click.echo(f"    {point.replace('_', ' ')} {_printed(figures)}: {reason}")
        for figure in figures if everything else ():
            of = " ".join(part for part in (figure.style, figure.size, figure.length) if part)
            click.echo(f'      {figure.figure_id}  {figure.place}  "{figure.raw}"  {of}'.rstrip())
    left = sum(len(figures) for _, figures in groups[len(shown) :])
    if left:
        click.echo(f"  ... and {_count(left, 'figure')} more; --all shows them and the ids for `halfinch rule`.")


def _print_differing(differing: tuple[tuple[str, str, str], ...], *, everything: bool) -> None:
    """What two sheets tell differently of one style: an old sheet, another cut, or another seller."""
    if not differing:
        return
    click.echo()
    click.echo("Told differently on two sheets, worth a look:")
    shown = differing if everything else differing[:DIFFERING_SHOWN]
    for sheet, _, message in shown:
        click.echo(f"  {sheet}: {message}")
    if len(shown) < len(differing):
        click.echo(f"  ... and {len(differing) - len(shown)} more; --all shows them, as does the export of findings.")


def _why(figure: HeldFigure) -> tuple[str, str, str]:
    return (figure.sheet, figure.point, reason_of(figure))


def reason_of(figure: HeldFigure) -> str:
    """Why a figure is held and what would settle it, as one piece of plain words."""
    parts = [part.strip().rstrip(".") for part in (*figure.reasons, figure.suggestion) if part.strip()]
    return "; ".join(dict.fromkeys(parts)) + "."


def _printed(figures: list[HeldFigure]) -> str:
    """What stands there, and where: all of a few, the first of many."""
    first = figures[0]
    texts = [f'"{figure.raw}"' for figure in figures[:PRINTED_SHOWN]]
    more = f" and {len(figures) - PRINTED_SHOWN} more" if len(figures) > PRINTED_SHOWN else ""
    of = " ".join(part for part in (first.style, f"size {first.size}" if first.size else "", first.length) if part)
    told = f" of {of}" if of and len(figures) == 1 else ""
    return f"{', '.join(texts)}{more}{told} ({first.place}{' on' if len(figures) > 1 else ''})"


def tell_habits(catalogue: Path, wait: float) -> None:
    """On standard error: merchants of the habits' file that the catalogue does not know, and habits that rulings
    speak for."""
    from halfinch.catalogue.habit_offers import as_toml, find_offers
    from halfinch.catalogue.habits import load_habits, strangers
    from halfinch.catalogue.store import read_frames

    if not catalogue.exists():
        return
    if (habits := load_habits(catalogue)) is not None:
        (sheets,) = read_frames(catalogue, "current_sheets", wait=wait)
        for sentence in strangers(catalogue, habits, sheets["merchant"]):
            click.echo(sentence, err=True)
    if offers := find_offers(catalogue, wait):
        click.echo("Rulings agree; this could be put down as a habit (`halfinch habits --adopt MERCHANT`):", err=True)
        click.echo(as_toml(offers), err=True)


def _in_one_line(report: Report) -> str:
    lines = report.lines
    words = {
        "read": "read",
        "partly": "read partly",
        "nothing": "without figures of ours",
        "scanned": "scanned, without text",
        "failed": "failed",
    }
    kinds = {kind: sum(line.outcome == kind for line in lines) for kind in words}
    told = ", ".join(f"{number} {words[kind]}" for kind, number in kinds.items() if number) or "none"
    accepted, assumed, held = (sum(getattr(line, name) for line in lines) for name in ("accepted", "assumed", "held"))
    known = f" ({_count(report.unchanged, 'file')} known already)" if report.unchanged else ""
    return (
        f"{_count(len(lines), 'sheet')}: {told}{known}. "
        f"{_count(accepted + assumed + held, 'figure')}: {accepted} accepted, {assumed} assumed, {held} held."
    )


def _count(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"
