"""The manual keeps up with the program: a page for each subject, study and command, pictures, true screens."""

import re
import subprocess
import sys
from pathlib import Path

import click
import pytest

from airledger.cli.main import main
from docs.draw_pictures import DRAWINGS, FIRST_PAGE, SCREENS, screens
from docs.list_reference import PACKAGE, pages
from tests.architecture.rules import study_names

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
THEORY = DOCS / "theory"
PICTURE_BYTES = 200_000
SUBJECTS = sorted(path.stem for path in (ROOT / "src/airledger/physics").glob("*.py") if path.stem != "__init__")
HEADINGS = ("Equation", "Assumptions", "Range", "Source", "Tested")
TAGS = ("published", "computed", "from memory", "common practice", "closed form", "own")


def written() -> str:
    """What people wrote for people: tutorial, how-to and manual."""
    return "\n".join(
        path.read_text(encoding="utf-8")
        for part in ("tutorial", "how-to", "manual")
        for path in (DOCS / part).glob("*.md")
    )


def theory_page(subject: str) -> tuple[str, str]:
    """Name and text of the page that names a module of the physics."""
    pages_of_it = {
        path.stem: text
        for path in THEORY.glob("*.md")
        if f"`airledger.physics.{subject}`" in (text := path.read_text(encoding="utf-8"))
    }
    assert len(pages_of_it) == 1, f"physics/{subject}.py is named by {sorted(pages_of_it) or 'no page'} of docs/theory"
    ((name, text),) = pages_of_it.items()
    return name, text


def section(text: str, heading: str) -> str:
    """What stands under a heading; empty if there is no such heading."""
    found = re.search(rf"^## {heading}$(.*?)(?=^## |\Z)", text, re.MULTILINE | re.DOTALL)
    return found[1].strip() if found else ""


@pytest.mark.parametrize("subject", SUBJECTS)
def test_each_subject_of_the_physics_has_a_page_with_equation_and_tagged_source(subject):
    name, text = theory_page(subject)
    assert any(tag in section(text, "Source").lower() for tag in TAGS), f"{name}.md: no source with its tag"
    assert re.search(r"^    .*=", text, re.MULTILINE), f"{name}.md: no equation"
    if name == subject and name != "network":
        assert [heading for heading in HEADINGS if not section(text, heading)] == []
        assert "| symbol | meaning | unit |" in section(text, "Equation")


def test_a_page_without_a_source_would_be_seen():
    assert section("## Equation\n\n    a = b\n\n## Range\n\nall\n", "Source") == ""
    assert section("## Source\n\na book, published\n\n## Tested\n\nno\n", "Source") == "a book, published"


def test_files_named_on_pages_of_theory_exist():
    named = {
        (path.name, file)
        for path in THEORY.glob("*.md")
        for file in re.findall(r"`(tests/[^`]+)`", path.read_text(encoding="utf-8"))
    }
    assert named
    assert sorted((page, file) for page, file in named if not (ROOT / file).is_file()) == []


def test_every_study_has_a_page_that_names_its_command():
    assert study_names(ROOT)
    for study in study_names(ROOT):
        page = DOCS / "manual" / f"{study.replace('-', '_')}.md"
        assert page.is_file(), f"no page for the study {study}"
        assert "`airledger " in page.read_text(encoding="utf-8")


def test_every_command_and_every_one_of_its_options_is_true_in_the_manual():
    context = click.Context(main)
    commands = {name: main.get_command(context, name) for name in main.list_commands(context)}
    text = written()
    assert [name for name in commands if f"airledger {name}" not in text] == []
    for name, options in re.findall(r"^    airledger (\S+)(.*)$", text, re.MULTILINE):
        command = commands[name]
        assert command is not None
        known = {option for parameter in command.params for option in parameter.opts}
        assert set(re.findall(r"--[a-z-]+", options)) <= known, f"airledger {name}{options}"


def test_pictures_are_there_and_small():
    expected = {*DRAWINGS.values(), FIRST_PAGE}
    assert {path.name for path in (DOCS / "pictures").iterdir() if path.is_file()} == expected
    shots = {path.name for path in (DOCS / "pictures" / "screens").iterdir()}
    manual = (DOCS / "manual" / "pages.md").read_text(encoding="utf-8")
    assert shots == set(re.findall(r"screens/([a-z-]+\.webp)", manual))
    sizes = {path.name: path.stat().st_size for path in (DOCS / "pictures").rglob("*.*") if path.is_file()}
    assert {name: size for name, size in sizes.items() if not 0 < size < PICTURE_BYTES} == {}


def test_the_screens_of_the_tutorial_are_what_its_commands_print():
    shown = {name: (DOCS / "tutorial" / name).read_text(encoding="utf-8") for name in SCREENS}
    assert shown == screens(), "run `make docs` and commit docs/tutorial"


def test_the_commands_of_the_tutorial_are_those_that_were_run():
    text = (DOCS / "tutorial" / "index.md").read_text(encoding="utf-8")
    typed = re.findall(r"^    airledger (.*)$", text, re.MULTILINE)
    # the script says where the house file goes; a reader gets it under that name by itself
    ran = [" ".join(a for a in arguments if a not in ("--overwrite",)) for arguments, _ in SCREENS.values()]
    assert typed == [line.replace(" --house curlew-lane-3.yaml", "") for line in ran]


def test_the_reference_has_every_module():
    text = "\n".join(pages().values())
    modules = [
        path for path in PACKAGE.rglob("*.py") if path.stem != "__init__" and len(path.parts) - len(PACKAGE.parts) < 3
    ]
    assert modules
    dotted = [".".join(("airledger", *path.relative_to(PACKAGE).with_suffix("").parts)) for path in modules]
    assert [name for name in dotted if f"## {name}\n" not in text] == []


def test_the_manual_builds_without_a_warning(tmp_path):
    built = subprocess.run(
        [sys.executable, "-m", "sphinx", "-q", "-W", "--keep-going", "-b", "dummy", "-d", "trees", DOCS, "."],
        capture_output=True, text=True, timeout=300, check=False, cwd=tmp_path,
    )  # fmt: skip
    assert built.returncode == 0, built.stderr
