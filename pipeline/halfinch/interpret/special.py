"""Figures that are ours only after a second look: rise without the band, stretched waists, limits, washes."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

from halfinch.interpret.evidence import in_inches, inch_factor
from halfinch.interpret.raw import RawFigure
from halfinch.knowledge import Knowledge
from halfinch.normalise.numbers import read_number

BAND = "waistband_height"
FROM_BAND = {"front_rise": "rise", "back_rise": "rise", "outseam": "outseam"}
"""Lengths that begin at the band's top edge, and their names."""


def settle_special(raws: list[RawFigure], knowledge: Knowledge) -> list[RawFigure]:
    """Adds the band to rises printed without it, pairs relaxed and stretched waists, drops what is not ours."""
    bands = [raw for raw in raws if raw.point == BAND]
    kept = [raw for raw in raws if raw.point != BAND]
    doubt_bare_rises(kept, knowledge)
    for raw in kept:
        split_stretched(raw)
        if raw.point in FROM_BAND and "without_band" in qualifiers_of(raw):
            add_band(raw, bands)
    return drop_other_states(pair_stretched(kept))


def apply_tolerances(raws: list[RawFigure]) -> None:
    """The tolerance that a note states for all points, for figures that have none of their own."""
    for raw in raws:
        text = raw.facets.attributes.get("tolerance", "")
        if not text or raw.tolerance_minus is not None or not raw.unit:
            continue
        number = read_number(text)
        if number is None:
            continue
        value = number.upper if number.upper is not None else number.value
        if number.unit:
            value = value * inch_factor(number.unit) / inch_factor(raw.unit)
        raw.tolerance_minus = raw.tolerance_plus = value


def qualifiers_of(raw: RawFigure) -> frozenset[str]:
    """What label and surroundings say of how it is measured: stretched, without_band ..."""
    said = raw.label.qualifiers if raw.label is not None else frozenset()
    return said | raw.facets.qualifiers


def add_band(raw: RawFigure, bands: list[RawFigure]) -> None:
    """A rise or outseam below the band plus the band's height: derived; without the height it is held."""
    near = [band for band in bands if band.block == raw.block] or bands
    same = [band for band in near if band.size is not None and raw.size is not None and band.size.size == raw.size.size]
    values = {in_inches(band.printed.value, band.unit or raw.unit) for band in same or near}
    if len(values) != 1 or not raw.unit:
        raw.hold(
            "rise-without-band",
            f"the {FROM_BAND[raw.point]} is measured without the waistband, whose height is not on the sheet; "
            "ask for it",
        )
        return
    band = (same or near)[0]
    unit = band.unit or raw.unit
    inches = in_inches(raw.printed.value, raw.unit) + in_inches(band.printed.value, unit)
    raw.notes.append(
        ("rise-plus-band", f"“{raw.text}” is without the waistband; its height “{band.text}” ({band.place}) is added")
    )
    raw.printed = replace(raw.printed, value=inches / inch_factor(raw.unit))
    raw.basis = "derived"


def doubt_bare_rises(raws: list[RawFigure], knowledge: Knowledge) -> None:
    """Holds a "rise" that is longer in every size than front rises are, where no back rise stands beside it."""
    rows: dict[int, list[RawFigure]] = defaultdict(list)
    backs = {raw.block for raw in raws if raw.point == "back_rise"}
    for raw in raws:
        bare = raw.point == "front_rise" and raw.label is not None and raw.label.bare_rise
        if bare and raw.unit and raw.block not in backs:
            rows[raw.block].append(raw)
    for row in rows.values():
        if all(in_inches(raw.printed.value, raw.unit) > knowledge.reading.bare_rise.most for raw in row):
            for raw in row:
                raw.hold("bare-rise", "“rise” may be the front or the back one, and is long for a front one; ask which")


STRETCHES = (Fraction(6, 5), Fraction(17, 10))
"""A stretched waist is 1.2 to 1.6 times the relaxed one on published sheets (common practice)."""


def split_stretched(raw: RawFigure) -> None:
    """A garment's waist of "26-36" is relaxed and stretched: no size is cut for a fifth more than another."""
    upper = raw.printed.upper
    if raw.point != "waist" or raw.body or upper is None or not raw.printed.value:
        return
    if STRETCHES[0] <= upper / raw.printed.value <= STRETCHES[1]:
        raw.stretched, raw.printed = upper, replace(raw.printed, upper=None)


def pair_stretched(raws: list[RawFigure]) -> list[RawFigure]:
    """A stretched waist is kept beside the relaxed one; alone it is no figure of ours and is held."""
    relaxed: dict[tuple[str, str, str], list[RawFigure]] = defaultdict(list)
    for raw in raws:
        if "stretched" not in qualifiers_of(raw):
            relaxed[_same(raw)].append(raw)
    kept = []
    for raw in raws:
        if "stretched" not in qualifiers_of(raw):
            kept.append(raw)
            continue
        partners = relaxed.get(_same(raw), [])
        for partner in partners:
            if partner.stretched is None:
                partner.stretched = raw.printed.value
        if not partners:
            raw.hold("stretched-only", "only the stretched figure is printed; ask for the relaxed one")
            kept.append(raw)
    return kept


def _same(raw: RawFigure) -> tuple[str, str, str]:
    return raw.point, raw.size.size if raw.size is not None else "", raw.length


def drop_other_states(raws: list[RawFigure]) -> list[RawFigure]:
    """Before and after wash side by side: the washed figure is the garment's; limits are no figures."""
    after = {_same(raw) for raw in raws if "after_wash" in qualifiers_of(raw)}
    kept = []
    for raw in raws:
        qualifiers = qualifiers_of(raw)
        if "before_wash" in qualifiers and _same(raw) in after:
            continue
        if qualifiers & {"minimum", "maximum", "old"}:
            continue
        kept.append(raw)
    return kept
