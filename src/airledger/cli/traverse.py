"""`airledger traverse`: where to hold the probe in a duct."""

from __future__ import annotations

import click


@click.command()
@click.argument("size")
@click.option(
    "--rule", default="log-linear", show_default=True, type=click.Choice(["log-linear", "log-Tchebycheff"]),
    help="For a round duct.",
)  # fmt: skip
@click.option("--points", default=0, help="Points on a line; without it, what the size asks for.")
@click.option("--units", type=click.Choice(["ip", "si"]), default="ip", show_default=True, help="Of the depths.")
def traverse(size: str, rule: str, points: int, units: str) -> int:
    """Where to hold the probe for a traverse of a duct of a SIZE: "6 in", or "8 x 12 in".

    Read at every depth on every line, with straight duct before it (common practice: three feet), and write the
    readings into one cell with semicolons between.
    """
    from airledger.report.traverse_text import traverse_text
    from airledger.runs.traverse import traverse as found

    click.echo(traverse_text(found(size, rule, points), units), nl=False)
    return 0
