"""Figures printed as a difference to another length ("Tall: +5"): worked out and marked as derived."""

from __future__ import annotations

from dataclasses import replace

from halfinch.interpret.raw import RawFigure

BASE_LENGTHS = ("regular", "", "medium")


def resolve_differences(raws: list[RawFigure]) -> list[RawFigure]:
    """A difference becomes the regular figure of the same point and size plus itself; alone it is dropped."""
    plain = [raw for raw in raws if raw.printed.kind != "difference"]
    base: dict[tuple[str, str, str, str], RawFigure] = {}
    for raw in plain:
        if raw.length in BASE_LENGTHS:
            base.setdefault(_key(raw), raw)
    made = []
    for raw in raws:
        if raw.printed.kind != "difference" or not raw.length or raw.length in BASE_LENGTHS:
            continue
        regular = base.get(_key(raw))
        if regular is None or (raw.printed.unit and raw.printed.unit != regular.printed.unit and regular.printed.unit):
            continue
        value = regular.printed.value + raw.printed.value
        derived = replace(
            raw,
            printed=replace(regular.printed, value=value, upper=None, second=None),
            basis="derived",
            holds=list(regular.holds),
            notes=[("difference", f"“{raw.text}” is a difference to “{regular.text}” ({regular.place})")],
        )
        derived.facets = replace(raw.facets, unit=regular.facets.unit)
        made.append(derived)
    return plain + made


def _key(raw: RawFigure) -> tuple[str, str, str, str]:
    attributes = raw.facets.attributes
    return raw.point, raw.size.size if raw.size else "", attributes.get("style", ""), attributes.get("style_code", "")
