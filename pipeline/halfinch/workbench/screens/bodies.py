"""The screen "bodies": made, checked against the survey, changed, deleted. Files of one folder, for nobody else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, HTTPException, Request
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse, Response

from halfinch.errors import BodyError
from halfinch.fit.body_edit import PAIR_KEYS, edit_text, read_answers, replace_body
from halfinch.fit.body_text import Answers, body_text, check_answer, write_body
from halfinch.workbench.view import View, ViewDep
from halfinch.workbench.wearers import find_wearers, free_file, open_wearer

if TYPE_CHECKING:
    from halfinch.knowledge import Knowledge

router = APIRouter(prefix="/bodies", tags=["bodies"])
LONGEST = 200
"""Letters of one answer."""
MOST = 20
"""Shoes, and pairs, of one body."""


@dataclass(frozen=True, slots=True, repr=False)
class Asked:
    """The form: what was typed, and what is wrong with it by field; sentences about the whole last."""

    answers: Answers
    wrong: Mapping[str, str]
    general: str = ""


@router.get("", response_class=HTMLResponse)
def show(view: ViewDep) -> Response:
    """Whom there is."""
    wearers = find_wearers(view.desk)
    again = {one.handle: len(_check(one.body, view.desk.knowledge)) for one in wearers if one.body is not None}
    return view.page("bodies/show.html", wearers=wearers, again=again)


@router.get("/new", response_class=HTMLResponse)
def ask_new(view: ViewDep) -> Response:
    """The empty form."""
    return _form(view, "", Asked(Answers("", {}), {}))


@router.get("/{handle}", response_class=HTMLResponse)
def ask(view: ViewDep, handle: str) -> Response:
    """The form of a body, and what the survey says of its measures."""
    wearer = open_wearer(view.desk, handle)
    return _form(view, handle, Asked(read_answers(_text_of(view, handle)), {}), checked=wearer.body)


@router.post("/new", status_code=303, response_class=Response)
async def make(request: Request, view: ViewDep) -> Response:
    """Writes a new body file that only its owner can read."""
    answers = _typed(await request.form(), view.desk.knowledge)
    wrong = _wrong(answers, view)
    folder = view.desk.settings.bodies
    if not wrong:
        try:
            text = body_text(answers, view.desk.knowledge)
            _make_folder(view)
            path = free_file(folder, answers.name)
            write_body(path, text)
            return view.go(f"/bodies/{view.desk.bodies.give(path)}")
        except BodyError as error:
            return _form(view, "", Asked(answers, {}, str(error)), status=422)
    return _form(view, "", Asked(answers, wrong), status=422)


@router.post("/{handle}", status_code=303, response_class=Response)
async def change(request: Request, view: ViewDep, handle: str) -> Response:
    """Writes what was changed; all else in the file stays as it is."""
    wearer = open_wearer(view.desk, handle)
    answers = _typed(await request.form(), view.desk.knowledge)
    wrong = _wrong(answers, view)
    if not wrong:
        try:
            replace_body(wearer.path, edit_text(_text_of(view, handle), answers, view.desk.knowledge))
            return view.go(f"/bodies/{handle}")
        except BodyError as error:
            return _form(view, handle, Asked(answers, {}, str(error)), status=422)
    return _form(view, handle, Asked(answers, wrong), status=422)


@router.post("/{handle}/delete", status_code=303, response_class=Response)
def delete(view: ViewDep, handle: str) -> Response:
    """Deletes the file and whatever the server kept for that body."""
    path = view.desk.bodies.get(handle)
    if path is None:
        raise HTTPException(404)
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise BodyError(f"{path}: cannot be deleted ({error.strerror}).") from None
    view.desk.bodies.drop(handle)
    view.desk.shortlists.pop(handle, None)
    view.desk.classes.forget()
    return view.go("/bodies")


def _form(view: View, handle: str, asked: Asked, *, checked: Any = None, status: int = 200) -> Response:
    known = view.desk.knowledge
    return view.page(
        "bodies/form.html", status, handle=handle, asked=asked, measures=known.measuring.measure,
        silhouettes=tuple(known.silhouettes.silhouette), shoes=_rows(asked.answers), pair_keys=PAIR_KEYS,
        pairs=[*asked.answers.pairs, {}][:MOST],
        again=_check(checked, known) if checked is not None else (),
        ratios=_ratios(checked, known) if checked is not None else (),
        warnings=checked.warnings if checked is not None else (),
        how=_how(known, view),
    )  # fmt: skip


def _how(known: Knowledge, view: View) -> dict[str, tuple[str, str]]:
    """Measure to its question and how it is taken, in the language of the page."""
    say = view.wording.word
    return {key: (say(row.asks), say(row.how)) for key, row in known.measuring.measure.items()}


def _rows(answers: Answers) -> list[tuple[str, str]]:
    """The shoes and two empty lines to add some."""
    return [*answers.shoes, ("", ""), ("", "")][:MOST]


def _typed(form: FormData, known: Knowledge) -> Answers:
    def said(name: str) -> str:
        value = form.get(name, "")
        return " ".join(value.split())[:LONGEST] if isinstance(value, str) else ""

    numbers = range(min(MOST, len(form.getlist("shoe"))))
    names, lifts = form.getlist("shoe"), form.getlist("lift")
    shoes = [
        (" ".join(str(names[n]).split())[:LONGEST], " ".join(str(lifts[n]).split())[:LONGEST] if n < len(lifts) else "")
        for n in numbers
    ]
    while shoes and not any(shoes[-1]):
        shoes.pop()
    columns = {key: [" ".join(str(one).split())[:LONGEST] for one in form.getlist(f"pair_{key}")] for key in PAIR_KEYS}
    count = min(MOST, max(map(len, columns.values())))
    pairs = [{key: told[n] for key, told in columns.items() if n < len(told) and told[n]} for n in range(count)]
    while pairs and not pairs[-1]:
        pairs.pop()
    wanted = {str(word) for word in form.getlist("silhouette")}
    return Answers(
        name=said("name"),
        measures={key: text for key in known.measuring.measure if (text := said(key))},
        shoes=tuple(shoes),
        silhouettes=tuple(word for word in known.silhouettes.silhouette if word in wanted),
        most_opening=said("most_opening"),
        pairs=tuple(pairs),
    )


def _wrong(answers: Answers, view: View) -> dict[str, str]:
    """Field to what is wrong with it; never repeats a measure."""
    wrong = {key: check_answer(key, text) for key, text in answers.measures.items()}
    for number, (name, lift) in enumerate(answers.shoes):
        if lift:
            wrong[f"lift{number}"] = check_answer("front_rise", lift) if name else view.say("bodies.shoe_without_name")
    for number, pair in enumerate(answers.pairs):
        for key, text in pair.items():
            if key not in ("name", "worn_with"):
                wrong[f"pair{number}_{key}"] = check_answer(key, text)
    if answers.most_opening:
        wrong["most_opening"] = check_answer("most_opening", answers.most_opening)
    return {key: sentence for key, sentence in wrong.items() if sentence}


def _check(body: Any, known: Knowledge) -> tuple[str, ...]:
    from halfinch.fit.survey import check_body

    return check_body(body, known)


def _ratios(body: Any, known: Knowledge) -> tuple[Any, ...]:
    from halfinch.fit.survey import compare_body

    return tuple(compare_body(body, known))


def _text_of(view: View, handle: str) -> str:
    path = view.desk.bodies.get(handle)
    assert path is not None
    return path.read_text("utf-8-sig")


def _make_folder(view: View) -> None:
    folder = view.desk.settings.bodies
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise BodyError(f"{folder}: cannot be made ({error.strerror}); name another place with --bodies.") from None
