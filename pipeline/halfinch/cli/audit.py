"""`halfinch audit`: every figure of a catalogue against the rules."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from halfinch.cli.options import catalogue_option, json_option, schemas_option, wait_option

if TYPE_CHECKING:
    from halfinch.catalogue.audit.history import Change
    from halfinch.catalogue.audit.run import Audit


@click.command("audit")
@catalogue_option
@click.option("--page", type=click.Path(path_type=Path, dir_okay=False), help="Write the result as one HTML page.")
@click.option("--output", "-o", type=click.Path(path_type=Path, dir_okay=False), help="Write the result as JSON.")
@click.option(
    "--docs",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder of all audits, as pages to browse and JSON. [default: NAME.audits beside the catalogue]",
)
@click.option("--no-docs", is_flag=True, help="Keep nothing of this audit.")
@click.option("--history", is_flag=True, help="List the audits that were kept; run none.")
@json_option
@schemas_option
@wait_option
@click.pass_context
def command(
    ctx: click.Context,
    catalogue: Path,
    page: Path | None,
    output: Path | None,
    docs: Path | None,
    no_docs: bool,
    history: bool,
    as_json: bool,
    schemas: Path | None,
    wait: float,
) -> None:
    """Run the rules of schemas/ over the whole catalogue as great-expectations suites.

    Exit status 0: every rule holds; 1: at least one is broken. Rules that are only worth a look (a gap in a run, a
    copied table, a merchant who drifts from his own past) are told and do not count. Each audit is kept as JSON and as
    pages in a folder beside the catalogue (index.html there). Needs the extra: pip install 'halfinch[audit]'.

    \b
      halfinch audit --catalogue shop.duckdb
      halfinch audit -c shop.duckdb --docs build/audits --output audit.json
      halfinch audit -c shop.duckdb --history
    """
    from halfinch.catalogue.audit.history import folder_beside
    from halfinch.catalogue.audit.run import audit_catalogue, require_engine
    from halfinch.catalogue.files import write_whole
    from halfinch.knowledge import load
    from halfinch.present.audit_page import render_audit

    folder = docs or folder_beside(catalogue)
    if history:
        list_past(folder)
        return
    require_engine()
    audit = audit_catalogue(catalogue, load(schemas), wait=wait)
    record = audit.to_json()
    if page is not None:
        write_whole(page, render_audit(record))
    if output is not None:
        write_whole(output, json.dumps(record, indent=2, ensure_ascii=False) + "\n")
    change = None if no_docs else keep_audit(folder, audit, asked=docs is not None)
    if as_json:
        click.echo(json.dumps(record, ensure_ascii=False))
    else:
        tell(audit, change)
    ctx.exit(0 if audit.passed else 1)


def keep_audit(folder: Path, audit: Audit, *, asked: bool) -> Change | None:
    """Adds the audit to its folder and writes the pages; gives what changed since the one before.

    A folder that was asked for has to be written; beside a catalogue that nobody may write, the audit just is not kept.
    """
    from halfinch.catalogue.audit.history import compare, keep, read_past
    from halfinch.catalogue.files import write_whole
    from halfinch.errors import CatalogueError
    from halfinch.present.audit_page import render_audit, render_index, render_rules

    try:
        name = keep(folder, audit).stem
        past = read_past(folder)
        record = past[-1][1]
        write_whole(folder / f"{name}.html", render_audit(record, linked=True))
        write_whole(folder / "rules.html", render_rules(record))
        write_whole(folder / "index.html", render_index(past))
    except CatalogueError as error:
        if asked:
            raise
        click.echo(f"halfinch: this audit is not kept: {error}", err=True)
        return None
    return compare(past[-2][1] if len(past) > 1 else None, record)


def tell(audit: Audit, change: Change | None) -> None:
    """What is broken and what is worth a look, each with the first rows that broke it."""
    for check in (*audit.broken, *audit.doubtful):
        kind = "" if check.severity == "critical" else "worth a look: "
        click.echo(f"{kind}{check.rule}: {check.broken} of {check.looked_at} ({check.means})")
        for example in check.examples:
            click.echo(f"  {example}")
    if change is not None and (change.broken or change.mended):
        parts = [f"new: {', '.join(change.broken)}"] if change.broken else []
        parts += [f"mended: {', '.join(change.mended)}"] if change.mended else []
        click.echo(f"Since the audit of {change.since[:16].replace('T', ' ')} UTC: {'; '.join(parts)}")
    held = f"{len(audit.checks)} rules over {audit.figures} figures"
    look = f" {len(audit.doubtful)} worth a look." if audit.doubtful else ""
    click.echo(f"{held}: {'every rule holds' if audit.passed else f'{len(audit.broken)} broken'}.{look}")


def list_past(folder: Path) -> None:
    """One line an audit that was kept, the oldest first."""
    from halfinch.catalogue.audit.history import failed_rules, read_past

    past = read_past(folder)
    if not past:
        click.echo(f"No audit is kept in {folder}.")
    for _, record in past:
        failed = failed_rules(record)
        broken = [rule for rule, severity in failed.items() if severity == "critical"]
        told = f"{len(broken)} broken: {', '.join(broken)}" if broken else "every rule holds"
        look = f" ({len(failed) - len(broken)} worth a look)" if len(failed) > len(broken) else ""
        click.echo(f"{record['at'][:19].replace('T', ' ')}  {record['figures']:>7,} figures  {told}{look}")
