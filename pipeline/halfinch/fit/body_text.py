"""A body file is written: what the wearer typed, measure by measure, kept as typed, with how it was taken beside it."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from halfinch.errors import BodyError
from halfinch.fit.body import BANDS, MEASURES
from halfinch.fit.body_file import read_body
from halfinch.fit.measure import MeasureError, read_measure
from halfinch.knowledge import Knowledge


@dataclass(frozen=True, slots=True, repr=False)
class Answers:
    """What was typed. `measures` and each of `pairs` by key of the body file; `shoes` name to lift, where known."""

    name: str
    measures: Mapping[str, str]
    shoes: Sequence[tuple[str, str]] = ()
    silhouettes: Sequence[str] = ()
    most_opening: str = ""
    pairs: Sequence[Mapping[str, str]] = ()
    budget: str = ""


def check_answer(key: str, text: str) -> str:
    """'' or one clause on what is wrong with a typed measure; never repeats it."""
    try:
        typed = read_measure(text)
    except MeasureError as error:
        return str(error)
    if typed.high is not None and key not in BANDS:
        return "is a range; a measure of the body is one figure"
    return ""


def check_budget(text: str, knowledge: Knowledge) -> str:
    """'' or what is wrong with a typed amount."""
    try:
        read_body(f"[budget]\nmost = {_quote(text)}\n", "budget", knowledge)
    except BodyError as error:
        return str(error).partition(": ")[2].rstrip(".")
    return ""


def body_text(answers: Answers, knowledge: Knowledge) -> str:
    """The file's text. Raises BodyError where the answers contradict one another, as reading the file would."""
    lines = [f"name = {_quote(answers.name)}", ""]
    for key in (*MEASURES, *BANDS):
        if answers.measures.get(key):
            row = knowledge.measuring.measure.get(key)
            lines += [f"# {row.how}"] if row is not None else []
            lines.append(f"{key} = {_quote(answers.measures[key])}")
    for name, lift in answers.shoes:
        lines += ["", "[[shoes]]", f"name = {_quote(name)}"]
        lines += [f"lift = {_quote(lift)}  # floor to the heel inside the shoe, platform included"] if lift else []
    for pair in answers.pairs:
        told = [f"{key} = {_quote(value)}" for key, value in pair.items() if value]
        lines += ["", "[[pairs]]", *told] if told else []
    if answers.silhouettes or answers.most_opening:
        lines += ["", "[taste]"]
        if answers.silhouettes:
            lines.append(f"silhouettes = [{', '.join(_quote(word) for word in answers.silhouettes)}]")
        if answers.most_opening:
            lines.append(f"most_opening = {_quote(answers.most_opening)}")
    if answers.budget:
        lines += ["", "[budget]", f"most = {_quote(answers.budget)}"]
    text = "\n".join(lines) + "\n"
    read_body(text, "the body as answered", knowledge)
    return text


def write_body(path: Path, text: str) -> None:
    """A new file that only its owner can read (mode 600). Raises BodyError where one stands already or cannot be made;
    nothing is left half written."""
    part = path.with_name(f".{path.name}.part-{os.getpid()}")
    try:
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.link(part, path)  # unlike a rename it never replaces a body that is there
    except FileExistsError:
        raise BodyError(f"{path}: there is a file already; name another one, or remove it first.") from None
    except OSError as error:
        raise BodyError(f"{path}: cannot be written ({error.strerror}); name another place.") from None
    finally:
        part.unlink(missing_ok=True)


def _quote(text: str) -> str:
    """A TOML basic string."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(char if char.isprintable() else f"\\u{ord(char):04x}" for char in escaped) + '"'
