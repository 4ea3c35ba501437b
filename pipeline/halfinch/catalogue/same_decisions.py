"""What persons decided about styles that look alike: kept for good, the latest decision on a pair holds.

A confirmed pair changes no figure and no garment. The view `style_groups` tells which garments are one style to whoever
wants to group by it: a row a garment that was confirmed to be another's twin, under the least garment_id of its group.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store, tables
from halfinch.catalogue.frames import insert
from halfinch.catalogue.identity import digest
from halfinch.errors import UsageError

if TYPE_CHECKING:
    import duckdb

DECISIONS = ("same", "different", "open")

Pair = tuple[str, str]
"""Two garment_ids, the lesser first."""

STYLE_GROUPS = tables.Table(
    "style_groups",
    "Garments that a person confirmed to be one style: a row a garment",
    (
        tables.Column("garment_id", tables.TEXT, "garments.garment_id"),
        tables.Column("group_id", tables.TEXT, "the least garment_id of all that are one style with it"),
    ),
)
_GROUPS_SQL = """
    WITH RECURSIVE held AS (
        SELECT garment_id, other_id FROM same_styles
        QUALIFY row_number() OVER (PARTITION BY garment_id, other_id ORDER BY "at" DESC, rowid DESC) = 1
            AND decision = 'same'),
    twins AS (SELECT garment_id AS a, other_id AS b FROM held UNION SELECT other_id, garment_id FROM held),
    reached AS (
        SELECT a AS garment_id, a AS group_id FROM twins
        UNION SELECT twins.b, reached.group_id FROM reached JOIN twins ON twins.a = reached.garment_id)
    SELECT garment_id, min(group_id) AS group_id FROM reached GROUP BY garment_id"""


@dataclass(frozen=True, slots=True)
class Decided:
    """One row of `same_styles`."""

    pair: Pair
    decision: str
    why: str
    by: str
    at: datetime

    @property
    def decision_id(self) -> str:
        return digest("same style", *self.pair, self.decision, self.why, self.by, str(self.at))

    def row(self) -> tuple[object, ...]:
        return (self.decision_id, *self.pair, self.decision, self.why, self.by, self.at)


def create_style_groups(connection: duckdb.DuckDBPyConnection) -> None:
    connection.execute(f"CREATE OR REPLACE VIEW {STYLE_GROUPS.name} AS {_GROUPS_SQL}")
    tables.comment_on(connection, STYLE_GROUPS, "VIEW")


def read_decisions(connection: duckdb.DuckDBPyConnection) -> list[Decided]:
    """Every decision ever made, oldest first."""
    names = ", ".join(f'"{name}"' for name in tables.SAME_STYLES.column_names[1:])
    rows = connection.execute(f'SELECT {names} FROM same_styles ORDER BY "at", rowid').fetchall()
    return [Decided((one, other), *rest) for one, other, *rest in rows]


def in_force(decisions: list[Decided]) -> dict[Pair, Decided]:
    """The latest on each pair; pairs that are open again are left out."""
    latest = {decided.pair: decided for decided in decisions}
    return {pair: decided for pair, decided in latest.items() if decided.decision != "open"}


def decide(
    path: Path, pair: Pair, decision: str, *, by: str, why: str = "", wait: float = store.DEFAULT_WAIT
) -> Decided:
    """Decides about a pair of garments. Raises UsageError for words that are none, a garment that there is not, or a
    `same` that would join two garments which a person told apart."""
    if decision not in DECISIONS:
        raise UsageError(f'"{decision}" is no decision; say one of: {", ".join(DECISIONS)}.')
    if not by.strip():
        raise UsageError("A decision says who decided; give a name.")
    one, other = sorted(pair)
    if one == other:
        raise UsageError("A garment is the same as itself; name two.")
    with store.writing(path, "same styles", wait) as connection:
        known = {row[0] for row in connection.execute("SELECT garment_id FROM garments").fetchall()}
        for name in (one, other):
            if name not in known:
                raise UsageError(f"There is no garment {name} in {path}.")
        decisions = read_decisions(connection)
        decided = Decided((one, other), decision, why, by, store.now())
        if decision == "same" and (apart := contradicted([*decisions, decided])):
            raise UsageError(
                f"That would make {apart[0][:8]} and {apart[1][:8]} one style, which were told apart; "
                "take that back first."
            )
        insert(connection, tables.SAME_STYLES, [decided.row()])
    return decided


def add_decisions(connection: duckdb.DuckDBPyConnection, decisions: Iterable[Decided]) -> None:
    """Appends those that are not there yet."""
    present = {row[0] for row in connection.execute("SELECT decision_id FROM same_styles").fetchall()}
    insert(connection, tables.SAME_STYLES, [one.row() for one in decisions if one.decision_id not in present])


def contradicted(decisions: list[Decided]) -> Pair | None:
    """A pair that was told apart and is one style by way of others, if there is one."""
    standing = in_force(decisions)
    group = groups_of(pair for pair, decided in standing.items() if decided.decision == "same")
    return next(
        (
            pair
            for pair, decided in standing.items()
            if decided.decision == "different" and group.get(pair[0], pair[0]) == group.get(pair[1], pair[1])
        ),
        None,
    )


def groups_of(pairs: Iterable[Pair]) -> dict[str, str]:
    """Garment to the least garment_id of its group, as the view tells it."""
    twins: dict[str, set[str]] = defaultdict(set)
    for one, other in pairs:
        twins[one].add(other)
        twins[other].add(one)
    found: dict[str, str] = {}
    for start in sorted(twins):
        waiting = [start] if start not in found else []
        while waiting:
            name = waiting.pop()
            if name not in found:
                found[name] = start
                waiting += twins[name]
    return found
