"""`halfinch check`: fixtures against their expected figures."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("check")
@click.argument("fixtures", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print the result.")
@click.option("--junit", type=click.Path(path_type=Path, dir_okay=False), help="Also write a JUnit XML file for CI.")
@click.option("--limit", type=click.IntRange(min=0), default=0, help="Show at most so many differences a fixture.")
@click.option("--quiet", is_flag=True, help="Leave out the fixtures that are as expected.")
@click.pass_context
def command(
    context: click.Context, fixtures: tuple[Path, ...], form: str, junit: Path | None, limit: int, quiet: bool
) -> None:
    """Read every fixture and compare it with its expected figures, one by one.

    A fixture is a sheet with NAME.expected.csv beside it: the columns of the figures export, and `expect` (value, hold
    or nothing) and `because`. Ends with 0 when all is as expected, 1 on a difference, 2 when the fixtures themselves
    are incomplete.

    \b
    halfinch check fixtures/
    halfinch check fixtures/ --junit build/fixtures.xml
    halfinch check fixtures/demo --format json
    """
    from halfinch import check
    from halfinch.errors import UsageError

    try:
        checks = check.check_folders(fixtures)
        if junit is not None:
            junit.parent.mkdir(parents=True, exist_ok=True)
            junit.write_bytes(check.to_junit(checks))
    except UsageError as error:
        click.echo(f"halfinch: {error}", err=True)
        context.exit(error.exit_status)
    except OSError as error:
        click.echo(
            f"halfinch: {error.filename}: {error.strerror}; name a place that can be read and written.", err=True
        )
        context.exit(2)
    if form == "json":
        click.echo(check.to_json(checks))
    else:
        for line in check.to_lines(checks, limit, quiet=quiet):
            click.echo(line)
    context.exit(1 if any(result.differences for result in checks) else 0)
