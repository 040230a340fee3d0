"""Templates to PDF/A: in process, with the fonts that ship, no clock and no network, the same bytes every time."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from importlib import resources

from airledger.errors import CannotCompute

BLOCKS = "blocks.typ"  # what every template draws with
STANDARD = "a-2a"  # archived, readable out loud
PAPERS = {"letter": "us-letter", "a4": "a4"}
UNDATED = datetime.date(2000, 1, 1)
"""What a paper without a date carries: the standard refuses a missing one."""


def typeset(template: str, files: Mapping[str, bytes], day: datetime.date) -> bytes:
    """A paper as PDF/A.

    Parameters
    ----------
    template : str
        its file name below `templates`
    files : mapping
        what the template reads: file name -> bytes
    day : date
        kept as the paper's date

    Raises
    ------
    CannotCompute
        the typesetter complained: a paper with a warning is not handed out.
    """
    import typst  # noqa: PLC0415  # here, because no other output needs it and importing it takes long

    package = resources.files("airledger").joinpath("report")
    try:
        made, warnings = typst.compile_with_warnings(  # type: ignore[call-overload]  # takes a set of files, types lag
            {
                "main.typ": package.joinpath("templates", template).read_bytes(),
                BLOCKS: package.joinpath("templates", BLOCKS).read_bytes(),
                **files,
            },
            format="pdf",
            font_paths=[str(package.joinpath("fonts"))],
            ignore_system_fonts=True,
            pdf_standards=[STANDARD],
            timestamp=datetime.datetime(day.year, day.month, day.day, tzinfo=datetime.UTC),
        )
    except typst.TypstError as problem:
        raise CannotCompute(f"the paper could not be set: {problem.message}") from problem
    if warnings:
        raise CannotCompute("the paper could not be set: " + "; ".join(str(warning.message) for warning in warnings))
    return bytes(made)
