"""What a person cannot see or should not take: words struck through, letters covered, white on white or invisible."""

from __future__ import annotations

from collections import defaultdict

from halfinch.readers.pdf.ink import Area, Glyph, PageInk, Rule, Style
from halfinch.readers.pdf.words import Word

STRIKE_ZONE = (0.12, 0.5)  # of the letter size above the base line: a line there goes through the letters
NEAR_COLOUR = 24  # largest difference per channel at which a letter and its ground look alike
LIGHT = 225  # a channel at least this bright makes a letter hard to see on white paper
WHITE = (255, 255, 255)
BAND = 24.0  # points: height of the drawers in which words and areas are looked up


def mark_struck(words: list[Word], rules: list[Rule]) -> list[Rule]:
    """Mark words that a short line goes through; gives the rules without those lines."""
    drawers: dict[int, list[Word]] = defaultdict(list)
    for word in words:
        drawers[int(word.base // BAND)].append(word)
    kept = []
    for rule in rules:
        if not rule.level or rule.fill:
            kept.append(rule)
            continue
        crossed = [
            word
            for key in (int(rule.top // BAND), int(rule.top // BAND) + 1)
            for word in drawers.get(key, ())
            if STRIKE_ZONE[0] * word.size < word.base - rule.top < STRIKE_ZONE[1] * word.size
            and min(word.x1, rule.x1) - max(word.x0, rule.x0) > 0.6 * (word.x1 - word.x0)
        ]
        size = max((word.size for word in crossed), default=0.0)
        reach = (min((w.x0 for w in crossed), default=0) - size, max((w.x1 for w in crossed), default=0) + size)
        if crossed and reach[0] <= rule.x0 and rule.x1 <= reach[1]:
            for word in crossed:
                word.struck = not all(other.stacked for other in crossed)
        else:
            kept.append(rule)
    return kept


def part_hidden(ink: PageInk) -> tuple[list[Glyph], list[Glyph]]:
    """Letters that a person sees, and those drawn invisibly, in the colour of their ground or covered later.

    Invisible letters over a picture are the text of a scan: the picture shows what they say.
    """
    styles = {id(glyph.style): glyph.style for glyph in ink.glyphs}
    doubtful = {key for key, style in styles.items() if _may_hide(style, ink.areas)}
    if not doubtful:
        return ink.glyphs, []
    drawers: dict[int, list[Area]] = defaultdict(list)
    for area in ink.areas:
        for key in range(int(area.top // BAND), int(area.bottom // BAND) + 1):
            drawers[key].append(area)
    seen: list[Glyph] = []
    hidden: list[Glyph] = []
    for glyph in ink.glyphs:
        away = id(glyph.style) in doubtful and _unseen(glyph, drawers, ink.pictures)
        (hidden if away else seen).append(glyph)
    return seen, hidden


def _may_hide(style: Style, areas: list[Area]) -> bool:
    """False where nothing on the page can hide letters of this style."""
    if style.unseen or _pale(style):
        return True
    return any(
        area.layer > style.layer or (style.colour is not None and _alike(style.colour, area.colour)) for area in areas
    )


def _pale(style: Style) -> bool:
    return style.colour is not None and min(style.colour) >= LIGHT


def _unseen(glyph: Glyph, drawers: dict[int, list[Area]], pictures: list[Area]) -> bool:
    style = glyph.style
    x, y = (glyph.x0 + glyph.x1) / 2, (glyph.top + glyph.bottom) / 2
    if style.unseen:
        return not _on_picture(pictures, x, y)
    ground: tuple[int, int, int] | None = WHITE
    for area in drawers.get(int(y // BAND), ()):  # in drawing order: the last one met below the letter is its ground
        if not (area.x0 <= x <= area.x1 and area.top <= y <= area.bottom):
            continue
        if area.layer > style.layer:
            if area.opaque and style.layer:
                return True
        else:
            ground = area.colour if area.opaque else None
    if ground == WHITE and _pale(style) and _on_picture(pictures, x, y):
        return False
    return style.colour is not None and ground is not None and _alike(style.colour, ground)


def _on_picture(pictures: list[Area], x: float, y: float) -> bool:
    return any(p.x0 <= x <= p.x1 and p.top <= y <= p.bottom for p in pictures)


def _alike(one: tuple[int, int, int], two: tuple[int, int, int]) -> bool:
    return all(abs(a - b) <= NEAR_COLOUR for a, b in zip(one, two, strict=True))
