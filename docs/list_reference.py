"""Writes docs/reference: every public function and class of the package with its docstring, one page a package."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "src" / "airledger"
FENCE = "~~~~~~~~"


def entries(path: Path) -> Iterator[tuple[str, str]]:
    """Signature and docstring of what is public in a file."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if not isinstance(node, ast.FunctionDef | ast.ClassDef) or node.name.startswith("_"):
            continue
        signature = node.name
        if isinstance(node, ast.FunctionDef):
            returned = f" -> {ast.unparse(node.returns)}" if node.returns else ""
            signature = f"{node.name}({ast.unparse(node.args)}){returned}"
        yield signature, ast.get_docstring(node) or ""


def module_text(path: Path) -> str:
    """One module: its name, its head, and what is public in it."""
    dotted = ".".join(("airledger", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__")
    head = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    parts = [f"## {dotted}", f"{FENCE}text\n{head}\n{FENCE}"]
    parts += [f"{FENCE}text\n{signature}\n\n{docstring}\n{FENCE}" for signature, docstring in entries(path)]
    return "\n\n".join(parts)


def pages() -> dict[str, str]:
    """The text of each page by its name."""
    groups = {"airledger": sorted(PACKAGE.glob("*.py"))}
    for folder in sorted(path.parent for path in PACKAGE.glob("*/__init__.py")):
        groups[f"airledger.{folder.name}"] = sorted(folder.glob("*.py"))
    texts = {name: f"# {name}\n\n" + "\n\n".join(map(module_text, files)) + "\n" for name, files in groups.items()}
    links = "\n".join(groups)
    texts["index"] = (
        "# Reference\n\nMade from the docstrings. A unit stands in brackets behind each parameter; SI throughout, "
        "except where the input or output of people is read or written.\n\n"
        f"```{{toctree}}\n:maxdepth: 1\n\n{links}\n```\n"
    )
    return texts


def write(folder: Path) -> None:
    """All pages into a folder; a page that is there already and has not changed is left alone."""
    folder.mkdir(exist_ok=True)
    for name, text in pages().items():
        path = folder / f"{name}.md"
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write(ROOT / "docs" / "reference")
