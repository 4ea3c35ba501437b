"""`halfinch check`: fixtures against their expected figures."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("check")
@click.argument("fixtures", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "github"]),
    default="text",
    help="How to print the result; github: as annotations of a workflow.",
)
@click.option("--junit", type=click.Path(path_type=Path, dir_okay=False), help="Also write a JUnit XML file for CI.")
@click.option("--summary", type=click.Path(path_type=Path), help="Also add a summary in Markdown to this file.")
@click.option("--limit", type=click.IntRange(min=0), default=0, help="Show at most so many differences a fixture.")
@click.option("--quiet", is_flag=True, help="Leave out the fixtures that are as expected.")
@click.pass_context
def command(
    context: click.Context,
    fixtures: tuple[Path, ...],
    form: str,
    junit: Path | None,
    summary: Path | None,
    limit: int,
    quiet: bool,
) -> None:
    """Read every fixture and compare it with its expected figures, one by one.

    A fixture is a sheet with NAME.expected.csv beside it: the columns of the figures export, and `expect` (value, hold
    or nothing) and `because`. Ends with 0 when all is as expected, 1 on a difference or where nobody has signed a
    drafted fixture (`halfinch fixture`), 2 when the fixtures themselves are incomplete.

    \b
    halfinch check fixtures/
    halfinch check fixtures/ --junit build/fixtures.xml
    halfinch check fixtures/demo --format json
    halfinch check fixtures/ --quiet --format github --summary "$GITHUB_STEP_SUMMARY"
    """
    from halfinch import check
    from halfinch.catalogue.files import write_whole
    from halfinch.errors import UsageError

    try:
        checks = check.check_folders(fixtures)
        if junit is not None:
            junit.parent.mkdir(parents=True, exist_ok=True)
            write_whole(junit, check.to_junit(checks))
        if summary is not None:
            with summary.open("a", encoding="utf-8") as file:
                file.write(check.to_markdown(checks))
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
    elif form == "github":
        click.echo("\n".join(check.to_github(checks)))
    else:
        for line in check.to_lines(checks, limit, quiet=quiet):
            click.echo(line)
    context.exit(1 if any(not result.passed for result in checks) else 0)
