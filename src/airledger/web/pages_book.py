"""The first page: every house by what it waits for; houses in, a copy to a new lot, the switch of units."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from airledger import runs
from airledger.errors import InputError
from airledger.io.document import Document
from airledger.runs.shelf import LARGEST_PARCEL, bring_in, received
from airledger.web.render import SYSTEMS, UNITS, desk_of, page

router = APIRouter()
SHOWN = 100
A_YEAR = 31_536_000
HOUSE_NAME = re.compile(r"[^\n/\\]{1,80}")


@router.get("/")
def houses(request: Request, words: str = "", first: int = 0) -> HTMLResponse:
    """The houses of the book, the earliest decision first."""
    book = desk_of(request).book
    start = max(0, min(first, 10_000_000))
    found = book.houses(words[:200], start, SHOWN + 1)
    template = "houses_list.html" if request.headers.get("hx-request") == "true" else "houses.html"
    return page(
        request, template, houses=found[:SHOWN], words=words[:200], count=book.count(), first=start,
        after=start + SHOWN if len(found) > SHOWN else None,
    )  # fmt: skip


@router.post("/houses")
def take_in(request: Request, file: UploadFile) -> Response:
    """A house file or a parcel becomes a house."""
    desk, name = desk_of(request), Path(file.filename or "house.yaml").name
    files, house_file = received(file.file.read(LARGEST_PARCEL + 1), name)
    listed = desk.book.add(files, house_file, desk.by, f"from {name}")
    return RedirectResponse(f"/houses/{listed.id}", 303)


@router.post("/examples")
def examples(request: Request) -> Response:
    """The invented example houses, to look around."""
    desk = desk_of(request)
    with tempfile.TemporaryDirectory(prefix="airledger-") as folder:
        for path in runs.write_examples(folder):
            bring_in(desk.book, path, desk.by, "an invented example")
    return RedirectResponse("/", 303)


@router.post("/houses/{house_id}/copy")
def copy(request: Request, house_id: str, name: Annotated[str, Form()]) -> Response:
    """The same plan on another lot: all files, another name.

    Raises
    ------
    InputError
        the name cannot be one.
    """
    desk = desk_of(request)
    wanted = name.strip()
    if not HOUSE_NAME.fullmatch(wanted):
        raise InputError("a name of up to 80 characters is wanted, without a slash")
    held = desk.book.house(house_id)
    text = Document(held.text, held.file_name).set(("house",), wanted).text
    files = {**held.files, held.file_name: text.encode()}
    listed = desk.book.add(files, held.file_name, desk.by, f"the plan of {held.listed.name}")
    return RedirectResponse(f"/houses/{listed.id}", 303)


@router.post("/units")
def units(system: Annotated[str, Form()], back: Annotated[str, Form()] = "/") -> Response:
    """The switch of units, for every page and paper."""
    target = back if back.startswith("/") and not back.startswith(("//", "/\\")) else "/"
    answer = RedirectResponse(target, 303)
    if system in SYSTEMS:
        answer.set_cookie(UNITS, system, A_YEAR, samesite="strict", httponly=True)
    return answer
