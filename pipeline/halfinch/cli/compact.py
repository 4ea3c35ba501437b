"""`halfinch compact`: a lake's small files joined, what nobody reads any more removed."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("compact")
@click.argument("lake", type=click.Path(path_type=Path))
@click.option(
    "--keep-hours",
    type=click.FloatRange(min=0),
    default=24.0,
    show_default=True,
    help="Leave what is younger: an import under way, and what a reader may still read.",
)
def command(lake: Path, keep_hours: float) -> None:
    """Join the small files of a lake to files of up to 256 MB, and remove what no commit lists any more.

    Imports leave many small files; joined, they are read faster. Others may read and import meanwhile. It pays after
    large imports, and once a month.

    \b
      halfinch compact lake/
      halfinch compact s3://specs/lake --keep-hours 72
    """
    from halfinch.catalogue.lake.compacting import compact
    from halfinch.catalogue.lake.objects import open_objects

    done = compact(open_objects(lake), keep_hours)
    click.echo(
        f"{lake}: {done.objects_before:,} files became {done.objects:,} with {done.bytes / 1e6:,.1f} MB; "
        f"{done.swept:,} old ones were removed."
    )
