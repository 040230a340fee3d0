"""`airledger`: its commands by name, each loaded only when it is called, and one way for every error to be said."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from importlib import import_module
from typing import Any

import click

# name -> (module of cli, attribute, one line of help): the modules stay unloaded until a command is called
COMMANDS: Mapping[str, tuple[str, str, str]] = {
    "demo": ("demo", "demo", "Write the example houses, study the first, and leave its papers."),
    "ask": ("ask", "ask", "Ten plain questions, and a first answer on one screen."),
    "check": ("check", "check", "Say whether a house file can be used, with every fault in it."),
    "study": ("study", "study", "All that a house file has data for: pulls, doors, air in and out, make-up air."),
    "air-balance": ("study", "air_balance", "Air in and air out, where it comes from, and the year's air by cause."),
    "depressurization": ("study", "depressurization", "How hard the house is pulled, now and at worst."),
    "combustion-safety": ("study", "combustion_safety", "What the fans do at every flue, and the burners' air."),
    "door-force": ("study", "door_force", "What the pull does at the doors, and what eases it."),
    "make-up-air": ("study", "make_up_air", "Every way to make up the air, the simplest that holds first."),
    "ventilation-rate": ("study", "ventilation_rate", "Outdoor air all day: what the rules ask, what the unit gives."),
    "local-exhaust": ("study", "local_exhaust", "Kitchen, baths, laundry: what the rules ask, what takes air there."),
    "start-up": ("study", "start_up", "Start-up readings: shown good, shown bad, or cannot tell with this meter."),
    "traverse": ("traverse", "traverse", "Where to hold the probe in a duct of a size, for its flow."),
    "book": ("book", "book", "The house book: houses in and out, a list, a check, a backup, a folder in step."),
    "serve": ("serve", "serve", "The house book in your browser: plan, what is running, readings, papers."),
    "rules": ("rules", "rules", "The rules of a place or a house, as far as they were looked up."),
    "explain": ("rules", "explain", "One rule by its name, with its formula; with a house, its numbers put in."),
    "airtightness": ("airtightness", "airtightness", "Blower-door readings, with a house or without: how tight it is."),
    "biggest-hood": (
        "study",
        "biggest_hood",
        "For each duct the wall can take, the biggest hood within the limits.",
    ),
}
LISTED_HELP_WIDTH = 100


class Lazy(click.Group):
    """A group whose commands are imported when they are asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names of the commands in the order in which they are shown."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of a name; None where there is none."""
        if cmd_name not in COMMANDS:
            return None
        module, attribute, _ = COMMANDS[cmd_name]
        found = getattr(import_module(f"airledger.cli.{module}"), attribute)
        return found if isinstance(found, click.Command) else None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that was typed; a near name is offered where it is none."""
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            from difflib import get_close_matches

            near = get_close_matches(args[0].replace("_", "-"), COMMANDS, 1)
            hint = f"; did you mean {near[0]!r}?" if near else f"; there are: {', '.join(COMMANDS)}"
            ctx.fail(f"no command is called {args[0]!r}{hint}")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The commands with one line each, without importing any of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, words) for name, (_, _, words) in COMMANDS.items()])

    def main(self, *args: Any, **kwargs: Any) -> Any:
        """Run a command; every error becomes one message and an exit code, never a traceback."""
        kwargs["standalone_mode"] = False
        try:
            code = super().main(*args, **kwargs)
        except Exception as problem:
            code = told(problem)
        except KeyboardInterrupt:
            click.echo("stopped", err=True)
            code = 2
        sys.exit(code if isinstance(code, int) else 0)


def told(problem: Exception) -> int:
    """Say an error on stderr; its exit code."""
    from airledger.errors import AirledgerError

    code = 2
    if isinstance(problem, click.ClickException):
        problem.show()
    elif isinstance(problem, click.Abort):
        click.echo("stopped", err=True)
    elif isinstance(problem, click.exceptions.Exit):
        code = problem.exit_code
    elif isinstance(problem, AirledgerError):
        click.echo(str(problem), err=True)
        code = problem.exit_code
    elif isinstance(problem, BrokenPipeError):
        _quiet_stdout()
        code = 0
    elif isinstance(problem, OSError):
        click.echo(f"{problem.filename or 'what was to be printed'}: {problem.strerror or problem}", err=True)
    else:
        code = _own_fault(problem)
    return code


def _own_fault(problem: Exception) -> int:
    click.echo(f"this is a fault of airledger, not of your house: {type(problem).__name__}: {problem}", err=True)
    click.echo("please report it with the house file and the command that you typed", err=True)
    return 3


def _quiet_stdout() -> None:
    """Whoever read our output is gone: the rest goes nowhere, so that the last flush does not complain."""
    import os

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


@click.group(cls=Lazy, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": LISTED_HELP_WIDTH})
@click.version_option(package_name="airledger", message="airledger %(version)s")
def main() -> None:
    """Where the air of a very tight house enters and leaves: sized before drywall, proven afterwards.

    Start with  airledger demo  or with  airledger ask.  Combustion, gas, electrical and structural work belongs to
    licensed people; local code and the maker's instructions win over anything printed here.
    """
