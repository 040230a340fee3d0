"""The application: its pages, its files, and how it says that something is wrong."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from importlib import resources

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import FileResponse, HTMLResponse, Response
from starlette.exceptions import HTTPException

from airledger import __version__
from airledger.errors import AirledgerError
from airledger.house_book import Book, EditClash
from airledger.report.html_page import look
from airledger.runs.shelf import whoever
from airledger.web import events, pages_answer, pages_book, pages_house, pages_papers
from airledger.web.guard import THIS_MACHINE, Guard
from airledger.web.render import page
from airledger.web.seen import Desk

STATIC = {
    "htmx.min.js": "text/javascript", "pages.js": "text/javascript", "mark.svg": "image/svg+xml",
}  # fmt: skip
FONT_TYPE = "font/woff2"
PAGE: dict[str, object] = {"text/html": {"schema": {"type": "string"}}}
ANSWERS: dict[int | str, dict[str, object]] = {
    status: {"description": words, "content": PAGE}
    for status, words in {
        303: "done; the page to go on with", 400: "the request cannot be read", 403: "a change from another page",
        404: "no such house, revision or paper", 409: "somebody else changed the same; nothing was written",
        413: "too much at once", 421: "asked for by a strange name", 422: "what was sent cannot be used, and why",
    }.items()
}  # fmt: skip
"""What every address may answer besides its page."""
A_DAY = {"cache-control": "public, max-age=86400, immutable"}


def application(book: Book, by: str = "", hosts: tuple[str, ...] = THIS_MACHINE) -> Guard:
    """The pages on a book, guarded.

    Parameters
    ----------
    book : Book
        the house book [-]
    by : str
        who is at this machine; nothing asks the machine [-]
    hosts : tuple[str, ...]
        names that the pages are asked by [-]
    """
    desk = Desk(book, by or whoever())

    @asynccontextmanager
    async def lifespan(_app: FastAPI) -> AsyncIterator[None]:
        yield
        desk.jobs.stop()

    app = FastAPI(
        title="airledger", version=__version__, lifespan=lifespan, docs_url=None, redoc_url=None,
        default_response_class=HTMLResponse, responses=ANSWERS,
    )  # fmt: skip
    app.state.desk = desk
    for pages in (pages_book, pages_answer, pages_house, pages_papers, events):
        app.include_router(pages.router)
    _add_files(app)
    _add_problems(app)
    return Guard(app, hosts)


def _add_files(app: FastAPI) -> None:
    """Style, script and fonts; their address holds the version, so that a browser may keep them."""
    package = resources.files("airledger")

    @app.get("/static/{version}/look.css", include_in_schema=False)
    def sheet(version: str) -> Response:
        own = package.joinpath("web", "static", "pages.css").read_text(encoding="utf-8")
        return Response(look(f"/static/{version}/") + own, media_type="text/css", headers=A_DAY)

    @app.get("/static/{version}/{name}", include_in_schema=False)
    def file(version: str, name: str) -> Response:
        if name in STATIC:
            path, kind = package.joinpath("web", "static", name), STATIC[name]
        elif name.endswith(".woff2") and "/" not in name:
            path, kind = package.joinpath("report", "fonts", name), FONT_TYPE
        else:
            raise HTTPException(404, "no such file")
        if not path.is_file():
            raise HTTPException(404, "no such file")
        return FileResponse(str(path), media_type=kind, headers=A_DAY)


def _add_problems(app: FastAPI) -> None:
    """A problem is a page with its words: bad input 422, a clash 409, what is not there 404."""

    def told(request: Request, status: int, words: str) -> HTMLResponse:
        fragment = request.headers.get("hx-request") == "true"
        return page(request, "problem.html", status=status, words=words, fragment=fragment)

    @app.exception_handler(EditClash)
    def clash(request: Request, problem: EditClash) -> HTMLResponse:
        return page(request, "clash.html", status=409, clashes=problem.clashes, head=problem.head)

    @app.exception_handler(AirledgerError)
    def wrong(request: Request, problem: AirledgerError) -> HTMLResponse:
        words = str(problem)
        missing = words.startswith("no house ") or " has no revision " in words
        return told(request, 404 if missing else 422, words)

    @app.exception_handler(HTTPException)
    def refused(request: Request, problem: HTTPException) -> HTMLResponse:
        return told(request, problem.status_code, str(problem.detail))

    @app.exception_handler(RequestValidationError)
    def malformed(request: Request, problem: RequestValidationError) -> HTMLResponse:
        where = "; ".join(f"{'.'.join(map(str, one['loc'][1:]))}: {one['msg']}" for one in problem.errors())
        return told(request, 422, f"the form cannot be read: {where}")
