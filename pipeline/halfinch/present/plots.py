"""Charts as SVG texts to stand inside a page: Vega-Lite by Altair, drawn without a browser and without a network.

In: frames as `catalogue.report` gives them. Out: one `<svg>` each. Letters and lines take the colour of the text around
them, so that a chart is readable in dark pages and in print; fills keep apart for those who see no difference of red
and green. (`charts.py` draws the few that the workbench shows in its own look and at once.)
"""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd

INK = "currentColor"
FONT = "DejaVu Sans, Verdana, sans-serif"
"""A wide one: where a page has it not, labels take less room than was measured, never more."""
PLAIN = "#4c78a8"
STATUS = {"accepted": "#0072b2", "assumed": "#56b4e9", "held": "#e69f00", "set_aside": "#999999"}
VERDICT = {
    "fits as bought": "#0072b2", "fits with a hem": "#56b4e9", "near miss": "#f0e442", "not known": "#cccccc",
    "no": "#999999",
}  # fmt: skip
POINT_ORDER = ("waist", "hip", "front_rise", "back_rise", "thigh", "knee", "leg_opening", "inseam", "outseam")
MOST_ROWS, MOST_RUNS = 30, 80
"""So many merchants, and runs of a point, are drawn: the largest ones."""


def draw_figures(figures: pd.DataFrame) -> str:
    """Figures by merchant and status: columns merchant, status, figures."""
    import altair as alt

    kept, order = _largest(figures, "figures")
    bars = alt.Chart(kept).mark_bar().encode(
        x=alt.X("sum(figures):Q", title="figures"),
        y=alt.Y("merchant:N", sort=order, title=None),
        color=_colour("status", STATUS),
        order=alt.Order("rank:Q"),
    )  # fmt: skip
    ranks = kept["status"].map(list(STATUS).index)
    return _svg(bars.properties(data=kept.assign(rank=ranks), width=520), "figures")


def draw_completeness(complete: pd.DataFrame) -> str:
    """A heat map: the share of a merchant's sizes that tell a point. Columns merchant, point, share, sizes."""
    import altair as alt

    kept, order = _largest(complete, "sizes")
    base = alt.Chart(_named(kept)).encode(
        x=alt.X("named:N", sort=_names(), title=None, axis=alt.Axis(orient="top", labelAngle=-30)),
        y=alt.Y("merchant:N", sort=order, title=None),
    )  # fmt: skip
    shade = alt.Color("share:Q", title="of sizes", scale=alt.Scale(scheme="blues", domain=[0, 1]),
                      legend=alt.Legend(format=".0%"))  # fmt: skip
    told = base.mark_text(fontSize=10).encode(
        text=alt.Text("share:Q", format=".0%"),
        color=alt.condition("datum.share > 0.6", alt.value("white"), alt.value("#1c2328")),
    )  # fmt: skip
    return _svg((base.mark_rect().encode(color=shade) + told).properties(width=520), "complete")


def draw_growth(growth: pd.DataFrame) -> str:
    """Grading curves: inches more than the smallest size, a line a garment and length, a panel a point."""
    import altair as alt

    kept = _named(growth.assign(run=growth["garment_id"] + " " + growth["length"]))
    longest = kept.groupby(["point", "run"]).size().sort_values(ascending=False, kind="stable")
    runs = set(longest.groupby("point").head(MOST_RUNS).index)
    kept = kept[[pair in runs for pair in zip(kept["point"], kept["run"], strict=True)]]
    dots = {"size": 6, "color": PLAIN}
    lines = alt.Chart().mark_line(color=PLAIN, opacity=0.5, strokeWidth=1, point=dots).encode(
        x=alt.X("at:Q", title="sizes above the smallest", axis=alt.Axis(tickMinStep=1)),
        y=alt.Y("grown:Q", title="inches more"),
        detail="run:N",
    )  # fmt: skip
    return _panels(lines, kept, "growth")


def draw_halves(halves: pd.DataFrame) -> str:
    """How many figures round to each half inch, a panel a point. Columns point, half_inch, figures."""
    import altair as alt

    kept = _named(halves)
    kept = kept.assign(start=kept["half_inch"] - 0.22, end=kept["half_inch"] + 0.22)
    bars = alt.Chart().mark_bar(color=PLAIN).encode(
        x=alt.X("start:Q", title="inches, to the nearest half", scale=alt.Scale(zero=False)),
        x2="end:Q",
        y=alt.Y("figures:Q", title="figures", axis=alt.Axis(tickMinStep=1)),
    )  # fmt: skip
    return _panels(bars, kept, "halves")


def draw_shapes(shapes: pd.DataFrame) -> str:
    """How a point is spread over each silhouette: every size a stroke, the middle half a box. Columns silhouette,
    point, inches."""
    import altair as alt

    kept = _named(shapes[shapes["point"].isin(("leg_opening", "knee", "thigh", "front_rise", "inseam"))])
    y = alt.Y("silhouette:N", title=None)
    x = alt.X("inches:Q", title="inches", scale=alt.Scale(zero=False))
    strokes = alt.Chart().mark_tick(color=INK, opacity=0.35, thickness=1).encode(x=x, y=y)
    boxes = alt.Chart().mark_boxplot(
        color=PLAIN, opacity=0.55, size=11, outliers=False, ticks=False, median={"color": INK}, rule={"color": INK}
    ).encode(x=x, y=y)  # fmt: skip
    return _panels(alt.layer(boxes, strokes), kept, "shapes", columns=2, width=290, height={"step": 22}, free="x")


def draw_coverage(covered: pd.DataFrame, of: str) -> str:
    """What each body can wear: shares of `of` (sizes or garments). Columns body, verdict, sizes, garments."""
    import altair as alt

    total = covered.groupby("body")[of].transform("sum")
    kept = covered.assign(
        share=covered[of] / total.where(total > 0, 1), rank=covered["verdict"].map(list(VERDICT).index)
    )
    base = alt.Chart(kept).encode(
        x=alt.X("share:Q", title=f"share of {of}", stack="zero", axis=alt.Axis(format=".0%")),
        y=alt.Y("body:N", title=None, sort=None),
        order=alt.Order("rank:Q"),
    )  # fmt: skip
    bars = base.mark_bar(stroke="white", strokeWidth=0.5).encode(color=_colour("verdict", VERDICT))
    return _svg(bars.properties(width=520, height={"step": 34}), f"cover-{of}")


def _panels(
    chart: Any, frame: pd.DataFrame, name: str, *, columns: int = 3, width: int = 175, height: Any = 120,
    free: str = "xy",
) -> str:  # fmt: skip
    """One small chart a point, each with scales of its own."""
    import altair as alt

    there = [point for point in _names() if point in set(frame["named"])]
    facet = alt.Facet("named:N", title=None, sort=there, header=alt.Header(labelFontSize=12, labelFontWeight="bold"))
    made = chart.properties(width=width, height=height).facet(facet, columns=columns, data=frame)
    scales = dict.fromkeys(free, "independent")
    return _svg(made.resolve_scale(**scales).resolve_axis(x="independent", y="independent"), name)


def _svg(chart: Any, name: str) -> str:
    """The chart's SVG; `name` keeps its ids apart from those of other charts on the page."""
    text = {"labelColor": INK, "titleColor": INK, "labelFontSize": 11, "titleFontSize": 11, "titleFontWeight": "normal"}
    lines = {"domainColor": INK, "tickColor": INK, "gridColor": INK, "gridOpacity": 0.15}
    made = (
        chart.configure(background="transparent", font=FONT, padding={"left": 24, "right": 8, "top": 4, "bottom": 4})
        .configure_view(stroke=None)
        .configure_axis(**text, **lines, labelLimit=220)
        .configure_legend(**text, orient="bottom")
        .configure_header(labelColor=INK, titleColor=INK)
    )
    drawn = io.StringIO()
    made.save(drawn, format="svg")
    svg = re.sub(r'(\bid="|url\(#|href="#)', rf"\g<1>{name}-", drawn.getvalue())
    # Marks carry a label each for readers of screens; the figure's caption and table say more in fewer words.
    return re.sub(r' (?:aria-[a-z]+|role)="[^"]*"', "", svg)


def _colour(column: str, colours: dict[str, str]) -> Any:
    import altair as alt

    scale = alt.Scale(domain=list(colours), range=list(colours.values()))
    return alt.Color(f"{column}:N", title=None, scale=scale)


def _largest(frame: pd.DataFrame, by: str) -> tuple[pd.DataFrame, Sequence[str]]:
    """The rows of the merchants with most, and their names in that order."""
    named = frame.assign(merchant=frame["merchant"].where(frame["merchant"] != "", "not said"))
    order = list(named.groupby("merchant")[by].sum().sort_values(ascending=False, kind="stable").index[:MOST_ROWS])
    return named[named["merchant"].isin(order)], order


def _named(frame: pd.DataFrame) -> pd.DataFrame:
    return frame.assign(named=frame["point"].str.replace("_", " "))


def _names() -> list[str]:
    return [point.replace("_", " ") for point in POINT_ORDER]
