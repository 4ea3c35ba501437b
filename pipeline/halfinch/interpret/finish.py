"""Raw figures become Figures: exact nanometres of the full girth, scopes, garments, findings."""

from __future__ import annotations

import re
from fractions import Fraction

from halfinch.figure import Figure, Finding, Garment
from halfinch.interpret.prices import read_price
from halfinch.interpret.raw import RawFigure
from halfinch.interpret.subject import BODY_POINT
from halfinch.interpret.words import Phrasebook, silhouette_in
from halfinch.knowledge import Knowledge
from halfinch.normalise.half_inch import double_flat
from halfinch.normalise.units import to_nm

GARMENT_KEYS = ("merchant", "style", "style_code", "block", "colour")
LENGTH_POINTS = frozenset({"inseam", "outseam"})


def garment_key(figure: RawFigure) -> str:
    """Names the garment of a raw figure within its sheet."""
    attributes = figure.facets.attributes
    return "|".join(attributes.get(role, "") for role in GARMENT_KEYS)


def make_garment(key: str, figures: list[RawFigure], knowledge: Knowledge, book: Phrasebook) -> Garment:
    """The garment with all that the sheet says of it."""
    attributes: dict[str, str] = {}
    for figure in figures:
        for role, value in figure.facets.attributes.items():
            attributes.setdefault(role, value)
    price, currency = read_price(
        attributes.get("price", ""), attributes.get("currency", ""), knowledge, attributes.get("language", "")
    )
    style = " ".join(attributes.get("style", "").split())
    return Garment(
        key=key,
        merchant=attributes.get("merchant", ""),
        style=style,
        style_code=attributes.get("style_code", ""),
        block=attributes.get("block", ""),
        silhouette=silhouette_in(attributes.get("silhouette", "") or style, knowledge),
        fabric=attributes.get("fabric", ""),
        stretch=read_share(attributes.get("stretch", "")),
        state=attributes.get("state", ""),
        price=price,
        currency=currency,
        colour=attributes.get("colour", ""),
        url=attributes.get("url", ""),
    )


def read_share(text: str) -> Fraction | None:
    """ "20 %" as 1/5."""
    match = re.search(r"(\d+(?:[.,]\d+)?)\s*%", text)
    return Fraction(match.group(1).replace(",", ".")) / 100 if match else None


def make_figure(raw: RawFigure, lengths: dict[str, set[str]]) -> Figure:
    """The Figure of one raw figure: doubled where flat, in whole nanometres."""
    key = garment_key(raw)
    flat = raw.convention == "flat"

    def nm(value: Fraction | None) -> int | None:
        if value is None:
            return None
        length = to_nm(value, raw.unit)
        return double_flat(length) if flat else length

    label = raw.label
    at = None
    if label is not None and label.at is not None:
        at = to_nm(label.at, label.at_unit or raw.unit)
    size = raw.size
    assumed = bool(raw.notes)
    value_nm = nm(raw.printed.value)
    return Figure(
        garment=key,
        point=BODY_POINT.get(raw.point, raw.point) if raw.body else raw.point,
        size=size.size if size is not None else "",
        length_nm=value_nm if value_nm is not None else 0,
        raw=raw.text,
        place=raw.place,
        size_system=size.system if size is not None else "",
        size_also=" / ".join(size.also) if size is not None else "",
        size_scope="unsaid" if size is None and raw.size_scope == "one" else raw.size_scope,
        length=raw.length,
        length_scope=find_length_scope(raw, lengths.get(key, set())),
        length_to_nm=nm(raw.printed.upper),
        tolerance_minus_nm=nm(raw.tolerance_minus),
        tolerance_plus_nm=nm(raw.tolerance_plus),
        at_nm=at,
        at_from=label.at_from if label is not None else "",
        status="held" if raw.holds else "assumed" if assumed else "accepted",
        basis="inferred" if assumed and raw.basis == "declared" else raw.basis,
        unit=raw.unit,
        convention=raw.convention,
        stretched_nm=nm(raw.stretched),
        rivals=tuple(reason for _, reason in raw.holds),
    )


def find_length_scope(raw: RawFigure, lengths: set[str]) -> str:
    """one | all | unsaid: a girth told once beside numbered lengths holds for all of them."""
    if raw.length_scope:
        return raw.length_scope
    if raw.length:
        return "one"
    numbered = lengths and all(length[:1].isdigit() for length in lengths)
    return "all" if numbered and raw.point not in LENGTH_POINTS else "unsaid"


def make_findings(raws: list[RawFigure]) -> list[Finding]:
    """One finding a reason, naming every figure it concerns."""
    grouped: dict[tuple[str, str, str], list[int]] = {}
    for index, raw in enumerate(raws):
        for rule, reason in raw.holds:
            grouped.setdefault((rule, "error", reason), []).append(index)
        for rule, reason in raw.notes:
            grouped.setdefault((rule, "note", reason), []).append(index)
    return [
        Finding(
            rule=rule,
            severity=severity,
            message=message,
            garment=garment_key(raws[indices[0]]),
            figures=tuple(indices),
            place=raws[indices[0]].place,
        )
        for (rule, severity, message), indices in grouped.items()
    ]
