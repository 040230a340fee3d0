"""`airledger rules` and `airledger explain`: the rules of a place or a house, and any rule by its name."""

from __future__ import annotations

from pathlib import Path

import click

UNITS = click.option(
    "--units", type=click.Choice(["ip", "si"]), default="ip", show_default=True, help="Of a house's values."
)


@click.command()
@click.argument("place_or_house", required=False, default="")
@UNITS
def rules(place_or_house: str, units: str) -> int:
    """The rules that hold in a PLACE ("Duluth, Minnesota") or for a HOUSE file; without either, all in the tables.

    What nobody looked up is said; the official decides.
    """
    from airledger.report import rule_text as shown
    from airledger.runs import rule_book

    found = rule_book.book(place_or_house)
    click.echo(shown.rule_text(found.head, found.entries, found.findings, found.places, units), nl=False)
    return 0


@click.command()
@click.argument("name")
@click.argument("house", required=False, type=click.Path(path_type=Path))
@UNITS
def explain(name: str, house: Path | None, units: str) -> int:
    """One rule by its NAME: what it asks, section, source; with a HOUSE file its formula with the numbers put in."""
    from airledger.report import rule_text as shown
    from airledger.runs import rule_book

    found = rule_book.explained(name, house)
    click.echo(shown.rule_text(found.head, found.entries, found.findings, found.places, units), nl=False)
    return 0
