"""`halfinch wanted`: which figures to look for, as a short list to shop with."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import click

from halfinch.cli.options import schemas_option


@click.command("wanted")
@click.argument("body", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--silhouette", "silhouettes", multiple=True, help="wide, straight ...; repeat it. [default: her taste]")
@click.option("--shoe", "shoes", multiple=True, help="These shoes of the body file; repeat it. [default: all]")
@click.option("--unit", type=click.Choice(["in", "cm"]), default="in", show_default=True)
@click.option("--format", "form", type=click.Choice(["table", "json"]), default="table", show_default=True)
@schemas_option
def command(
    body: Path, silhouettes: tuple[str, ...], shoes: tuple[str, ...], unit: str, form: str, schemas: Path | None
) -> None:
    """Bands of inseam, rise, opening, waist, hip, thigh and knee for each silhouette and pair of shoes.

    A longer inseam can be taken up; a shorter one cannot be mended. Girths are for cloth that does not stretch. What is
    listed reveals the body it was made for.

    \b
      halfinch wanted ana.toml
      halfinch wanted ana.toml --silhouette wide --shoe "block heel" --unit cm
    """
    from halfinch.fit import check_body, load_body
    from halfinch.fit.wanted import find_wanted
    from halfinch.knowledge import load
    from halfinch.present.lists import wanted_lines
    from halfinch.present.wording import load_wording

    knowledge = load(schemas)
    wearer = load_body(body, knowledge)
    for warning in (*wearer.warnings, *check_body(wearer, knowledge)):
        click.echo(f"halfinch: {warning}", err=True)
    found = find_wanted(wearer, knowledge, silhouettes, shoes)
    if form == "json":
        click.echo(json.dumps([asdict(entry) for entry in found], indent=2, ensure_ascii=False, allow_nan=False))
        return
    for line in wanted_lines(found, load_wording("en", unit)):  # type: ignore[arg-type]
        click.echo(line)
