"""Templates, and what each of them may use."""

from __future__ import annotations

from functools import cache
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined

from airledger import __version__
from airledger.report.facts import FOOT
from airledger.web.seen import Desk

SYSTEMS = ("ip", "si")
UNITS = "units"
"""Name of the cookie that keeps the switch."""
PAGES = (
    ("", "First screen"), ("plan", "Plan"), ("running", "What's running"), ("make-up-air", "Make-up air"),
    ("rules", "Rules"), ("readings", "Readings"), ("papers", "Papers"), ("history", "History"),
)  # fmt: skip
"""The pages of a house: the end of the address, and its name."""


@cache
def _environment() -> Environment:
    made = Environment(
        loader=PackageLoader("airledger.web"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    made.globals |= {"static": f"/static/{__version__}", "pages": PAGES, "foot": FOOT}
    return made


def desk_of(request: Request) -> Desk:
    """What the pages share.

    Parameters
    ----------
    request : Request
        any [-]
    """
    found: Desk = request.app.state.desk
    return found


def system_of(request: Request) -> str:
    """The system of units that the switch stands at.

    Parameters
    ----------
    request : Request
        any [-]
    """
    said = request.cookies.get(UNITS, SYSTEMS[0])
    return said if said in SYSTEMS else SYSTEMS[0]


def page(request: Request, template: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A template with its values as an answer.

    Parameters
    ----------
    request : Request
        what was asked [-]
    template : str
        its file name [-]
    status : int
        of the answer [-]
    **values : Any
        what the template shows [-]
    """
    shown = {"system": system_of(request), "path": request.url.path, "house": None, "here": None} | values
    return HTMLResponse(_environment().get_template(template).render(shown), status)
