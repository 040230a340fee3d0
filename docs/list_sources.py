"""Lists every source that a number of the package comes from: `python docs/list_sources.py` writes docs/sources.md.

Read are the packaged tables, `Source(...)` in the code, the Reference lines of docstrings, and the published cases of
the tests.
"""

from __future__ import annotations

import ast
import re
import tomllib
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
# weakest first: one entry may say several
TAGS = ("memory", "practice", "published (abstract)", "published (restated)", "computed", "published")
WORDS = {
    "memory": "from memory, unconfirmed",
    "practice": "common practice, no source",
    "published (abstract)": "abstract seen",
    "published (restated)": "read where another text quotes it",
    "computed": "computed, can be recomputed",
    "published": "seen in print",
    "": "formula or definition",
}


@dataclass(frozen=True)
class Use:
    """One place where a source is named: the source, its tag, the file, and what it is used for."""

    source: str
    tag: str
    file: str
    what: str


def weakest(text: str) -> str:
    """The weakest tag that a text names; empty if none."""
    lowered = text.lower()
    return next((tag for tag in TAGS if re.search(rf"(?<!\w){re.escape(tag)}", lowered)), "")


def in_table(entry: Any, file: str, what: str, source: str = "", tag: str = "") -> Iterator[Use]:
    """The sources of a table; an inner table takes source and tag from the outer one where it has none."""
    if isinstance(entry, list):
        for number, inner in enumerate(entry, 1):
            yield from in_table(inner, file, f"{what} {number}", source, tag)
    if not isinstance(entry, dict):
        return
    what = str(entry.get("key") or entry.get("name") or what)
    source, tag = str(entry.get("source", source)), str(entry.get("tag", tag))
    inner_tables = [(key, inner) for key, inner in entry.items() if isinstance(inner, dict | list)]
    uses = [use for key, inner in inner_tables for use in in_table(inner, file, key, source, tag)]
    own = "source" in entry or "tag" in entry
    if (source or tag) and own and not uses:
        yield Use(source or WORDS.get(weakest(tag), tag), weakest(tag), file, what)
    yield from uses


def in_code(path: Path, file: str) -> Iterator[Use]:
    """The `Source("name", "tag")` and the Reference lines of a module."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    within = {
        id(inner): outer.name
        for outer in ast.walk(tree)
        if isinstance(outer, ast.FunctionDef)
        for inner in ast.walk(outer)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and ast.unparse(node.func).rpartition(".")[2] == "Source":
            given = [*node.args, *(keyword.value for keyword in node.keywords)]
            words = [word.value for word in given if isinstance(word, ast.Constant) and isinstance(word.value, str)]
            if len(words) == 2:
                yield Use(
                    words[0] or WORDS[weakest(words[1])], weakest(words[1]), file, within.get(id(node), path.stem)
                )
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            docstring = " ".join((ast.get_docstring(node) or "").partition("Reference: ")[2].split())
            if docstring:
                tag = next((tag for tag in TAGS if tag.upper() in docstring or f"{tag}," in docstring), "")
                yield Use(docstring.rstrip("."), tag, file, node.name)


def uses_of(root: Path, below: str) -> list[Use]:
    """Every use of a source below a folder."""
    found: list[Use] = []
    for path in sorted((root / below).rglob("*")):
        file = str(path.relative_to(root))
        if path.suffix == ".toml":
            found += in_table(tomllib.loads(path.read_text(encoding="utf-8")), file, path.stem)
        elif path.suffix == ".py" and below.startswith("src"):
            found += in_code(path, file)
    return found


def from_memory(root: Path) -> int:
    """How many values of the package come from memory alone."""
    return sum(use.tag == "memory" for use in uses_of(root, "src/airledger"))


def cell(text: str) -> str:
    """A text as a table's cell."""
    return text.replace("|", "\\|").replace("\n", " ").replace("*", "\\*").replace("<", "&lt;")


def rows(uses: list[Use]) -> Iterator[str]:
    """One row a source: what it is, how sure, where it is used."""
    files: dict[tuple[int, str], dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for use in uses:
        rank = TAGS.index(use.tag) if use.tag else len(TAGS)
        files[rank, use.source][use.file].append(use.what)
    for (rank, source), places in sorted(files.items()):
        where = "; ".join(f"`{file}` ({', '.join(dict.fromkeys(whats))})" for file, whats in places.items())
        yield f"| {cell(source)} | {WORDS[TAGS[rank] if rank < len(TAGS) else '']} | {cell(where)} |"


def page(root: Path) -> str:
    """The page of all sources."""
    package, cases = uses_of(root, "src/airledger"), uses_of(root, "tests/published/cases")
    head = "| source | how sure | where it is used |\n|---|---|---|"
    return "\n".join(
        (
            "# Sources",
            "",
            "Made by `make docs` from the tables, the code and the published cases; not written by hand.",
            "",
            f"**{from_memory(root)} values come from memory.** They show as unconfirmed, never decide alone, and "
            "their number only goes down.",
            "",
            "## What the package uses",
            "",
            head,
            *rows(package),
            "",
            "## What the tests check it against",
            "",
            head,
            *rows(cases),
            "",
        )
    )


if __name__ == "__main__":
    (ROOT / "docs" / "sources.md").write_text(page(ROOT), encoding="utf-8")
