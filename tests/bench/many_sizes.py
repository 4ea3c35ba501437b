"""Catalogues of any number of invented sizes, made inside DuckDB: what a great many sheets would leave behind.

Every garment comes in twelve sizes and three lengths. Its figures grade from a size 0 of its own by usual steps, on a
grid of quarters of an inch; some are missing, some are ranges, some carry a tolerance, as on real sheets. The hash of
a number stands in for chance: twice the same.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import duckdb

OF_STYLE = ("garment_id", "merchant", "silhouette", "fabric", "state", "stretch", "price")
LENGTHS = ("petite", "regular", "tall")
SIZES = 12
MERCHANTS = 200
FABRICS = (
    "", "100% cotton", "98% cotton, 2% elastane", "99% cotton, 1% elastane", "70% viscose, 30% linen", "100% wool",
    "65% polyester, 35% cotton", "94% cotton, 4% polyester, 2% elastane", "denim", "100% linen",
)  # fmt: skip
SILHOUETTES = ("", "", "wide", "straight", "boot", "flare", "tapered", "slim")
STATES = ("", "washed", "unwashed")
START = {
    "front_rise": (8, 16, 0.25), "back_rise": (13, 16, 0.25), "inseam": (24.5, 22, 0), "outseam": (36, 24, 0.25),
    "waist": (24, 16, 1), "hip": (34, 16, 1), "thigh": (20, 16, 0.625), "knee": (13, 28, 0.25),
    "leg_opening": (11, 48, 0.25),
}  # fmt: skip
"""Of size 0: least, how many quarters more there may be, step from size to size."""
HOLES = {"back_rise": 50, "outseam": 70, "thigh": 40, "knee": 40, "front_rise": 5, "inseam": 3, "hip": 8, "waist": 2}
"""Of a hundred garments so many do not tell the point."""


def make_sizes(path: Path, count: int) -> None:
    """A catalogue of about `count` sizes at `path`, nothing else in it."""
    import duckdb

    from halfinch.catalogue import store

    with store.writing(path, "bench", create=True):
        pass
    with duckdb.connect(str(path), config={"memory_limit": "1GB", "preserve_insertion_order": "false"}) as connection:
        connection.execute("DELETE FROM size_rows")
        connection.execute("DELETE FROM kinds")
        each = SIZES * len(LENGTHS)
        connection.execute("CREATE TEMP TABLE styles AS " + _styles(), {"count": -(-count // each)})
        words = "merchant, silhouette, fabric, stretch, state, length"
        connection.execute(
            f"""
            INSERT INTO kinds SELECT row_number() OVER (), {words}, 'crotch'
            FROM (SELECT DISTINCT merchant, silhouette, fabric, stretch, state, unnest(?) AS length FROM styles)
        """,
            [list(LENGTHS)],
        )
        _fill(connection)
        connection.execute("CHECKPOINT")


def _dice(salt: int, of: str = "style") -> str:
    """A number from 0 up that stands for chance, another for every salt."""
    return f"(hash({of}, {salt}) >> 8)::BIGINT"


def _pick(words: tuple[str, ...], salt: int) -> str:
    listed = ", ".join(f"'{word}'" for word in words)
    return f"([{listed}])[1 + {_dice(salt)} % {len(words)}]"


def _styles() -> str:
    points = ", ".join(
        f"CASE WHEN {_dice(100 + at)} % 100 >= {HOLES.get(point, 0)} "
        f"THEN {low} + ({_dice(200 + at)} % {quarters}) / 4.0 END AS {point}"
        for at, (point, (low, quarters, _)) in enumerate(START.items())
    )
    return f"""
        SELECT style, md5(style::VARCHAR) AS garment_id, 'merchant ' || {_dice(1)} % {MERCHANTS} AS merchant,
               {_pick(SILHOUETTES, 2)} AS silhouette, {_pick(FABRICS, 3)} AS fabric, {_pick(STATES, 4)} AS state,
               CASE WHEN {_dice(5)} % 4 = 0 THEN ({_dice(6)} % 40) / 100 END::DECIMAL(9,6) AS stretch,
               CASE WHEN {_dice(7)} % 3 = 0 THEN 0.25 END AS tolerance, {_dice(8)} % 20 = 0 AS ranged,
               40 + {_dice(9)} % 200 AS price, CASE WHEN {_dice(10)} % 2 = 0 THEN 13 END AS knee_at, {points}
        FROM (SELECT unnest(generate_series(1, $count)) AS style)"""


def _fill(connection: duckdb.DuckDBPyConnection) -> None:
    from halfinch.catalogue.size_rows import SIZE_ROWS, tie_sql

    lengths = "CASE n.length WHEN 'petite' THEN -2 WHEN 'tall' THEN 2 ELSE 0 END"
    told = {
        point: f"s.{point} + n.number * {step}" + (f" + {lengths}" if point in ("inseam", "outseam") else "")
        for point, (_, _, step) in START.items()
    }
    filled = {
        **{name: f"s.{name}" for name in OF_STYLE},
        "style": "'style ' || s.style", "size": "(n.number * 2)::VARCHAR", "size_system": "'US'", "length": "n.length",
        "currency": "'EUR'", "kind": "k.kind", "knee_at": "s.knee_at", "knee_at_from": "'crotch'",
        "inseam_minus": "s.tolerance", "inseam_plus": "s.tolerance", "tie": "0",
        "inseam_to": f"CASE WHEN s.ranged THEN {told['inseam']} + 0.5 END", **told,
        **{f"{point}_half_inch": f"round_even(({sql}) * 2, 0) / 2" for point, sql in told.items()},
        **{f"{point}_status": f"CASE WHEN s.{point} IS NULL THEN '' ELSE 'accepted' END" for point in told},
    }  # fmt: skip
    columns = ", ".join(f"{sql} AS {name}" for name, sql in filled.items())
    names = ", ".join(name for name in SIZE_ROWS.column_names if name in filled)
    connection.execute(
        f"""
        INSERT INTO size_rows ({names})
        SELECT {names.replace("tie", tie_sql() + " AS tie")} FROM (
            SELECT {columns} FROM styles s
            CROSS JOIN (SELECT number, length FROM generate_series(0, {SIZES - 1}) n(number), unnest(?) l(length)) n
            JOIN kinds k ON k.merchant = s.merchant AND k.silhouette = s.silhouette AND k.fabric = s.fabric
                AND k.stretch IS NOT DISTINCT FROM s.stretch AND k.state = s.state AND k.length = n.length)""",
        [list(LENGTHS)],
    )
