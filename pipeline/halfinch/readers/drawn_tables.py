"""Tables that people draw in plain text: bars and rules (also Markdown and box signs), and columns set by blanks."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

_BARS = "|│┃║"
_RULE = re.compile(r"^\s*[|│┃║+├┣╠└┗╚┌┏╔╞╪]?[\s\-=_:+|─━═┼╬╪┴┬╧╤│╋┿╫╠╣├┤┐┘╗╝╔╚╞╡┌└┏┓┗┛┣┫┳┻]{3,}$")
_SPLIT_BARS = re.compile(r"(?<!\\)[|│┃║]")
_GAP = re.compile(r"(?: {2,}|\t+|(?<=\S) ?\.{3,} ?| ?_{3,} ?)")

_DIVIDES = re.compile(r"[-–—/|·•:]{1,2}")


@dataclass(frozen=True, slots=True)
class DrawnRow:
    """`line` is the 0-based physical line; `header` where a rule under the first rows says they are the header."""

    line: int
    cells: tuple[str, ...]
    header: bool = False


def is_rule(line: str) -> bool:
    """A line that only draws: ``+----+---+``, ``|---|:-:|``, ``├──┼──┤``."""
    return bool(_RULE.match(line)) and any(sign in line for sign in "-=─━═_")


def find_drawn(lines: Sequence[str]) -> list[tuple[int, int]]:
    """Runs of lines (first, last) that are a table drawn with bars: two or more, each begun with a bar or ruled."""
    runs: list[tuple[int, int]] = []
    start: int | None = None
    for number, line in enumerate([*lines, ""]):
        bare = line.strip()
        barred = len(bare) > 2 and bare[0] in _BARS and bare[-1] in _BARS
        drawn = barred or (is_rule(line) and ("+" in line or any(bar in line for bar in _BARS) or not bare.isascii()))
        drawn = drawn or (_opens_markdown(lines, number) if start is None else _goes_on(lines, start, bare))
        if drawn and start is None:
            start = number
        elif not drawn and start is not None:
            if number - start > 1 and any(not is_rule(lines[k]) for k in range(start, number)):
                runs.append((start, number - 1))
            start = None
    return runs


def _opens_markdown(lines: Sequence[str], number: int) -> bool:
    """``Point | 8 | 10`` over ``--- | --- | ---``: bars only between the cells."""
    if number + 1 >= len(lines) or "|" not in lines[number] or "|" not in lines[number + 1]:
        return False
    return is_rule(lines[number + 1]) and not is_rule(lines[number]) and "-" in lines[number + 1]


def _goes_on(lines: Sequence[str], start: int, bare: str) -> bool:
    return "|" in bare and lines[start].strip()[:1] not in _BARS + "+" and bare[:1] not in _BARS


def read_drawn(lines: Sequence[str], first: int, last: int) -> list[DrawnRow]:
    """Rows of a table drawn with bars. Where rules part every row, the lines between two rules are one row."""
    groups: list[list[int]] = [[]]
    for number in range(first, last + 1):
        if is_rule(lines[number]):
            groups.append([])
        else:
            groups[-1].append(number)
    groups = [group for group in groups if group]
    ruled_apart = len(groups) > 2 and any(len(group) > 1 for group in groups)
    rows: list[DrawnRow] = []
    for index, group in enumerate(groups):
        header = index == 0 and len(groups) > 1 and len(group) < 4
        parts = [_split_bars(lines[number]) for number in group]
        if ruled_apart:
            rows.append(DrawnRow(group[0], _stack(parts), header))
        else:
            rows += [DrawnRow(number, part, header) for number, part in zip(group, parts, strict=True)]
    return rows


def _split_bars(line: str) -> tuple[str, ...]:
    bare = line.strip()
    bare = bare[1:] if bare[:1] in _BARS else bare
    bare = bare[:-1] if bare[-1:] in _BARS and not bare.endswith("\\|") else bare
    return tuple(part.strip().replace("\\|", "|").replace("<br>", "\n") for part in _SPLIT_BARS.split(bare))


def _stack(parts: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    width = max(map(len, parts))
    columns = ([part[k] for part in parts if k < len(part) and part[k]] for k in range(width))
    return tuple("\n".join(column) for column in columns)


# ---- columns set by blanks ----------------------------------------------------------------------------------------


def find_aligned(lines: Sequence[str]) -> list[tuple[int, int]]:
    """Runs of lines (first, last) set in columns: two lines or more with gaps of two blanks within."""
    runs: list[tuple[int, int]] = []
    start: int | None = None
    for number, line in enumerate([*lines, ""]):
        gapped = bool(_GAP.search(line.strip()))
        if gapped and start is None:
            start = number
        elif not line.strip() and start is not None:
            end = max(k for k in range(start, number) if _GAP.search(lines[k].strip()))
            if _is_even([lines[k] for k in range(start, end + 1)]):
                runs.append((start, end))
            start = None
    return runs


def _is_even(lines: Sequence[str]) -> bool:
    widths = Counter(len(_GAP.split(line.strip())) for line in lines)
    usual, count = max(widths.items(), key=lambda item: (item[0] > 1, item[1]))
    gapped = sum(n for width, n in widths.items() if width > 1)
    return (
        usual > 1 and len(lines) > 1 and gapped > 1 and gapped * 2 >= len(lines) and (usual > 2 or count * 2 > gapped)
    )


def read_aligned(lines: Sequence[str], first: int, last: int) -> list[DrawnRow]:
    """Rows cut at each line's gaps; a line with fewer parts than the others is cut by where its parts stand."""
    numbers = [k for k in range(first, last + 1) if lines[k].strip() and not is_rule(lines[k])]
    parts = {k: tuple(part.strip() for part in _GAP.split(lines[k].strip())) for k in numbers}
    counts = Counter(len(part) for part in parts.values() if len(part) > 1)
    if len(counts) < 2:
        marks = _mark_columns([part for part in parts.values() if len(part) > 1])
        bare = {k: tuple(text for column, text in enumerate(part) if column not in marks) for k, part in parts.items()}
        return [DrawnRow(k, bare[k] if len(parts[k]) > 1 else parts[k]) for k in numbers]
    cuts = _blank_strips([_widen(lines[k]) for k in numbers if len(parts[k]) > 1])
    if len(cuts) + 1 == max(counts):
        return [DrawnRow(k, _cut(_widen(lines[k]), cuts) if len(parts[k]) > 1 else parts[k]) for k in numbers]
    spans = _column_spans([_segments(lines[k]) for k in numbers if len(parts[k]) == max(counts)])
    return [DrawnRow(k, parts[k] if len(parts[k]) in (1, max(counts)) else _seat(lines[k], spans)) for k in numbers]


def _mark_columns(rows: Sequence[tuple[str, ...]]) -> set[int]:
    """Columns that hold one and the same mark in all rows ("44  -  108,0  -  81,0"): they only divide."""
    columns = list(zip(*rows, strict=True)) if len(rows) > 1 else []
    return {number for number, column in enumerate(columns) if len(set(column)) == 1 and _DIVIDES.fullmatch(column[0])}


def _segments(line: str) -> list[tuple[int, int, str]]:
    """Start, end and text of each part of a line."""
    wide = _widen(line)
    found: list[tuple[int, int, str]] = []
    start = len(wide) - len(wide.lstrip())
    for gap in [*_GAP.finditer(wide, start), None]:
        end = gap.start() if gap else len(wide)
        found.append((start, end, _narrowed(wide[start:end])))
        start = gap.end() if gap else end
    return found


def _column_spans(rows: Sequence[list[tuple[int, int, str]]]) -> list[tuple[int, int]]:
    return [(min(row[j][0] for row in rows), max(row[j][1] for row in rows)) for j in range(min(map(len, rows)))]


def _seat(line: str, spans: Sequence[tuple[int, int]]) -> tuple[str, ...]:
    """Each part in the column it stands under; a line with a part between two columns stays one text."""
    cells = [""] * len(spans)
    for start, end, text in _segments(line):
        under = [j for j, (left, right) in enumerate(spans) if start < right and left < end]
        if len(under) != 1 or cells[under[0]]:
            return (" ".join(line.split()),)
        cells[under[0]] = text
    return tuple(cells)


def _widen(line: str) -> str:
    """One sign a column of the screen: a wide East Asian sign is followed by a filler."""
    return "".join(
        sign + ("\ufdd1" if unicodedata.east_asian_width(sign) in "WF" else "") for sign in line.expandtabs(8).rstrip()
    )


def _blank_strips(lines: Sequence[str]) -> list[int]:
    """Where to cut: the ends of strips at least two columns wide that are blank in every line."""
    width = max(map(len, lines))
    blank = [all(k >= len(line) or line[k] == " " for line in lines) for k in range(width)]
    cuts: list[int] = []
    run = 0
    for k in range(width):
        if not blank[k] and run >= 2 and k > run:
            cuts.append(k)
        run = run + 1 if blank[k] else 0
    return cuts


def _cut(line: str, cuts: Sequence[int]) -> tuple[str, ...]:
    edges = [0, *cuts, max(len(line), cuts[-1] if cuts else 0)]
    return tuple(_narrowed(line[a:b]) for a, b in pairwise(edges))


def _narrowed(text: str) -> str:
    return text.replace("\ufdd1", "").strip()


# ---- columns set by single blanks -----------------------------------------------------------------------------------

_TOKEN = re.compile(r"\d+[ -]\d+[/⁄]\d+\S*|\S+")
_FIGURES = re.compile(r"^[\d½¼¾][\w½¼¾ /⁄.,\"”″'’′+-]*$")


def find_spaced(lines: Sequence[str]) -> list[tuple[int, int]]:
    """Runs of three lines or more that each end in the same number (two or more) of figures, as pasted tables do."""
    runs: list[tuple[int, int]] = []
    start = 0
    for number, line in enumerate([*lines, ""]):
        if line.strip():
            continue
        if number - start > 2 and _spaced_columns(lines[start:number]):
            runs.append((start, number - 1))
        elif number - start > 2:
            runs.extend(_runs_within(lines, start, number))
        start = number + 1
    return runs


def _runs_within(lines: Sequence[str], start: int, end: int) -> list[tuple[int, int]]:
    """Such runs among other lines of one paragraph: a line of words over lines of one word and as many figures."""
    runs: list[tuple[int, int]] = []
    head = start
    while head + 2 < end:
        words = _header_words(lines[head])
        count = len(words) - 1
        last = head
        while last + 1 < end and count > 1 and _is_row(lines[last + 1], count):
            last += 1
        if last > head + 1 and not any(_FIGURES.match(word) for word in words):
            runs.append((head, last))
            head = last
        head += 1
    return runs


def _is_row(line: str, count: int) -> bool:
    """One word or number and then `count` figures."""
    return _trailing_figures(line) >= count and len(_TOKEN.findall(line)) == count + 1


def _header_words(line: str) -> list[str]:
    """The words of a heading line; a remark in brackets at its end ("(cm)") goes with the first."""
    words = _TOKEN.findall(line)
    if len(words) > 2 and words[-1][:1] in "(（[" and words[-1][-1:] in ")）]":
        words = [f"{words[0]} {words[-1]}", *words[1:-1]]
    return words


def _spaced_columns(lines: Sequence[str]) -> int:
    """How many columns of figures stand under the first line; 0 where the lines do not agree."""
    counts = {_trailing_figures(line) for line in lines[1:]}
    if len(counts) != 1 or min(counts) < 2:
        return 0
    count = counts.pop()
    labels = {bool(_TOKEN.findall(line)[:-count]) for line in lines[1:]}
    columns = len(_header_words(lines[0]))
    if len(labels) > 1 or any(len(_TOKEN.findall(line)) > count + 6 for line in lines):
        return 0
    header_fits = columns == count if labels == {False} else count <= columns <= count + 3
    return count if header_fits else 0


def _trailing_figures(line: str) -> int:
    tokens = _TOKEN.findall(line)
    return next((k for k, token in enumerate(reversed(tokens)) if not _FIGURES.match(token)), len(tokens))


def read_spaced(lines: Sequence[str], first: int, last: int) -> list[DrawnRow]:
    """A label of any number of words and then the figures; a whole row of figures where there is no label."""
    count = _spaced_columns(lines[first : last + 1])
    labelled = any(len(_TOKEN.findall(line)) > count for line in lines[first + 1 : last + 1])
    rows: list[DrawnRow] = []
    for k in range(first, last + 1):
        tokens = _header_words(lines[k]) if k == first else _TOKEN.findall(lines[k])
        label = " ".join(tokens[:-count])
        rows.append(DrawnRow(k, (label, *tokens[-count:]) if labelled else tuple(tokens)))
    return rows
