"""Size labels and the bodies they are meant for, against published tables."""

from __future__ import annotations

import csv
import re
from fractions import Fraction
from pathlib import Path

from halfinch.knowledge import load
from halfinch.normalise.size_labels import SizeLabel, body_for_label, read_size_label
from halfinch.normalise.units import to_nm

DATA = Path(__file__).parents[1] / "data"
KNOWLEDGE = load()


def read(text: str) -> SizeLabel:
    label = read_size_label(text, KNOWLEDGE)
    assert label is not None, f"{text!r} was not read"
    return label


def rows_of(file: str) -> list[dict[str, str]]:
    return list(csv.DictReader((DATA / file).open(encoding="utf-8")))


def test_designations_of_cs_215_58() -> None:
    """Commercial Standard CS 215-58, quoted in a book on size designation: 14T-, 14R, 14S+."""
    heights = {"tall": "tall", "short": "short", "regular height": "regular"}
    hips = {"slender hip": "-", "average hip": "", "full hip": "+"}
    examples = [row["value"] for row in rows_of("cs215_58_misses.csv") if row["item"] == "designation example"]
    assert len(examples) == 3
    for example in examples:
        text, _, meaning = example.partition(" = ")
        _, height, hip = meaning.split(", ")
        label = read(text)
        assert (label.size, label.length) == ("14" + hips[hip], heights[height])


def test_labels_of_the_press_notice() -> None:
    """BSI press notice of 11 March 2002: one woman, bust 88, waist 72, hip 96 cm, in seven labels."""
    rows = [row for row in rows_of("size_label_equivalents.csv") if row["source"].startswith("BSI press")]
    assert len(rows) == 7
    for row in rows:
        system = row["system"].split("/")[0]
        label = read(row["label"] if row["label"].startswith("C") else f"{system} {row['label']}")
        bodies = body_for_label(label, KNOWLEDGE)
        for point, cm in (("label_waist", 72), ("label_hip", 96)):
            spans = [(low, high) for name, low, high, source in bodies if name == point and "BSI" in source]
            assert len(spans) == 1, row
            assert spans[0][0] <= to_nm(Fraction(cm), "cm") <= spans[0][1]


def test_handbook_table() -> None:
    """UK 6-26 of a handbook's standard table (secondary source): waist and hip lie in the label's range."""
    rows = [row for row in rows_of("size_label_equivalents.csv") if row["source"].startswith("Handbook")]
    assert len(rows) == 11
    for row in rows:
        _, waist, hip = (Fraction(part) for part in row["body_cm"].split("-"))
        bodies = [body for body in body_for_label(read(f"UK {row['label']}"), KNOWLEDGE) if "handbook" in body[3]]
        for (_, low, high, _), cm in zip(bodies, (waist, hip), strict=True):
            assert low <= to_nm(cm, "cm") <= high


def test_letters_of_en_13402_3() -> None:
    """EN 13402-3 as quoted by the CRAN package Anthropometry 1.20: only where the label names EU."""
    for row in rows_of("en13402_3_women.csv"):
        bodies = {body[0]: body[1:3] for body in body_for_label(read(f"EU {row['letter']}"), KNOWLEDGE)}
        for point in ("waist", "hip"):
            low, high = bodies[f"label_{point}"]
            assert (
                low <= to_nm(Fraction(row[f"{point}_from"]), "cm") < to_nm(Fraction(row[f"{point}_to"]), "cm") <= high
            )
        assert body_for_label(read(row["letter"]), KNOWLEDGE) == []


def test_waists_of_astm_d5585() -> None:
    """ASTM D5585-11e1, Table 1, read on ASTM's page: from the curvy to the straight figure's waist."""
    for row in rows_of("astm_d5585_misses.csv"):
        if row["edition"] != "D5585-11e1":
            continue
        curvy, straight = (
            sum(map(Fraction, row[key].split())) for key in ("waist_in_or_waist_curvy_in", "waist_straight_in")
        )
        (body,) = [body for body in body_for_label(read(f"US {row['size']}"), KNOWLEDGE) if "D5585" in body[3]]
        assert body[:3] == ("label_waist", to_nm(Fraction(curvy), "in"), to_nm(Fraction(straight), "in"))


def test_hips_of_jis_l_4005() -> None:
    """JIS L 4005 as told on Japanese pages: 9AR is hip 91, 11AR hip 93; Y -4, AB +4, B +8 cm."""
    rows = [row for row in rows_of("size_label_equivalents.csv") if re.fullmatch(r"\d+AR", row["label"])]
    assert len(rows) >= 6
    offsets = {"Y": -4, "A": 0, "AB": 4, "B": 8}
    for row in rows:
        hip = int(row["body_cm"].split("hip ")[1].split()[0])
        for figure, offset in offsets.items():
            bodies = body_for_label(read(row["label"].replace("AR", f"{figure}R")), KNOWLEDGE)
            spans = {body[0]: body[1:3] for body in bodies}
            assert spans["label_hip"] == (to_nm(Fraction(hip + offset), "cm"),) * 2


def test_bodies_are_not_guessed() -> None:
    """No system, another length, a waist label: no published table is theirs. GB/T 1335.2 labels print the waist."""
    for text in ("12", "M", "UK 12 Petite", "W29 L30", "AU 12", "38", "UK 13"):
        assert body_for_label(read(text), KNOWLEDGE) == []
    assert body_for_label(read("160/84A"), KNOWLEDGE)[0][:3] == ("label_waist", 840_000_000, 840_000_000)
