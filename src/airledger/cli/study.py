"""`airledger study` and one command a study: read the house, run, print or write."""

from __future__ import annotations

import datetime
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import click

SHEETS = ("builder", "framer", "hvac", "electrician", "tester", "inspector", "owner", "annex", "tables", "all")
PAPERS = ("letter", "a4")
DEEPEST = 2_000
PATIENCE = 2.0


class Day(click.ParamType):  # type: ignore[type-arg]
    """A date as YYYY-MM-DD."""

    name = "YYYY-MM-DD"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime.date:
        """The date that was typed."""
        if isinstance(value, datetime.date):
            return value
        try:
            return datetime.date.fromisoformat(str(value))
        except ValueError:
            self.fail(f"{value!r} is no date; write it as 2026-03-02", param, ctx)


def with_options(command: Any) -> Any:
    """The options that every study command has."""
    house = click.argument("house", type=click.Path(path_type=Path))
    out = click.option("--out", type=click.Path(path_type=Path), help="Write papers and tables to this folder.")
    as_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
    units = click.option(
        "--units", type=click.Choice(["ip", "si"]), default="ip", show_default=True, help="Of all shown."
    )
    date = click.option("--date", type=Day(), help="Date printed on the papers; without it they are undated.")
    for option in (date, units, as_json, out, house):
        command = option(command)
    return command


@click.command()
@with_options
@click.option("--only", multiple=True, metavar="STUDY", help="Only this study; may be given several times.")
@click.option(
    "--sheet",
    multiple=True,
    type=click.Choice(SHEETS),
    help="One reader's sheet, the technical annex, the tables as a workbook, or the whole paper (all); may be given "
    "again; with --out.",
)
@click.option("--paper", type=click.Choice(PAPERS), default="letter", show_default=True, help="Size of the papers.")
def study(only: tuple[str, ...], sheet: tuple[str, ...], paper: str, **options: Any) -> int:
    """All that a house file has data for: how hard the house is pulled, what it does, what would fix it.

    Exit code 0: nothing worse than a caution; 1: a limit or a law is passed; 2: the input cannot be used; 3: it could
    not be computed.
    """
    return run(only, sheets=sheet, paper=paper, **options)


def run(  # noqa: PLR0913, PLR0917 - each is an option of the command
    only: tuple[str, ...],
    house: Path,
    out: Path | None,
    as_json: bool,
    units: str,
    date: datetime.date | None,
    sheets: tuple[str, ...] = (),
    paper: str = "letter",
    options: Mapping[str, Any] | None = None,
) -> int:
    """Run studies on a house file and show them; the exit code.

    Raises
    ------
    UsageError
        a sheet is chosen although no papers are written.
    """
    from airledger import report, runs
    from airledger.findings import exit_code

    if sheets and out is None:
        raise click.UsageError("--sheet chooses among the papers: say with --out where they go")
    loaded, cautions = runs.load_with_cautions(house)
    for caution in cautions:
        click.echo(caution, err=True)
    deepest = DEEPEST if out is not None else 0
    outcome = runs.study(loaded, only, options, progress=_progress(), beside=house.parent, deepest=deepest, aside=True)
    written = report.write(outcome, out, units, date, sheets, paper) if out is not None else []
    if as_json:
        click.echo(report.json_text(outcome, units), nl=False)
    else:
        click.echo(report.summary(outcome, units), nl=False)
        if written:
            first = next((path for path in written if path.suffix == ".pdf"), written[0])
            click.echo(f"Open next: {first}")
    return exit_code(outcome.findings)


def _progress() -> Callable[[str], None] | None:
    """Says on a terminal what is being done, for houses whose many ways to run take a while; elsewhere nothing."""
    started = time.monotonic()

    def say(words: str) -> None:
        if time.monotonic() - started > PATIENCE:
            click.echo(f"... {words}", err=True)

    return say if sys.stderr.isatty() else None


def _one(name: str, help_text: str) -> click.Command:
    """The command of one study."""

    def command(**options: Any) -> int:
        return run((name,), **options)

    command.__doc__ = help_text
    return click.command(name.replace("_", "-"))(with_options(command))


air_balance = _one(
    "air_balance",
    """Air in and air out of every named state, equal by weight; where the air comes from; the year's air by cause.""",
)
depressurization = _one(
    "depressurization",
    """How hard the house is pulled in the named states, and the worst state for house, rooms, doors and appliances.

    The worst is found by solving every combination of speeds, doors, windows and seasons at both ends of the tightness.
    """,
)
combustion_safety = _one(
    "combustion_safety",
    """What burns inside: the pull that the fans make at its flue against what it stands, and the air it needs.

    Judged is the change by the fans; the pressure itself, and that with every fan off, stand beside it. It clears no
    appliance: a combustion test by a licensed person does.
    """,
)
door_force = _one(
    "door_force",
    """What the pull does at every door, held shut or thrown open, and what an open back door changes.""",
)
make_up_air = _one(
    "make_up_air",
    """Every way to make up the air, solved: what the hood really moves, house pressure, wall space, trades and price.

    The simplest that keeps every limit stands first; if none does, the nearest misses are named.
    """,
)
ventilation_rate = _one(
    "ventilation_rate",
    """Outdoor air all day: what each rule asks, its formula with the numbers put in, and what the ventilator gives.""",
)
local_exhaust = _one(
    "local_exhaust",
    """Kitchen, baths, laundry: what the rules ask on demand or all day, and what takes air from each room.""",
)
start_up = _one(
    "start_up",
    """Start-up readings against design, rules and limits: shown good, shown bad, or cannot tell with this meter.""",
)
biggest_hood = _one(
    "biggest_hood",
    """The other way round: for each duct the wall can take, the biggest hood (and hood with dryer) in the limits.""",
)
