"""The pages of one house: first screen, plan, what's running, make-up air, rules, readings, history, its file."""

from __future__ import annotations

import difflib
import json
from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from airledger.errors import AirledgerError, InputError
from airledger.house_book import Change
from airledger.io.document import Document
from airledger.io.house_file import read_text
from airledger.io.typed_lines import as_written, typed_lines
from airledger.report.html_page import subjects
from airledger.report.moment_page import moment_section
from airledger.report.screens import levels, overview, screen
from airledger.runs.moment import Moment, moment
from airledger.web.render import desk_of, page, system_of
from airledger.web.seen import Seen

router = APIRouter(prefix="/houses/{house_id}")
THING = "thing "
"""Before the name of a switch in a form, so that no thing of a house is taken for something else."""
MOST_DIFFERENT = 400


@router.get("")
def first_screen(request: Request, house_id: str) -> HTMLResponse:
    """The verdict in one sentence, the worst pull on the scale, the next decision."""
    return _worked_out(request, house_id, "", "overview")


@router.get("/make-up-air")
def make_up_air(request: Request, house_id: str) -> HTMLResponse:
    """Every way to make up the air, the simplest that holds first; the biggest hood for each duct."""
    return _worked_out(request, house_id, "make-up-air", "make-up-air")


@router.get("/rules")
def rules(request: Request, house_id: str) -> HTMLResponse:
    """What the place asks."""
    return _worked_out(request, house_id, "rules", "rules")


@router.get("/worst")
def worst(request: Request, house_id: str) -> HTMLResponse:
    """The worst states found, flues, doors."""
    return _worked_out(request, house_id, "running", "worst")


@router.get("/punch-list")
def punch_list(request: Request, house_id: str) -> HTMLResponse:
    """Everything open, what was assumed, and where it comes from."""
    return _worked_out(request, house_id, "", "punch-list")


def _worked_out(request: Request, house_id: str, here: str, part: str) -> HTMLResponse:
    """A page of what the whole study found; until it is there, what is being done."""
    desk, system = desk_of(request), system_of(request)
    seen = desk.seen(house_id)
    if seen.values is None:
        return page(request, "faults.html", house=seen.house, here=here, problem=seen.problem)
    job = desk.job(seen)
    body, outcome = "", job.outcome
    if outcome is not None:
        key = ("screen", job.key, part, system)
        body = desk.kept(
            key, lambda: overview(outcome, system) if part == "overview" else screen(part, outcome, system)
        )
    return page(
        request, "worked_out.html", house=seen.house, here=here, part=part, body=body, job=job, problem=job.problem
    )


@router.get("/running")
def running(request: Request, house_id: str) -> HTMLResponse:
    """What's running: everything that can be switched, and what the house does."""
    seen = desk_of(request).seen(house_id)
    if seen.values is None:
        return page(request, "faults.html", house=seen.house, here="running", problem=seen.problem)
    given = {key.removeprefix(THING): how for key, how in request.query_params.items() if key.startswith(THING)}
    return page(
        request,
        "running.html",
        house=seen.house,
        here="running",
        thing=THING,
        swap=False,
        **_moment(request, seen, given),
    )


@router.post("/running")
async def switched(request: Request, house_id: str) -> HTMLResponse:
    """What the house does with what was switched."""
    sent = await request.form(max_files=0, max_fields=500)
    given = {key.removeprefix(THING): str(how)[:80] for key, how in sent.items() if key.startswith(THING)}

    def answer() -> HTMLResponse:
        seen = desk_of(request).seen(house_id)
        if seen.values is None:
            raise InputError(seen.problem)
        return page(request, "moment.html", house=seen.house, swap=True, **_moment(request, seen, given))

    return await run_in_threadpool(answer)


def _moment(request: Request, seen: Seen, given: Mapping[str, str]) -> dict[str, Any]:
    """A moment as the templates show it; what cannot be is told in its place."""
    system = system_of(request)
    try:
        found = _solved(seen, given)
        problem = ""
    except AirledgerError as wrong:
        found, problem = _solved(seen, {}), str(wrong)
    assert seen.values is not None
    section = moment_section(
        seen.values, found.words, found.state, (found.low, found.high), found.account,
        {"house": found.house_limits, "door": found.door_limits}, found.limits_from, system,
    )  # fmt: skip
    drawn = levels(seen.values, found.state, system)
    return {
        "moment": found, "given": dict(given), "body": "" if problem else subjects([section]), "problem": problem,
        "levels": drawn, "verdict": problem or section.sentence,
    }  # fmt: skip


def _solved(seen: Seen, given: Mapping[str, str]) -> Moment:
    if seen.work is None:
        raise InputError(seen.problem)
    with seen.lock:
        return moment(seen.work, given)


@router.get("/plan")
def plan(request: Request, house_id: str) -> HTMLResponse:
    """The rooms to scale, and the house file's own lines to edit beside them."""
    seen = desk_of(request).seen(house_id)
    return page(request, "plan.html", house=seen.house, here="plan", **_planned(request, seen))


@router.post("/lines")
def line(
    request: Request,
    house_id: str,
    path: Annotated[str, Form()],
    text: Annotated[str, Form()],
    base: Annotated[int, Form()],
    edit_key: Annotated[str, Form()] = "",
) -> HTMLResponse:
    """One line of the house file, changed and saved; one that makes no house is refused with what is allowed."""
    desk = desk_of(request)
    held = desk.book.house(house_id, base)
    keys = _path(path)
    document = Document(held.text, held.file_name)
    changed = document.set(keys, as_written(document, keys, text.strip())).text
    read_text(changed, held.file_name)
    why = f"{' / '.join(map(str, keys))}: {text.strip()[:80]}"
    desk.book.save(house_id, Change({held.file_name: changed.encode()}, base, desk.by, why, edit_key[:64]))
    seen = desk.seen(house_id)
    return page(request, "planned.html", house=seen.house, **_planned(request, seen))


def _path(told: str) -> tuple[str | int, ...]:
    try:
        keys = json.loads(told)
    except ValueError:
        keys = None
    if not isinstance(keys, list) or not keys or not all(isinstance(key, str | int) for key in keys):
        raise InputError("the line's place in the house file cannot be read")
    return tuple(keys)


def _planned(request: Request, seen: Seen) -> dict[str, Any]:
    """The drawn levels and the lines of the house file, block by block."""
    drawn: list[tuple[str, str]] = []
    problem = seen.problem
    if seen.work is not None and seen.values is not None:
        try:
            drawn = levels(seen.values, _solved(seen, {}).state, system_of(request))
        except AirledgerError as wrong:
            problem = str(wrong)
    blocks: dict[str, list[Any]] = {}
    try:
        for one in typed_lines(Document(seen.house.text, seen.house.file_name)):
            blocks.setdefault(one.block, []).append((json.dumps(one.path), one))
    except AirledgerError as wrong:
        problem = str(wrong)
    return {"levels": drawn, "blocks": blocks, "problem": problem}


@router.get("/file")
def file(request: Request, house_id: str) -> HTMLResponse:
    """The house file as it was typed."""
    seen = desk_of(request).seen(house_id)
    return page(
        request, "file.html", house=seen.house, here="plan", text=seen.house.text, problem=seen.problem,
        base=seen.house.revision.number,
    )  # fmt: skip


@router.post("/file")
def save_file(
    request: Request,
    house_id: str,
    text: Annotated[str, Form()],
    base: Annotated[int, Form()],
    why: Annotated[str, Form()] = "",
    edit_key: Annotated[str, Form()] = "",
) -> Response:
    """The whole house file, changed and saved; with faults it is given back as typed, each fault with its line."""
    desk = desk_of(request)
    held = desk.book.house(house_id, base)
    plain = text.replace("\r\n", "\n") if "\r\n" not in held.text else text
    try:
        read_text(plain, held.file_name)
    except AirledgerError as wrong:
        return page(
            request, "file.html", status=422, house=held, here="plan", text=plain, problem=str(wrong), base=base
        )
    words = why.strip()[:200] or "edited as text"
    desk.book.save(house_id, Change({held.file_name: plain.encode()}, base, desk.by, words, edit_key[:64]))
    return RedirectResponse(f"/houses/{house_id}/plan", 303)


@router.get("/history")
def history(
    request: Request, house_id: str, number: Annotated[int, Query(ge=0)] = 0, against: Annotated[int, Query(ge=0)] = 0
) -> HTMLResponse:
    """Every revision with who and why; two of them side by side, and the journal."""
    book = desk_of(request).book
    house, revisions = book.house(house_id), book.revisions(house_id)
    different: list[tuple[str, str]] = []
    if number:
        new, old = book.house(house_id, number), book.house(house_id, against or max(1, number - 1))
        lines = difflib.unified_diff(old.text.splitlines(), new.text.splitlines(), lineterm="", n=1)
        different = [(row[:1], row[1:]) for row in list(lines)[2:MOST_DIFFERENT]]
    return page(
        request, "history.html", house=house, here="history", revisions=revisions, number=number,
        against=against or max(1, number - 1), different=different, journal=list(book.journal(house_id))[-100:],
    )  # fmt: skip


@router.post("/history/{number}/restore")
def restore(request: Request, house_id: str, number: int) -> Response:
    """An old revision as the newest one; those between stay."""
    desk = desk_of(request)
    desk.book.restore(house_id, number, desk.by)
    return RedirectResponse(f"/houses/{house_id}/history", 303)
