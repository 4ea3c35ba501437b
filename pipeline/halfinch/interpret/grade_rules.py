"""A base size with a grade rule: the figures of the other sizes are worked out and marked as derived."""

from __future__ import annotations

from halfinch.interpret.raw import RawFigure


def expand_grades(raws: list[RawFigure]) -> list[RawFigure]:
    """Raw figures with those that a grade column implies added."""
    return raws
