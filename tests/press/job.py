"""One sheet in the making: writes figures into cells and keeps the truth beside them."""

from __future__ import annotations

import random
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from .columns import Column, Manner
from .doc import Block, Cell, Doc, Heading, Para
from .numbers import PER_NM, nanometres, write
from .truth import GIRTHS, Expected, Garment
from .words import load_words


@dataclass(slots=True)
class Job:
    """What layouts draw on: garments, columns, manner, chance; and the doc that they fill."""

    rng: random.Random
    manner: Manner
    garments: list[Garment]
    columns: list[Column]
    doc: Doc
    words: dict[str, Any] = field(default_factory=dict)

    @property
    def garment(self) -> Garment:
        return self.garments[0]

    def word(self, key: str) -> str:
        """One of the language's words for `key`."""
        return str(self.rng.choice(self.words[key]))

    def add(self, *blocks: Block) -> None:
        self.doc.blocks.extend(blocks)

    def unit_word(self, unit: str) -> str:
        return self.word({"in": "inches", "cm": "cm"}[unit]) if unit != "mm" else "mm"

    def bare_unit(self) -> str:
        """A unit's word that fits behind a preposition: 'cm', not 'in cm'."""
        listed = self.words[{"in": "inches", "cm": "cm"}[self.manner.unit]] if self.manner.unit != "mm" else ["mm"]
        fitting = [word for word in listed if " " not in word]
        return str(self.rng.choice([word for word in fitting if word != "in" and not word.endswith(".")] or fitting))

    def label(self, column: Column) -> str:
        """The label, with the unit in it where the sheet says units there."""
        if self.manner.unit_said in ("label", "rows") and not column.label.endswith(":"):
            short = {"in": ["in", "inches", '"'], "cm": ["cm"], "mm": ["mm"]}[column.unit][0]
            return f"{column.label} ({short})"
        if self.manner.unit_said in ("label", "rows"):
            return f"{column.label[:-1]} ({column.unit}):"
        return column.label

    def text(self, value: Fraction, unit: str) -> str:
        return write(value, self.manner.styles[unit])

    def cell(
        self, column: Column, garment: Garment, size: str, length: str = "", told: tuple[str, str] | None = None
    ) -> Cell:
        """Prints one figure and notes what it means; `told` = (size, length) as the sheet scopes it."""
        if column.other is not None:
            return self._other(column, garment, size, length)
        value = column.printed(garment, size, length)
        cell, lengths = self._written(column, value)
        named_size, named_length = told if told is not None else (size, length)
        why, expect = column.why, column.expect
        truth = Expected(garment.style, column.point, named_size, named_length, lengths, expect, cell.text, why)
        self.doc.truth.append(replace(truth, flat=column.flat, unit=column.unit))
        return cell

    def _written(self, column: Column, value: Fraction) -> tuple[Cell, tuple[int, ...]]:
        exact = nanometres(value, column.unit, column.flat)
        style = self.manner.styles[column.unit]
        if column.pair:
            stretched = round(value * Fraction(13, 10) / column.step) * column.step
            return Cell(f"{write(value, style)} / {write(stretched, style)}"), (exact,)
        if self.manner.unit_said != "both":
            return Cell(write(value, style), value if not style.suffix else None), (exact,)
        other = "cm" if column.unit == "in" else "in"
        exact_way = other == "cm" or self.manner.styles[other].way == "decimal"
        step = Fraction(1, 10) if exact_way else Fraction(1, 8)
        beside = round(value * PER_NM[column.unit] / PER_NM[other] / step) * step
        text = f"{write(value, style)}{self.doc.facts['joint']}{write(beside, self.manner.styles[other])}"
        if self.doc.facts["joint"].endswith("("):
            text += ")"
        return Cell(text), (exact, nanometres(beside, other, column.flat))

    def _other(self, column: Column, garment: Garment, size: str, length: str) -> Cell:
        low, high = column.other or (0.0, 0.0)
        inches = low + (high - low) * 0.5
        if low < 0:  # the stretched waist, printed half where the relaxed one is
            waist = next((c for c in self.columns if c.point == "waist"), None)
            inches = garment.values[("waist", size, length)] * (0.625 if waist and waist.flat else 1.25)
        scaled = inches * {"in": 1.0, "cm": 2.54, "mm": 25.4}[column.unit]
        value = round(Fraction(scaled) / column.step) * column.step
        if column.point != "front_rise":
            return self._written(column, value)[0]
        value = self._without_band(column, garment, size, length)
        cell, lengths = self._written(column, value)
        band = self._band_heights()
        sums = tuple(nm + height for nm in lengths for height in band)
        expect = "either" if band else "hold"
        truth = Expected(garment.style, "front_rise", size, length, sums, expect, cell.text, column.why)
        self.doc.truth.append(truth)
        return cell

    def _band_heights(self) -> tuple[int, ...]:
        """The waistband's height where the sheet prints it: the sum is then the rise."""
        name = next(iter(label for label, span in self.words["others"].items() if span == [1.0, 2.25]))
        column = next((c for c in self.columns if c.label == name), None)
        if column is None:
            return ()
        scale = {"in": 1.0, "cm": 2.54, "mm": 25.4}[column.unit]
        return self._written(column, round(Fraction(1.625 * scale) / column.step) * column.step)[1]

    def _without_band(self, column: Column, garment: Garment, size: str, length: str) -> Fraction:
        scale = {"in": 1.0, "cm": 2.54, "mm": 25.4}[column.unit]
        inches = garment.values[("front_rise", size, length)] - 1.5
        return round(Fraction(inches * scale) / column.step) * column.step

    def corner(self, key: str) -> Cell:
        """The cell over the labels; says the unit where the sheet does so there."""
        text = self.word(key)
        if self.manner.unit_said == "corner":
            text = f"{text} ({self.unit_word(self.manner.unit)})".strip()
        return Cell(text, head=True)

    def say_units(self) -> list[Para]:
        """Notes that a reader needs: unit, flat or round."""
        notes = []
        if self.manner.unit_said == "note":
            notes.append(self.word("unit_notes").format(unit=self.bare_unit()))
        if self.manner.mode.endswith("by note"):
            notes.append(self.word("flat_notes" if self.manner.mode.startswith("flat") else "round_notes"))
        return [Para(note) for note in notes]

    def title(self) -> Heading:
        return Heading(self.doc.title, 1)


def load_job(rng: random.Random, manner: Manner, garments: list[Garment], columns: list[Column], doc: Doc) -> Job:
    return Job(rng, manner, garments, columns, doc, load_words(manner.language))


def girth(point: str) -> bool:
    return point in GIRTHS
