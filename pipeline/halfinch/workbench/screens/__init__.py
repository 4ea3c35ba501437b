"""The screens, a module each with a `router`. To add one: the module, its line here, its folder of templates, its table
in every file of `messages/`, `navigation.NAME` among them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Screen:
    """One station of the day's work, as the navigation shows it."""

    name: str
    """Folder of its templates, and table of its texts."""
    path: str
    module: str


SCREENS = (
    Screen("sheets", "/sheets", "sheets"),
    Screen("held", "/held", "held"),
    Screen("catalogue", "/catalogue", "catalogue"),
    Screen("bodies", "/bodies", "bodies"),
    Screen("match", "/match", "match"),
    Screen("papers", "/papers", "papers"),
    Screen("glance", "/glance", "glance"),
    Screen("help", "/help", "help_"),
)
"""In the order of a day's work; the first one is where one comes in."""
