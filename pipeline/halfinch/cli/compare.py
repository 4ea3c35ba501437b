"""`halfinch compare`: chosen garments side by side with the favourite pair."""

from __future__ import annotations

import json
from pathlib import Path

import click

from halfinch.cli.options import catalogue_option, schemas_option, wait_option


@click.command("compare")
@click.argument("body", type=click.Path(path_type=Path, dir_okay=False))
@click.argument("garments", nargs=-1, required=True)
@catalogue_option
@click.option("--shoe", default="", help="Aim the hem at these shoes of the body file. [default: the first]")
@click.option("--unit", type=click.Choice(["in", "cm"]), default="in", show_default=True)
@click.option("--format", "form", type=click.Choice(["table", "json"]), default="table", show_default=True)
@schemas_option
@wait_option
def command(
    body: Path, garments: tuple[str, ...], catalogue: Path, shoe: str, unit: str, form: str, schemas: Path | None,
    wait: float,
) -> None:  # fmt: skip
    """Every figure of the best size of each garment, and what it is more or less than the favourite pair's.

    GARMENTS are named as for `match --garment`: the style, its code or id, with the size behind it if need be.

    \b
      halfinch compare ana.toml "Alder wide" "Fenwick straight 30" -c shop.duckdb
    """
    from halfinch.fit import load_body
    from halfinch.fit.comparing import compare_garments
    from halfinch.fit.records import plan_record
    from halfinch.fit.sizes import open_sizes
    from halfinch.knowledge import load
    from halfinch.present.lists import comparison_lines
    from halfinch.present.wording import load_wording

    knowledge = load(schemas)
    wearer = load_body(body, knowledge)
    for warning in wearer.warnings:
        click.echo(f"halfinch: {warning}", err=True)
    with open_sizes(catalogue, knowledge, wait=wait) as sizes:
        found = compare_garments(sizes, garments, wearer, knowledge, shoe=shoe)
    if form == "json":
        rows = {
            point: {"pair": own, "garments": [{"inches": side.inches, "more": side.more} for side in sides]}
            for point, own, sides in found.rows
        }
        record = {"rows": rows, "garments": [plan_record(plan) for plan in found.plans]}
        click.echo(json.dumps(record, indent=2, ensure_ascii=False, allow_nan=False))
        return
    for line in comparison_lines(found, load_wording("en", unit)):  # type: ignore[arg-type]
        click.echo(line)
