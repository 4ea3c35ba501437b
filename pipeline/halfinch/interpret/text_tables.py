"""Tables pasted as text: lines of parts with bars or slashes between become a grid; a run broken over lines is joined.

In: a sheet. Out: the same sheet with such texts turned into grids. Places stay those of the texts.
"""

from __future__ import annotations

import re
from dataclasses import replace

from halfinch.interpret.facets import Reader
from halfinch.normalise.numbers import find_numbers
from halfinch.sheet import HIDDEN, STRUCK, Cell, Grid, Sheet, Text

_SEPARATORS = (
    re.compile(r"\s*\|\|\s*"),
    re.compile(r"\s*\|\s*"),
    re.compile(r"\s+/\s+"),
    re.compile(r"\t+"),
    re.compile(r"\s*;\s+"),
)
LEAST_PARTS = 3
MOST_LINES = 20


def tables_from_texts(sheet: Sheet, reader: Reader) -> Sheet:
    """The sheet with every table told in texts as a grid."""
    texts = sorted((text for text in sheet.texts if text.kind not in ("chrome", "meta")), key=lambda one: one.order)
    grids: list[Grid] = []
    used: set[int] = set()
    joined: dict[int, str] = {}
    index = 0
    while index < len(texts):
        lines = equal_lines(texts, index, reader) or run_lines(texts, index, reader)
        if lines:
            grids.append(make_grid(texts[index : index + len(lines)], lines))
            used.update(range(index, index + len(lines)))
            index += len(lines)
            continue
        count = run_length(texts, index, reader)
        if count > 1:
            joined[index] = " ".join(text.text for text in texts[index : index + count])
            used.update(range(index + 1, index + count))
        index += max(count, 1)
    if not used:
        return sheet
    others = [text for text in sheet.texts if text.kind in ("chrome", "meta")]
    kept = [
        replace(text, text=joined[i]) if i in joined else text
        for i, text in enumerate(texts)
        if i not in used or i in joined
    ]
    return replace(sheet, texts=(*others, *kept), grids=(*sheet.grids, *grids))


def equal_lines(texts: list[Text], start: int, reader: Reader) -> list[list[str]]:
    """Texts from `start` on that one separator cuts into equally many parts, with a label of ours among the first."""
    if texts[start].marks & {HIDDEN, STRUCK}:
        return []
    for separator in _SEPARATORS:
        lines: list[list[str]] = []
        for text in texts[start:]:
            parts = separator.split(text.text.strip())
            if len(parts) < LEAST_PARTS or (lines and len(parts) != len(lines[0])):
                break
            lines.append(parts)
        if len(lines) < 2:
            continue
        heads = [*lines[0], *(line[0] for line in lines)]
        if sum(reader.read(part).is_label for part in heads) >= 2:
            return lines
    return []


def run_lines(texts: list[Text], start: int, reader: Reader) -> list[list[str]]:
    """ "Size 18W 20W 22W", then lines of a label and as many figures: a table told line by line, [] for none."""
    words = texts[start].text.split()
    if not starts_with_size(texts[start].text, reader) or len(words) > MOST_LINES:
        return []
    sizes = [word for word in words if reader.read(word).size is not None]
    if len(sizes) < 2 or words[-len(sizes) :] != sizes:
        return []
    lines = [[" ".join(words[: -len(sizes)]), *sizes]]
    for text in texts[start + 1 :]:
        found = find_numbers(text.text, decimal=reader.decimal)[-len(sizes) :]
        label = text.text[: found[0].start].strip() if len(found) == len(sizes) else ""
        if not label or text.text[found[-1].end :].strip() or not reader.read(label).is_label:
            break
        lines.append([label, *(text.text[one.start : one.end] for one in found)])
    return lines if len(lines) > 2 else []


def make_grid(texts: list[Text], lines: list[list[str]]) -> Grid:
    """The lines as rows; every cell keeps the place of its text."""
    cells = tuple(
        Cell(text=part, row=row, column=column, place=text.place, marks=text.marks)
        for row, (text, parts) in enumerate(zip(texts, lines, strict=True), start=1)
        for column, part in enumerate(parts, start=1)
        if part
    )
    return Grid(cells=cells, order=texts[0].order, page=texts[0].page)


def run_length(texts: list[Text], start: int, reader: Reader) -> int:
    """How many texts from `start` on are one run of label and figures that was broken into lines, 1 for none."""
    if not is_run(texts[start].text, reader) or not starts_with_size(texts[start].text, reader):
        return 1
    count = 1
    for text in texts[start + 1 : start + MOST_LINES]:
        if text.page != texts[start].page or text.kind in ("title", "heading") or not is_run(text.text, reader):
            break
        count += 1
    return count


def starts_with_size(text: str, reader: Reader) -> bool:
    """Whether the first words are a heading of sizes."""
    words = re.match(r"[^\d]{2,30}", text)
    word = reader.read(words.group().strip(" :")).word if words else None
    return word is not None and word.role in ("size", "base_size")


def is_run(text: str, reader: Reader) -> bool:
    """At least a third of the words are numbers and at least four."""
    words = text.split()
    numbers = sum(any(c.isdigit() for c in word) for word in words)
    return numbers >= 4 and numbers * 3 >= len(words)
