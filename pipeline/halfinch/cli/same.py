"""`halfinch same`: styles found again under other spellings and codes, and what a person says of them."""

from __future__ import annotations

import getpass
from pathlib import Path

import click

from halfinch.cli.options import catalogue_option, json_option, schemas_option, wait_option
from halfinch.errors import UsageError

SHOWN = 20
SHORTEST = 6


@click.command("same")
@catalogue_option
@click.option("--confirm", metavar="ID", default="", help="These two are one style.")
@click.option("--refuse", metavar="ID", default="", help="These two are not.")
@click.option("--reopen", metavar="ID", default="", help="Take back what was said of these two.")
@click.option("--list", "listing", is_flag=True, help="Show what was decided.")
@click.option("--all", "everything", is_flag=True, help="Show every proposal, not only the surest.")
@click.option("--by", default="", help="Who decided. [default: you]")
@click.option("--why", default="", help="The reason.")
@json_option
@schemas_option
@wait_option
def command(
    catalogue: Path, confirm: str, refuse: str, reopen: str, listing: bool, everything: bool, by: str, why: str,
    as_json: bool, schemas: Path | None, wait: float,
) -> None:  # fmt: skip
    """Propose garments that may be one style under other spellings or codes, at one merchant or at several.

    Each proposal comes with what speaks for it and against it: codes, names, figures that agree, merchant, silhouette,
    fabric. Nothing is merged by itself, and a confirmed pair changes no figure: `style_groups` tells queries which
    garments are one style.

    \b
      halfinch same -c shop.duckdb
      halfinch same -c shop.duckdb --confirm 3f9a1c2e --why "the shop sells them under its own name"
      halfinch query -c shop.duckdb "SELECT * FROM style_groups"
    """
    import json

    from halfinch.catalogue import same_decisions, store
    from halfinch.catalogue.changes import telling_at
    from halfinch.catalogue.same_style import find_proposals, proposal_id
    from halfinch.knowledge import load
    from halfinch.present.same_style import decision_lines, proposal_lines, proposal_record

    said = [(name, word) for name, word in ((confirm, "same"), (refuse, "different"), (reopen, "open")) if name]
    if len(said) > 1:
        raise UsageError("Say one of --confirm, --refuse and --reopen.")
    with store.reading(catalogue, wait) as connection:
        garments = telling_at(connection, str(catalogue)).garments
        decided = same_decisions.in_force(same_decisions.read_decisions(connection))
    if listing:
        for line in decision_lines(decided.values(), garments):
            click.echo(line)
        return
    proposals = find_proposals(garments, load(schemas).same_style, () if said else decided)
    if said:
        ((name, word),) = said
        pairs = {proposal.pair for proposal in proposals} | set(decided)
        near = [pair for pair in pairs if proposal_id(pair).startswith(name)] if len(name) >= SHORTEST else []
        if len(near) != 1:
            raise UsageError(f"There is no proposal {name}; `halfinch same` shows them with their ids.")
        same_decisions.decide(catalogue, near[0], word, by=by or getpass.getuser(), why=why, wait=wait)
        click.echo({"same": "One style.", "different": "Two styles.", "open": "Open again."}[word])
        return
    if as_json:
        click.echo(json.dumps([proposal_record(proposal) for proposal in proposals], ensure_ascii=False, indent=2))
        return
    shown = proposals if everything else proposals[:SHOWN]
    for proposal in shown:
        for line in proposal_lines(proposal):
            click.echo(line)
    if len(shown) < len(proposals):
        click.echo(f"... and {len(proposals) - len(shown):,} more; --all shows them.")
    if not proposals:
        click.echo("No style looks like another one that is not decided about.")
