"""`halfinch audit`: every figure of a catalogue against the rules."""

from __future__ import annotations

import json
from pathlib import Path

import click

from halfinch.cli.options import catalogue_option, json_option, schemas_option, wait_option


@click.command("audit")
@catalogue_option
@click.option("--page", type=click.Path(path_type=Path, dir_okay=False), help="Write the result as an HTML page.")
@click.option("--output", "-o", type=click.Path(path_type=Path, dir_okay=False), help="Write the result as JSON.")
@json_option
@schemas_option
@wait_option
@click.pass_context
def command(
    ctx: click.Context,
    catalogue: Path,
    page: Path | None,
    output: Path | None,
    as_json: bool,
    schemas: Path | None,
    wait: float,
) -> None:
    """Run the rules of schemas/ over the whole catalogue as a great-expectations suite.

    Exit status 0: every rule holds; 1: at least one is broken. Needs the extra: pip install 'halfinch[audit]'.

    \b
      halfinch audit --catalogue shop.duckdb
      halfinch audit -c shop.duckdb --page audit.html --output audit.json
    """
    from halfinch.catalogue.audit import audit_catalogue, require_engine
    from halfinch.catalogue.files import write_whole
    from halfinch.knowledge import load
    from halfinch.present.audit_page import render_audit

    require_engine()
    audit = audit_catalogue(catalogue, load(schemas), wait=wait)
    record = audit.to_json()
    if page is not None:
        write_whole(page, render_audit(record))
    if output is not None:
        write_whole(output, json.dumps(record, indent=2, ensure_ascii=False) + "\n")
    if as_json:
        click.echo(json.dumps(record, ensure_ascii=False))
    else:
        for check in audit.checks:
            if not check.passed:
                click.echo(f"{check.rule}: {check.broken} of {check.looked_at} ({check.means})")
                for example in check.examples:
                    click.echo(f"  {example}")
        broken = sum(not check.passed for check in audit.checks)
        held = f"{len(audit.checks)} rules over {audit.figures} figures"
        click.echo(f"{held}: every rule holds." if audit.passed else f"{held}: {broken} broken.")
    ctx.exit(0 if audit.passed else 1)
