"""Invented garments: runs of sizes, grading, relations between points, and what is expected of a printed figure."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from fractions import Fraction

POINTS = ("waist", "hip", "thigh", "knee", "leg_opening", "front_rise", "back_rise", "inseam", "outseam")
GIRTHS = POINTS[:5]

# Full girths at the knee and hem as a share of the thigh (knee) and of the knee (hem): low, high. Common practice.
SILHOUETTES = {
    "skinny": ((0.60, 0.68), (0.66, 0.76)),
    "slim": ((0.64, 0.72), (0.74, 0.86)),
    "tapered": ((0.72, 0.84), (0.66, 0.80)),
    "straight": ((0.70, 0.80), (0.92, 1.05)),
    "bootcut": ((0.64, 0.72), (1.08, 1.25)),
    "flare": ((0.62, 0.70), (1.25, 1.60)),
    "wide": ((0.85, 0.95), (0.98, 1.12)),
    "barrel": ((1.00, 1.12), (0.58, 0.72)),
}
US_WAIST = {"00": 24.0} | {str(n): 25 + n * 0.5 + max(0, n - 10) * 0.25 for n in range(0, 26, 2)}
ALPHA = {"XXS": 24.5, "XS": 26, "S": 28, "M": 30, "L": 32.5, "XL": 35.5, "XXL": 39, "3XL": 42, "4XL": 45}


@dataclass(frozen=True, slots=True)
class Size:
    """A size as the merchant names it. `token` is what a catalogue keeps, `shown` what the sheet prints."""

    token: str
    shown: str
    body_waist: float


@dataclass(frozen=True, slots=True)
class Expected:
    """What the sheet says of one point of one size: `expect` is value | hold | either | nothing.

    `nm` holds every length that counts as right (two printed units may differ by rounding); `size` and `length` are ''
    where the sheet says none, '*' where one figure is told for all.
    """

    garment: str
    point: str
    size: str
    length: str
    nm: tuple[int, ...]
    expect: str = "value"
    printed: str = ""
    why: str = ""
    tolerance_nm: int | None = None
    """Of the full girth, where the sheet prints one."""
    flat: bool = False
    unit: str = "in"


@dataclass(slots=True)
class Garment:
    """One style: its sizes, lengths, and every full girth and length in inches by (point, size token, length)."""

    style: str
    silhouette: str
    code: str
    system: str
    sizes: list[Size]
    lengths: list[str]
    values: dict[tuple[str, str, str], float] = field(default_factory=dict)


def draw_sizes(rng: random.Random, count: int | None = None) -> tuple[str, list[Size]]:
    """A run of sizes in one system, as printed by one merchant."""
    systems = {"us": 4, "uk": 4, "eu": 3, "fr": 2, "it": 2, "waist": 5, "alpha": 6, "dual": 2, "plus": 1}
    systems |= {"every": 1, "junior": 1}
    system = rng.choices(list(systems), list(systems.values()))[0]
    offset = {"uk": 4, "eu": 32, "fr": 34, "it": 38}.get(system, 0)
    if system == "waist":
        under = rng.choice([0, 0, 1])
        run = [(str(n), n - under) for n in range(23, 39)]
        if rng.random() < 0.3:
            run = [entry for entry in run if int(entry[0]) < 32 or int(entry[0]) % 2 == 0]
    elif system == "alpha":
        run = list(ALPHA.items())
    elif system == "dual":
        run = [(token, waist) for token, waist in ALPHA.items() if token not in ("3XL", "4XL")]
    elif system == "every":  # odd sizes between the even ones
        run = [(str(n), 25 + n * 0.75) for n in range(17)]
    elif system == "junior":
        run = [(str(n), 24.5 + n * 0.6) for n in range(1, 17, 2)]
    elif system == "plus":
        run = [(f"{n}W", 36 + (n - 14) * 1.0) for n in range(14, 30, 2)]
    else:
        run = [
            (str(int(token) + offset) if offset else token, waist)
            for token, waist in US_WAIST.items()
            if token != "00" or not offset
        ]
    wanted = min(len(run), count or rng.choices(range(1, 11), [1, 2, 4, 5, 8, 8, 6, 4, 2, 1])[0])
    start = rng.randrange(0, len(run) - wanted + 1)
    style = rng.choice(["bare", "bare", "bare", "prefix", "suffix"])
    return system, [_show_size(system, style, token, waist) for token, waist in run[start : start + wanted]]


def _show_size(system: str, style: str, token: str, waist: float) -> Size:
    if system == "dual":
        number = min(US_WAIST, key=lambda key: abs(US_WAIST[key] - waist))
        shown = {"suffix": f"{token} ({number})", "prefix": f"{number} / {token}"}.get(style, f"{token}/{number}")
        return Size(number if style == "prefix" else token, shown, waist)
    if style == "prefix" and system in ("us", "uk", "eu", "fr", "it"):
        return Size(token, f"{system.upper()} {token}", waist)
    if style == "prefix" and system == "waist":
        return Size(token, f"W{token}", waist)
    if style == "suffix" and system == "waist":
        letter = min(ALPHA, key=lambda key: abs(ALPHA[key] - waist))
        return Size(token, f"{token}({letter})", waist)
    return Size(token, token, waist)


STYLE_WORDS = ("Hollin", "Tarn", "Marrow", "Quillet", "Sedge", "Brindle", "Ottery", "Pinfold", "Wrenna", "Calder")
STYLE_WORDS += ("Fennick", "Larkspur", "Ansty", "Dovey")


def draw_garment(rng: random.Random, word: str, sizes: tuple[str, list[Size]], lengths: list[str]) -> Garment:
    """One style with consistent relations: thigh within the hip, hem by silhouette, outseam near inseam plus rise."""
    silhouette = rng.choice(list(SILHOUETTES))
    system, run = sizes
    style = f"{rng.choice(STYLE_WORDS)} {word}"
    garment = Garment(style, silhouette, f"{rng.choice('ABHKQT')}{rng.randrange(100, 9999)}", system, run, lengths)
    knee_share, hem_share = (rng.uniform(*span) for span in SILHOUETTES[silhouette])
    rise = rng.uniform(8.0, 12.5)
    ease, drop = rng.uniform(-0.5, 2.0) + max(0.0, 10 - rise) * 0.5, rng.uniform(8.5, 13.0)
    ease = min(ease, 45.0 - run[-1].body_waist)
    thigh_share, back = rng.uniform(0.575, 0.65), rng.uniform(2.75, 5.0)
    inseam, slack = rng.uniform(26.0, 33.0), rng.uniform(-1.4, 1.4)
    rise_step, hem_flat = rng.choice([0.125, 0.25, 0.25]), rng.random() < 0.25
    first, hem, narrowing = run[0].body_waist, 0.0, rng.choice([0.0, 0.0, 0.1])
    for size in run:
        grown = size.body_waist - first
        waist = size.body_waist + ease
        hip = waist + drop - grown * narrowing
        thigh = hip * thigh_share
        knee = max(12.0, thigh * knee_share)
        hem = hem if hem_flat and size is not run[0] else min(25.0, max(9.5, knee * hem_share))
        for length in lengths:
            shift = LENGTH_SHIFTS[length]
            front = rise + grown * rise_step * 0.5 + shift * 0.2
            leg = inseam + shift
            row = (waist, hip, thigh, knee, hem, front, front + back, leg, leg + front + slack)
            garment.values |= {(point, size.token, length): v for point, v in zip(POINTS, row, strict=True)}
    return garment


LENGTH_SHIFTS = {"": 0.0, "petite": -2.5, "short": -2.0, "regular": 0.0, "tall": 2.75, "long": 2.5}


def quantise(value: float, step: Fraction) -> Fraction:
    """To the nearest multiple of `step`, the way a person reads a tape."""
    return round(Fraction(value) / step) * step
