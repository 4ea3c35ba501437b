"""`halfinch habits`: what is known of how merchants print, and what rulings speak for."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import click

from halfinch.cli.options import catalogue_option, json_option, wait_option


@click.command("habits")
@catalogue_option
@click.option("--adopt", default="", metavar="MERCHANT", help="Write what is offered for this merchant into the file.")
@click.option("--only", default="", metavar="KEY", help="With --adopt: this habit alone (unit, convention.thigh ...).")
@json_option
@wait_option
def command(catalogue: Path, adopt: str, only: str, as_json: bool, wait: float) -> None:
    """Habits of merchants (`merchants.toml` beside the catalogue), and those that rulings speak for.

    A habit says what a merchant's sheets leave out: the unit, flat or round, what "rise" means, the tolerance, the knee
    line. It settles what suits alike, and is named where it did. When three rulings or more of one merchant answer the
    same question in the same way, the habit is offered; it is written down only when you adopt it.

    \b
      halfinch habits -c shop.duckdb
      halfinch habits --adopt larkrise -c shop.duckdb && halfinch reread -c shop.duckdb
    """
    from halfinch.catalogue.habit_offers import adopt as adopt_offers
    from halfinch.catalogue.habit_offers import as_toml, find_offers
    from halfinch.catalogue.habits import habits_file, load_habits, strangers
    from halfinch.catalogue.store import read_frames
    from halfinch.errors import UsageError

    if only and not adopt:
        raise UsageError("--only goes with --adopt.")
    if adopt:
        taken = adopt_offers(catalogue, adopt, only, wait)
        click.echo(as_toml(taken))
        click.echo(f"written to {habits_file(catalogue)}; `halfinch reread` reads by them.", err=True)
        return
    habits = load_habits(catalogue)
    offers = find_offers(catalogue, wait)
    (sheets,) = read_frames(catalogue, "current_sheets", wait=wait)
    unknown = strangers(catalogue, habits, sheets["merchant"])
    if as_json:
        content = {
            "in_force": {name: _told(asdict(said)) for name, said in (habits or {}).items()},
            "offers": [{**asdict(one), "by": list(one.by), "toml": one.line} for one in offers],
            "unknown": unknown,
        }
        click.echo(json.dumps(content, ensure_ascii=False, indent=2))
        return
    click.echo(f"In force ({habits_file(catalogue)}): {', '.join(habits or ()) or 'none'}.")
    for sentence in unknown:
        click.echo(sentence)
    if offers:
        click.echo("Offered, since rulings agree (`halfinch habits --adopt MERCHANT` writes them down):")
        click.echo(as_toml(offers))
    else:
        click.echo("Nothing is offered.")


def _told(said: dict[str, object]) -> dict[str, object]:
    """Only what is known; exact numbers as texts."""
    found: dict[str, object] = {}
    for name, value in said.items():
        inner = _told(value) if isinstance(value, dict) else str(value or "")
        if inner:
            found[name] = inner
    return found
