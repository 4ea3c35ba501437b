"""Plans and hems in the terminal, for people. Nothing is worked out here: figures come from `halfinch.fit`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from halfinch.fit.body import Band
from halfinch.fit.hem import HemPlan
from halfinch.fit.leg import Hang, Opening
from halfinch.fit.plan import Leg, Plan
from halfinch.fit.price import Price
from halfinch.fit.verdict import Judged
from halfinch.fit.words import say, say_number

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

MARKS = {"fits": "fits", "hem": "hem", "near": "near", "mended": "alter", "no": "no", "not known": "?"}


def match_lines(plans: Sequence[Plan], width: int) -> Iterator[tuple[str, bool]]:
    """The ranked list, best first, under a heading for each verdict, in lines of `width`: (line, is a heading).

    Rows are numbered; `note_lines` says what is to be known of each. A column that nothing is known of is left out.
    """
    rows = [
        (
            str(number), name_garment(plan), name_size(plan), say_hem_of(plan), say_opening_short(plan.leg.opening),
            say_rise(plan), say_chance(plan), say_price(plan.price),
        )
        for number, plan in enumerate(plans, start=1)
    ]  # fmt: skip
    heads = ("", "garment", "size", "hem", "opening", "rise", "chance", "price")
    lines = list(_columns(heads, rows, 1, width))
    yield lines[0], True
    verdict = ""
    for line, plan in zip(lines[1:], plans, strict=True):
        if plan.verdict != verdict:
            verdict = plan.verdict
            yield verdict, True
        yield line, False


def _columns(heads: Sequence[str], rows: Sequence[Sequence[str]], gives_way: int, width: int) -> Iterator[str]:
    """Heads and rows as aligned lines; one column is shortened where the lines would be too long, and no other."""
    from rich.cells import cell_len, set_cell_size

    kept = [place for place, _ in enumerate(heads) if any(cells[place] != "?" for cells in rows)]
    widths = {place: max(cell_len(cells[place]) for cells in [heads, *rows]) for place in kept}
    others = sum(widths[place] + 2 for place in kept if place != gives_way)
    room = max(10, width - others)
    for cells in [heads, *rows]:
        parts = []
        for place in kept:
            text = cells[place]
            if place == gives_way:
                short = text if cell_len(text) <= room else set_cell_size(text, room - 1).rstrip() + "…"
                parts.append(set_cell_size(short, min(room, widths[place])))
            elif place < gives_way + 2:
                parts.append(set_cell_size(text, widths[place]))
            else:
                parts.append(" " * (widths[place] - cell_len(text)) + text)
        yield "  ".join(parts).rstrip()


def note_lines(plans: Sequence[Plan]) -> Iterator[str]:
    """What stands between each garment and a plain yes, by the table's numbers."""
    for number, plan in enumerate(plans, start=1):
        if trouble := say_trouble(plan):
            yield f"{number:>2}  {trouble}"


def name_garment(plan: Plan) -> str:
    garment = plan.garment
    parts = [garment.style or garment.style_code, garment.block if garment.block not in garment.style else ""]
    named = " ".join(part for part in parts if part) or garment.garment_id[:12] or "typed in"
    return f"{named} ({garment.merchant})" if garment.merchant else named


def name_size(plan: Plan) -> str:
    """Size and length; "est." where some of its figures are estimates."""
    marked = "est." if plan.garment.estimated else ""
    return " ".join(part for part in (plan.garment.size, plan.garment.length, marked) if part) or "-"


def say_verdict(plan: Plan) -> str:
    """The verdict, and that it rests on an estimate where a decisive point does."""
    decisive = {point.point for point in plan.points if point.decisive}
    return f"{plan.verdict} (an estimate)" if decisive & set(plan.garment.estimated) else plan.verdict


def say_hem_of(plan: Plan) -> str:
    """As say_cut, for a table."""
    return say_cut(plan.leg, _lets_down(plan.point("inseam")))


def _lets_down(inseam: Judged | None) -> bool:
    return inseam is not None and inseam.state == "hem"


def say_cut(leg: Leg, lets_down: bool = True) -> str:
    """ "up 1 1/2", "down 1/2", "short 3" (no hem puts it right), "none", "?"."""
    if leg.cut is None:
        return "?"
    if leg.finished == leg.inseam:
        return "none"
    if leg.cut > 0:
        return f"up {say_number(leg.cut)}"
    return f"{'down' if lets_down else 'short'} {say_number(-leg.cut)}"


def say_opening(opening: Opening | None) -> str:
    """ "22 > 21 2/3": before and after the hem."""
    if opening is None:
        return "?"
    before = say_number(opening.before)
    if opening.after is None:
        return f"{before} > ?"
    after = say_range(opening.after)
    return before if after == before else f"{before} > {'about ' if opening.estimate else ''}{after}"


def say_opening_short(opening: Opening | None) -> str:
    """As say_opening, an estimate by its middle."""
    if opening is None or opening.after is None or opening.after.low == opening.after.high:
        return say_opening(opening)
    return f"{say_number(opening.before)} > ~{say_number(opening.after.middle)}"


def say_range(band: Band) -> str:
    low, high = say_number(band.low), say_number(band.high)
    return low if low == high else f"{low} to {high}"


def say_rise(plan: Plan) -> str:
    rise = plan.garment.inches("front_rise")
    if rise is None:
        return "?"
    if plan.rise_miss is None:
        return f"{say_number(rise)} (?)"
    if not plan.rise_miss:
        return say_number(rise)
    return f"{say_number(rise)} ({'+' if plan.rise_miss > 0 else ''}{say_number(plan.rise_miss)})"


def say_chance(plan: Plan) -> str:
    """Per cent; * where a decisive point could not be reckoned with."""
    if plan.chance is None:
        return "?"
    return f"{plan.chance.joint:.0%}" + ("" if plan.chance_complete else " *")


def say_price(price: Price) -> str:
    if price.total is not None:
        over = " (over budget)" if price.over else ""
        return f"{price.total:.2f} {price.currency}{over}"
    return " ".join(f"{price.garment:.2f} {price.currency} +?".split()) if price.garment is not None else "?"


def say_trouble(plan: Plan) -> str:
    """What stands between this garment and a plain yes, shortest first."""
    misses = [f"{point.point.replace('_', ' ')}: {point.reason}" for point in plan.points
              if point.decisive and point.state in ("no", "near", "mended")]  # fmt: skip
    unknown = [point.ask for point in plan.not_known if point.decisive and point.ask]
    parts = [*misses, *([f"ask: {', '.join(dict.fromkeys(unknown))}"] if unknown else [])]
    if plan.cautions:
        shoes = ", ".join(hang.shoe for hang in plan.leg.hangs if hang.shoe and hang.caution)
        safe = f" ({say(plan.leg.safe_cut)} off would be safe)" if plan.leg.safe_cut else ""
        parts.append(f"caution: can be trodden on in {shoes}{safe}")
    return "; ".join(parts)


def summary_lines(sizes: int, verdicts: Mapping[str, int], missing: Sequence[str], rest: int = 0) -> list[str]:
    """What the whole catalogue came to, and what the body file would have to say for more."""
    if not sizes:
        return ["The catalogue holds no sizes with clean figures yet: import sheets, or look at what was held."]
    told = [f"{count:,} {verdict}" for verdict, count in verdicts.items()]
    if rest:
        told.append(f"{rest:,} do not, or it is not known (not told apart in a catalogue of this size)")
    met = ", ".join(told)
    lines = [f"{sizes:,} size{'s' if sizes != 1 else ''} judged: {met}."]
    if missing:
        words = ", ".join(key.replace("_", " ") for key in missing)
        lines.append(f"Not in the body file, so it could not be judged: {words}.")
    return lines


def explain_plan(plan: Plan) -> RenderableType:
    """Everything about one plan, as headed lists."""
    from rich.console import Group
    from rich.text import Text

    lines: list[RenderableType] = [
        Text(f"{name_garment(plan)}, size {name_size(plan)}: {say_verdict(plan)}", style="bold")
    ]
    lines.append(points_table(plan.points))
    for head, items in _sections(plan):
        lines.append(Text(head, style="bold"))
        lines.extend(Text(f"  {item}") for item in items)
    return Group(*lines)


def points_table(points: Iterable[Judged]) -> Table:
    """Point, what it comes to, why. Points that only advise are in brackets."""
    from rich.table import Table

    table = Table(box=None, pad_edge=False, show_header=False, padding=(0, 2, 0, 2))
    for _ in range(3):
        table.add_column()
    for point in points:
        name = point.point.replace("_", " ")
        ask = f" (ask the {point.ask_whom} for: {point.ask.replace('_', ' ')})" if point.ask else ""
        table.add_row(name if point.decisive else f"({name})", MARKS[point.state], point.reason + ask)
    return table


def _sections(plan: Plan) -> Iterator[tuple[str, list[str]]]:
    leg = list(leg_lines(plan.leg, plan.shoe.name if plan.shoe is not None else "", _lets_down(plan.point("inseam"))))
    top = []
    if plan.level is not None and plan.level.above_crotch is not None:
        top.append(f"the band sits {say(plan.level.above_crotch)} above the crotch seam; "
                   f"the body measures {say(plan.level.girth)} there")  # fmt: skip
    if plan.gap is not None:
        top.append(f"waistband gap: {say(plan.gap)}")
    money = [f"{say_price(plan.price)}" + (f", rate: {plan.price.rate}" if plan.price.rate else "")]
    money += [f"not known: {part}" for part in plan.price.missing]
    for head, items in (
        ("Leg", leg), ("Top", top), ("How sure", list(chance_lines(plan))), ("Price", money),
        ("Style (rules of thumb)", [style_line(a.says, a.kept, a.top) for a in plan.advice]),
        ("Caution", list(plan.cautions)), ("Mind", list(plan.warnings)), ("Assumed", list(plan.assumptions)),
        ("Before cutting", list(plan.advises)),
    ):  # fmt: skip
        if items:
            yield head, items


def leg_lines(leg: Leg, shoe: str, lets_down: bool = True) -> Iterator[str]:
    """The hem in words, one fact a line. `lets_down`: whether a leg that is too short can be let down."""
    if leg.target is not None:
        clearance = leg.target.clearance
        hangs = f", {say_range(clearance)} in off the floor" if clearance is not None else ""
        yield f"finished inseam wanted: {say(leg.target.inches)}{f' in {shoe}' if shoe else ''}{hangs}"
    if leg.cut is not None:
        yield f"hem: {say_cut(leg, lets_down)}" + (f", turn-up {say(leg.turn_up)}" if leg.turn_up else "")
    for other in leg.others:
        yield f"if {other.when}: {'up' if other.cut >= 0 else 'short by'} {say(abs(other.cut))}"
    if leg.opening is not None:
        yield f"opening: {say_opening(leg.opening)} in"
        share = leg.opening.share_left
        if share is not None:
            yield f"flare left: at least {share.low:.0%}"
    if leg.knee_gap is not None:
        yield f"garment's knee against the wearer's: {say_range(leg.knee_gap)} in (below 0: it sits low)"
    for hang in leg.hangs:
        yield hang_line(hang)
    for shaft in leg.shafts:
        girth = say_range(shaft.leg) + " in" if shaft.leg is not None else "not known"
        yield f"over the shaft of {shaft.shoe}: leg {girth}, needs {say(shaft.needs)}"


def hang_line(hang: Hang) -> str:
    name = hang.shoe or "barefoot"
    if hang.clearance is None:
        return f"in {name}: lift not known"
    where = f"{say(hang.clearance)} off the floor" if hang.clearance >= 0 else f"drags by {say(-hang.clearance)}"
    return f"{'in ' if hang.shoe else ''}{name}: {where}"


def chance_lines(plan: Plan) -> Iterator[str]:
    if plan.chance is None:
        return
    known = "every decisive point is right" if plan.chance_complete else "the points that are known are right"
    yield f"{plan.chance.joint:.0%} that {known}"
    for point, chance in plan.chance.points.items():
        yield f"{point.replace('_', ' ')}: {chance:.0%}"
    if plan.chance.most_doubt:
        whom = {"merchant": "ask the merchant", "body": "measure again"}.get(plan.chance.ask, "find out")
        yield f"most to be gained: {plan.chance.most_doubt} ({whom})"


def style_line(says: str, kept: bool | None, top: str) -> str:
    mark = {True: "yes", False: "no", None: "-"}[kept]
    return f"{mark}: {says}" + (f" ({top})" if top else "")


def explain_hem(plan: HemPlan) -> RenderableType:
    """One hem worked out, as headed lists."""
    from rich.console import Group
    from rich.text import Text

    lines: list[RenderableType] = [Text(plan.judged.reason, style="bold")]
    if plan.judged.ask:
        lines.append(Text(f"  to be asked for: {plan.judged.ask}"))
    sections = (
        ("Leg", list(leg_lines(plan.leg, plan.shoe.name if plan.shoe is not None else "", _lets_down(plan.judged)))),
        ("Caution", list(plan.cautions)), ("Mind", list(plan.warnings)), ("Assumed", list(plan.assumptions)),
        ("Before cutting", list(plan.advises)),
    )  # fmt: skip
    for head, items in sections:
        if items:
            lines.append(Text(head, style="bold"))
            lines.extend(Text(f"  {item}") for item in items)
    return Group(*lines)


def wearer_lines(rows: Sequence[tuple[str, Plan]], width: int) -> Iterator[str]:
    """One line a body: its best size of one garment, numbered as in `note_lines`."""
    cells = [
        (str(number), name, name_size(plan), plan.verdict, say_hem_of(plan), say_chance(plan))
        for number, (name, plan) in enumerate(rows, start=1)
    ]
    yield from _columns(("", "body", "size", "verdict", "hem", "chance"), cells, 1, width)
