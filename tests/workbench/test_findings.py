"""What findings say, in the language and the unit of a page."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest
from tests.test_docs import DEVELOPERS, names_in, rows_under

import halfinch
from halfinch.catalogue import store
from halfinch.present.wording import Unit, load_wording
from halfinch.workbench.findings import say_finding
from halfinch.workbench.texts import all_texts

SAMPLES = {
    "point": "front_rise", "length": "29.5 in", "lengths": "37 in and 38.25 in", "number": "16.5",
    "figures": "outseam 37.5, inseam 26, front_rise 10", "word": "inches", "text": "8 petite",
    "readings": "flat instead of round or a slipped decimal point", "place": "table=1;row=3;col=2",
}  # fmt: skip
SAID = {key: text for key, text in all_texts()["en"].texts.items() if key.startswith("said.")}


def said(message: str, language: str = "de", unit: Unit = "cm") -> tuple[str, bool]:
    found = say_finding(message, all_texts()[language], load_wording(language, unit))
    return found.text.replace("\N{SOFT HYPHEN}", ""), found.own


@pytest.mark.parametrize(
    ("message", "meant"),
    [
        pytest.param("inseam 11.22 in lies outside 16 to 40 in",
                     "Innenbeinlänge 28,5 cm liegt außerhalb von 40,6 bis 101,6 cm", id="lengths-in-the-page's-unit"),
        pytest.param("it would be usual as inches instead of centimetres or flat instead of round",
                     "üblich wäre es als Zoll statt Zentimeter oder flach statt rundum", id="readings"),
        pytest.param("hip 40 in does not grade evenly beside 37 in and 37 in",
                     "Hüftumfang 101,6 cm passt nicht in die Reihe neben 94 cm und 94 cm", id="several-lengths"),
        pytest.param("printed as “30” here and as “32” at table=2;row=3;col=2",
                     "hier als „30“ gedruckt und als „32“ an anderer Stelle (Tabelle 2, Zeile 3, Spalte 2)",
                     id="place"),
        pytest.param("the figures of front rise and inseam would suit exchanged; ask which is which",
                     "die Zeilen „vordere Leibhöhe“ und „Innenbeinlänge“ würden vertauscht passen; "
                     "fragen Sie, welche welche ist", id="points-in-words"),
        pytest.param("/home/a/shop.duckdb is open in another program; waited 1.5 s. Close it there.",
                     "/home/a/shop.duckdb ist in einem anderen Programm geöffnet; 1.5 s gewartet. "
                     "Schließen Sie es dort.", id="an-error"),
    ],
)  # fmt: skip
def test_a_finding_in_german(message: str, meant: str) -> None:
    assert said(message) == (meant, True)


def test_what_no_text_knows_stays_english_and_says_so() -> None:
    assert said("the moon was full") == ("the moon was full", False)
    assert said("the moon was full", "en") == ("the moon was full", True)


@pytest.mark.parametrize("key", SAID)
def test_every_text_is_recognised_as_itself(key: str) -> None:
    message = re.sub(r"\{(\w+?)\d*\}", lambda place: SAMPLES[place[1]], SAID[key])
    assert said(message, "en", "in")[1]
    assert said(message)[0].startswith(all_texts()["de"].texts[key].split("{")[0])


def test_every_text_is_what_the_program_writes() -> None:
    """Fixed words of each stand in some string of the program."""
    written = []
    for path in Path(halfinch.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.JoinedStr):
                parts = [part.value if isinstance(part, ast.Constant) else "\0" for part in node.values]
                written.append("".join(map(str, parts)))
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                written.append(node.value)
    whole = "\n".join(written)
    parts_of = {key: re.split(r"\{\w+\}|; ", text) for key, text in SAID.items()}
    lost = [key for key, parts in parts_of.items() if not any(len(part) > 9 and part in whole for part in parts)]
    assert lost == []


def test_every_rule_has_its_plain_words() -> None:
    rules = set(names_in(rows_under(DEVELOPERS, "rule")))
    for language, texts in all_texts().items():
        assert rules - {key.removeprefix("rules.") for key in texts.texts} == set(), language


def test_every_finding_that_holds_a_figure_of_the_demo_is_said_in_german(demo_catalogue: Path) -> None:
    with store.reading(demo_catalogue) as connection:
        rows = connection.execute("""SELECT DISTINCT message, suggestion FROM findings
                                     WHERE severity = 'error' AND figure_id <> ''""").fetchall()
    sentences = {one for row in rows for one in row if one}
    assert sentences
    assert [one for one in sentences if not said(one)[1]] == []
