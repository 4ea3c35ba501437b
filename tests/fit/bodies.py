"""Invented bodies and garments for the tests of fitting."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from halfinch.fit import Body, GarmentSize, make_size, read_body
from halfinch.knowledge import load

KNOWLEDGE = load()

PETITE = """
invented = true
height = "5 ft 1 in"
inseam = { value = "27 1/4", unit = "in", within = "1/8 in" }
knee_height = "15 1/2 in"
waist = "29 in"
waist_height = "36 1/2 in"
hip = "40 in"
hip_height = "30 in"
thigh = "24 1/2 in"
front_crotch_arc = "11 1/2 in"
front_rise = "9 1/4 to 11 in"
[[shoes]]
name = "block heel"
lift = "2 1/2 in"
toe = "almond"
[taste]
silhouettes = ["wide", "straight", "boot"]
most_opening = "23 in"
"""

TALL = """
invented = true
height = "183 cm"
inseam = "88 cm"
knee_height = "50,5 cm"
waist = "78 cm"
waist_height = "112 cm"
hip = "102 cm"
hip_height = "92 cm"
front_rise = "26 to 31 cm"
[[shoes]]
name = "trainers"
kind = "trainer"
[[shoes]]
name = "tall boots"
lift = "4 cm"
shaft_height = "38 cm"
shaft_girth = "37 cm"
"""

PLUS = """
invented = true
height = "5 ft 6 in"
inseam = "29 3/4 in"
waist = "44 in"
hip = "52 in"
thigh = "31 in"
front_rise = "11 to 13 1/2 in"
back_rise = "15 to 18 in"
[[shoes]]
name = "loafers"
lift = "3/4 in"
[[pairs]]
name = "the black ones"
silhouette = "straight"
inseam = "29 1/4 in"
front_rise = "12 in"
worn_with = "loafers"
clearance = "1 1/4 in"
[taste]
clearance = { straight = "1 in", wide = "1/2 in" }
"""

LEGS: dict[str, dict[str, Any]] = {
    "tapered": {"knee": 17.0, "leg_opening": 12.5, "knee_at": 13.0},
    "straight": {"knee": 16.0, "leg_opening": 16.0, "knee_at": 13.0},
    "boot": {"knee": 16.0, "leg_opening": 18.0, "knee_at": 13.0},
    "flare": {"knee": 16.0, "leg_opening": 24.0, "knee_at": 13.0},
    "wide": {"knee": 18.0, "leg_opening": 22.0, "knee_at": 13.0},
    "barrel": {"knee": 24.0, "leg_opening": 16.0, "knee_at": 13.0},
}


def body(text: str, **changes: Any) -> Body:
    """A body of the texts above, with fields changed."""
    return replace(read_body(text, "body.toml", KNOWLEDGE), **changes)


def garment(**parts: Any) -> GarmentSize:
    """Points by name (inches, knee_at too), everything else a field of GarmentSize."""
    points = {name: parts.pop(name) for name in list(parts) if name in POINTS}
    return replace(make_size(**points), **parts)


POINTS = {
    "inseam", "front_rise", "back_rise", "outseam", "waist", "hip", "thigh", "knee", "leg_opening", "knee_at",
    "label_waist", "label_inseam",
}  # fmt: skip
