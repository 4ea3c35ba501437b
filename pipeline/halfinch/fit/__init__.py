"""Bodies, shoes, hem, rise, ease, chance, verdict: pure functions on inches.

In: a Body (`load_body`) and a GarmentSize (`size_from_row` of the catalogue's `sizes`, `make_size` of typed figures).
Out: a Plan with its verdict, the reason for every point, the cut, the opening before and after, chance and price.
Begin reading at `planning.make_plan`; the formulas stand in `leg.py` and `top.py`, the limits in `schemas/`. A whole
catalogue is ranked inside DuckDB (`sizes.open_sizes`, `matching.find_matches`, `rank.py`) and by the same formulas.
"""

from halfinch.fit.body import Band, Body, Pair, Shoe, Taste
from halfinch.fit.body_file import load_body, read_body
from halfinch.fit.garment import GarmentSize, Point, make_size, size_from_row
from halfinch.fit.hem import HemPlan, plan_hem
from halfinch.fit.matching import choose_garment, find_matches, match, match_rows
from halfinch.fit.plan import Plan
from halfinch.fit.planning import make_plan
from halfinch.fit.sizes import open_sizes
from halfinch.fit.survey import check_body

__all__ = [
    "Band",
    "Body",
    "GarmentSize",
    "HemPlan",
    "Pair",
    "Plan",
    "Point",
    "Shoe",
    "Taste",
    "check_body",
    "choose_garment",
    "find_matches",
    "load_body",
    "make_plan",
    "make_size",
    "match",
    "match_rows",
    "open_sizes",
    "plan_hem",
    "read_body",
    "size_from_row",
]
