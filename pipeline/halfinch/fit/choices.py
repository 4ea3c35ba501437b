"""What there is to choose from when pages of the catalogue are asked for (`browse`)."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Choices:
    """What there is to choose from, '' left out; each kind by name, sizes the most frequent first."""

    merchants: tuple[str, ...]
    sizes: tuple[str, ...]
    lengths: tuple[str, ...]
    currencies: tuple[str, ...]


def find_choices(path: str | Path, *, most: int = 2000, wait: float = 30.0) -> Choices:
    """At the `most` so many of a kind. Raises CatalogueError."""
    from halfinch.catalogue import store

    with store.reading(Path(path), wait) as connection:

        def told(column: str, relation: str, order: str) -> tuple[str, ...]:
            rows = connection.execute(
                f"SELECT {column} FROM {relation} WHERE {column} <> '' GROUP BY {column} ORDER BY {order} LIMIT {most}"
            ).fetchall()
            return tuple(row[0] for row in rows)

        return Choices(
            told("merchant", "kinds", "merchant"), told("size", "size_rows", "count(*) DESC, size"),
            told("length", "kinds", "length"), told("currency", "size_rows", "currency"),
        )  # fmt: skip
