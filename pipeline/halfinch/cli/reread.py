"""`halfinch reread`: stale readings are made anew."""

from __future__ import annotations

from pathlib import Path

import click

from halfinch.cli.options import catalogue_option, json_option, reading_options

SHOWN = 40


@click.command("reread")
@catalogue_option
@click.option("--everything", is_flag=True, help="Also read again what is not stale.")
@click.option("--all", "show_all", is_flag=True, help="Show every difference, sheet and held figure.")
@json_option
@reading_options
@click.pass_context
def command(
    context: click.Context,
    catalogue: Path,
    everything: bool,
    show_all: bool,
    as_json: bool,
    jobs: int | None,
    time_limit: float,
    memory_limit: int,
    schemas: Path | None,
    wait: float,
) -> None:
    """Read sheets again whose readings another version of the program, its knowledge or the habits made.

    The sheets' bytes are taken from CATALOGUE.sheets/, or from where they were imported. The new readings come into
    force, rulings are applied to them, what differs is shown, and the old readings stay on record.

    \b
      halfinch reread --catalogue shop.duckdb
      halfinch reread -c shop.duckdb --schemas my-schemas/ --json

    Exit status as of `halfinch import`.
    """
    from dataclasses import asdict

    from halfinch.catalogue.rulings import orphaned_rulings
    from halfinch.cli.reporting import print_report, progress_bar, report_as_json
    from halfinch.work.importing import Options
    from halfinch.work.rereading import reread

    options = Options(jobs=jobs, limit=time_limit, memory=memory_limit, wait=wait, schemas=schemas)
    with progress_bar("reading again", quiet=as_json) as progress:
        result = reread(catalogue, options, everything=everything, progress=progress)
    orphans = orphaned_rulings(catalogue, wait)
    status = 3 if result.missing else result.report.exit_status
    if as_json:
        more = {
            "differences": [asdict(difference) for difference in result.differences],
            "missing": list(result.missing),
            "orphaned_rulings": [ruling.ruling_id for ruling in orphans],
            "exit_status": status,
        }
        click.echo(report_as_json(result.report, **more))
        context.exit(status)
    if not result.report.lines and not result.missing:
        click.echo("Every reading is up to date.")
        context.exit(0)
    print_report(result.report, everything=show_all)
    click.echo()
    click.echo(f"{len(result.differences)} figures differ from the earlier readings.")
    shown = result.differences if show_all else result.differences[:SHOWN]
    for d in shown:
        of = " ".join(part for part in (d.size, d.length) if part)
        click.echo(f'  {d.what}: {d.sheet}, {d.place}, {d.point} {of} "{d.raw}": {d.before or "-"} -> {d.after or "-"}')
    if len(shown) < len(result.differences):
        click.echo(f"  ... and {len(result.differences) - len(shown)} more; --all shows them.")
    for sheet in result.missing:
        click.echo(f"  {sheet}: its bytes are neither kept nor at their source any more; import it again.")
    for ruling in orphans:
        click.echo(f'  orphaned ruling {ruling.ruling_id}: no figure "{ruling.printed}" at {ruling.place} any more.')
    context.exit(status)
