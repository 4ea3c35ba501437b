"""What analysts ask again and again, kept in the catalogue itself, so that any DuckDB client has it.

The view `clean_figures` is the clean catalogue with a row a point. Table macros are called with named arguments:
``FROM sizes_for(wearer_waist := 29, wearer_hip := 40)``. Arguments are inches, never columns: a measure typed into a
query is not kept. Limits that stand in `schemas/` are written into the macros when these are made
(`create_for_analysts`: with a new catalogue, an upgrade, a rereading).

`sizes_for` judges the printed figures by the plain rules of `halfinch.fit` (`rate_cut`, `girth_miss`, `Band.miss`;
a test holds them equal). It knows nothing of shoes, of the cloth, of where the band sits: for a person there is
`halfinch match`.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from halfinch.catalogue import store
from halfinch.catalogue.tables import (
    GARMENT_POINTS,
    HALF_INCH,
    INCHES,
    POINTS,
    TEXT,
    Column,
    Table,
    comment_on,
    quoted,
)
from halfinch.catalogue.views import SIZES
from halfinch.errors import UsageError

if TYPE_CHECKING:
    import duckdb

    from halfinch.knowledge import Knowledge

COMPARED = tuple(point for point in GARMENT_POINTS if point != "outseam")
"""Points in which two pairs are compared; the outseam is rise and inseam again."""

SAME = 2e-6
"""Inches: no more than the rounding of stored inches. As `fit.leg.SAME`, which lies above this room."""


@dataclass(frozen=True, slots=True)
class Macro:
    """A macro of the catalogue. `parameters`: name to its default as SQL, '' where it has to be given."""

    name: str
    means: str
    parameters: dict[str, str]
    sql: str
    table: bool = True

    @property
    def call(self) -> str:
        """``sizes_for(wearer_waist, rise_from := NULL)``."""
        told = (f"{name} := {default}" if default else name for name, default in self.parameters.items())
        return f"{self.name}({', '.join(told)})"

    @property
    def statements(self) -> tuple[str, str]:
        """The macro, and its comment."""
        kind = "MACRO TABLE" if self.table else "MACRO"
        body = f"TABLE {self.sql}" if self.table else self.sql
        made = f"CREATE OR REPLACE MACRO {self.call} AS {body}"
        return made, f"COMMENT ON {kind} {self.name} IS {quoted(f'{self.call}: {self.means}')}"


KEYS = SIZES.columns[:8]
"""What names a row of `sizes`."""

CLEAN_FIGURES = Table(
    "clean_figures",
    "The clean catalogue with a row a point: what stands in sizes, for counting and plotting",
    (
        *KEYS,
        Column("point", TEXT, "point of measure; body_* of the body, label_* of the label, else of the garment"),
        Column("inches", INCHES, "inches, full girth or length"),
        Column("inches_to", INCHES, "inches, upper end of a printed range, else NULL"),
        Column("half_inch", HALF_INCH, "inches, to the nearest half"),
        Column("status", TEXT, "accepted | assumed"),
        Column("figure_id", TEXT, "figures.figure_id"),
    ),
)
_OF_POINT = {"inches": "", "inches_to": "_to", "half_inch": "_half_inch", "status": "_status", "figure_id": "_figure"}
"""Column of `clean_figures` to the ending of the point's column in `sizes`."""


def create_for_analysts(connection: duckdb.DuckDBPyConnection, knowledge: Knowledge | None = None) -> None:
    """Makes or remakes the view and every macro, with comments. `sizes` has to be there."""
    connection.execute(f"CREATE OR REPLACE VIEW {CLEAN_FIGURES.name} AS {_clean_figures_sql()}")
    comment_on(connection, CLEAN_FIGURES, "VIEW")
    for macro in all_macros(knowledge):
        for statement in macro.statements:
            connection.execute(statement)


_THINGS = """
    SELECT table_name AS name, 'table' AS kind, comment AS means FROM duckdb_tables()
    UNION ALL SELECT view_name, 'view', comment FROM duckdb_views() WHERE NOT internal
    UNION ALL SELECT function_name, 'macro', comment FROM duckdb_functions() WHERE NOT internal"""


def about_sql(path: Path, name: str, wait: float = store.DEFAULT_WAIT) -> str:
    """SQL of what there is to ask: name, kind, means; with a name, its columns with type and meaning (a macro's
    arguments stand in its meaning). Raises UsageError for a name that there is not."""
    if not name:
        return f"SELECT * FROM ({_THINGS}) WHERE means IS NOT NULL ORDER BY kind DESC, name"
    with store.reading(path, wait) as connection:
        kinds = dict(connection.execute(f"SELECT name, kind FROM ({_THINGS})").fetchall())
    if name not in kinds:
        near = get_close_matches(name, kinds, n=1)
        hint = f' Did you mean "{near[0]}"?' if near else ""
        raise UsageError(f'There is no table, view or macro "{name}".{hint} --about alone lists them.')
    if kinds[name] == "macro":
        return f"SELECT * FROM ({_THINGS}) WHERE name = {quoted(name)}"
    return f"""SELECT column_name AS "column", data_type AS type, comment AS means FROM duckdb_columns()
        WHERE table_name = {quoted(name)} ORDER BY column_index"""


def _clean_figures_sql() -> str:
    told = ", ".join(
        f"{{point: '{point}', {', '.join(f'{to}: {point}{ending}' for to, ending in _OF_POINT.items())}}}"
        for point in POINTS
    )
    keys = ", ".join(column.name for column in KEYS)
    values = ", ".join(f"told.{column.name}" for column in CLEAN_FIGURES.columns[len(KEYS) :])
    return f"""
    SELECT {keys}, {values} FROM (SELECT {keys}, unnest([{told}]) AS told FROM sizes) WHERE told.inches IS NOT NULL"""


def all_macros(knowledge: Knowledge | None = None) -> tuple[Macro, ...]:
    """Every macro, one that another calls before it. `knowledge` None: what comes with halfinch."""
    from halfinch.knowledge import load

    known = knowledge or load()
    sizes_for = _sizes_for(known)
    return (
        _size_rank(known), _grade_steps(), _nearest_sizes(), _sizes_near(), sizes_for, _wearable_share(sizes_for),
    )  # fmt: skip


def _size_rank(knowledge: Knowledge) -> Macro:
    alpha = knowledge.size_systems.alpha
    letters = ", ".join(quoted(size) for size in (*alpha.order, *alpha.plus))
    first = "trim(split_part(upper(size_label), '/', 1))"
    return Macro(
        "size_rank",
        "a number that sizes of one run are ordered by: 000, 00, 0, 2 ...; XS, S, M ...; NULL for a size without order",
        {"size_label": ""},
        f"""(CASE WHEN regexp_full_match(size_label, '0+') THEN 1.0 - length(size_label)
            ELSE coalesce(list_position([{letters}], {first})::DOUBLE,
                 try_cast(regexp_extract(replace(size_label, ',', '.'), '^[0-9]+([.][0-9]+)?') AS DOUBLE)) END)""",
        table=False,
    )


def _named(wanted: str) -> str:
    """A condition: the garment (or merchant) that an argument names, '' for all."""
    return f"""({wanted} = '' OR lower({wanted}) IN (lower(style), lower(style_code), lower(merchant))
        OR (length({wanted}) >= 6 AND starts_with(garment_id, {wanted})))"""


def _grade_steps() -> Macro:
    return Macro(
        "grade_steps",
        "how points grow from size to size, a row a step, inches; whose: a style, its code, garment_id or merchant, ''"
        " for all",
        {"whose": "''"},
        f"""SELECT garment_id, merchant, style, style_code, block, length, point, size_system,
                   lag(size) OVER run AS size_from, size AS size_to,
                   lag(inches) OVER run AS inches_from, inches AS inches_to, inches - lag(inches) OVER run AS step
            FROM clean_figures WHERE size_rank(size) IS NOT NULL AND {_named("whose")}
            WINDOW run AS (PARTITION BY garment_id, size_system, length, point ORDER BY size_rank(size), size)
            QUALIFY size_from IS NOT NULL ORDER BY merchant, style, garment_id, length, point, size_rank(size_to)""",
    )


_APART = """sqrt(avg(pow(o.inches - m.inches, 2))) AS distance, count(*) AS points,
    arg_max(o.point, abs(o.inches - m.inches)) AS most_apart, max(abs(o.inches - m.inches)) AS apart_by"""
_POINTS = ", ".join(f"'{point}'" for point in COMPARED)


def _nearest_sizes() -> Macro:
    return Macro(
        "nearest_sizes",
        "sizes nearest to a favourite pair, nearest first: distance is the root mean square of what they differ by, in"
        " inches, over the points that both have; favourite: a style, its code or garment_id",
        {"favourite": "", "size_worn": "", "length_worn": "''", "least_points": "3"},
        f"""WITH mine AS (SELECT * FROM clean_figures WHERE {_named("favourite")} AND size = size_worn::VARCHAR
                AND (length_worn = '' OR length = length_worn) AND point IN ({_POINTS}))
            SELECT o.garment_id, o.merchant, o.style, o.style_code, o.size, o.size_system, o.length, {_APART},
                   m.merchant AS favourite_merchant, m.style AS favourite_style, m.length AS favourite_length
            FROM clean_figures o JOIN mine m ON o.point = m.point
            WHERE (o.garment_id, o.size, o.length) <> (m.garment_id, m.size, m.length)
            GROUP BY ALL HAVING count(*) >= least_points ORDER BY distance, o.merchant, o.style, o.size, o.length""",
    )


def _sizes_near() -> Macro:
    given = ", ".join(f"near_{point}" for point in COMPARED)
    return Macro(
        "sizes_near",
        "sizes nearest to figures typed in (inches, full girth or length), nearest first: distance is the root mean"
        " square of what they differ by over the points given",
        {**{f"near_{point}": "NULL" for point in COMPARED}, "least_points": "1"},
        f"""WITH mine AS (SELECT * FROM (SELECT unnest([{_POINTS}]) AS point, unnest([{given}]::DOUBLE[]) AS inches)
                WHERE inches IS NOT NULL)
            SELECT o.garment_id, o.merchant, o.style, o.style_code, o.size, o.size_system, o.length, {_APART}
            FROM clean_figures o JOIN mine m ON o.point = m.point
            GROUP BY ALL HAVING count(*) >= least_points ORDER BY distance, o.merchant, o.style, o.size, o.length""",
    )


def _middle(point: str) -> str:
    """A printed range stands for its middle, as in a plan."""
    return f"(({point} + coalesce({point}_to, {point})) / 2)"


def _sizes_for(knowledge: Knowledge) -> Macro:
    limit = knowledge.verdict.limit
    ease = knowledge.silhouettes.unsaid.ease
    as_bought, kept, most, near_rise, near_waist, near_hip = (
        float(row.value)
        for row in (
            limit.as_bought, limit.let_down_kept, limit.allowance_most, limit.near_rise, limit.near_waist,
            limit.near_hip,
        )
    )  # fmt: skip
    cut = f"({_middle('inseam')} - finished_inseam)"
    inseam = f"""CASE WHEN finished_inseam IS NULL THEN '-' WHEN inseam IS NULL THEN 'not known'
        WHEN abs({cut}) <= {as_bought + SAME} THEN 'fits' WHEN {cut} > 0 THEN 'hem'
        WHEN -{cut} <= {most - kept + SAME} THEN 'not known' ELSE 'no' END"""
    rise = _middle("front_rise")
    rise_miss = f"greatest(coalesce(rise_from - {rise}, 0), coalesce({rise} - rise_to, 0), 0)"
    front_rise = f"""CASE WHEN rise_from IS NULL AND rise_to IS NULL THEN '-' WHEN front_rise IS NULL THEN 'not known'
        WHEN {rise_miss} <= {SAME} THEN 'fits' WHEN {rise_miss} <= {near_rise + SAME} THEN 'near' ELSE 'no' END"""
    waist, hip = _round("waist", near_waist), _round("hip", near_hip)
    states = ", ".join(f"{point}_state" for point in ("inseam", "front_rise", "waist", "hip"))
    return Macro(
        "sizes_for",
        "sizes against a body by their printed figures alone, inches: verdict fits as bought | fits with a hem | near"
        " miss | not known | no; take_up is what to hem. finished_inseam: leg from crotch to hem as it is to be worn;"
        " rise_from, rise_to: comfortable front rise; *_ease_*: garment less body; give: share that the cloth gives."
        " What is not given is not judged. For a person take halfinch match, which knows shoes and cloth",
        {
            "wearer_waist": "NULL", "wearer_hip": "NULL", "finished_inseam": "NULL", "rise_from": "NULL",
            "rise_to": "NULL", "waist_ease_from": f"{float(ease.waist.low)}",
            "waist_ease_to": f"{float(ease.waist.high)}", "hip_ease_from": f"{float(ease.hip.low)}",
            "hip_ease_to": f"{float(ease.hip.high)}", "give": "0",
        },
        f"""WITH judged AS (
                SELECT garment_id, merchant, style, style_code, block, size, size_system, length, inseam, front_rise,
                       waist, hip, thigh, knee, leg_opening, {cut} AS take_up,
                       {_middle("waist")} - wearer_waist AS waist_ease,
                       {_middle("hip")} - wearer_hip AS hip_ease,
                       {inseam} AS inseam_state, {front_rise} AS front_rise_state,
                       {waist} AS waist_state, {hip} AS hip_state
                FROM sizes),
            counted AS (SELECT *, [{states}] AS states FROM judged)
            SELECT CASE WHEN list_contains(states, 'no') THEN 'no' WHEN list_contains(states, 'near') THEN 'near miss'
                        WHEN list_contains(states, 'not known') THEN 'not known'
                        WHEN list_contains(states, 'hem') THEN 'fits with a hem'
                        WHEN list_contains(states, 'fits') THEN 'fits as bought' ELSE 'not known' END AS verdict,
                   * EXCLUDE (states)
            FROM counted""",
    )  # fmt: skip


def _round(point: str, near: float) -> str:
    """SQL of a girth's state."""
    value, body = _middle(point), f"wearer_{point}"
    short = f"({body} + {point}_ease_from - {value} * (1 + give))"
    over = f"({value} - {body} - {point}_ease_to)"
    miss = f"CASE WHEN {short} > {SAME} THEN {short} ELSE greatest({over}, 0) END"
    return f"""CASE WHEN {body} IS NULL THEN '-' WHEN {point} IS NULL THEN 'not known'
        WHEN {miss} <= {SAME} THEN 'fits' WHEN {miss} <= {near + SAME} THEN 'near' ELSE 'no' END"""


def _wearable_share(sizes_for: Macro) -> Macro:
    passed = ", ".join(f"{name} := {name}" for name in sizes_for.parameters)
    return Macro(
        "wearable_share",
        "share of each merchant's sizes that a body can wear, as bought and with a hem (0 to 1, of all his sizes),"
        " by sizes_for, whose arguments it takes; not_known counts sizes that lack a figure",
        dict(sizes_for.parameters),
        f"""SELECT merchant, count(*) AS sizes,
                   count(*) FILTER (verdict = 'fits as bought') AS as_bought,
                   count(*) FILTER (verdict = 'fits with a hem') AS with_a_hem,
                   count(*) FILTER (verdict = 'not known') AS not_known,
                   (as_bought + with_a_hem) / count(*) AS share
            FROM sizes_for({passed}) GROUP BY merchant ORDER BY share DESC, merchant""",
    )
