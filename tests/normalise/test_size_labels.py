"""Size labels: single labels, lengths, published tables."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from halfinch.knowledge import load
from halfinch.normalise.size_labels import SizeLabel, read_length_mark, read_size_label

KNOWLEDGE = load()
Expected = tuple[str, str, str, tuple[str, ...]]


def read(text: str, system: str = "") -> SizeLabel:
    label = read_size_label(text, KNOWLEDGE, system)
    assert label is not None, f"{text!r} was not read"
    return label


# text -> size, system, length, also
LABELS: dict[str, Expected] = {
    # waist and inseam
    "W29 L30": ("29", "waist", "30", ()),
    "w29 l30": ("29", "waist", "30", ()),
    "W29/L30": ("29", "waist", "30", ()),
    "W29xL30": ("29", "waist", "30", ()),
    "W 29 / L 32": ("29", "waist", "32", ()),
    "29W 30L": ("29", "waist", "30", ()),
    "29W x 30L": ("29", "waist", "30", ()),
    "29x30": ("29", "waist", "30", ()),
    "29 X 30": ("29", "waist", "30", ()),
    "29×30": ("29", "waist", "30", ()),
    '29"x30"': ("29", "waist", "30", ()),
    "29/30": ("29", "waist", "30", ()),
    "30/32": ("30", "waist", "32", ()),
    "27 L30": ("27", "waist", "30", ()),
    "W29": ("29", "waist", "", ()),
    'W29"': ("29", "waist", "", ()),
    "29W": ("29", "waist", "", ()),
    "W30 Short": ("30", "waist", "short", ()),
    "27 Long": ("27", "waist", "long", ()),
    "36/30": ("36", "", "30", ()),
    "38/32": ("38", "", "32", ()),
    "M L32": ("M", "alpha", "32", ()),
    "EU 38 / L32": ("38", "EU", "32", ()),
    # lengths
    "8P": ("8", "", "petite", ()),
    "8 P": ("8", "", "petite", ()),
    "8/P": ("8", "", "petite", ()),
    "8 Petite": ("8", "", "petite", ()),
    "8-Petite": ("8", "", "petite", ()),
    "Petite 8": ("8", "", "petite", ()),
    "8 (Petite)": ("8", "", "petite", ()),
    "8 PETITE": ("8", "", "petite", ()),
    "0P": ("0", "", "petite", ()),
    "00P": ("00", "US", "petite", ()),
    "14WP": ("14W", "US", "petite", ()),
    "16W Petite": ("16W", "US", "petite", ()),
    "1XP": ("1X", "alpha", "petite", ()),
    "XS Petite": ("XS", "alpha", "petite", ()),
    "PM": ("M", "alpha", "petite", ()),
    "MP": ("M", "alpha", "petite", ()),
    "XLT": ("XL", "alpha", "tall", ()),
    "XL/Tall": ("XL", "alpha", "tall", ()),
    "M Short": ("M", "alpha", "short", ()),
    "M - Short": ("M", "alpha", "short", ()),
    "12R": ("12", "", "regular", ()),
    "8 Reg": ("8", "", "regular", ()),
    "8 Reg.": ("8", "", "regular", ()),
    "30L": ("30", "", "long", ()),
    "8S": ("8", "", "short", ()),
    "38 kurz": ("38", "", "short", ()),
    "38K": ("38", "", "short", ()),
    "38N": ("38", "", "regular", ()),
    "38 lang": ("38", "", "long", ()),
    "40 court": ("40", "", "short", ()),
    "42 lungo": ("42", "", "long", ()),
    "38 krótkie": ("38", "", "short", ()),
    "8 extra short": ("8", "", "extra short", ()),
    "UK 12 Long": ("12", "UK", "long", ()),
    "UK 12R": ("12", "UK", "regular", ()),
    "US 8 Petite": ("8", "US", "petite", ()),
    # systems
    "UK 12": ("12", "UK", "", ()),
    "UK12": ("12", "UK", "", ()),
    "12 UK": ("12", "UK", "", ()),
    "12 (UK)": ("12", "UK", "", ()),
    "(UK) 12": ("12", "UK", "", ()),
    "uk 12": ("12", "UK", "", ()),
    "US:4": ("4", "US", "", ()),
    "USA 10": ("10", "US", "", ()),
    "EU36": ("36", "EU", "", ()),
    "EUR 36": ("36", "EU", "", ()),
    "DE 38": ("38", "DE", "", ()),
    "IT 44": ("44", "IT", "", ()),
    "ES 44/46": ("44/46", "ES", "", ()),
    "AU 12": ("12", "AU", "", ()),
    "JP 9": ("9", "JP", "", ()),
    "EU M": ("M", "EU", "", ()),
    "INT M": ("M", "alpha", "", ()),
    "9AR": ("9A", "JP", "regular", ()),
    "11ABT": ("11AB", "JP", "tall", ()),
    "C38": ("C38", "Nordic", "", ()),
    "160/84A": ("160/84A", "CN", "", ()),
    "155/76": ("155/76", "CN", "", ()),
    "00": ("00", "US", "", ()),
    "000": ("000", "US", "", ()),
    "14W": ("14W", "US", "", ()),
    # label words
    "Size 8": ("8", "", "", ()),
    "SIZE: M": ("M", "alpha", "", ()),
    "sz 8": ("8", "", "", ()),
    "Gr. 38": ("38", "", "", ()),
    "Gr.38": ("38", "", "", ()),
    "Größe 38": ("38", "", "", ()),
    "GRÖSSE 38": ("38", "", "", ()),
    "T.40": ("40", "", "", ()),
    "T40": ("40", "", "", ()),
    "Taille 40": ("40", "", "", ()),
    "Talla 38": ("38", "", "", ()),
    "Taglia 44": ("44", "", "", ()),
    "Tamanho 38": ("38", "", "", ()),
    "maat 38": ("38", "", "", ()),
    "rozmiar 38": ("38", "", "", ()),
    "beden 38": ("38", "", "", ()),
    "サイズ M": ("M", "alpha", "", ()),
    "Mサイズ": ("M", "alpha", "", ()),
    "尺码 38": ("38", "", "", ()),
    "38码": ("38", "", "", ()),
    "11号": ("11", "", "", ()),
    "Size 8 Petite": ("8", "", "petite", ()),
    "Size W29 L30": ("29", "waist", "30", ()),
    # letters
    "M": ("M", "alpha", "", ()),
    "Ｍ": ("M", "alpha", "", ()),
    "XXS": ("XXS", "alpha", "", ()),
    "3XL": ("3XL", "alpha", "", ()),
    "2X": ("2X", "alpha", "", ()),
    "1X": ("1X", "alpha", "", ()),
    "Small": ("Small", "alpha", "", ()),
    "X-Large": ("X-Large", "alpha", "", ()),
    "Extra Small": ("Extra Small", "alpha", "", ()),
    "mittel": ("mittel", "alpha", "", ()),
    "小": ("小", "alpha", "", ()),
    "M (Medium)": ("M", "alpha", "", ()),
    "S/M": ("S/M", "alpha", "", ()),
    "One size": ("One size", "", "", ()),
    "フリーサイズ": ("フリーサイズ", "", "", ()),
    "均码": ("均码", "", "", ()),
    # several names of one size
    "XS/8": ("XS", "alpha", "", ("8",)),
    "8 / XS": ("8", "", "", ("XS",)),
    "XXL/44-46": ("XXL", "alpha", "", ("44-46",)),
    "2XL/18": ("2XL", "alpha", "", ("18",)),
    "US 4 / EU 36": ("4", "US", "", ("EU 36",)),
    "UK 8 (EU 36)": ("8", "UK", "", ("EU 36",)),
    "UK 8 EU 36 US 4": ("8", "UK", "", ("EU 36", "US 4")),
    "D 38 F 40 GB 12 I 44 USA 10": ("38", "DE", "", ("F 40", "GB 12", "I 44", "USA 10")),
    "1X (14W-16W)": ("1X", "alpha", "", ("14W-16W",)),
    "XS (0-2)": ("XS", "alpha", "", ("0-2",)),
    "S 4-6": ("S", "alpha", "", ("4-6",)),
    "26/2": ("26", "", "", ("2",)),
    "30(S)": ("30", "", "", ("S",)),
    "30-32": ("30-32", "", "", ()),
    "14/16": ("14/16", "", "", ()),
    "38/40": ("38/40", "", "", ()),
    "27": ("27", "waist", "", ()),
    "32": ("32", "", "", ()),
    "8": ("8", "", "", ()),
}


@pytest.mark.parametrize(("text", "expected"), LABELS.items(), ids=LABELS.keys())
def test_label(text: str, expected: Expected) -> None:
    label = read(text)
    assert (label.size, label.system, label.length, label.also) == expected


NO_SIZES = [
    *[
        "",
        " ",
        "-",
        "Waist",
        "Inseam",
        "Front rise",
        "Petite",
        "Short",
        "Tall",
        "Kurz",
        "P",
        "R",
        "T",
        "A",
        "B",
        "AB",
        "L30",
        "Size",
        "TOL",
    ],
    *[
        "Grade",
        "POM",
        "27 1/2",
        "27½",
        "28.5",
        "28,5",
        "28 cm",
        '28"',
        "2026",
        "1234",
        "$49",
        "49 €",
        "12%",
        "98/2",
        "3/4",
        "7/8",
        "1/2",
    ],
    *[
        "5'9\"",
        "12/2026",
        "4/8/12",
        "Curvy 8",
        "+/- 1/4",
        "in",
        "cm",
        "M/XL",
        "10-20",
        "front",
        "Description",
        "Style 8123",
        "8 pockets",
    ],
]


@pytest.mark.parametrize("text", NO_SIZES)
def test_no_size(text: str) -> None:
    assert read_size_label(text, KNOWLEDGE) is None


def test_waist_labels_are_half_inches() -> None:
    label = read("W29 L30")
    assert (label.waist, label.inseam) == (29, 30)
    assert read("W30.5 L32").waist == Fraction(61, 2)
    assert (read("36/30").waist, read("36/30").inseam) == (None, 30)
    assert read("28", "waist").waist == 28


def test_strength_orders_labels() -> None:
    weak = [read(text).strength for text in ("32", "8", "12-14")]
    middling = [read(text).strength for text in ("M", "Medium", "36/30")]
    strong = [
        read(text).strength for text in ("8P", "W29 L30", "29x30", "UK 12", "Size 8", "9AR", "160/84A", "XXL", "00")
    ]
    assert max(weak) < min(middling) <= max(middling) < min(strong)


@pytest.mark.parametrize(
    ("text", "length"),
    [
        *[
            ("Petite", "petite"),
            ("PETITES", "petite"),
            ("P", "petite"),
            ("Kurz", "short"),
            ("court", "short"),
            ("corto", "short"),
            ("krótkie", "short"),
        ],
        *[
            ("kısa", "short"),
            ("短", "short"),
            ("ショート", "short"),
            ("R", "regular"),
            ("Reg.", "regular"),
            ("Standard", "regular"),
            ("std", "regular"),
        ],
        *[
            ("normal", "regular"),
            ("lang", "long"),
            ("longue", "long"),
            ("lungo", "long"),
            ("comprido", "long"),
            ("lång", "long"),
            ("uzun", "long"),
        ],
        *[
            ("長", "long"),
            ("ロング", "long"),
            ("tall", "tall"),
            ("T", "tall"),
            ("Extra Short", "extra short"),
            ("(Tall)", "tall"),
            ("very long", "extra long"),
        ],
        *[
            ("L30", "30"),
            ("30L", "30"),
            ('30" inseam', "30"),
            ("Inseam 30", "30"),
            ("Length: 32", "32"),
            ("Länge 32", "32"),
            ("L 30.5", "30.5"),
        ],
        *[
            ("S", ""),
            ("M", ""),
            ("L", ""),
            ("32", ""),
            ("Waist", ""),
            ("", ""),
            ("Large", ""),
            ("8P", ""),
            ("long sleeve", ""),
            ("L60", ""),
        ],
    ],
)
def test_length_mark(text: str, length: str) -> None:
    assert read_length_mark(text, KNOWLEDGE) == length


@given(st.sampled_from(sorted(LABELS)), st.sampled_from(["{}", " {} ", "({})", "{}.", "Size {}"]))
def test_dress_does_not_change_the_size(text: str, dress: str) -> None:
    if dress == "Size {}" and re.match(r"(?i)(size|sz|gr|t|ta|ma|ro|be)", text):
        return
    if dress == "({})" and "(" in text:
        return
    plain, dressed = read(text), read(dress.format(text))
    assert (dressed.size, dressed.length, dressed.also) == (plain.size, plain.length, plain.also)


@given(st.text(max_size=16))
def test_any_text_is_read_or_refused_without_an_error(text: str) -> None:
    label = read_size_label(text, KNOWLEDGE)
    assert label is None or (label.size and 0 < label.strength <= 1)


@given(st.text(alphabet="0123456789WLXSMPRT/x-() UKES.ARC", max_size=12))
def test_any_label_like_text_is_read_or_refused_without_an_error(text: str) -> None:
    label = read_size_label(text, KNOWLEDGE)
    assert label is None or label.size
