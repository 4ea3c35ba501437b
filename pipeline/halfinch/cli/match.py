"""`halfinch match`: which garments fit a body."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from halfinch.cli.options import catalogue_option, schemas_option, wait_option
from halfinch.errors import UsageError

if TYPE_CHECKING:
    from halfinch.fit.sizes import Sizes
    from halfinch.knowledge import Knowledge


@click.command("match")
@click.argument("body", type=click.Path(path_type=Path))
@catalogue_option
@click.option("--format", "form", type=click.Choice(["table", "json"]), default="table", show_default=True)
@click.option("--top", type=click.IntRange(min=1), default=20, show_default=True, help="How many sizes to list.")
@click.option("--garment", default="", help="Only this garment: its style, code or id (needed for a folder of bodies).")
@click.option("--explain", default="", metavar="GARMENT", help="Everything about the best size of this garment.")
@click.option(
    "--estimate",
    is_flag=True,
    help="Reckon sizes and figures that a sheet does not give from those it gives, by grade; each is marked.",
)
@click.option("--shoe", default="", help="Aim the hem at these shoes of the body file. [default: the first]")
@schemas_option
@wait_option
def command(
    body: Path, catalogue: Path, form: str, top: int, garment: str, explain: str, estimate: bool, shoe: str,
    schemas: Path | None, wait: float,
) -> None:  # fmt: skip
    """Rank the clean catalogue for one body: verdict, hem, opening before and after, rise, price, chance, what to ask.

    BODY is a body file (TOML), or a folder of them together with --garment: who can wear this. What an answer shows
    reveals the body it was made for.

    \b
      halfinch match ana.toml --catalogue shop.duckdb
      halfinch match ana.toml -c shop.duckdb --explain "Alder wide" --shoe "block heel"
      halfinch match ana.toml -c shop.duckdb --format json --top 5
      halfinch match clients/ -c shop.duckdb --garment "Alder wide"
    """
    from halfinch.fit.sizes import open_sizes
    from halfinch.knowledge import load

    knowledge = load(schemas)
    if body.is_dir() and not garment:
        raise UsageError(f"{body}: a folder of bodies needs --garment NAME; or name one body file.")
    with open_sizes(catalogue, knowledge, wait=wait, estimate=estimate) as sizes:
        if body.is_dir():
            _show_wearers(body, sizes, garment, form, shoe, knowledge)
        else:
            _show_matches(body, sizes, form, top, garment, explain, shoe, knowledge)


def _show_matches(
    body: Path, sizes: Sizes, form: str, top: int, garment: str, explain: str, shoe: str, knowledge: Knowledge,
) -> None:  # fmt: skip
    from rich.console import Console

    from halfinch.fit import check_body, load_body
    from halfinch.fit.matching import choose_garment, find_matches, match_rows
    from halfinch.fit.records import could_not_judge, plan_record
    from halfinch.present.plans import explain_plan, match_lines, note_lines, summary_lines

    wearer = load_body(body, knowledge)
    for warning in (*wearer.warnings, *check_body(wearer, knowledge)):
        click.echo(f"halfinch: {warning}", err=True)
    count = 1 if explain else top
    if (garment or explain) and sizes.count():
        found = match_rows(choose_garment(sizes, garment or explain), wearer, knowledge, top=count, shoe=shoe)
    else:
        found = find_matches(sizes, wearer, knowledge, top=count, shoe=shoe)
    missing = could_not_judge(found.plans)
    if form == "json":
        _print_json({
            "sizes": found.sizes, "verdicts": dict(found.verdicts), "rest": found.rest,
            "body_file_lacks": missing,
            "checks": list(check_body(wearer, knowledge)), "matches": [plan_record(plan) for plan in found.plans],
        })  # fmt: skip
        return
    console = Console(soft_wrap=False)
    if explain and found.plans:
        console.print(explain_plan(found.plans[0]), soft_wrap=True)
    elif found.plans:
        for line, heading in match_lines(found.plans, console.width):
            click.echo(click.style(line, bold=True) if heading else line)
        click.echo()
        for line in note_lines(found.plans):
            click.echo(line)
    for line in summary_lines(found.sizes, found.verdicts, missing, found.rest):
        click.echo(line)


def _show_wearers(
    folder: Path, sizes: Sizes, garment: str, form: str, shoe: str, knowledge: Knowledge
) -> None:  # fmt: skip
    from rich.console import Console

    from halfinch.fit.matching import choose_garment, load_bodies, who_can_wear
    from halfinch.fit.records import plan_record
    from halfinch.present.plans import note_lines, wearer_lines

    rows = who_can_wear(choose_garment(sizes, garment), load_bodies(folder, knowledge), knowledge, shoe)
    if form == "json":
        _print_json({"wearers": [{"body": name, **plan_record(plan)} for name, plan in rows]})
    else:
        for line in wearer_lines(rows, Console().width):
            click.echo(line)
        for line in note_lines([plan for _, plan in rows]):
            click.echo(line)


def _print_json(content: dict[str, Any]) -> None:
    click.echo(json.dumps(content, ensure_ascii=False, indent=2, allow_nan=False))
