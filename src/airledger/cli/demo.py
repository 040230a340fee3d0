"""`airledger demo`: the example houses, the first one studied, its papers left in a folder."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("folder", type=click.Path(path_type=Path), default=Path("airledger-demo"))
@click.option("--units", type=click.Choice(["ip", "si"]), default="ip", show_default=True, help="Of all shown.")
def demo(folder: Path, units: str) -> int:
    """Write the example houses to FOLDER, study the first, and leave its papers there.

    Only its own files are overwritten. The houses are invented.
    """
    from airledger import report, runs

    houses = runs.write_examples(folder)
    outcome = runs.study(runs.load(houses[0]), beside=folder, deepest=2_000, aside=True)
    written = report.write(outcome, folder, units)
    first, _, rest = report.in_units(outcome.headline, units).partition(". ")
    click.echo(f"{outcome.house.name}: {first}; {rest[:1].lower()}{rest[1:]}")
    paper = next((path for path in written if path.suffix == ".pdf"), written[0])
    click.echo(f"Open next: {paper}; then change {houses[0]} and run: airledger study {houses[0]} --out {folder}")
    return 0
