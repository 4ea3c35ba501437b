"""Questions in SQL: asked of the catalogue alone, answered as Arrow, stopped when they do not end.

A connection for reading reaches no file and no network (`store.CONFIG`), and only statements that ask are run. DuckDB
heeds an interruption between its own steps only, and a single function may take all memory there is, so `ask` puts the
question in a process of its own, with a limit on its memory, which can be ended whatever it does. `answer_table` asks
in this process: for Python programs, where the answer is not copied.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import re
import signal
import threading
import time
import warnings
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, Any

from halfinch.catalogue import store
from halfinch.errors import CatalogueError, HalfinchError, UsageError

if TYPE_CHECKING:
    import duckdb
    import pyarrow as pa

TIME_LIMIT = 60.0
"""Seconds that a question may take to answer."""
MEMORY_LIMIT = 4 * 2**30
"""Bytes that DuckDB may use for a question asked in a process of its own; what is over it goes to a temporary file."""
ROOM = 2 * 2**30
"""Bytes that the program itself takes, address space counted, beside `MEMORY_LIMIT`."""
SPILL = "4GB"
"""So large may the temporary file become."""
BATCH = 20_000
"""Rows handed on at once."""

ASKING = ("SELECT", "EXPLAIN", "MULTI")
"""Kinds of statement that ask. MULTI is a PIVOT, which first asks which columns there will be."""


@dataclass(frozen=True, slots=True)
class Limits:
    """What a question may cost."""

    seconds: float = TIME_LIMIT
    memory: int = MEMORY_LIMIT


def answer_table(
    path: Path, sql: str, parameters: Sequence[object] = (), *, seconds: float = TIME_LIMIT, wait: float = 30.0
) -> pa.Table:
    """The answer as an Arrow table of the very memory that DuckDB filled.

    Raises UsageError where the text is no question (nothing, several, one that would write), CatalogueError where it
    cannot be answered or takes longer than `seconds`.
    """
    with store.reading(path, wait) as connection, _translated(seconds):
        ended = threading.Timer(seconds, connection.interrupt)
        ended.daemon = True
        ended.start()
        try:
            table = _put(connection, sql, parameters).read_all()
            return table.rename_columns(once_each(table.column_names))
        finally:
            ended.cancel()


@contextlib.contextmanager
def ask(
    path: Path, sql: str, limits: Limits = Limits(), wait: float = 30.0
) -> Iterator[tuple[pa.Schema, Iterator[pa.RecordBatch]]]:
    """The answer's schema and its batches, from a process that is ended when the `with` is left.

    Raises as `answer_table`. Time counts to the last batch, whoever is slow: an answer without end, written as fast as
    it comes, would else never be stopped.
    """
    with store.reading(path, wait):  # brings an older catalogue up; a refusal is raised here
        pass
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_answer, args=(theirs, path, sql, limits, wait), daemon=True)
    process.start()
    theirs.close()
    try:
        messages = _messages(ours, limits)
        yield next(messages), messages
    finally:
        process.kill()
        process.join()
        ours.close()


def _messages(pipe: Connection, limits: Limits) -> Iterator[Any]:
    """First the schema, then the batches."""
    import pyarrow as pa

    until, schema = time.monotonic() + limits.seconds, None
    while True:
        left = until - time.monotonic()
        if left <= 0 or not pipe.poll(left):
            raise CatalogueError(_TOO_LONG.format(seconds=limits.seconds))
        try:
            kind, content = pipe.recv()
        except EOFError:
            raise CatalogueError(_TOO_MUCH) from None
        if kind == "schema":
            schema = pa.ipc.read_schema(pa.py_buffer(content))
            yield schema
        elif kind == "batch":
            yield pa.ipc.read_record_batch(pa.py_buffer(content), schema)
        elif kind == "error":
            raise content
        else:
            return


def _answer(pipe: Connection, path: Path, sql: str, limits: Limits, wait: float) -> None:
    """What the process does: it sends ("schema", bytes), ("batch", bytes) ..., ("end", b"") or ("error", an error)."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent ends us
    _hold_memory(limits.memory + ROOM)
    config = {
        **store.CONFIG, "memory_limit": f"{limits.memory // 2**20}MiB", "max_temp_directory_size": SPILL,
        "lock_configuration": "true",
    }  # fmt: skip
    try:
        connection = store.connect(path, read_only=True, wait=wait, config=config)
        with contextlib.closing(connection), _translated(limits.seconds):
            reader = _put(connection, sql, ())
            plain = _plain(reader.schema)
            pipe.send(("schema", plain.serialize().to_pybytes()))
            for batch in reader:
                pipe.send(("batch", _cast(batch, plain).serialize().to_pybytes()))
        pipe.send(("end", b""))
    except HalfinchError as error:
        pipe.send(("error", error))
    except MemoryError:
        pipe.send(("error", CatalogueError(_TOO_MUCH)))
    except BrokenPipeError:  # nobody listens any more
        return


def _hold_memory(limit: int) -> None:
    """No more than so much memory for this process, where the system can hold it to that."""
    try:
        import resource
    except ImportError:  # Windows
        return
    with contextlib.suppress(ValueError, OSError):  # a lower limit is in force already
        resource.setrlimit(resource.RLIMIT_AS, (limit, limit))


def _put(connection: duckdb.DuckDBPyConnection, sql: str, parameters: Sequence[object]) -> pa.RecordBatchReader:
    """Puts a question; its answer is worked out while the reader is read."""
    import pyarrow as pa

    require_question(connection, sql)
    with warnings.catch_warnings():  # of an answer that DuckDB has to copy; it is told by its maker, not by us
        warnings.simplefilter("ignore")
        answer = connection.sql(sql, params=list(parameters)) if parameters else connection.sql(sql)
        if answer is None:  # EXPLAIN and PIVOT are answered at once
            answer = connection.execute(sql, list(parameters))
        newer = hasattr(answer, "to_arrow_reader")
        reader = answer.to_arrow_reader(BATCH) if newer else answer.fetch_record_batch(BATCH)
    assert isinstance(reader, pa.RecordBatchReader)
    return reader


def require_question(connection: duckdb.DuckDBPyConnection, sql: str) -> None:
    """Raises UsageError where a text is not exactly one statement that asks, or no SQL at all."""
    import duckdb

    try:
        statements = connection.extract_statements(sql)
    except duckdb.Error as error:
        raise UsageError(f"This is not SQL that DuckDB understands: {say(error)}") from error
    if not statements:
        raise UsageError("The query is empty; ask something, such as: SELECT * FROM sizes")
    if len(statements) > 1:
        raise UsageError(f"These are {len(statements)} statements; ask one query at a time.")
    kind = statements[0].type.name
    if kind not in ASKING:
        raise UsageError(f"A query only asks (SELECT, FROM, EXPLAIN ...); {kind} is refused, nothing was changed.")


@contextlib.contextmanager
def _translated(seconds: float) -> Iterator[None]:
    """DuckDB's errors as one sentence each; those met while an answer is read come through Arrow."""
    import duckdb

    try:
        yield
    except (duckdb.Error, OSError, ValueError) as error:
        kind = re.match(r"[A-Za-z ]+ Error: ", str(error))
        if kind is None:
            raise
        raise CatalogueError(
            _SENTENCES.get(kind[0], "The query cannot be answered: {}").format(say(error), seconds=seconds)
        ) from error


_TOO_MUCH = "The query needs more memory than a query may take; narrow it (WHERE, LIMIT)."
_TOO_LONG = "The query was stopped after {seconds:g} s; narrow it (WHERE, LIMIT), or allow it more time."
_SENTENCES = {
    "INTERRUPT Error: ": _TOO_LONG,
    "Out of Memory Error: ": _TOO_MUCH,
    "Permission Error: ": "A query reaches no file, no network and no setting; it asks the catalogue alone.",
}


def say(error: Exception) -> str:
    """A message of DuckDB in one line: what is wrong and what it offers instead, without its kind and its picture."""
    lines = [line.strip() for line in str(error).splitlines()]
    told = [re.sub(r"^[A-Za-z ]+ Error: ", "", lines[0])] if lines else [""]
    told += [line for line in lines[1:] if line.startswith(("Did you mean", "Candidate"))]
    return " ".join(text if text.endswith((".", "!", "?")) else f"{text}." for text in told if text)


def _plain(schema: pa.Schema) -> pa.Schema:
    """The same with every name once, and no dictionaries: these would need messages of their own."""
    import pyarrow as pa

    kinds = [kind.value_type if pa.types.is_dictionary(kind) else kind for kind in schema.types]
    return pa.schema(list(zip(once_each(schema.names), kinds, strict=True)))


def _cast(batch: pa.RecordBatch, schema: pa.Schema) -> pa.RecordBatch:
    import pyarrow as pa

    columns = [column.cast(kind) for column, kind in zip(batch.columns, schema.types, strict=True)]
    return pa.RecordBatch.from_arrays(columns, schema=schema)


def once_each(names: Sequence[str]) -> list[str]:
    """Names of columns, a second one of the same name numbered: a, a_2, a_3."""
    told: list[str] = []
    for name in names:
        again, count = name, 1
        while again in told:
            count += 1
            again = f"{name}_{count}"
        told.append(again)
    return told
