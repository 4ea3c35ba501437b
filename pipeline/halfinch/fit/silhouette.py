"""Which silhouette a garment has: by its name, else by its opening and knee, else not known."""

from __future__ import annotations

import re

from halfinch.knowledge import Knowledge
from halfinch.knowledge.spec_fit import Silhouette


def name_silhouette(text: str, knowledge: Knowledge) -> str:
    """The canonical silhouette that a word or phrase names; '' where none or several are named."""
    folded = " ".join(re.split(r"[\s_-]+", text.casefold().strip()))
    rows = knowledge.silhouettes.silhouette
    for name, row in rows.items():
        if folded in (name, *(word.casefold() for word in row.also)):
            return name
    found = {
        (match.start(), match.end(), name)
        for name, row in rows.items()
        for word in (name, *row.also)
        for match in re.finditer(rf"(?<![^\W_]){re.escape(word.casefold())}(?![^\W_])", folded)
    }
    longest = {
        name
        for start, end, name in found
        if not any(s <= start and end <= e and (s, e) != (start, end) for s, e, _ in found)
    }
    return longest.pop() if len(longest) == 1 else ""


def infer_silhouette(opening: float | None, knee: float | None, knowledge: Knowledge) -> str:
    """The one silhouette whose usual opening and opening less knee hold these figures; '' where not exactly one."""
    if opening is None or knee is None:
        return ""
    fitting = [
        name
        for name, row in knowledge.silhouettes.silhouette.items()
        if row.opening.low <= opening <= row.opening.high
        and row.opening_less_knee.low <= opening - knee <= row.opening_less_knee.high
    ]
    return fitting[0] if len(fitting) == 1 else ""


def infer_sql(knowledge: Knowledge, opening: str, knee: str) -> str:
    """SQL of infer_silhouette over two columns of inches (DOUBLE: decimals take three times as long)."""
    suits = {
        name: f"({opening} BETWEEN {float(row.opening.low)} AND {float(row.opening.high)} AND {opening} - {knee} "
        f"BETWEEN {float(row.opening_less_knee.low)} AND {float(row.opening_less_knee.high)})"
        for name, row in knowledge.silhouettes.silhouette.items()
    }
    fitting = " + ".join(f"{condition}::INT" for condition in suits.values())
    cases = " ".join(f"WHEN {condition} THEN '{name}'" for name, condition in suits.items())
    return f"CASE WHEN {fitting} = 1 THEN CASE {cases} END ELSE '' END"


def middle_sql(point: str) -> str:
    """SQL of the middle of a printed range, or of the one figure, of a row `r` of sizes."""
    return f"((r.{point} + coalesce(r.{point}_to, r.{point})) / 2)::DOUBLE"


def find_row(silhouette: str, knowledge: Knowledge) -> Silhouette:
    """The row of silhouettes.toml, `unsaid` where the silhouette is not known."""
    return knowledge.silhouettes.silhouette.get(silhouette, knowledge.silhouettes.unsaid)
