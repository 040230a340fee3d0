"""`airledger book`: houses into the house book and out of it, a list, a check, a backup, a folder kept in step."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from airledger.house_book import Book

PAUSE = 1.0
"""Between two looks at a folder that is kept in step [s]."""
WIDTHS = (8, 34, 24, 12)


BOOK = click.option(
    "--book",
    "address",
    default="",
    envvar="AIRLEDGER_BOOK",
    show_default="a file in your data folder",
    help="A file, or postgresql+psycopg://NAME@HOST/DATABASE.",
)
"""Which house book, of every command that opens one."""


@click.group()
@BOOK
@click.option("--by", default="", help="Who, for the journal; without it your name on this machine.")
@click.pass_context
def book(context: click.Context, address: str, by: str) -> None:
    """The house book: every save of every house, with who and why; nothing in it is changed or taken away.

    HOUSE is a house's name, or the beginning of its number, as `airledger book list` shows them.
    """
    context.obj = (address, by)


@book.command("list")
@click.argument("words", nargs=-1)
@click.pass_obj
def listed(chosen: tuple[str, str], words: tuple[str, ...]) -> int:
    """Houses by what each waits for, the earliest date first; with WORDS those that hold every one of them."""
    opened = _opened(chosen)
    houses = opened.houses(" ".join(words))
    for house in houses:
        until = "" if house.decide_by > "9999" else f"by {house.decide_by}"
        waits = f"{house.faults} to mend in its file" if house.faults else house.waits_for
        cells = (house.id[:8], house.name, waits or "nothing waits", until)
        padded = (cell.ljust(width) for cell, width in zip(cells, WIDTHS, strict=True))
        click.echo("  ".join((*padded, house.place)).rstrip())
    if not houses:
        click.echo("no house has these words" if words else "the book is empty: airledger book import HOUSE.yaml")
    elif len(houses) < opened.count() and not words:
        click.echo(f"... {len(houses)} of {opened.count()} houses; name words to find one")
    return 0


@book.command("import")
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--why", default="", help="What for; kept with the revision.")
@click.pass_obj
def bring(chosen: tuple[str, str], paths: tuple[Path, ...], why: str) -> int:
    """Take in house files with all they refer to, parcels (.zip), folders of house files, or a backup."""
    from airledger.runs import shelf

    opened = _opened(chosen)
    for path in paths:
        for house in shelf.bring_in(opened, path, chosen[1] or shelf.whoever(), why):
            faults = f", {house.faults} to mend in its file" if house.faults else ""
            click.echo(f"{house.id[:8]}  {house.name}: taken in from {path}{faults}")
    return 0


@book.command("export")
@click.argument("house")
@click.argument("target", type=click.Path(path_type=Path))
@click.option("--revision", type=click.IntRange(min=1), default=None, help="Which one; without it the newest.")
@click.pass_obj
def hand(chosen: tuple[str, str], house: str, target: Path, revision: int | None) -> int:
    """Write a HOUSE with all its files as a parcel (.zip) or into a folder, bit for bit as it came in."""
    from airledger.runs import shelf

    opened = _opened(chosen)
    found = opened.find(house)
    for path in shelf.hand_out(opened, found.id, target, revision or 0):
        click.echo(path)
    return 0


@book.command("check")
@click.pass_obj
def whole(chosen: tuple[str, str]) -> int:
    """Say whether the book is whole: each byte under its hash, each revision in the journal, the journal one chain."""
    from airledger.house_book.checked import faults

    opened = _opened(chosen)
    found = faults(opened)
    for line in found:
        click.echo(line, err=True)
    if not found:
        count = opened.count()
        click.echo(f"{opened.store.shown}: {count:,} {'house' if count == 1 else 'houses'}, whole")
    return 2 if found else 0


@book.command("backup")
@click.argument("target", type=click.Path(path_type=Path))
@click.pass_obj
def copy(chosen: tuple[str, str], target: Path) -> int:
    """Write all of the book to one file, which `airledger book import` puts into an empty book of either kind."""
    from airledger.house_book.backup import backup

    rows = backup(_opened(chosen), target)
    click.echo(f"{target}: {rows:,} rows")
    return 0


@book.command("watch")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--once", is_flag=True, help="One look, then stop.")
@click.pass_obj
def watch(chosen: tuple[str, str], folder: Path, once: bool) -> int:
    """Keep a FOLDER of house files and the book in step, until Ctrl-C: a change in either comes to the other."""
    from airledger.runs import shelf

    opened, told = _opened(chosen), list[str]()
    while True:
        now = shelf.in_step(opened, folder, chosen[1] or shelf.whoever())
        for line in now:
            if line not in told:
                click.echo(line)
        told = now
        if once:
            return 0
        time.sleep(PAUSE)


def _opened(chosen: tuple[str, str]) -> Book:
    from airledger.house_book import open_book

    return open_book(chosen[0])
