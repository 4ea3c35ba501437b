"""`halfinch paper`: what a shopper hands out: to a client, a tailor, a merchant, and a page of one garment."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from halfinch.cli.options import catalogue_option, schemas_option, wait_option
from halfinch.errors import UsageError

if TYPE_CHECKING:
    from halfinch.fit import Body, Plan
    from halfinch.knowledge import Knowledge

Command = TypeVar("Command", bound=Callable[..., Any])

_output = click.option(
    "--output",
    "-o",
    type=click.Path(path_type=Path, allow_dash=True, dir_okay=False),
    default="-",
    help="The file to write; a name in .txt gives plain text. [default: plain text to the screen]",
)
_unit = click.option("--unit", type=click.Choice(["in", "cm"]), default="in", show_default=True)
_language = click.option("--language", default="en", show_default=True, help="en, de, fr, es, it.")
_name = click.option("--name", default="", help="A name to print on it. [default: none]")
_garments = click.option(
    "--garment",
    "garments",
    multiple=True,
    help="This garment: its style, code or id, with the size if need be. Repeat.",
)
_day = click.option(
    "--date", "day", type=click.DateTime(["%Y-%m-%d"]), default=None, help="The day to print on it. [default: today]"
)
_shoe = click.option("--shoe", default="", help="Aim the hem at these shoes of the body file. [default: the first]")


def paper_options(command: Command) -> Command:
    """The options of every paper."""
    for option in (wait_option, schemas_option, _language, _unit, _output, catalogue_option):
        command = option(command)
    return command


@click.group("paper")
def command() -> None:
    """Papers to hand out, as a page that prints on A4 and Letter, or as plain text for a message.

    \b
      halfinch paper client ana.toml -c shop.duckdb --top 4 -o shortlist.html
      halfinch paper tailor ana.toml -c shop.duckdb --garment "Alder wide" --taped "30 1/4, 30 3/8" -o ticket.html
      halfinch paper merchant hollin-and-thrupp -c shop.duckdb --language fr -o questions.txt
      halfinch paper garment "Alder wide" -c shop.duckdb -o alder.html

    Tailor and merchant get garment figures only: no body, and no name unless you give one.
    """


@command.command("client")
@click.argument("body", type=click.Path(path_type=Path, dir_okay=False))
@paper_options
@_garments
@_shoe
@_name
@click.option("--top", type=click.IntRange(min=1), default=5, show_default=True, help="How many pairs at the most.")
def client(
    body: Path, catalogue: Path, output: Path, unit: str, language: str, garments: tuple[str, ...], shoe: str,
    name: str, top: int, schemas: Path | None, wait: float,
) -> None:  # fmt: skip
    """A client's shortlist with drawings to scale: what fits, as bought or hemmed, then near misses."""
    from halfinch.fit.scene import make_scene
    from halfinch.knowledge import load
    from halfinch.present.papers import client_paper
    from halfinch.present.wording import load_wording

    knowledge, say = load(schemas), load_wording(language, unit)  # type: ignore[arg-type]
    wearer, plans = _plan(body, catalogue, garments, shoe, top, knowledge, wait)
    if not garments:
        plans = [plan for plan in plans if plan.verdict not in ("no", "not known")]
    if not plans:
        raise UsageError("nothing in the catalogue comes near to fitting; see `halfinch match` for why.")
    scenes = [make_scene(plan, wearer, knowledge) for plan in plans]
    _write("client", client_paper(plans, scenes, say, name), say, output, private=True)


@command.command("tailor")
@click.argument("body", type=click.Path(path_type=Path, dir_okay=False))
@paper_options
@_garments
@_shoe
@_name
@_day
@click.option("--taped", default="", help="Inseam taped off this very pair, washed: one figure, or left and right.")
def tailor(
    body: Path, catalogue: Path, output: Path, unit: str, language: str, garments: tuple[str, ...], shoe: str,
    name: str, day: datetime | None, taped: str, schemas: Path | None, wait: float,
) -> None:  # fmt: skip
    """A tailor's ticket: the finished inseam and in which shoes. "Take up so much" only with --taped."""
    from halfinch.fit.ticket import make_ticket, read_taped_inseams
    from halfinch.knowledge import load
    from halfinch.present.papers import tailor_paper
    from halfinch.present.wording import load_wording

    if not garments:
        raise UsageError("name the pair with --garment; a ticket is for pairs that you have.")
    inseams = list(read_taped_inseams(taped, "--taped"))
    if inseams and len(garments) > 1:
        raise UsageError("--taped is of one pair; write a ticket of its own for each.")
    knowledge, say = load(schemas), load_wording(language, unit)  # type: ignore[arg-type]
    _, plans = _plan(body, catalogue, garments, shoe, len(garments), knowledge, wait)
    tickets = [make_ticket(plan, knowledge, inseams, _day_of(day)) for plan in plans]
    _write("tailor", tailor_paper(tickets, say, name), say, output)


@command.command("merchant")
@click.argument("merchant")
@paper_options
@_garments
@_name
@_day
def merchant(
    merchant: str, catalogue: Path, output: Path, unit: str, language: str, garments: tuple[str, ...], name: str,
    day: datetime | None, schemas: Path | None, wait: float,
) -> None:  # fmt: skip
    """An enquiry that lists exactly the missing and the held figures, in the merchant's language."""
    from halfinch.fit.enquiry import find_enquiries
    from halfinch.present.papers import merchant_paper
    from halfinch.present.wording import load_wording

    say = load_wording(language, unit)  # type: ignore[arg-type]
    found = find_enquiries(catalogue, merchant, garments, wait=wait)
    if not found:
        click.echo(f"Nothing to ask {merchant}: no figure is missing or held.", err=True)
        return
    _write("merchant", merchant_paper(found, say, name, _day_of(day)), say, output)


@command.command("garment")
@click.argument("garment")
@paper_options
def garment(
    garment: str, catalogue: Path, output: Path, unit: str, language: str, schemas: Path | None, wait: float
) -> None:
    """A page of one garment: every size, what was held, and the sheets it stands on."""
    from halfinch.knowledge import load
    from halfinch.present.papers import read_garment
    from halfinch.present.wording import load_wording

    say = load_wording(language, unit)  # type: ignore[arg-type]
    _write("garment", read_garment(catalogue, garment, load(schemas), say, wait=wait), say, output)


def _plan(
    body: Path, catalogue: Path, garments: tuple[str, ...], shoe: str, top: int, knowledge: Knowledge, wait: float
) -> tuple[Body, list[Plan]]:
    """The best size of each garment named, in that order; the best of all where none is named."""
    from halfinch.fit import check_body, load_body
    from halfinch.fit.matching import find_plans
    from halfinch.fit.sizes import open_sizes

    wearer = load_body(body, knowledge)
    for warning in (*wearer.warnings, *check_body(wearer, knowledge)):
        click.echo(f"halfinch: {warning}", err=True)
    with open_sizes(catalogue, knowledge, wait=wait) as sizes:
        if not sizes.count():
            raise UsageError(f"{catalogue}: holds no sizes with clean figures yet; import sheets first.")
        return wearer, find_plans(sizes, wearer, garments, knowledge, top=top, shoe=shoe)


def _day_of(day: datetime | None) -> date:
    return day.date() if day is not None else date.today()


def _write(kind: str, facts: dict[str, Any], say: Any, output: Path, *, private: bool = False) -> None:
    from halfinch.catalogue.files import write_whole
    from halfinch.present.papers import render

    to_screen = str(output) == "-"
    text = render(kind, facts, say, "txt" if to_screen or output.suffix.lower() == ".txt" else "html")
    if to_screen:
        click.echo(text, nl=False)
        return
    write_whole(output, text, private=private)
    click.echo(f"{output}: written.", err=True)
    if private:
        click.echo("This paper shows what was measured on a person: keep it private.", err=True)
