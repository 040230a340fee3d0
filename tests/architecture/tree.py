"""A source tree as the rules read it: which files there are, which functions and what their docstrings say."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

# What may touch file, clock, net or screen; every other module of the package calculates.
OUTER_PACKAGES = ("io", "house_book", "runs", "report", "cli", "web", "__main__")
# Modules that calculate nothing and speak of no quantity.
UNMEASURED_MODULES = ("errors", "__init__", *OUTER_PACKAGES)
MADE_BY_HABITS = {
    ".git", ".venv", "__pycache__", "_build", "dist", "build", "airledger-demo", ".pytest_cache", ".mypy_cache",
    ".ruff_cache", ".import_linter_cache", ".hypothesis", ".benchmarks",
}  # fmt: skip


@dataclass(frozen=True)
class Module:
    """One Python file: where it stands, the part of the package it belongs to, its text and syntax tree."""

    path: Path
    place: str
    part: str
    text: str
    syntax: ast.Module


@dataclass(frozen=True)
class Documented:
    """A public function and its docstring, taken apart."""

    module: Module
    name: str
    node: ast.FunctionDef | ast.AsyncFunctionDef
    in_class: bool

    @property
    def docstring(self) -> str:
        return ast.get_docstring(self.node) or ""

    @property
    def place(self) -> str:
        return f"{self.module.place}:{self.node.lineno}: {self.name}"

    @property
    def is_property(self) -> bool:
        return any("property" in ast.unparse(decorator) for decorator in self.node.decorator_list)

    @property
    def is_command(self) -> bool:
        """Whether its docstring is a help text, read by users and not by programmers."""
        return any(
            re.search(r"\.(command|group)\b|\bclick\.", ast.unparse(decorator))
            for decorator in self.node.decorator_list
        )

    @property
    def parameters(self) -> list[str]:
        arguments = self.node.args
        named = [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]
        named += [extra for extra in (arguments.vararg, arguments.kwarg) if extra is not None]
        names = [argument.arg for argument in named]
        static = any(ast.unparse(decorator) == "staticmethod" for decorator in self.node.decorator_list)
        return names[1:] if self.in_class and not static else names

    def section(self, title: str) -> dict[str, str]:
        """The entries of a docstring section, name to text; the section is underlined or ends in a colon."""
        lines = self.docstring.splitlines()
        for number, line in enumerate(lines):
            following = lines[number + 1].strip() if number + 1 < len(lines) else ""
            if line.strip() == title and re.fullmatch(r"-{3,}", following):
                return entries_of(lines[number + 2 :], margin=0)
            if line.strip() == f"{title}:":
                return entries_of(lines[number + 1 :], margin=4)
        return {}


def entries_of(lines: list[str], margin: int) -> dict[str, str]:
    """Entries that begin at a margin with one or more names, their text more deeply indented; prose ends them."""
    entries: dict[str, str] = {}
    current: list[str] = []
    for line, following in zip(lines, [*lines[1:], ""], strict=True):
        indent = len(line) - len(line.lstrip())
        begins = re.match(r"(\*{0,2}[\w.]+(?:, \*{0,2}[\w.]+)*)(?: : | ?:|$)(.*)", line.strip())
        if not line.strip():
            continue
        if indent < margin or re.fullmatch(r"-{3,}", following.strip()):
            break
        if indent > margin:
            entries.update({name: f"{entries[name]} {line.strip()}" for name in current})
        elif begins and not begins.group(1).startswith("Reference"):
            current = [name.strip().lstrip("*") for name in begins.group(1).split(",")]
            entries.update(dict.fromkeys(current, begins.group(2)))
        else:
            break
    return entries


def files(root: Path) -> Iterator[Path]:
    """Every file of the tree that people wrote."""
    for path in sorted(root.iterdir()):
        if path.name in MADE_BY_HABITS or path.name.endswith(".egg-info"):
            continue
        if path.is_dir():
            yield from files(path)
        else:
            yield path


def python_modules(root: Path, below: str) -> Iterator[Module]:
    """Every Python file below a folder of the tree, parsed."""
    folder = root / below
    package = root / "src" / "airledger"
    for path in files(folder) if folder.is_dir() else ():
        if path.suffix == ".py":
            text = path.read_text(encoding="utf-8")
            inside = path.relative_to(package).parts if package in path.parents else (below,)
            yield Module(path, str(path.relative_to(root)), inside[0].removesuffix(".py"), text, ast.parse(text))


def package_modules(root: Path) -> list[Module]:
    """Every module of the package."""
    return list(python_modules(root, "src/airledger"))


def calculating_modules(root: Path) -> list[Module]:
    """Every module of the package that may touch no file, clock, net or screen."""
    return [module for module in package_modules(root) if module.part not in OUTER_PACKAGES]


def public_functions(module: Module) -> Iterator[Documented]:
    """The public functions of a module and the public methods of its public classes; protocols and overloads too."""
    for node in module.syntax.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and not node.name.startswith("_"):
            yield Documented(module, node.name, node, in_class=False)
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for inner in node.body:
                if isinstance(inner, ast.FunctionDef | ast.AsyncFunctionDef) and not inner.name.startswith("_"):
                    yield Documented(module, f"{node.name}.{inner.name}", inner, in_class=True)
