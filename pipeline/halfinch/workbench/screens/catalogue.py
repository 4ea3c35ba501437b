"""The screen "catalogue": every size, filtered and ordered on the server; each figure leads to its printed cell."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import partial
from pathlib import Path
from tempfile import mkstemp
from typing import Annotated, Any, Literal, NamedTuple
from urllib.parse import parse_qsl

from fastapi import APIRouter, Depends, HTTPException, Query
from markupsafe import Markup
from starlette.background import BackgroundTask
from starlette.responses import FileResponse, HTMLResponse, Response

from halfinch.catalogue.export import JUDGED, export_table
from halfinch.catalogue.held import HeldSpot, held_of, look_at
from halfinch.errors import SheetError
from halfinch.fit.body import Body
from halfinch.fit.browse import Page, browse_judged, browse_keys, browse_sizes
from halfinch.fit.plan import Plan
from halfinch.present.drawing.points import draw_points
from halfinch.present.drawing.svg import STYLE
from halfinch.workbench.pairs import VERDICT_LOOKS, PairKey
from halfinch.workbench.searching import COLUMNS, POINTS, TOLD, VERDICTS, Asked, Meant, read_asked, understand
from halfinch.workbench.showing import show_figure
from halfinch.workbench.view import View, ViewDep
from halfinch.workbench.wearers import find_wearers, open_wearer

router = APIRouter(prefix="/catalogue", tags=["catalogue"])
Form = Literal["csv", "xlsx", "jsonl", "parquet"]
ExportTable = Literal["shown", "sizes", "figures", "garments"]
LINES = 50
"""Sizes on a page."""
FORMATS: tuple[Form, ...] = ("csv", "xlsx", "jsonl", "parquet")
TABLES: tuple[ExportTable, ...] = ("shown", "sizes", "figures", "garments")
BY_NAME = ("merchant", "style", "style_code", "block", "garment_id", "length", "waist", "size")
"""The usual order: the sizes of a garment together, growing."""
BY_GARMENT = ("merchant", "style", "style_code", "silhouette")
"""Orders in which the sizes of a garment stand together, beside the usual one."""
AskedDep = Annotated[Asked, Depends(read_asked)]


class Line(NamedTuple):
    """A size; `heads`: it is the first one of its garment here; `plan`: for the body, if there is one; `held`: what of
    its garment waits for a person."""

    row: Mapping[str, Any]
    heads: bool
    plan: Plan | None
    held: Sequence[HeldSpot] = ()

    def waits(self, point: str) -> HeldSpot | None:
        """The held figure that may belong into a cell."""
        size, length = self.row["size"], self.row["length"]
        return next((one for one in self.held if one.point == point and one.meets(size, length)), None)

    @property
    def key(self) -> str:
        """Names the pair on the pages of a match."""
        return str(PairKey(self.row["garment_id"], self.row["size"], self.row["length"]))

    def stated(self, point: str) -> tuple[Decimal | float, Decimal | float | None] | None:
        """What the sheet says of a point, and the upper end of a range; None where it says nothing."""
        low, high = self.row[point], self.row[f"{point}_to"]
        if low is None:
            return None
        said = self.row.get(f"{point}_stated")  # reckoned with taped pairs
        return (low, high) if said is None else (said, None if high is None else high - (low - said))


class Chip(NamedTuple):
    """Something that is asked for, and the address at which it is not."""

    label: str
    without: str


@router.get("", response_class=HTMLResponse)
def show(view: ViewDep, asked: AskedDep) -> Response:
    """A page of sizes. An address with more than it needs, as a form sends it, leads to the short one."""
    desk = view.desk
    if desk.is_empty:
        return view.page("catalogue/empty.html")
    if view.request.query_params.multi_items() != parse_qsl(asked.query(), keep_blank_values=True):
        return view.go(asked.address(page=asked.page))
    meant, body = understand(asked), _body(view, asked)
    with desk.reading():
        found = _find(view, asked, meant, body)
        held = held_of(desk.catalogue, {row["garment_id"] for row in found.rows}, desk.settings.wait)
        choices = desk.choices
    last = max(1, -(-found.count // LINES))
    if asked.page > last:
        return view.go(asked.address(page=last))
    grouped = asked.order.removeprefix("-") in BY_GARMENT or (not asked.order and body is None)
    return view.page(
        "catalogue/show.html", asked=asked, wrong=meant.wrong, found=found, lines=_lines(found, grouped, held),
        last=last, grouped=grouped, choices=choices, wearers=find_wearers(desk), body=body,
        chips=_chips(view, asked, body),
        points=POINTS, columns=COLUMNS, told=TOLD, verdicts=VERDICTS, typed=partial(_typed, view, asked),
        silhouettes=tuple(desk.knowledge.silhouettes.silhouette), picture=_picture(view), looks=VERDICT_LOOKS,
        heading=partial(_heading, view), amount=partial(_amount, view), formats=FORMATS, tables=TABLES,
    )  # fmt: skip


@router.get("/export", response_class=FileResponse)
def export(
    view: ViewDep, asked: AskedDep, form: Annotated[Form, Query()] = "csv",
    table: Annotated[ExportTable, Query()] = "shown",
) -> Response:  # fmt: skip
    """All that is asked for, on whatever page, as `halfinch export` writes it; `shown`: its columns, in its order."""
    desk, body = view.desk, _body(view, asked)
    settings = desk.settings
    wanted, order = understand(asked).wanted, _order(asked, body)
    beside: dict[str, list[object]] = {}
    if body is None:
        only = browse_keys(desk.catalogue, wanted, desk.knowledge, order=order, wait=settings.wait)
    else:
        judged = browse_judged(
            desk.catalogue, wanted, desk.knowledge, body, shoe=_shoe(asked, body), order=order, wait=settings.wait,
            kept=desk.classes,
        )  # fmt: skip
        only = [one.key for one in judged]
        told = ([one.verdict, _exact(one.finished), _exact(one.opening_after)] for one in judged)
        beside = dict(zip((column.name for column in JUDGED), map(list, zip(*told, strict=True)), strict=False))
    handle, name = mkstemp(suffix=f".{form}", dir=desk.catalogue.parent, prefix=".export-")
    os.close(handle)
    output = Path(name)
    try:
        if table == "shown":
            columns = _columns(asked, tuple(beside))
            export_table(desk.catalogue, "sizes", form, output, only=only, columns=columns, beside=beside,
                         wait=settings.wait)  # fmt: skip
        else:
            export_table(desk.catalogue, table, form, output, only=only, wait=settings.wait)
    except BaseException:
        output.unlink(missing_ok=True)
        raise
    return FileResponse(output, filename=f"{table}.{form}", background=BackgroundTask(output.unlink, missing_ok=True))


@router.get("/figure/{figure_id}", response_class=HTMLResponse)
def show_figure_printed(view: ViewDep, figure_id: str, part: bool = False) -> Response:
    """The printed cell behind a figure. With `part` only what stands beside the table."""
    desk = view.desk
    case = look_at(desk.catalogue, figure_id, "", desk.settings.wait)
    shown, trouble = None, ""
    try:
        shown = show_figure(desk.pictures, desk.pictures.sheet(case.sheet_id), case, whole=False, say=view.wording)
    except SheetError as error:
        trouble = str(error)
    template = "catalogue/proof.html" if part else "catalogue/figure.html"
    return view.page(template, case=case, shown=shown, trouble=trouble)


def _body(view: View, asked: Asked) -> Body | None:
    return open_wearer(view.desk, asked.body).body if asked.body else None


def _find(view: View, asked: Asked, meant: Meant, body: Body | None) -> Page:
    order = _order(asked, body)
    return browse_sizes(
        view.desk.catalogue, meant.wanted, view.desk.knowledge, body=body, shoe=_shoe(asked, body), order=order,
        offset=(asked.page - 1) * LINES, limit=LINES, wait=view.desk.settings.wait,
        kept=view.desk.classes,
    )  # fmt: skip


def _order(asked: Asked, body: Body | None) -> tuple[str, ...]:
    return (asked.order,) if asked.order else BY_NAME if body is None else ()


def _columns(asked: Asked, judged: Sequence[str]) -> tuple[str, ...]:
    """Of a file, for what is shown: which size it is, what it comes to, and each column with what belongs to it."""
    columns = ["merchant", "style", "style_code", "size", "length", *judged]
    for name in asked.show:
        columns += [name, f"{name}_to", f"{name}_status"] if name in POINTS else [name]
        columns += ["currency"] if name == "price" else []
    return tuple(dict.fromkeys(columns))


def _exact(inches: float | None) -> Decimal | None:
    return None if inches is None else round(Decimal(inches), 6)


def _shoe(asked: Asked, body: Body | None) -> str:
    """By its place: a name would stand in the address."""
    if body is None or not asked.shoe:
        return ""
    if asked.shoe >= len(body.shoes):
        raise HTTPException(404)
    return body.shoes[asked.shoe].name


def _lines(found: Page, grouped: bool, held: Mapping[str, Sequence[HeldSpot]]) -> list[Line]:
    lines, above = [], None
    for at, row in enumerate(found.rows):
        plan = found.plans[at] if found.plans else None
        garment = row["garment_id"]
        lines.append(Line(row, grouped and garment != above, plan, held.get(garment, ())))
        above = garment
    return lines


def _typed(view: View, asked: Asked, point: str, end: int) -> str:
    """What stands in a field: as typed, or turned into the unit that the page has now."""
    text = asked.range_of(point)[end]
    if not text or asked.unit == view.unit:
        return text
    meant = understand(asked).wanted.ranges.get(point, (None, None))[end]
    return text if meant is None else view.number(meant)


def _chips(view: View, asked: Asked, body: Body | None) -> list[Chip]:
    """Everything that narrows the page, each with the way to be rid of it."""
    say, chips = view.say, []
    if body is not None:
        verdicts = ", ".join(view.wording.word(name) for name in asked.verdict)
        name = body.name or say("catalogue.her")
        chips.append(Chip(f"{name}: {verdicts}", asked.address(body="")))
    if asked.find:
        chips.append(Chip(f"“{asked.find}”", asked.address(find="")))
    plain = ("merchant", "size", "length", "currency")
    chips += [
        Chip(f"{say(f'catalogue.{name}')}: {getattr(asked, name)}", asked.address(**{name: ""}))
        for name in plain
        if getattr(asked, name)
    ]
    for name in asked.silhouette:
        left = tuple(one for one in asked.silhouette if one != name)
        chips.append(Chip(view.wording.word(name), asked.address(silhouette=left)))
    if asked.price_from or asked.price_to:
        without = asked.address(price_from="", price_to="")
        chips.append(Chip(f"{say('catalogue.price')} {asked.price_from or '…'}–{asked.price_to or '…'}", without))
    for point, _, _, told in asked.ranges:
        ends = [_typed(view, asked, point, end) for end in (0, 1)]
        length = f" {ends[0] or '…'}–{ends[1] or '…'} {view.unit}" if any(ends) else ""
        status = f" ({say(f'catalogue.told.{told}')})" if told else ""
        others = tuple(one for one in asked.ranges if one[0] != point)
        chips.append(Chip(f"{view.wording.point(point)}{length}{status}", asked.address(ranges=others)))
    return chips


def _heading(view: View, name: str) -> str:
    """Words over a column."""
    if name in POINTS:
        return view.wording.point(name)
    return view.say(f"catalogue.columns.{name}")


def _amount(view: View, row: Mapping[str, Any]) -> str:
    """ "89.90 EUR" """
    price = row.get("price")
    if price is None:
        return "–"
    return f"{view.wording.money(price)} {row['currency']}".strip()


def _picture(view: View) -> Markup:
    drawn = draw_points(view.say("catalogue.picture"), view.say("catalogue.picture_told"), view.unique("asked"))
    return Markup(drawn.replace(f"<style>{STYLE}</style>", ""))
