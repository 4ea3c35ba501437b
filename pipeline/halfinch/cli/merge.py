"""`halfinch merge`: other catalogues come into this one."""

from __future__ import annotations

from pathlib import Path

import click

from halfinch.cli.options import catalogue_option, json_option, wait_option
from halfinch.errors import UsageError

SHOWN = 5


@click.command("merge")
@click.argument("others", nargs=-1, required=True, type=click.Path(path_type=Path))
@catalogue_option
@click.option("--newer", is_flag=True, help="Of two sheets at one source the one imported later is in force.")
@click.option("--under", default="", help="A name for the other's sources to stand under, so that both stay.")
@json_option
@wait_option
def command(
    others: tuple[Path, ...], catalogue: Path, newer: bool, under: str, as_json: bool, wait: float
) -> None:  # fmt: skip
    """Take other catalogues into this one: sheets, readings, rulings, taped pairs and the kept bytes.

    What both have is one, and merging twice is merging once. The others stay as they are. Rulings of both are applied
    to the sheets of both. Where both have a sheet at one source, and not the same one, the sheet that either catalogue
    has seen take the other's place is the newer; where neither has, nothing is merged until --newer or --under is said.
    `halfinch diff OTHER shop.duckdb` tells beforehand what differs.

    \b
      halfinch merge branch.duckdb --catalogue shop.duckdb
      halfinch merge ana.duckdb --under ana -c shop.duckdb
    """
    import json
    from dataclasses import asdict

    from halfinch.catalogue.merging import merge

    if under and len(others) > 1:
        raise UsageError("--under names the sources of one catalogue; merge the others by themselves.")
    merged = {str(other): merge(catalogue, other, under=under, newer=newer, wait=wait) for other in others}
    if as_json:
        click.echo(json.dumps({name: asdict(one) for name, one in merged.items()}, ensure_ascii=False, indent=2))
        return
    for name, one in merged.items():
        told = ", ".join(
            f"{number:,} {word}{'' if number == 1 else 's'}"
            for number, word in (
                (one.sheets, "sheet"), (one.readings, "reading"), (one.figures, "figure"), (one.rulings, "ruling"),
                (one.taped, "taped figure"),
            )
        )  # fmt: skip
        click.echo(f"{name}: {told} new.")
        for sources, words in ((one.taken_over, "is the newer sheet there"), (one.kept, "is older than ours there")):
            if sources:
                more = f" and {len(sources) - SHOWN} more" if len(sources) > SHOWN else ""
                click.echo(f"  {', '.join(sources[:SHOWN])}{more}: {name} {words}.")
