"""A request as a screen sees it: who asks in which language, unit and theme, and how a page is answered.

    @router.get("/held", response_class=HTMLResponse)
    def show(view: ViewDep) -> Response:
        return view.page("held/show.html", figures=...)

Templates have the same names at hand: `view`, `say("held.title")`, `show(inches)`, `number(inches)`, `point("inseam")`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from itertools import count
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import Depends, Request
from markupsafe import Markup
from starlette.responses import HTMLResponse, RedirectResponse, Response

from halfinch.workbench.desk import Desk
from halfinch.workbench.findings import Said, say_finding
from halfinch.workbench.texts import Texts, all_texts, choose_language

if TYPE_CHECKING:
    from halfinch.present.wording import Wording

UNITS = ("in", "cm")
THEMES = ("auto", "light", "dark")
GENERAL = "general"
"""The screen of pages that belong to none."""


@dataclass(eq=False)
class View:
    """One request."""

    request: Request
    desk: Desk
    _numbers: Iterator[int] = field(default_factory=lambda: count(1))

    @property
    def unit(self) -> str:
        return self._cookie("unit", UNITS)

    @property
    def theme(self) -> str:
        return self._cookie("theme", THEMES)

    def _cookie(self, name: str, choices: tuple[str, ...]) -> str:
        value = self.request.cookies.get(f"halfinch_{name}", "")
        return value if value in choices else choices[0]

    @cached_property
    def texts(self) -> Texts:
        wanted = self.request.cookies.get("halfinch_language", "")
        return all_texts()[choose_language(wanted, self.request.headers.get("accept-language", ""))]

    @cached_property
    def wording(self) -> Wording:
        """How papers and drawings say lengths and words in this language and unit."""
        from halfinch.present.wording import load_wording

        return load_wording(self.texts.language, "cm" if self.unit == "cm" else "in")

    @property
    def session(self) -> str:
        name: str = self.request.state.session
        return name

    @property
    def csrf(self) -> str:
        return self.desk.csrf_token(self.session)

    @property
    def wants_json(self) -> bool:
        return "application/json" in self.request.headers.get("accept", "")

    def say(self, key: str, /, **values: object) -> str:
        return self.texts.say(key, **values)

    def show(self, inches: Decimal | float | None) -> str:
        """ "28 5/8 in" or "72.7 cm"; a dash where it is not known."""
        return "–" if inches is None else self.wording.show(float(inches))

    def number(self, inches: Decimal | float | None) -> str:
        return "–" if inches is None else self.wording.number(float(inches))

    def said(self, sentence: str) -> Said:
        """What a finding says, in the words and the unit of the page."""
        return say_finding(sentence, self.texts, self.wording)

    def unique(self, stem: str) -> str:
        """An id that this page does not have yet."""
        return f"{stem}-{next(self._numbers)}"

    def static(self, name: str) -> str:
        return f"/static/{self.desk.static_version}/{name}"

    def page(self, template: str, /, status: int = 200, **context: Any) -> Response:
        """The page that `templates/TEMPLATE` makes; the folder's name is the screen that the navigation marks."""
        return HTMLResponse(self.render(template, **context), status)

    def render(self, template: str, /, **context: Any) -> str:
        from halfinch.workbench.screens import SCREENS

        here = template.split("/")[0]
        return self.desk.templates.get_template(template).render(
            view=self, say=self.say, show=self.show, number=self.number, point=self.wording.point,
            word=self.explain, screens=SCREENS, here=here, languages=list(all_texts().values()), units=UNITS,
            themes=THEMES, **context,
        )  # fmt: skip

    def explain(self, name: str, shown: str = "") -> Markup:
        """A word of the trade with its explanation at hand: `words.NAME.is` under its name `words.NAME.name`."""
        template = self.desk.templates.get_template("word.html")
        return Markup(
            template.render(id=self.unique(f"word-{name}"), shown=shown or self.say(f"words.{name}.name"),
                            name=self.say(f"words.{name}.name"), told=self.say(f"words.{name}.is"),
                            drawing=self.drawing(name), close=self.say("general.close"))
        )  # fmt: skip

    def drawing(self, name: str) -> Markup:
        """Where a point of measure is taken, '' for a word that there is no drawing of."""
        from halfinch.present.drawing.points import DRAWN, draw_point
        from halfinch.present.drawing.svg import STYLE

        if name not in DRAWN:
            return Markup()
        word = self.say(f"words.{name}.name")
        told = self.say("help.drawn", point=word, **{"is": self.say(f"words.{name}.is")})
        drawn = draw_point(name, word, told, self.unique(f"point-{name}"))
        return Markup(drawn.replace(f"<style>{STYLE}</style>", ""))  # a page may hold no style: /drawing.css has it

    def go(self, path: str) -> Response:
        """Answers a form: the browser goes on to a page of ours."""
        return RedirectResponse(local_path(path), 303)


def local_path(path: str) -> str:
    """The path if it leads to a page of this server, else the start."""
    inside = path.startswith("/") and not path.startswith(("//", "/\\")) and path.isprintable()
    return path if inside else "/"


def desk_of(request: Request) -> Desk:
    desk: Desk = request.app.state.desk
    return desk


def view_of(request: Request) -> View:
    return View(request, desk_of(request))


DeskDep = Annotated[Desk, Depends(desk_of)]
ViewDep = Annotated[View, Depends(view_of)]
