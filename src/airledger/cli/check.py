"""`airledger check`: whether a house file can be used, with every fault in it at once."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("house", type=click.Path(path_type=Path))
def check(house: Path) -> int:
    """Say whether a house file can be used: every fault with its line, and what is foolish or not used yet.

    Exit code 0 when it can be used, 2 with every fault on stderr.
    """
    from airledger import runs

    loaded, cautions = runs.load_with_cautions(house)
    for caution in cautions:
        click.echo(caution, err=True)
    rooms = _counted(len(loaded.conditioned), "room")
    machines = f"{_counted(len(loaded.exhausts), 'machine')} that {'blows' if len(loaded.exhausts) == 1 else 'blow'}"
    states = _counted(len(loaded.states), "state") if loaded.states else "no states of its own"
    click.echo(f"{house}: {loaded.name} can be used: {rooms}, {machines} air out, {states}.")
    return 0


def _counted(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
