"""`airledger ask`: ten plain questions, flags or a file; a first answer on one screen, a house file to go on with."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from airledger.house.answers import Answers
    from airledger.runs.first_answer import FirstAnswer

FLAGS = {
    "place": "City or county, and state: Homestead, Florida",
    "floor area": "Floor area inside: 2480 ft2",
    "ceiling": "Ceiling height or air volume: 9 ft 6 in",
    "bedrooms": "Bedrooms: 4",
    "storeys": "Storeys: 1",
    "tightness": "How tight you usually get: 0.7 to 1.2",
    "exhausts": "What blows air out: hood 600 cfm; dryer vented; 2 bath fans 80 cfm",
    "appliances": "What burns inside: none, or gas cooktop; gas water heater natural draft",
    "ventilator": "ERV 70 / 150 cfm, HRV, 2 bath fans 80 cfm, or none",
    "wall duct": "Round duct the wall can take: 10 in, two 10 in",
    "entry door swings": "in or out",
}
DEFAULT_NAME = "DEFAULT"  # what --house without a name stands for
WIDE = 92  # of what is allowed, under a question


def _with_flags(command: Any) -> Any:
    """A flag for each question."""
    for key, words in reversed(FLAGS.items()):
        command = click.option(f"--{key.replace(' ', '-')}", key.replace(" ", "_"), metavar="ANSWER", help=words)(
            command
        )
    return command


@click.command()
@_with_flags
@click.option("--name", metavar="NAME", help="What to call the house.")
@click.option("--answers", type=click.Path(path_type=Path), help="Read the answers from this file.")
@click.option("--blank", type=click.Path(path_type=Path), help="Write an answers file to fill in, and stop.")
@click.option(
    "--house",
    type=click.Path(),
    is_flag=False,
    flag_value=DEFAULT_NAME,
    help="Write the house file here.  [default: named after the house]",
)
@click.option("--overwrite", is_flag=True, help="Replace a file that is there, without asking.")
@click.option("--units", type=click.Choice(["ip", "si"]), default="ip", show_default=True, help="Of all shown.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
def ask(name: str | None, answers: Path | None, blank: Path | None, **options: Any) -> int:
    """Ten plain questions, and a first answer on one screen: what the code asks, what the house does, the ways out.

    No drawings needed, "not picked yet" is an answer. Without flags the questions are asked one by one; with flags, or
    with --answers, nothing is asked and what is left out is assumed and listed. A house file to go on with is written
    (with --json only if --house is given). A first answer is no combustion test: anything with a flue is tested by a
    licensed person with all fans running; local code wins.
    """
    flags = {key: options.pop(key.replace(" ", "_")) for key in FLAGS}
    given = {key: text for key, text in flags.items() if text is not None}
    if blank is not None:
        return _write_blank(blank, options["overwrite"])
    if answers is not None and given:
        raise click.UsageError(f"either --answers or flags such as --{next(iter(given)).replace(' ', '-')}, not both")
    asks = answers is None and not given
    try:
        said = _said(answers, given, name or "", options["as_json"])
        return _answered(said, asks, **options)
    except (EOFError, KeyboardInterrupt):
        click.echo("\nstopped before the last answer; nothing was written", err=True)
        return 2


def _write_blank(path: Path, overwrite: bool) -> int:
    from airledger.io import safe_write
    from airledger.io.answers import blank_form

    _may_write(path, overwrite, asks=False)
    safe_write.write_text(path, blank_form())
    click.echo(f"Fill in {path}, then run: airledger ask --answers {path}")
    return 0


def _said(path: Path | None, given: dict[str, str], name: str, quiet: bool) -> Answers:
    """The answers: from the file, the flags, or the person."""
    from dataclasses import replace

    from airledger.errors import InputError, QuantityError
    from airledger.io import answers as form

    if path is not None:
        said = form.load_answers(path)
        return replace(said, name=name) if name else said
    if not given:
        return _asked(name, quiet)
    values: dict[str, Any] = {}
    faults = []
    for key in form.KEYS:
        try:
            if key in given:
                values[key] = form.read_answer(key, given[key], values.get("floor area") or 200.0)
        except QuantityError as problem:
            faults.append(f"--{key.replace(' ', '-')}: {problem}")
    for question in form.QUESTIONS:
        if question.needed and question.key not in given:
            faults.append(f"--{question.key.replace(' ', '-')} has to be answered, for example {question.example!r}")
    if faults:
        raise InputError("\n".join(faults))
    return form.answers_of(values, form.house_name(name))


def _asked(name: str, quiet: bool) -> Answers:
    """The questions one by one; a bad answer is asked again with what is allowed."""
    from airledger.io import answers as form

    def say(words: str, end: bool = True) -> None:
        click.echo(words, err=quiet, nl=end)

    say("Ten plain questions, and one about the door. Enter alone takes what stands behind it; Ctrl-C stops.\n")
    values: dict[str, Any] = {}
    for number, question in enumerate(form.QUESTIONS, 1):
        enter = "" if question.needed else f"; Enter: {question.default}"
        say(f"{number:>2}  {question.asked}  (for example {question.example}{enter})")
        if question.note:
            say(f"    {question.note}")
        values[question.key] = _one_answer(question, values.get("floor area") or 200.0, say)
        for asked_back in form.asked_back(question.key, values[question.key]):
            values[question.key] = _asked_again(asked_back, values[question.key], say)
    say("")
    return form.answers_of(values, form.house_name(name))


def _one_answer(question: Any, area: float, say: Any) -> Any:
    from airledger.errors import QuantityError
    from airledger.io import answers as form

    while True:
        say("    > ", False)
        typed = _typed() or question.default
        try:
            return form.read_answer(question.key, typed, area)
        except QuantityError as problem:
            for line in textwrap.wrap(problem.expected, WIDE, break_on_hyphens=False):
                say(f"    {line}")


def _typed() -> str:
    """One line from the keyboard; what is no text reads as something that no answer is."""
    try:
        return input().strip()
    except UnicodeDecodeError:
        return "\N{REPLACEMENT CHARACTER}"


def _asked_again(back: Any, value: Any, say: Any) -> Any:
    """One follow-up that decides something."""
    say(f"    {back.asked}  ({' | '.join(back.choices)}; Enter: {back.choices[0]})")
    while True:
        say("    > ", False)
        typed = " ".join(_typed().lower().split()) or back.choices[0]
        if typed in back.choices:
            return back.applied(value, typed)
        say(f"    one of: {', '.join(back.choices)}")


def _answered(  # each is an option of the command
    said: Answers, asks: bool, house: str | None, overwrite: bool, units: str, as_json: bool
) -> int:
    """The answer on the screen or as JSON, and the house file."""
    from airledger.runs.first_answer import first_answer

    wanted = None if house in (None, DEFAULT_NAME) else Path(str(house))
    if wanted is not None:
        _may_write(wanted, overwrite, asks)
    found = first_answer(said, units, aside=True)
    if as_json:
        from airledger import report

        click.echo(report.json_text(found.outcome, units), nl=False)
    else:
        from airledger.report.first_answer_screen import first_answer_screen

        click.echo(first_answer_screen(found.outcome.results["first_answer"], units), nl=False)
    if not as_json or house is not None:
        _write_house(wanted, found, overwrite, quiet=as_json)
    return 0


def _write_house(path: Path | None, found: FirstAnswer, overwrite: bool, quiet: bool) -> None:
    from airledger.io import safe_write

    target = path or _free_name(found, overwrite)
    safe_write.write_text(target, found.text)
    click.echo(f"Go on with this house: airledger study {_quoted(target)}", err=quiet)


def _may_write(path: Path, overwrite: bool, asks: bool) -> None:
    """Whether a file may be written; one that is there is replaced only by someone's word."""
    from airledger.errors import InputError

    if path.is_dir():
        raise InputError(f"{path}: a folder, not a file")
    if not path.exists() or overwrite:
        return
    if asks:
        click.echo(f"{path} is there already. Replace it? (yes | no; Enter: no) ", nl=False, err=True)
        if _typed().lower() in ("y", "yes"):
            return
    raise InputError(f"{path} is there already: give another name, or --overwrite")


def _free_name(found: FirstAnswer, overwrite: bool) -> Path:
    """A file named after the house: one that is free, or that says the very same already."""
    path, number = Path(f"{found.stem}.yaml"), 1
    while path.exists() and not overwrite and not _says(path, found.text):
        number += 1
        path = Path(f"{found.stem}-{number}.yaml")
    return path


def _says(path: Path, text: str) -> bool:
    try:
        return path.read_bytes() == text.encode("utf-8")
    except OSError:
        return False


def _quoted(path: Path) -> str:
    import shlex

    return shlex.quote(str(path))
