"""What a text says of the garment: "Style: Alma", "Artikel-Nr. 4711", a heading that is a style's name.

In: one text. Out: attributes by role, or the style's name without what is no part of it.
"""

from __future__ import annotations

import re

from halfinch.interpret.clauses import make_clause
from halfinch.interpret.facets import ATTRIBUTE_ROLES, GOOD_LABEL, Reader, names_a_style
from halfinch.interpret.prices import find_price
from halfinch.interpret.statements import MAX_NOTE, find_unit
from halfinch.interpret.words import first_kind, fold, phrasebook, silhouette_in
from halfinch.normalise.point_labels import PointLabel, read_header_word, read_length_word, read_unit_word
from halfinch.normalise.size_labels import read_size_label
from halfinch.sheet import Text

_KEY_WORD = re.compile(r"[^\W\d_]+(?:[-'’./]{1,2}[^\W\d_]+)*\.?", re.UNICODE)


def find_attributes(text: str, reader: Reader) -> dict[str, str]:
    """ "Style: Alma", "Artikel-Nr.: 4711", "Style TM-2304 Rigg  Base size: 12": values by role."""
    found: dict[str, str] = {}
    for named in _NAMED_CODE.finditer(text[:MAX_NOTE]):
        if key_role(named.group(1), reader) in ("style", "style_code"):
            found.setdefault("style_code", named.group(2))
    price = find_price(text, reader)
    if price:
        found["price"] = price
    for line in re.split(r"[\n|;·•\t]", text[:MAX_NOTE]):
        keys = find_keys(line, reader)
        for (_, start, role), (end, _, _) in zip(keys, [*keys[1:], (len(line), 0, "")], strict=False):
            value = line[start:end].strip(" ,;:–—-")
            if value:
                take_value(found, role, value, reader)
    return found


def find_keys(line: str, reader: Reader) -> list[tuple[int, int, str]]:
    """(start of the key, start of its value, role) of each key: known words before a colon, or at the line's head."""
    keys: list[tuple[int, int, str]] = []
    for colon in re.finditer(r"[:：=]", line):
        words = list(_KEY_WORD.finditer(line, 0, colon.start()))
        for count in (4, 3, 2, 1):
            if len(words) < count or line[words[-1].end() : colon.start()].strip(" .)(#°º№"):
                continue
            start = words[-count].start()
            if count > 1 and first_kind(phrasebook(reader.knowledge).states, line[start : colon.start()]):
                break  # "before wash: no" tells a state, no wash
            role = key_role(line[start : colon.start()], reader)
            if not role and read_length_word(line[colon.end() :].strip().split("  ")[0], reader.knowledge):
                read = reader.read(line[start : colon.start()])
                role = "length" if read.point is not None and read.point.point == "outseam" else ""
            if role and not any(start < value for _, value, _ in keys):
                keys.append((start, colon.end(), role))
                break
    head = _KEY_WORD.match(line.lstrip())
    if head and (not keys or keys[0][0] > 0):
        role = key_role(head.group(), reader)
        rest = line.lstrip()[head.end() :]
        if (
            role in ("style", "style_code")
            and rest[:1] == " "
            and head.end() > 3
            and is_name(rest, head.group(), reader)
        ):
            offset = len(line) - len(line.lstrip())
            keys.insert(0, (offset, offset + head.end(), role))
    return keys


def is_name(rest: str, head: str, reader: Reader) -> bool:
    """Whether the words behind "Style" or "Modell" are a name: capital or code first, no figure of a point."""
    first = rest.split()[0] if rest.split() else ""
    named = first[:1].isupper() or any(c.isdigit() for c in first)
    return named and head[:1].isupper() and len(rest) <= 80 and not reader.read(f"{head}{rest}").is_ours


def key_role(text: str, reader: Reader) -> str:
    """The role of a key that is known word by word, '' otherwise."""
    word = read_header_word(text.strip(" .()"), reader.knowledge)
    known = ATTRIBUTE_ROLES | {"size", "length", "base_size"}
    return word.role if word is not None and word.role in known and word.score == 1 else ""


_NAMED_CODE = re.compile(
    r"\b([^\W\d_]{3,12}\.?(?:\s(?:no|nr|number|code|n°|nº|#)\.?)?)\s+"
    r"((?=[A-Z0-9-]*\d{2})[A-Z]{1,5}-?\d[A-Z0-9-]*)(?![\w.])"
)
"""A code in running text behind the word for a style: "final measurements of style LW-305"."""
_CODE_FIRST = re.compile(r"((?=[\w./-]*\d)[A-Z0-9][\w./-]{2,})\s+(?=[^\W\d]|[\"“„«'‘「])")
_CODE_ALONE = re.compile(r"(?=[\w./-]*\d)[A-Z0-9][A-Z0-9./_-]{2,}")
_QUOTED = re.compile(r"[\"“”„«‘'「](.{2,60}?)[\"”“»’'」](?=\s|$|,)")
_ASIDE = re.compile(r"\s*\([^()]*\)\s*$")
_PERSON = re.compile(r"\d\s?(?:cm|kg|lbs?)\b|\d\s?['’′]\s?\d", re.IGNORECASE)


def take_value(found: dict[str, str], role: str, value: str, reader: Reader) -> None:
    """Keeps one value; "TM-2304 Rigg straight" is a code and a name, ", misure in cm" is no part of a name."""
    if role == "style_code":
        value = clean_code(value)
        if not value:
            return
    if role == "style":
        value = re.split(r"\.\s+(?=[^\W\d_])", value)[0]
        if _PERSON.search(value):
            return  # "Model: 168 cm / 48 kg" is who wears it
        if len(value) <= 4 and read_size_label(value, reader.knowledge) is not None:
            found.setdefault("size", value)  # 型号 and the like name the style or the size
            return
        if is_code(value):
            found.setdefault("style_code", value)
            return
        code = _CODE_FIRST.match(value)
        if code:
            found.setdefault("style_code", code.group(1))
            value = value[code.end() :]
            quoted = _QUOTED.match(value)
            value = quoted.group(1) if quoted else value
        value = clean_style(value, reader)
    found.setdefault(role, value[:120])


def is_code(value: str) -> bool:
    """A value that can only be a code: capitals and digits, four digits at least where it has no letter."""
    return _CODE_ALONE.fullmatch(value) is not None and (not value.isdigit() or len(value) > 3)


def clean_code(value: str) -> str:
    """A style's code without what stands behind it on its line ("AUR-552 – 89 €"); '' for words that are no code."""
    first = re.split(r"\s+[|·•/–—-]\s+|[,;(]|\s{2,}", value.strip())[0].strip(" .:#")
    words = first.split()
    if len(words) > 1 and any(c.isdigit() for c in words[0]) and len(words[0]) > 2:
        return words[0]
    return first if any(c.isdigit() for c in first) or first.isupper() else ""


def heading_name(text: Text, reader: Reader) -> str:
    """A heading that names a style by naming its garment ("Alma wide-leg jeans"), '' otherwise."""
    if text.kind not in ("title", "heading") or len(text.text) > 90:
        return ""
    book = phrasebook(reader.knowledge)
    folded = fold(text.text)
    quoted = _QUOTED.search(text.text)
    if quoted and book.ours.search(folded) and not is_remark(quoted.group(1), reader):
        return quoted.group(1) if book.chart.search(folded) else clean_style(text.text, reader)
    if not book.ours.search(folded) or book.chart.search(folded) or book.garment.search(folded):
        return ""
    if is_table_name(text.text, reader):
        return ""
    return clean_style(text.text, reader)


def clean_style(text: str, reader: Reader) -> str:
    """A style's name without its length, units and chart words: "Alma – Petite (inches)" is "Alma".

    Of several parts the one that names a garment or a silhouette counts: "Maribou Curve - Celestine pant".
    """
    book = phrasebook(reader.knowledge)
    before = _ASIDE.sub("", text).strip()
    if before and not is_remark(before, reader):
        text = before  # "Alma (narrow trousers)": what stands in brackets tells of the name before it
    head, colon, tail = text.partition(": ")
    if colon and book.ours.search(fold(head)) and names_sheet(tail, reader):
        text = head  # "Alma jean: graded spec"
    kept = name_parts(text, reader)
    named = [part for part in kept if book.ours.search(fold(part)) or silhouette_in(part, reader.knowledge)]
    return " ".join((named or kept or [""])[0].split())


def names_sheet(text: str, reader: Reader) -> bool:
    """Whether a text says which sheet of a document this is: "graded spec", "base size 28", "measurements (in)"."""
    words = [reader.read(word).word for word in _KEY_WORD.findall(text)]
    return any(word is not None and word.role in ("point_column", "base_size", "grade") for word in words)


def whole_heading(text: str, reader: Reader) -> str:
    """All parts of a heading that may be a name, its key left out: "Model Alma – Rigid" is "Alma – Rigid". Tells tables
    apart that cannot be of one garment."""
    keys = find_keys(text, reader)
    if keys and keys[0][0] == 0 and keys[0][2] == "style":
        text = text[keys[0][1] :]
    return " – ".join(" ".join(part.split()) for part in name_parts(text, reader))


def name_parts(text: str, reader: Reader) -> list[str]:
    """The parts of a text that are no remarks; all of them where it is nothing else."""
    parts = [part.strip() for part in re.split(r"\s+[|–—-]\s+|\s*[|(]\s*|\)\s*|,\s+", text) if part.strip()]
    return [part for part in parts if not is_remark(part, reader)] or parts


def is_remark(part: str, reader: Reader) -> bool:
    """A part of a heading that is no name: a length, a unit, a size, chart words, "misure in cm"."""
    book = phrasebook(reader.knowledge)
    folded = fold(part)
    if read_length_word(part, reader.knowledge) or read_unit_word(part, reader.knowledge):
        return True
    if any(pattern.search(folded) for pattern in (book.chart, book.garment, book.body, book.guide, book.company)):
        return True
    if book.part.fullmatch(folded.strip(" .:()")) or is_table_name(part, reader):
        return True
    read = reader.read(part)
    if read.is_ours or point_within(part, reader) is not None:
        return True
    return find_unit(part, reader) != "" or (read.size is not None and read.point is None)


def is_table_name(text: str, reader: Reader) -> bool:
    """ "Jeans measurements", "Maße der Hose in cm": what stands in the table, and of which kind of garment."""
    first = _KEY_WORD.match(text.strip())
    head = read_header_word(first.group(), reader.knowledge) if first and first.end() < len(text.strip()) else None
    if head is not None and head.role == "point_column" and phrasebook(reader.knowledge).names_ours(text):
        return True
    rest = phrasebook(reader.knowledge).ours.sub(" ", fold(text)).strip(" .:()")
    word = read_header_word(rest, reader.knowledge) if rest and len(rest) < len(text) - 2 else None
    return word is not None and word.role == "point_column" and word.score == 1


LONGEST_HEADING = 60
"""A heading that names a point has no more characters."""


def point_within(text: str, reader: Reader) -> PointLabel | None:
    """The one point of ours that a heading names ("Inside leg by size and length"), None for none or several."""
    if len(text) > LONGEST_HEADING:
        return None
    labels = [one.label for one in make_clause(text, reader).labels]
    if len(labels) == 1 and names_a_style(text, labels[0], reader.knowledge):
        return None
    if len(labels) == 1 and labels[0].point and labels[0].score >= GOOD_LABEL:
        return labels[0]
    return None
