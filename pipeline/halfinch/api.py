"""What a Python program (or a notebook) calls: a catalogue that answers in pandas frames or Arrow tables.

Lengths are inches, full girth or length. Frames have pandas' nullable types (``string``, ``Float64``, ``Int64``,
``boolean``): what is not known is ``pandas.NA``, and a text that is not said is ``''``. Arrow tables have DuckDB's own
types, decimals exact to 1/1,000,000 in, in the very memory that DuckDB filled.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd
    import pyarrow as pa

    from halfinch.figure import SheetResult
    from halfinch.fit import Body
    from halfinch.work.importing import Report


class OpenCatalogue:
    """A catalogue by its path, as `open_catalogue` gives it.

    No file is kept open: every call opens it, reads or writes, and closes it, so that other programs can use it in
    between. All calls raise `HalfinchError`, with one sentence that says what is wrong.
    """

    def __init__(self, path: str | Path, *, wait: float = 30.0) -> None:
        self.path = Path(path)
        self.wait = wait

    def __repr__(self) -> str:
        return f"OpenCatalogue({str(self.path)!r})"

    def add(
        self, paths: str | Path | Iterable[str | Path], *, merchant: str = "", jobs: int | None = 0, keep: bool = True
    ) -> Report:
        """Imports sheets, folders and containers; makes the catalogue where there is none.

        Args:
            paths: a file or folder, or several.
            merchant: whose sheets these are, where they do not say; else the folder's name counts.
            jobs: 0 reads in this process; None starts a worker a processor, which a script needs its `__main__` guard
                for.
            keep: whether the bytes of the sheets are kept beside the catalogue, for rereading.

        Returns:
            A report: `lines` (a sheet each: outcome, garments, accepted, assumed, held) and `held` (a figure each,
            with its reasons). A sheet that cannot be read is a line of it and no error.

        Raises:
            UsageError: there is nothing at a path.
            CatalogueError: the catalogue is not ours, or in use for longer than `wait`.
        """
        from halfinch.work.importing import Options, import_paths

        listed = [paths] if isinstance(paths, str | Path) else list(paths)
        options = Options(merchant=merchant, keep=keep, jobs=jobs, wait=self.wait)
        return import_paths(self.path, [Path(path) for path in listed], options)

    def figures(self) -> pd.DataFrame:
        """Every figure in force, a row each, with its status, its printed text and its place; held ones too.

        Columns are those of the view `current_figures`: `inches`, `inches_to` (upper end of a range), `half_inch`,
        `tolerance` in inches of the full girth, `length_nm` in whole nanometres.
        """
        return self.sql("SELECT * FROM current_figures")

    def sizes(self) -> pd.DataFrame:
        """The clean catalogue, a row a garment, size and length: accepted and assumed figures only.

        For each point of measure (`inseam`, `waist` ...) there are `POINT` (inches), `POINT_half_inch`, `POINT_to`
        (upper end of a range), `POINT_status` and `POINT_figure` (the figure's id).
        """
        return self.sql("SELECT * FROM sizes")

    def match(self, body: Body | str | Path, *, top: int | None = None, shoe: str = "") -> pd.DataFrame:
        """Which sizes fit a body, best first, a row each.

        Args:
            body: from `load_body`, or the path of a body file.
            top: no more than so many rows.
            shoe: the pair of shoes to hem for, as the body file names it; else the first one.

        Returns:
            `verdict` (fits as bought | fits with a hem | near miss | not known | no), the garment, `cut` (inches to
            take up), `finished` (inches of inseam after it), `opening_before` and `opening_after`, `rise_miss`,
            `waist_gap` (inches), `chance` (0 to 1), `price`, `total` (in `currency`), `cautions`, `not_known`. The
            rows reveal the body that they were made for.

        Raises:
            BodyError: the body file is wrong; the message never quotes a measure.
            UsageError: the body file has no such shoes.
            CatalogueError: there is no catalogue, or it cannot be opened.
        """
        from halfinch.catalogue.frames import with_types
        from halfinch.fit import match

        frame = match(self.path, body, top=top, shoe=shoe, wait=self.wait)
        numbers = (
            "cut",
            "finished",
            "opening_before",
            "opening_after",
            "rise_miss",
            "waist_gap",
            "chance",
            "price",
            "total",
        )
        return with_types(frame, dict.fromkeys(numbers, "Float64"), other="string")

    def sql(self, query: str, parameters: Sequence[object] = (), *, time_limit: float = 60.0) -> pd.DataFrame:
        """The answer to a query as a frame; read-only, without a way to files or the network.

        Args:
            query: one statement that asks, in DuckDB's SQL; `halfinch query --about` lists what there is.
            parameters: values for the `?` of the query.
            time_limit: seconds after which it is stopped.

        Returns:
            A row for each of the answer's. Decimals become `Float64`, which holds all six digits of the inches.

        Raises:
            UsageError: the text is no query (several statements, one that would write, no SQL).
            CatalogueError: it cannot be answered (no such column ...), or takes too long or too much memory.
        """
        from halfinch.catalogue.frames import nullable_frame

        return nullable_frame(self.arrow(query, parameters, time_limit=time_limit))

    def arrow(
        self, query: str = "SELECT * FROM sizes", parameters: Sequence[object] = (), *, time_limit: float = 60.0
    ) -> pa.Table:
        """As `sql`, but an Arrow table of the memory that DuckDB filled: nothing is copied, decimals stay exact.

        Without a query: the clean catalogue.
        """
        from halfinch.catalogue.asking import answer_table

        return answer_table(self.path, query, parameters, seconds=time_limit, wait=self.wait)


def open_catalogue(path: str | Path, *, wait: float = 30.0) -> OpenCatalogue:
    """A catalogue by its path. Where nothing stands there, the first `OpenCatalogue.add` makes one.

    Args:
        path: the file, such as ``shop.duckdb``.
        wait: seconds to wait while another program writes it.

    Raises:
        CatalogueError: something stands there that is no catalogue of ours, or it is in use for longer than `wait`.
    """
    catalogue = OpenCatalogue(path, wait=wait)
    if catalogue.path.exists():
        from halfinch.catalogue import store

        with store.reading(catalogue.path, wait):
            pass
    return catalogue


def read_sheet(data: bytes, name: str) -> list[SheetResult]:
    """What halfinch makes of the bytes of one file, without any catalogue.

    Args:
        data: the file's bytes; what they are is told by looking into them.
        name: the file's name, for messages and as a hint.

    Returns:
        A result for each sheet in it: one, or several for a container. `outcome` is read | partly | nothing | failed,
        `figures` have their lengths in whole nanometres (`length_nm`) and their `status`. A file that cannot be read
        gives a result that says why; nothing is raised.
    """
    from halfinch import knowledge
    from halfinch.work.reading import read_sheet as read

    return read(data, name, knowledge.load())
