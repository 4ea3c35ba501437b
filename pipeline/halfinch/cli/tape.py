"""`halfinch tape`: figures taken off real pairs, and what became of them."""

from __future__ import annotations

import getpass
import json
from decimal import Decimal
from pathlib import Path

import click

from halfinch.cli.options import catalogue_option, json_option, schemas_option, wait_option
from halfinch.errors import UsageError


@click.group("tape")
def command() -> None:
    """The tape book: figures taken off real pairs, and what became of them; never whose pair it was.

    From three pairs of a merchant on, plans reckon with how his pairs differ from his sheets, and say so. What a sheet
    states is never written over.

    \b
      halfinch tape add "Larkrise Straight" --size 30 --point inseam="30 3/8 in" --state washed -c shop.duckdb
      halfinch tape add "Larkrise Straight" --size 30 --outcome "returned: rise too low" -c shop.duckdb
      halfinch tape learned -c shop.duckdb
      halfinch tape plot -c shop.duckdb --output tape.html
    """


@command.command("add")
@click.argument("garment")
@catalogue_option
@click.option("--size", required=True, help="The size on the label.")
@click.option("--length", default="", help="petite, regular, tall ...; none where the label has none.")
@click.option("--point", "points", multiple=True, metavar="POINT=LENGTH", help='Such as inseam="30 3/8 in"; repeat it.')
@click.option("--state", type=click.Choice(["washed", "unwashed"]), default=None, help="As it was when it was taped.")
@click.option("--outcome", default="", help='kept, or returned with the reason: "returned: rise too low".')
@click.option("--finished", default="", help="The inseam it was hemmed to.")
@click.option("--note", default="", help="Anything else about the pair (nothing about the person).")
@click.option("--by", default="", help="Who taped. [default: you]")
@wait_option
def add(
    garment: str, catalogue: Path, size: str, length: str, points: tuple[str, ...], state: str | None, outcome: str,
    finished: str, note: str, by: str, wait: float,
) -> None:  # fmt: skip
    """Record one pair: girths all the way round, each with its unit."""
    from halfinch.catalogue.tapes import FINISHED, Taped, add_taped
    from halfinch.fit.matching import choose_garment
    from halfinch.fit.sizes import open_sizes
    from halfinch.knowledge import load

    with open_sizes(catalogue, load(), wait=wait, taped=False) as sizes:
        rows = choose_garment(sizes, garment)
    ids = list(dict.fromkeys(rows["garment_id"]))
    if len(ids) > 1:
        raise UsageError(f"{garment!r} names {len(ids)} garments; name the merchant or the code too.")
    known = {(str(row["size"]), str(row["length"])) for row in rows.to_dict("records")}
    if (size, length) not in known:
        there = ", ".join(" ".join(part for part in pair if part) for pair in sorted(known))
        raise UsageError(f"{garment} has no size {' '.join([size, length]).strip()!r}; the catalogue holds: {there}.")
    inches = dict(_read_point(text) for text in points)
    if finished:
        inches[FINISHED] = _read_length("finished", finished)
    taped = Taped(ids[0], size, length, inches, state or "", outcome, by or getpass.getuser(), note)
    count = add_taped(catalogue, taped, wait)
    click.echo(f"{count} figure{'s' if count != 1 else ''} taped{f', {outcome}' if outcome else ''}.")


@command.command("list")
@catalogue_option
@json_option
@wait_option
def list_(catalogue: Path, as_json: bool, wait: float) -> None:
    """Every entry beside what the sheet states."""
    from halfinch.catalogue import store
    from halfinch.catalogue.tapes import read_taped
    from halfinch.present.tape import tape_lines

    with store.reading(catalogue, wait) as connection:
        book = read_taped(connection)
    if as_json:
        click.echo(book.to_json(orient="records", date_format="iso"))
        return
    for line in tape_lines(book):
        click.echo(line)


@command.command("learned")
@catalogue_option
@schemas_option
@json_option
@wait_option
def learned(catalogue: Path, schemas: Path | None, as_json: bool, wait: float) -> None:
    """By merchant and point: pairs, mean difference (taped less stated), drawn towards none while there are few."""
    from dataclasses import asdict

    from halfinch.catalogue import store
    from halfinch.catalogue.tapes import read_taped
    from halfinch.fit.tape import learn_offsets
    from halfinch.knowledge import load
    from halfinch.present.tape import offset_lines

    with store.reading(catalogue, wait) as connection:
        book = read_taped(connection)
    offsets = learn_offsets(book, load(schemas))
    if as_json:
        click.echo(json.dumps([asdict(offset) for offset in offsets], ensure_ascii=False, indent=2))
        return
    for line in offset_lines(offsets):
        click.echo(line)


@command.command("remove")
@click.argument("entry")
@catalogue_option
@wait_option
def remove(entry: str, catalogue: Path, wait: float) -> None:
    """Take an ENTRY out that was a mistake, by its id (see `halfinch tape list`)."""
    from halfinch.catalogue.tapes import remove_taped

    remove_taped(catalogue, entry, wait)
    click.echo("removed.")


@command.command("plot")
@catalogue_option
@click.option(
    "--output", "-o", type=click.Path(path_type=Path, dir_okay=False), required=True, help="The page to write."
)
@click.option("--unit", type=click.Choice(["in", "cm"]), default="in", show_default=True)
@schemas_option
@wait_option
def plot(catalogue: Path, output: Path, unit: str, schemas: Path | None, wait: float) -> None:
    """Taped against stated as a page: a line for each merchant and point, a mark for each pair."""
    from halfinch.catalogue import store
    from halfinch.catalogue.files import write_whole
    from halfinch.catalogue.tapes import read_taped
    from halfinch.fit.tape import learn_offsets
    from halfinch.knowledge import load
    from halfinch.present.papers import render
    from halfinch.present.tape import tape_page
    from halfinch.present.wording import load_wording

    with store.reading(catalogue, wait) as connection:
        book = read_taped(connection)
    say = load_wording("en", unit)  # type: ignore[arg-type]
    write_whole(output, render("tape", tape_page(book, learn_offsets(book, load(schemas)), say), say))
    click.echo(f"{output}: written.", err=True)


def _read_point(text: str) -> tuple[str, Decimal]:
    from halfinch.catalogue.tables import POINTS

    name, sign, length = text.partition("=")
    point = name.strip().replace(" ", "_")
    garment = [known for known in POINTS if not known.startswith(("body_", "label_"))]
    if not sign or point not in garment:
        raise UsageError(f"--point {text!r}: write POINT=LENGTH with one of {', '.join(garment)}.")
    return point, _read_length(point, length)


def _read_length(name: str, text: str) -> Decimal:
    from halfinch.fit.measure import MeasureError, read_measure

    try:
        typed = read_measure(text)
    except MeasureError as error:
        raise UsageError(f"{name} {text!r} {error}.") from None
    if typed.high is not None or not 0 < typed.low < 200:
        raise UsageError(f"{name} {text!r} is no measure of a pair of trousers.")
    return (Decimal(typed.low.numerator) / Decimal(typed.low.denominator)).quantize(Decimal("0.000001"))
