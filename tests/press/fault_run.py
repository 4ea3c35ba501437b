"""Reads broken sheets: how many noticeable faults were caught, how many slipped through, what was held beside them."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from .doc import Doc
from .faults import FAULTS, Broken, break_sheet
from .plan import Printed, Wish, draw_doc, print_doc
from .score import CLEAN, interval, same_place


@dataclass(frozen=True, slots=True)
class Outcome:
    """One broken sheet, read. `slipped`: figures that could be noticed and came clean and wrong."""

    seed: int
    kind: str
    noticeable: bool
    slipped: int
    unnoticed: int
    good: int
    good_held: int
    told: str


def run_fault(task: tuple[int, Wish]) -> Outcome | None:
    """Prints a plain sheet, breaks it, reads it. None where the seed gives no sheet for its fault."""
    from halfinch import knowledge, work

    seed, wish = task
    doc, broken = _break(seed, wish)
    if broken is None:
        return None
    kind, printed = broken.kind, print_doc(doc, seed, wish)
    figures = [f for result in work.read_sheet(printed.data, printed.name, knowledge.load()) for f in result.figures]
    slipped, unnoticed, good, good_held, told = 0, 0, 0, 0, ""
    for number, expected in enumerate(doc.truth):
        hits = [figure for figure in figures if same_place(figure, expected)]
        if number in broken.touched:
            bad = [f for f in hits if f.status in CLEAN and abs(f.length_nm - expected.nm[0]) > 20]
            slipped += bool(bad) and number in broken.noticeable
            unnoticed += bool(bad) and number not in broken.noticeable
            if bad and number in broken.noticeable and not told:
                told = f"{expected.point} {expected.size} = {bad[0].length_nm / 25.4e6:.3f} in, printed {bad[0].raw!r}"
                told += f", was {expected.printed!r}"
        elif number not in broken.pointed:
            good += 1
            good_held += not any(f.status in CLEAN for f in hits) and any(f.status == "held" for f in hits)
    return Outcome(seed, kind, bool(broken.noticeable), slipped, unnoticed, good, good_held, told)


def _break(seed: int, wish: Wish) -> tuple[Doc, Broken | None]:
    rng = random.Random(f"{seed}/fault")
    kind = wish.fault or rng.choice(list(FAULTS))
    layout = "blocks by length" if kind == "petite pasted under regular" else rng.choice(["across", "down"])
    said = wish.said or ("label" if kind == "note against labels" else "")
    plain = replace(wish, said=said, layout=wish.layout or layout, noise=wish.noise or "none")
    doc = draw_doc(seed, plain)
    return doc, break_sheet(doc, kind, rng)


def print_broken(seed: int, wish: Wish) -> Printed | None:
    """The broken sheet's bytes, for a look."""
    doc, broken = _break(seed, wish)
    return print_doc(doc, seed, wish) if broken is not None else None


def fault_report(outcomes: Iterable[Outcome]) -> str:
    """By kind of fault: caught of the noticeable ones, good neighbours held, and the seeds that slipped through."""
    groups: dict[str, list[Outcome]] = defaultdict(list)
    for outcome in outcomes:
        groups[outcome.kind].append(outcome)
        groups["all"].append(outcome)
    heads = f"{'caught %':24}{'good neighbours held %':26}{'unnoticeable slipped':>20}"
    lines = [f"{'':30}{'sheets':>7}{'noticeable':>11}  {heads}"]
    for kind, group in sorted(groups.items()):
        seen = [outcome for outcome in group if outcome.noticeable]
        caught = interval([(int(not outcome.slipped), 1) for outcome in seen])
        held = interval([(outcome.good_held, outcome.good) for outcome in group])
        texts = [f"{100 * part[0]:.1f} [{100 * part[1]:.1f}-{100 * part[2]:.1f}]" for part in (caught, held)]
        slipped = sum(outcome.unnoticed for outcome in group)
        lines.append(f"{kind:30}{len(group):>7}{len(seen):>11}  {texts[0]:24}{texts[1]:26}{slipped:>20}")
    slips = [outcome for outcome in groups["all"] if outcome.slipped]
    lines += [f"python -m tests.press --faults --show {o.seed}   # {o.kind}: {o.told}" for o in slips[:25]]
    return "\n".join(lines)
