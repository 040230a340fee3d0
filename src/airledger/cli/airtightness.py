"""`airledger airtightness`: blower-door readings of one or both directions, with a house or without."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from airledger.cli.study import PAPERS, Day, run

FIRST_METHOD = "e779"
METHODS = ("e779", "iso9972", "cgsb149", "e1827-1", "e1827-2")
HOUSES = (".yaml", ".yml")


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--method", type=click.Choice(METHODS), default=None, show_default=FIRST_METHOD, help="The standard to read by."
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
@click.option("--out", type=click.Path(path_type=Path), help="Write a sheet and the numbers to this folder.")
@click.option("--units", type=click.Choice(["ip", "si"]), default="ip", show_default=True, help="Of all shown.")
@click.option("--date", type=Day(), help="Date printed on the sheet; without it it is undated.")
@click.option("--paper", type=click.Choice(PAPERS), default="letter", show_default=True, help="Size of the sheet.")
def airtightness(  # noqa: PLR0913, PLR0917 - each is an option of the command
    files: tuple[Path, ...],
    method: str | None,
    as_json: bool,
    out: Path | None,
    units: str,
    date: datetime.date | None,
    paper: str,
) -> int:
    """How tight a house is, from blower-door readings: .csv or .xlsx, one file or one of each direction.

    A house file (.yaml) is read for the tests that it names; the make-up decision is then told before and after them.
    Rules of the standards are recalled, not seen in print: the bought text decides.
    """
    if any(file.suffix.lower() in HOUSES for file in files):
        if len(files) > 1:
            raise click.UsageError("one house at a time; its readings are named in the house file")
        only = ("airtightness", "make_up_air")
        return run(only, files[0], out, as_json, units, date, paper=paper, options={"airtightness": method})
    from airledger.report import fan_test as shown
    from airledger.runs import fan_test as runs

    result, called, cautions = runs.fan_test(files, method or FIRST_METHOD)
    for caution in cautions:
        click.echo(caution, err=True)
    if out is not None:
        sheet = shown.pdf_of_test(result, called, units, date, paper)
        runs.write(out, {"airtightness.pdf": sheet, "airtightness.json": shown.json_of_test(result).encode()})
    click.echo(shown.json_of_test(result) if as_json else shown.screen(result, units), nl=False)
    if out is not None and not as_json:
        click.echo(f"\nOpen next: {out / 'airtightness.pdf'}")
    return 0
