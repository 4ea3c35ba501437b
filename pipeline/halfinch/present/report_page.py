"""The report: one page that stands alone, charts inside it, readable in print."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from halfinch.catalogue.report import MOST_HELD, MOST_UNUSUAL, Report
from halfinch.present import plots

if TYPE_CHECKING:
    import pandas as pd


def render_report(name: str, report: Report, covered: pd.DataFrame | None = None) -> str:
    """The page of a catalogue called `name`; `covered`: a row each of fit.coverage.Covered, None without bodies."""
    from jinja2 import Environment, PackageLoader
    from markupsafe import Markup

    drawn: dict[str, Markup] = {}
    for key, frame, make in (
        ("figures", report.figures, plots.draw_figures),
        ("complete", report.complete, plots.draw_completeness),
        ("growth", report.growth, plots.draw_growth),
        ("shapes", report.shapes, plots.draw_shapes),
        ("halves", report.halves, plots.draw_halves),
    ):
        if len(frame):
            drawn[key] = Markup(make(frame))
    if covered is not None and len(covered):
        drawn |= {of: Markup(plots.draw_coverage(covered, of)) for of in ("sizes", "garments") if covered[of].sum()}
    pages = Environment(loader=PackageLoader("halfinch.present"), autoescape=True, trim_blocks=True, lstrip_blocks=True)
    statuses = report.figures.groupby("status")["figures"].sum().to_dict()
    return pages.get_template("report.html").render(
        name=name, at=f"{datetime.now(UTC):%Y-%m-%d %H:%M} UTC", counts=report.counts, statuses=statuses, drawn=drawn,
        outcomes=report.sheets.groupby("outcome")["sheets"].sum().to_dict(),
        fates=fates(report.sheets), covered=None if covered is None else served(covered),
        held=report.held.to_dict("records"), unusual=report.unusual.to_dict("records"),
        most_held=MOST_HELD, most_unusual=MOST_UNUSUAL,
    )  # fmt: skip


def fates(sheets: pd.DataFrame) -> list[dict[str, object]]:
    """A row a merchant: how many sheets ended in which way."""
    wide = sheets.pivot_table(index="merchant", columns="outcome", values="sheets", aggfunc="sum", fill_value=0)
    return [{"merchant": merchant, **dict(row)} for merchant, row in wide.iterrows()]


def served(covered: pd.DataFrame) -> list[dict[str, object]]:
    """A row a body: shares of sizes and garments that it can wear as bought, and counting hems."""
    rows: list[dict[str, object]] = []
    for body, told in covered.groupby("body", sort=False):
        row: dict[str, object] = {"body": body}
        for of in ("sizes", "garments"):
            met = told.set_index("verdict")[of]
            bought, hemmed = int(met["fits as bought"]), int(met["fits with a hem"])
            row |= {f"{of}_bought": bought, f"{of}_hemmed": hemmed, of: int(met.sum())}
        rows.append(row)
    return rows
