"""The texts of all languages: the same keys and places to fill in, every one used, none missing."""

from __future__ import annotations

import re
import string
from pathlib import Path

import pytest

import halfinch.workbench
from halfinch.workbench.screens import SCREENS
from halfinch.workbench.texts import all_texts, choose_language
from halfinch.workbench.view import local_path

FOLDER = Path(halfinch.workbench.__file__).parent
SOURCES = {
    path.relative_to(FOLDER).as_posix(): path.read_text(encoding="utf-8")
    for pattern in ("*.py", "*.html", "*.js", "*.svg")
    for path in FOLDER.rglob(pattern)
}
LITERAL = re.compile(r'"([a-z_]+(?:\.[A-Za-z0-9_]+)+)"')
DYNAMIC = re.compile(r"""(?:"|f")([a-z_]+(?:\.[a-z_]+)*\.)(?:"|\{)""")
"""The beginning of a key whose end is worked out: `"navigation." ~ screen.name`, `f"errors.{...}"`."""


def places(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def test_every_language_says_the_same() -> None:
    english = all_texts()["en"].texts
    for language, texts in all_texts().items():
        assert set(texts.texts) == set(english), language
        differing = [key for key, text in texts.texts.items() if places(text) != places(english[key])]
        assert differing == [], language
        assert all(text.strip() for text in texts.texts.values()), language


def test_every_text_is_used_and_every_used_text_is_there() -> None:
    keys = set(all_texts()["en"].texts) - {"name"}
    heads = {key.split(".")[0] for key in keys}
    stems = keys | {key.rsplit(".", 1)[0] for key in keys if key.endswith((".one", ".other"))}
    used = {key for text in SOURCES.values() for key in LITERAL.findall(text) if key.split(".")[0] in heads}
    begun = tuple({stem for text in SOURCES.values() for stem in DYNAMIC.findall(text) if stem.split(".")[0] in heads})
    endings = (".py", ".html", ".toml", ".css", ".js", ".svg")
    above = {".".join(key.split(".")[:n]) for key in keys for n in range(1, key.count(".") + 1)}
    missing = {key for key in used - stems - above if not key.endswith(endings)}
    assert missing == set()
    unused = {key for key in keys if not ({key, key.rsplit(".", 1)[0]} & used or key.startswith(begun))}
    assert unused == set()


def test_every_screen_has_its_name_in_the_navigation() -> None:
    assert {screen.name for screen in SCREENS} <= {
        key.removeprefix("navigation.") for key in all_texts()["en"].texts if key.startswith("navigation.")
    }


@pytest.mark.parametrize(
    ("cookie", "accepted", "language"),
    [
        pytest.param("de", "en", "de", id="the-choice-counts-first"),
        pytest.param("", "fr;q=0.9, de-AT;q=0.8, en;q=0.5", "de", id="the-best-that-we-speak"),
        pytest.param("xx", "", "en", id="else-English"),
        pytest.param("", "de;q=nonsense, en", "en", id="a-broken-header"),
    ],
)
def test_language(cookie: str, accepted: str, language: str) -> None:
    assert choose_language(cookie, accepted) == language


@pytest.mark.parametrize(
    ("path", "leads_to"),
    [
        pytest.param("/held?at=2", "/held?at=2", id="ours"),
        pytest.param("//evil.example", "/", id="another-host"),
        pytest.param("/\\evil.example", "/", id="another-host-by-backslash"),
        pytest.param("https://evil.example/", "/", id="an-address"),
        pytest.param("/held\r\nset-cookie: a=b", "/", id="a-header"),
    ],
)
def test_back_leads_to_pages_of_ours_only(path: str, leads_to: str) -> None:
    assert local_path(path) == leads_to
