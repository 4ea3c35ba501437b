"""`halfinch body`: a body file is made step by step, or checked."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from halfinch.cli.options import schemas_option
from halfinch.errors import BodyError

if TYPE_CHECKING:
    from halfinch.fit.survey import Compared
    from halfinch.knowledge import Knowledge


@click.group("body")
def command() -> None:
    """Make and check body files. They are private: mode 600, and nothing of them goes anywhere else.

    \b
      halfinch body new ana.toml
      halfinch body check ana.toml
    """


@command.command("new")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@schemas_option
def new(file: Path, schemas: Path | None) -> None:
    """Ask for each measure, say how it is taken, write FILE. Inches or centimetres; Enter leaves one out.

    What is left out is not known, never 0; `halfinch match` says what it could not judge without it.
    """
    from halfinch.fit.body_text import Answers, body_text, write_body
    from halfinch.knowledge import load

    if file.exists():
        raise BodyError(f"{file}: there is a file already; name another one, or remove it first.")
    knowledge = load(schemas)
    click.echo("Each measure with its unit, such as 27 1/2 in or 70 cm. Enter alone leaves it out.\n")
    name = click.prompt("Whom is it of? (a name for yourself)", default="", show_default=False)
    measures = {}
    for key, row in knowledge.measuring.measure.items():
        click.echo(click.style(f"\n{row.asks}", bold=True))
        click.echo(f"  {row.how}")
        measures[key] = _ask(f"  {key.replace('_', ' ')} (such as {row.example})", key)
    shoes = list(_ask_shoes())
    silhouettes = _ask_silhouettes(knowledge)
    most = _ask("\nWidest leg opening she likes, all the way round (such as 22 in)", "most_opening")
    pairs = list(_ask_pairs([shoe for shoe, _ in shoes]))
    budget = _ask_budget(knowledge)
    write_body(file, body_text(Answers(name, measures, shoes, silhouettes, most, pairs, budget), knowledge))
    click.echo(f"\n{file}: written, for your eyes only. Next: halfinch body check {file}")


@command.command("check")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@schemas_option
@click.pass_context
def check(ctx: click.Context, file: Path, schemas: Path | None) -> None:
    """Compare a body with the survey's and say which measure to take again, and why.

    Exit status 0: nothing to measure again; 4: something looks unlikely. Nothing is refused, nothing corrected.
    """
    from halfinch.fit import check_body, load_body
    from halfinch.fit.survey import compare_body
    from halfinch.knowledge import load

    knowledge = load(schemas)
    body = load_body(file, knowledge)
    for warning in body.warnings:
        click.echo(f"halfinch: {warning}", err=True)
    asked = check_body(body, knowledge)
    for sentence in asked:
        click.echo(sentence)
    told = bool(asked)
    for row in compare_body(body, knowledge):
        if asked and row.again == "inseam" and row.place != "usual":
            continue  # said already, by the sharper rule
        told = told or row.place == "rare"
        click.echo(_say_compared(row))
    lacking = [key.replace("_", " ") for key in knowledge.measuring.measure if not _has(body, key)]
    if lacking:
        click.echo(f"Not in the file, so not judged by: {', '.join(lacking)}.")
    ctx.exit(4 if told else 0)


def _say_compared(row: Compared) -> str:
    pair = f"{row.over.replace('_', ' ')} against {row.under.replace('_', ' ')}"
    side = "low" if row.low else "high"
    if row.place == "usual":
        return f"{pair}: as with nine women in ten."
    if row.place == "seldom":
        return f"{pair}: {side}, as with fewer than one woman in ten; nothing wrong with that."
    again = row.again.replace("_", " ")
    return f"{pair}: {side}, as with fewer than 2 women in 100. Please measure {again} again: {row.because}."


def _has(body: object, key: str) -> bool:
    return getattr(body, key, None) is not None


def _ask(question: str, key: str) -> str:
    from halfinch.fit.body_text import check_answer

    while True:
        answer: str = click.prompt(question, default="", show_default=False).strip()
        wrong = check_answer(key, answer) if answer else ""
        if not wrong:
            return answer
        click.echo(f"  That {wrong}.")


def _ask_shoes() -> Iterator[tuple[str, str]]:
    click.echo(click.style("\nWhich shoes will be worn? The hem is aimed at the first.", bold=True))
    click.echo("  Lift: from the floor to the heel inside the shoe, platform included; flats have one too.")
    while name := click.prompt("  a pair of shoes (Enter: no more)", default="", show_default=False).strip():
        yield name, _ask(f"  lift of {name} (such as 2 1/2 in)", "lift")


def _ask_silhouettes(knowledge: Knowledge) -> list[str]:
    known = tuple(knowledge.silhouettes.silhouette)
    while True:
        answer = click.prompt(f"\nSilhouettes she likes ({', '.join(known)})", default="", show_default=False)
        words = [word.strip().casefold() for word in answer.replace(";", ",").split(",") if word.strip()]
        if strange := [word for word in words if word not in known]:
            click.echo(f"  No silhouette: {', '.join(strange)}.")
            continue
        return words


def _ask_budget(knowledge: Knowledge) -> str:
    from halfinch.fit.body_text import check_budget

    question = "\nMost to be spent on a pair, the tailor included (such as 180 EUR)"
    while answer := click.prompt(question, default="", show_default=False).strip():
        wrong = check_budget(answer, knowledge)
        if not wrong:
            break
        click.echo(f"  That {wrong}.")
    return str(answer)


def _ask_pairs(shoes: list[str]) -> Iterator[dict[str, str]]:
    click.echo(click.style("\nAre there pairs that fit just right? Measure them, the best one first.", bold=True))
    while name := click.prompt("  what do you call it (Enter: no more)", default="", show_default=False).strip():
        pair = {"name": name}
        for key in ("inseam", "front_rise", "leg_opening"):
            pair[key] = _ask(f"  its {key.replace('_', ' ')}", key)
        while shoes:
            worn = click.prompt(
                f"  worn with ({', '.join(shoes)}; Enter: not known)", default="", show_default=False
            ).strip()
            if not worn or worn.casefold() in {shoe.casefold() for shoe in shoes}:
                pair["worn_with"] = worn
                break
            click.echo("  None of the shoes above.")
        pair["clearance"] = _ask("  floor to its back hem in those shoes", "clearance")
        yield pair
