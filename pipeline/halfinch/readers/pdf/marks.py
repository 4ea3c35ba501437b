"""What a person cannot see or should not take: struck-through, covered, white-on-white and invisible words."""

from __future__ import annotations

from collections import defaultdict

from halfinch.readers.pdf.ink import Area, Frame, PageInk, Rule
from halfinch.readers.pdf.words import Word

STRIKE_ZONE = (0.12, 0.5)  # of the letter size above the base line: a line there goes through the letters
NEAR_COLOUR = 24  # largest difference per channel at which a letter and its ground look alike
LIGHT = 225  # a channel at least this bright makes a letter hard to see on white paper
BAND = 24.0  # points: height of the drawers in which areas are looked up


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
                word.struck = True
        else:
            kept.append(rule)
    return kept


def mark_hidden(words: list[Word], ink: PageInk, frame: Frame) -> None:
    """Mark words drawn invisibly, in the colour of their ground, or covered by a later filled area."""
    areas = [frame.area(area) for area in ink.areas]
    drawers: dict[int, list[Area]] = defaultdict(list)
    latest = max((area.layer for area in areas), default=0)
    for area in areas:
        for key in range(int(area.top // BAND), int(area.bottom // BAND) + 1):
            drawers[key].append(area)
    pictures = [frame.area(picture) for picture in ink.pictures]
    for word in words:
        style = word.style
        if style.unseen:
            word.hidden = True
            continue
        pale = style.colour is not None and min(style.colour) >= LIGHT
        if not pale and not areas:
            continue
        if style.layer > latest and not pale and style.colour is not None and max(style.colour) < 40 and not areas:
            continue
        x, y = (word.x0 + word.x1) / 2, word.base - 0.3 * word.size
        word.hidden = _unseen_at(word, x, y, drawers.get(int(y // BAND), []), pictures, pale)


def _unseen_at(word: Word, x: float, y: float, areas: list[Area], pictures: list[Area], pale: bool) -> bool:
    ground: tuple[int, int, int] | None = (255, 255, 255)
    for area in areas:  # in drawing order, so the last one met below the letters is their ground
        if not (area.x0 <= x <= area.x1 and area.top <= y <= area.bottom):
            continue
        if area.layer > word.style.layer:
            if area.opaque and word.style.layer:
                return True
        else:
            ground = area.colour if area.opaque else None
    if ground == (255, 255, 255) and pale:
        on_picture = any(p.x0 <= x <= p.x1 and p.top <= y <= p.bottom for p in pictures)
        ground = None if on_picture else ground
    colour = word.style.colour
    if colour is None or ground is None:
        return False
    return all(abs(a - b) <= NEAR_COLOUR for a, b in zip(colour, ground, strict=True))
