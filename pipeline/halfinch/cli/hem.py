"""`halfinch hem`: one hem worked out from figures typed in."""

from __future__ import annotations

import json

import click

LENGTH_HELP = "inches unless a unit is named: 31, 31 1/4, 79cm"


@click.command("hem")
@click.option("--inseam", required=True, help=f"The garment's inseam ({LENGTH_HELP}).")
@click.option("--opening", default=None, help="The garment's leg opening, all the way round.")
@click.option("--knee", default=None, help="The garment's knee, all the way round.")
@click.option("--knee-at", default=None, help="Knee line below the crotch seam. [default: usual for the length]")
@click.option("--body-inseam", default=None, help="The wearer's crotch to floor, barefoot.")
@click.option("--crotch-drop", default=None, help="How far below the crotch the seam hangs. [default: 0, and said so]")
@click.option("--knee-height", default=None, help="The wearer's knee above the floor.")
@click.option(
    "--shoe", "shoes", multiple=True, help='A kind of shoe, or "name=lift"; the first is aimed at. Repeat it.'
)
@click.option("--clearance", default=None, help="Floor to back hem in the shoes. [default: usual for the silhouette]")
@click.option("--finished", default=None, help="The finished inseam wanted, in place of body, shoes and clearance.")
@click.option("--turn-up", default=None, help="Depth of a turn-up.")
@click.option("--allowance", default=None, help="Cloth turned up inside the hem, for letting down.")
@click.option("--silhouette", default="", help="wide, flare, boot, straight ... [default: by opening and knee]")
@click.option("--length", default="", help="petite, regular, tall ...: where the knee line usually lies.")
@click.option("--fabric", default="", help='Such as "98% cotton 2% elastane": what it may shrink by.')
@click.option("--state", type=click.Choice(["washed", "unwashed"]), default=None, help="Whether it was washed before.")
@click.option("--format", "form", type=click.Choice(["table", "json"]), default="table", show_default=True)
def command(
    inseam: str, opening: str | None, knee: str | None, knee_at: str | None, body_inseam: str | None,
    crotch_drop: str | None, knee_height: str | None, shoes: tuple[str, ...], clearance: str | None,
    finished: str | None, turn_up: str | None, allowance: str | None, silhouette: str, length: str, fabric: str,
    state: str | None, form: str,
) -> None:  # fmt: skip
    """Work out one hem: what to take up, the opening it leaves, how it hangs in each pair of shoes.

    \b
      halfinch hem --inseam 31 --knee 18 --opening 22 --knee-at 13 \\
                   --body-inseam 27.5in --shoe "block heel" --clearance 1/2
      halfinch hem --inseam 79cm --opening 44cm --knee 36cm --finished "70 cm"
      halfinch hem --inseam 32 --body-inseam 29 --shoe "pump=3 1/4" --shoe loafer --silhouette boot
    """
    from halfinch.fit import plan_hem

    plan = plan_hem(
        inseam, knee=knee, opening=opening, knee_at=knee_at, body_inseam=body_inseam, crotch_drop=crotch_drop,
        knee_height=knee_height, shoes=shoes, clearance=clearance, finished=finished, turn_up=turn_up,
        allowance=allowance, silhouette=silhouette, length=length, fabric=fabric, state=state or "",
    )  # fmt: skip
    if form == "json":
        from halfinch.fit.records import hem_record

        click.echo(json.dumps(hem_record(plan), ensure_ascii=False, indent=2, allow_nan=False))
        return
    from rich.console import Console

    from halfinch.present.plans import explain_hem

    Console().print(explain_hem(plan), soft_wrap=True)
