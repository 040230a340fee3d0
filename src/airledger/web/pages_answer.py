"""First answer: ten plain questions, and what follows from them beside as they are typed."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from airledger.errors import AirledgerError, InputError, QuantityError
from airledger.house.answers import Answers
from airledger.io import answers as form
from airledger.report.screens import first_answer as shown
from airledger.runs.first_answer import first_answer
from airledger.web.render import desk_of, page, system_of

router = APIRouter()
LONGEST = 400


@router.get("/first-answer")
def questions(request: Request) -> HTMLResponse:
    """The ten questions with nothing answered."""
    return page(request, "first_answer.html", questions=form.QUESTIONS, faults=_read({})[1], answer="", problem="")


@router.post("/first-answer")
async def answered(request: Request) -> HTMLResponse:
    """What follows from the answers so far, and which of them cannot be read."""
    given = await _given(request)
    return await run_in_threadpool(_followed, request, given)


@router.post("/first-answer/house")
async def kept(request: Request) -> Response:
    """The answers as a house of the book, to go on with."""
    given = await _given(request)
    return await run_in_threadpool(_kept, request, given)


def _followed(request: Request, given: dict[str, str]) -> HTMLResponse:
    said, faults = _read(given)
    answer, problem = "", ""
    if said is not None:
        key = ("first answer", system_of(request), tuple(sorted(given.items())))
        try:
            found = desk_of(request).kept(key, lambda: first_answer(said, system_of(request)))
            answer = shown(found.outcome.results["first_answer"], system_of(request))
        except AirledgerError as wrong:
            problem = str(wrong)
    return page(
        request, "first_answer_beside.html", questions=form.QUESTIONS, faults=faults, answer=answer, problem=problem
    )


def _kept(request: Request, given: dict[str, str]) -> Response:
    said, faults = _read(given)
    if said is None:
        words = "; ".join(f"{key}: {problem}" for key, problem in faults.items())
        raise InputError(f"some questions have to be answered first: {words}")
    desk = desk_of(request)
    found = first_answer(said, system_of(request))
    file_name = f"{found.stem}.yaml"
    listed = desk.book.add({file_name: found.text.encode()}, file_name, desk.by, "from ten questions")
    return RedirectResponse(f"/houses/{listed.id}", 303)


async def _given(request: Request) -> dict[str, str]:
    """What was typed, by question."""
    sent = await request.form(max_files=0, max_fields=40)
    keys = (*form.KEYS, form.NAME_KEY)
    return {key: value.strip()[:LONGEST] for key in keys if isinstance(value := sent.get(key), str)}


def _read(given: dict[str, str]) -> tuple[Answers | None, dict[str, str]]:
    """The answers, or what is wrong with each."""
    values: dict[str, Any] = {}
    faults: dict[str, str] = {}
    for question in form.QUESTIONS:
        typed = given.get(question.key, "")
        if not typed:
            if question.needed:
                faults[question.key] = f"has to be answered, for example {question.example}"
            continue
        try:
            values[question.key] = form.read_answer(question.key, typed, values.get("floor area") or 200.0)
        except QuantityError as problem:
            faults[question.key] = problem.expected
    try:
        name = form.house_name(given.get(form.NAME_KEY, ""))
    except InputError as problem:
        faults[form.NAME_KEY] = str(problem)
    return (None, faults) if faults else (form.answers_of(values, name), faults)
