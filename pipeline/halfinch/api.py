"""What a Python program (or a notebook) calls: a catalogue that gives pandas frames."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd

    from halfinch.figure import SheetResult
    from halfinch.work.importing import Report


class OpenCatalogue:
    """A catalogue by its path. No file is kept open: every call opens it, reads or writes, and closes it.

    shop = halfinch.open_catalogue("shop.duckdb")
    shop.add(["sheets/"])
    shop.sizes().query("inseam_half_inch == 29")
    """

    def __init__(self, path: str | Path, *, wait: float = 30.0) -> None:
        self.path = Path(path)
        self.wait = wait

    def __repr__(self) -> str:
        return f"OpenCatalogue({str(self.path)!r})"

    def add(
        self, paths: str | Path | Iterable[str | Path], *, merchant: str = "", jobs: int | None = 0, keep: bool = True
    ) -> Report:
        """Imports files and folders; makes the catalogue where there is none. Gives the report of the import.

        `jobs` 0 reads in this process; None starts a worker a processor, which needs the `__main__` guard in scripts.
        """
        from halfinch.work.importing import Options, import_paths

        listed = [paths] if isinstance(paths, str | Path) else list(paths)
        options = Options(merchant=merchant, keep=keep, jobs=jobs, wait=self.wait)
        return import_paths(self.path, [Path(path) for path in listed], options)

    def figures(self) -> pd.DataFrame:
        """Every figure in force, with its status; held ones too."""
        return self.sql("SELECT * FROM current_figures")

    def sizes(self) -> pd.DataFrame:
        """The clean catalogue: one row a garment, size and length; accepted and assumed figures only, inches."""
        return self.sql("SELECT * FROM sizes")

    def match(self, body: Any, **choices: Any) -> pd.DataFrame:
        """Which garments fit a body, best first."""
        from halfinch.fit import match

        frame: pd.DataFrame = match(self.path, body, **choices)
        return frame

    def sql(self, query: str) -> pd.DataFrame:
        """The answer to a query as a frame; read-only. Raises CatalogueError where the query is wrong."""
        import duckdb

        from halfinch.catalogue import store
        from halfinch.errors import CatalogueError

        with store.reading(self.path, self.wait) as connection:
            try:
                answer = connection.execute(query)
                frame: pd.DataFrame | None = answer.df() if answer is not None else None
            except duckdb.Error as error:
                raise CatalogueError(f"{self.path}: the query cannot be answered: {error}") from error
        if frame is None:
            raise CatalogueError(f"{self.path}: the query asks nothing.")
        return frame


def open_catalogue(path: str | Path, *, wait: float = 30.0) -> OpenCatalogue:
    """A catalogue by its path; `wait` is how many seconds to wait for another program that writes it.

    Raises CatalogueError where something stands at `path` that is no catalogue of ours. Where nothing stands there, the
    first `add` makes one.
    """
    catalogue = OpenCatalogue(path, wait=wait)
    if catalogue.path.exists():
        from halfinch.catalogue import store

        with store.reading(catalogue.path, wait):
            pass
    return catalogue


def read_sheet(data: bytes, name: str) -> list[SheetResult]:
    """Reads the bytes of a sheet or a container with the knowledge that comes with halfinch; one result per sheet."""
    from halfinch import knowledge
    from halfinch.work.reading import read_sheet as read

    return read(data, name, knowledge.load())
