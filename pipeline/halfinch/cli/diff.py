"""`halfinch diff`: what a new version says differently."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from halfinch.cli.options import json_option, schemas_option, wait_option
from halfinch.errors import UsageError

_DATE = click.DateTime(["%Y-%m-%d", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M"])


@click.command("diff")
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--catalogue", "-c", envvar="HALFINCH_CATALOGUE", type=click.Path(path_type=Path), default=None,
    help="The catalogue that a single sheet, or --since, is about (or the variable HALFINCH_CATALOGUE).",
)  # fmt: skip
@click.option("--since", type=_DATE, default=None, help="The catalogue as it was on this day (or minute) ...")
@click.option("--until", type=_DATE, default=None, help="... and on this one. [default: now]")
@click.option("--all", "everything", is_flag=True, help="Every figure too, as printed and where.")
@click.option("--unit", type=click.Choice(["in", "cm"]), default="in", show_default=True, help="How lengths are told.")
@click.option("--merchant", default="", help="Whose sheets these are, where they do not say.")
@json_option
@schemas_option
@wait_option
@click.pass_context
def command(
    context: click.Context, paths: tuple[Path, ...], catalogue: Path | None, since: datetime | None,
    until: datetime | None, everything: bool, unit: str, merchant: str, as_json: bool, schemas: Path | None,
    wait: float,
) -> None:  # fmt: skip
    """Tell what changed, in plain words: two versions of a sheet, two dates of a catalogue, or two catalogues.

    Sheets (or folders of them) are read for it and nothing is stored. With one sheet and a catalogue, it is compared
    with what the catalogue says of its garments. Where a figure stands on the sheet plays no part. Figures of the same
    length that are printed in another unit or way are told as that.

    \b
      halfinch diff wide-2025.pdf wide-2026.pdf
      halfinch diff new/wide.pdf -c shop.duckdb --all
      halfinch diff -c shop.duckdb --since 2026-03-01 --until 2026-04-01
      halfinch diff last-year.duckdb shop.duckdb --json

    Exit status 1 where anything differs, 0 where nothing does.
    """
    import json

    from halfinch.present.changes import diff_lines, diff_record
    from halfinch.present.wording import Wording
    from halfinch.work.importing import Options
    from halfinch.work.telling import diff_dates, diff_paths

    options = Options(merchant=merchant, jobs=1, wait=wait, schemas=schemas)
    if since is not None:
        if paths or catalogue is None:
            raise UsageError("--since compares one catalogue with itself: name it with --catalogue, and no paths.")
        diff = diff_dates(catalogue, since.astimezone(), until.astimezone() if until else None, wait=wait)
    elif until is not None:
        raise UsageError("--until needs --since.")
    elif len(paths) == 2:
        diff = diff_paths(*paths, options, catalogue)
    elif len(paths) == 1 and catalogue is not None:
        diff = diff_paths(catalogue, paths[0], options, catalogue)
    else:
        raise UsageError("Name two sheets or catalogues, one sheet and --catalogue, or --catalogue and --since.")
    for trouble in diff.troubles:
        click.echo(trouble, err=True)
    if as_json:
        click.echo(json.dumps(diff_record(diff), ensure_ascii=False, indent=2))
    else:
        lines = list(diff_lines(diff, Wording("cm" if unit == "cm" else "in"), figures=everything))
        click.echo("\n".join(lines).lstrip("\n"))
    context.exit(1 if diff.garments else 0)
