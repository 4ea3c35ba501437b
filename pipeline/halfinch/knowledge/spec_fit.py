"""What the files of fitting hold: silhouettes, lengths, clearances, shoes, prices, style rules, verdict, stretch.

Fields are the files' keys; see `halfinch.knowledge.reading`. Every length is inches (girths all the way round), every
share a part of one (0.02 is 2 %). `because` is the reason for the value, `source` where it was read; "common practice"
means that the trade works so and nobody can be cited.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from halfinch.knowledge.reading import Span

SILHOUETTES = ("skinny", "slim", "straight", "tapered", "boot", "flare", "wide", "barrel")
VERDICTS = ("no", "near miss", "not known", "fits as bought", "fits with a hem")
LENGTHS = ("extra short", "petite", "short", "regular", "long", "tall", "extra long")


@dataclass(frozen=True, slots=True)
class Ease:
    """Garment less body, least and most, at one point; a Span of inches each."""

    waist: Span
    hip: Span
    thigh: Span
    knee: Span


@dataclass(frozen=True, slots=True)
class Silhouette:
    """One table of `silhouettes.toml`."""

    name: str
    means: str
    leg: Literal["narrow", "straight", "opens", "bulges", "unsaid"]
    """How the leg runs from knee to hem: narrows, hangs straight, opens, or bulges at the knee."""
    clearance: str
    """Row of `clearances.toml` that this silhouette is usually worn with."""
    opening_decides: bool
    """Whether the opening is a decisive point of the verdict."""
    opening: Span
    """Usual openings; used to tell a silhouette that the sheet does not name, with `opening_less_knee`."""
    opening_less_knee: Span
    """Opening less knee girth: bounds for a knee that is not printed."""
    knee_of_thigh: Span
    """Usual knee girth over thigh girth; tells a knee printed flat from one printed round."""
    ease: Ease
    because: str
    source: str
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Silhouettes:
    """`silhouettes.toml`. `unsaid` stands in where the silhouette is not known: it admits what any of them admits."""

    silhouette: Mapping[str, Silhouette]
    unsaid: Silhouette

    def check(self) -> str:
        words: dict[str, str] = {}
        for name, row in self.silhouette.items():
            for word in (name, *row.also):
                if words.setdefault(word.casefold(), name) != name:
                    return f"silhouette.{name}.also: {word!r} stands under {words[word.casefold()]} too"
        return ""


@dataclass(frozen=True, slots=True)
class Length:
    """One table of `lengths.toml`: a length set against the regular of the same style."""

    name: str
    means: str
    inseam: Span
    front_rise: Span
    knee_at: Fraction
    """Usual distance from crotch seam to knee line, where a sheet does not print it."""
    knee_at_within: Fraction
    hip: Span
    thigh: Span
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class Lengths:
    """`lengths.toml`; `merchant_within` is how far a merchant's own usual knee line is trusted."""

    merchant_within: Fraction
    merchant_because: str
    length: Mapping[str, Length]

    def check(self) -> str:
        return "" if "regular" in self.length else "length: the row 'regular' is missing"


@dataclass(frozen=True, slots=True)
class Clearance:
    """Floor to back hem, standing in the shoes. Without a range the wearer has to choose (cropped looks)."""

    name: str
    means: str
    because: str
    source: str
    inches: Span | None = None


@dataclass(frozen=True, slots=True)
class Clearances:
    """`clearances.toml`."""

    clearance: Mapping[str, Clearance]


@dataclass(frozen=True, slots=True)
class ShoeKind:
    """One table of `shoes.toml`."""

    name: str
    means: str
    lift: Span
    """Floor to the wearer's heel inside the shoe, platform included."""
    because: str
    source: str
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Shoes:
    """`shoes.toml`."""

    toes: tuple[str, ...]
    soles: tuple[str, ...]
    shoe: Mapping[str, ShoeKind]


@dataclass(frozen=True, slots=True)
class Alteration:
    """One line of the tailor's price list; without a price it is not known."""

    name: str
    means: str
    because: str
    price: Decimal | None = None

    def check(self) -> str:
        return "price: cannot be below 0" if self.price is not None and self.price < 0 else ""


@dataclass(frozen=True, slots=True)
class Rate:
    """A share of the tailor's price that is paid: 0.9 is a tenth off."""

    name: str
    means: str
    share: Fraction
    because: str
    pairs: int = 1
    """From how many pairs at once it holds."""

    def check(self) -> str:
        return "" if 0 < self.share <= 1 else "share: has to be above 0 and at most 1"


@dataclass(frozen=True, slots=True)
class Prices:
    """`prices.toml`: one tailor's price list. Rates apply to the tailor's work alone; the better of two, never both."""

    currency: str
    tailor: str
    alteration: Mapping[str, Alteration]
    rate: Mapping[str, Rate]


@dataclass(frozen=True, slots=True)
class StyleRule:
    """When all that `when_...` says is true, what `wants_...` says should be. It ranks and explains, never drops."""

    name: str
    says: str
    weight: Fraction
    because: str
    source: str
    when_silhouette: tuple[str, ...] = ()
    when_height_below: Fraction | None = None
    when_height_from: Fraction | None = None
    wants_opening_most: Fraction | None = None
    wants_opening_least: Fraction | None = None
    wants_lift_least: Fraction | None = None
    wants_toe: tuple[str, ...] = ()
    wants_sole: tuple[str, ...] = ()
    wants_clearance_most: Fraction | None = None
    wants_front_rise_least: Fraction | None = None
    advises_top: str = ""
    """Told with a plan; tops are not in the catalogue, so nothing is judged by it."""


@dataclass(frozen=True, slots=True)
class StyleRules:
    """`style_rules.toml`."""

    rule: tuple[StyleRule, ...]

    def check(self) -> str:
        for position, rule in enumerate(self.rule):
            for word in rule.when_silhouette:
                if word not in SILHOUETTES:
                    return f"rule.{position}.when_silhouette: {word!r} is no silhouette ({', '.join(SILHOUETTES)})"
        return ""


@dataclass(frozen=True, slots=True)
class Limit:
    """One number of `verdict.toml`."""

    value: Fraction
    unit: Literal["in", "share", "times", "pairs"]
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class Limits:
    """Every limit that a plan is judged by; a missing or misspelt one is refused at load."""

    as_bought: Limit
    near_rise: Limit
    near_waist: Limit
    near_hip: Limit
    near_opening: Limit
    let_down_kept: Limit
    allowance_most: Limit
    take_in_waist_most: Limit
    narrow_leg_most: Limit
    trip_clearance: Limit
    trip_times_u: Limit
    knee_low: Limit
    original_hem: Limit
    boot_ease: Limit
    heel_least: Limit
    heel_most: Limit
    pair_rise: Limit
    knee_share: Limit
    knee_share_sd: Limit
    rise_height_share: Limit
    rise_height_sd: Limit
    check_crotch_share: Limit
    check_knee_share: Limit
    within_body_girth: Limit
    within_body_inseam: Limit
    within_body_height: Limit
    within_tailor: Limit
    within_label_girth: Limit
    within_label_inseam: Limit
    tape_least: Limit


@dataclass(frozen=True, slots=True)
class Verdict:
    """`verdict.toml`."""

    order: tuple[str, ...]
    ranking: tuple[str, ...]
    decisive: tuple[str, ...]
    limit: Limits
    body: Mapping[str, Span]
    """What a body's measure can be at all, inches, by the key of the body file."""

    def check(self) -> str:
        for key, words in (("order", self.order), ("ranking", self.ranking)):
            if sorted(words) != sorted(VERDICTS):
                return f"{key}: has to name each verdict once: {', '.join(VERDICTS)}"
        return ""


@dataclass(frozen=True, slots=True)
class Usable:
    """The share of a stated stretch that a point may use up in wear, and how far that share may be off."""

    name: str
    share: Fraction
    within: Fraction
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class Elastane:
    """Stretch to be expected of a cloth with such a share of elastane, both shares of one."""

    elastane: Span
    stretch: Span
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """How much shorter a length becomes in the first washes, for cloths that hold one of `fibres`."""

    name: str
    fibres: tuple[str, ...]
    share: Span
    because: str
    source: str


@dataclass(frozen=True, slots=True)
class Stretch:
    """`stretch.toml`."""

    usable: Mapping[str, Usable]
    stated_within: Fraction
    stated_because: str
    unsaid_most: Fraction
    unsaid_because: str
    elastane_words: tuple[str, ...]
    preshrunk_words: tuple[str, ...]
    elastane: tuple[Elastane, ...]
    shrinkage: Mapping[str, Shrinkage]


@dataclass(frozen=True, slots=True)
class HowMeasured:
    """One table `measure.KEY` of `measuring.toml`: KEY is a key of the body file."""

    name: str
    asks: str
    how: str
    example: str


@dataclass(frozen=True, slots=True)
class Ratio:
    """One table `ratio.NAME` of `measuring.toml`: measure `over` divided by measure `under`, as a survey found it."""

    name: str
    over: str
    under: str
    usual: Span
    """5th to 95th percentile."""
    almost_all: Span
    """1st to 99th percentile."""
    again: str
    because: str
    source: str

    def check(self) -> str:
        if not (self.almost_all.low <= self.usual.low and self.usual.high <= self.almost_all.high):
            return "usual: reaches beyond almost_all"
        return "" if self.again in (self.over, self.under) else "again: is neither `over` nor `under`"


@dataclass(frozen=True, slots=True)
class Measuring:
    """`measuring.toml`: how a person is measured and how her measures usually stand to one another."""

    measure: Mapping[str, HowMeasured]
    ratio: Mapping[str, Ratio]

    def check(self) -> str:
        for name, row in self.ratio.items():
            for key in (row.over, row.under):
                if key not in self.measure:
                    return f"ratio.{name}: {key!r} is no measure of this file"
        return ""
