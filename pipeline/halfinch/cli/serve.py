"""`halfinch serve`: the workbench, in a browser."""

from __future__ import annotations

import getpass
import secrets
from pathlib import Path

import click

from halfinch.cli.options import schemas_option
from halfinch.errors import UsageError


@click.command("serve")
@click.option(
    "--catalogue", "-c", envvar="HALFINCH_CATALOGUE", type=click.Path(path_type=Path, dir_okay=False),
    default="shop.duckdb", show_default=True, help="The catalogue's file; the first import makes it.",
)  # fmt: skip
@click.option(
    "--bodies", type=click.Path(path_type=Path, file_okay=False), default=None,
    help="Folder of the body files. [default: `bodies` beside the catalogue]",
)  # fmt: skip
@click.option("--host", default="", metavar="ADDRESS", help="Listen there, for others too; asks for a token.")
@click.option("--port", type=click.IntRange(0, 65535), default=8391, show_default=True, help="0: any free one.")
@click.option("--name", "names", multiple=True, metavar="HOST", help="With --host: a name others know this machine by.")
@click.option("--by", default="", help="Who rules. [default: you]")
@click.option("--log", is_flag=True, help="Print every request: method, path and status, nothing else.")
@schemas_option
def command(
    catalogue: Path, bodies: Path | None, host: str, port: int, names: tuple[str, ...], by: str, log: bool,
    schemas: Path | None,
) -> None:  # fmt: skip
    """Open the workbench: import, look through held figures, match and print in a browser.

    It answers to this machine alone. With --host it answers to others as well, but only to who opens the printed
    address with its token. Other commands and programs may use the catalogue meanwhile. Ctrl-C ends it.

    \b
      halfinch serve
      halfinch serve --catalogue shop.duckdb --bodies clients/
      halfinch serve --host 192.168.1.20 --port 8391
    """
    from halfinch.catalogue.lake.objects import is_lake
    from halfinch.catalogue.lake.opening import refuse_writing
    from halfinch.workbench.serving import bind, serve
    from halfinch.workbench.settings import LOOPBACK_NAMES, Settings

    if is_lake(catalogue):
        refuse_writing(catalogue)
    if not catalogue.resolve().parent.is_dir():
        raise UsageError(f"{catalogue}: the folder {catalogue.parent} does not exist; make it, or name another place.")
    address = host or "127.0.0.1"
    place = bind(address, port)
    port = place.getsockname()[1]
    token = secrets.token_urlsafe(24) if host and host not in LOOPBACK_NAMES else ""
    settings = Settings(
        catalogue.resolve(), (bodies or catalogue.with_name("bodies")).resolve(), host=address, port=port, token=token,
        names=frozenset(name.lower() for name in names), by=by or getpass.getuser(), schemas=schemas,
    )  # fmt: skip
    shown = f"[{address}]" if ":" in address else address
    click.echo(f"The workbench is at http://{shown}:{port}/{f'?token={token}' if token else ''}")
    click.echo(f"Catalogue {catalogue}. Ctrl-C ends it.")
    serve(settings, place, log=log)
