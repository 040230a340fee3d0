"""Papers: each reader's sheet, the whole as one page, the tables, the house as a parcel; readings from files."""

from __future__ import annotations

import datetime
import re
import tempfile
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, Form, Query, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.exceptions import HTTPException

from airledger.errors import InputError
from airledger.house_book import Change
from airledger.house_book.parcel import packed
from airledger.io.document import Document
from airledger.io.readings_file import read_test
from airledger.io.start_up_file import read_start_up
from airledger.report.folder import SHEETS, one_sheet
from airledger.report.paper import drawn
from airledger.report.pocket import pocket
from airledger.report.screens import screen
from airledger.report.typesetting import PAPERS
from airledger.runs.outcome import Outcome
from airledger.web.render import desk_of, page, system_of

router = APIRouter(prefix="/houses/{house_id}")
READERS = {
    "all": "Everything, with ranges and sources", "builder": "Builder: one page, decisions and prices",
    "framer": "Framer: openings, undercuts, blocking", "hvac": "Ventilation crew: units, flows, measuring spots",
    "electrician": "Electrician: what comes on with what", "tester": "Tester: what to read, and its limits",
    "inspector": "Inspector: law only", "owner": "Owner: two pages and a sticker",
    "annex": "Technical annex: how it was worked out, path by path",
    "tables": "Tables as a workbook",
}  # fmt: skip
KINDS = {"blower door": ("envelope", "tested"), "start-up": ("start up",)}
"""What readings may be of, and the key of the house file that names them."""
LARGEST_READINGS = 2_000_000
FILE_NAME = re.compile(r"[^A-Za-z0-9._-]+")


@router.get("/papers")
def papers(request: Request, house_id: str) -> HTMLResponse:
    """Each reader's sheet."""
    desk = desk_of(request)
    seen = desk.seen(house_id)
    if seen.values is None:
        return page(request, "faults.html", house=seen.house, here="papers", problem=seen.problem)
    job = desk.job(seen)
    listed = [(name, READERS.get(name, name), file) for name, file in SHEETS.items()]
    return page(
        request, "papers.html", house=seen.house, here="papers", job=job, ready=job.outcome is not None, sheets=listed,
        problem=job.problem, sizes=tuple(PAPERS),
    )  # fmt: skip


@router.get("/papers/copy.html")
def copy(request: Request, house_id: str) -> Response:
    """The whole paper as one page that needs no other file."""
    words = drawn(_done(request, house_id)[1], system_of(request)).html(_today())
    headers = {"content-disposition": 'attachment; filename="airledger.html"'}
    return Response(words, media_type="text/html; charset=utf-8", headers=headers)


@router.get("/papers/phone.html")
def phone(request: Request, house_id: str) -> Response:
    """The test plan as one file for a phone, which needs no network."""
    outcome = _done(request, house_id)[1]
    headers = {"content-disposition": 'attachment; filename="readings-on-the-phone.html"'}
    return Response(pocket(outcome, system_of(request)), media_type="text/html; charset=utf-8", headers=headers)


@router.get("/papers/{sheet}")
def sheet(request: Request, house_id: str, sheet: str, paper: Annotated[str, Query()] = "letter") -> Response:
    """One reader's sheet as PDF/A, or the tables as a workbook.

    Raises
    ------
    HTTPException
        there is no such paper.
    """
    if sheet not in SHEETS or paper not in PAPERS:
        raise HTTPException(404, "no such paper")
    (made, outcome), system, today = _done(request, house_id), system_of(request), _today()
    key = ("sheet", made, sheet, system, paper, today)
    data = desk_of(request).kept(key, lambda: one_sheet(sheet, outcome, system, today, paper))
    is_pdf = SHEETS[sheet].endswith(".pdf")
    kind = "application/pdf" if is_pdf else "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    way = "inline" if is_pdf else "attachment"
    return Response(data, media_type=kind, headers={"content-disposition": f'{way}; filename="{SHEETS[sheet]}"'})


@router.get("/parcel.zip")
def parcel(request: Request, house_id: str) -> Response:
    """The house file and all its attachments, bit for bit."""
    held = desk_of(request).book.house(house_id)
    name = held.file_name.rpartition("/")[2].rpartition(".")[0]
    headers = {"content-disposition": f'attachment; filename="{FILE_NAME.sub("-", name)}.zip"'}
    return Response(packed(held.files), media_type="application/zip", headers=headers)


@router.get("/readings")
def readings(request: Request, house_id: str) -> HTMLResponse:
    """What was read on site, and what it shows."""
    desk, system = desk_of(request), system_of(request)
    seen = desk.seen(house_id)
    kept = desk.book.readings(house_id)
    if seen.values is None:
        return page(request, "faults.html", house=seen.house, here="readings", problem=seen.problem)
    tests = [(role, file) for role, files in seen.values.envelope.tested for file in files]
    body, job = "", None
    if tests or seen.values.start_up:
        job = desk.job(seen)
        outcome = job.outcome
        if outcome is not None:
            key = ("screen", job.key, "readings", system)
            body = desk.kept(key, lambda: screen("readings", outcome, system))
    problem = job.problem if job is not None else ""
    return page(
        request, "readings.html", house=seen.house, here="readings", tests=tests, start_up=seen.values.start_up,
        kept=kept, body=body, job=job, problem=problem, kinds=tuple(KINDS), base=seen.house.revision.number,
    )  # fmt: skip


@router.post("/readings")
def take_readings(
    request: Request, house_id: str, file: UploadFile, kind: Annotated[str, Form()], base: Annotated[int, Form()]
) -> Response:
    """A file of readings joins the house: it is read first, and refused with line and field where it cannot be.

    Raises
    ------
    InputError
        they are of no known kind, too large, or cannot be read.
    """
    if kind not in KINDS:
        raise InputError(f"readings are of one of: {', '.join(KINDS)}; not {kind[:40]!r}")
    desk, data = desk_of(request), file.file.read(LARGEST_READINGS + 1)
    name = FILE_NAME.sub("-", Path(file.filename or "readings.csv").name).strip(".-") or "readings.csv"
    if len(data) > LARGEST_READINGS:
        raise InputError(f"{name}: at most {LARGEST_READINGS // 1_000_000} MB of readings are taken")
    _readable(name, data, kind)
    held, path = desk.book.house(house_id, base), f"readings/{name}"
    text = Document(held.text, held.file_name).set(KINDS[kind], path).text
    files = {held.file_name: text.encode(), path: data}
    desk.book.save(house_id, Change(files, base, desk.by, f"{kind} readings: {name}"))
    return RedirectResponse(f"/houses/{house_id}/readings", 303)


def _readable(name: str, data: bytes, kind: str) -> None:
    """Reads the file as the study will; what is wrong with it is raised under its own name."""
    with tempfile.TemporaryDirectory(prefix="airledger-") as folder:
        path = Path(folder) / name
        path.write_bytes(data)
        try:
            (read_test if kind == "blower door" else read_start_up)(path)
        except InputError as problem:
            raise InputError(str(problem).replace(f"{path}", name)) from None


def _done(request: Request, house_id: str) -> tuple[str, Outcome]:
    """The key and the outcome of the newest revision's study; waited for, since a paper was asked for."""
    desk = desk_of(request)
    seen = desk.seen(house_id)
    if seen.values is None:
        raise InputError(seen.problem)
    job = desk.job(seen)
    outcome = job.wait()
    if outcome is None:
        raise InputError(job.problem or "the work was called off: load the page again")
    return job.key, outcome


def _today() -> datetime.date:
    """The day on a paper printed from the pages; only the commands leave it undated."""
    return datetime.datetime.now(datetime.UTC).astimezone().date()
