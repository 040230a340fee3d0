"""The rules of the house, each a function from a source tree to its complaints. `RULES` at the end lists them."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from tests.architecture.tree import (
    UNMEASURED_MODULES,
    Documented,
    Module,
    calculating_modules,
    files,
    package_modules,
    public_functions,
    python_modules,
)

LONGEST_FILE = 400
UNIT_SUFFIX = re.compile(
    r"_(cfm|cfm50|inwc|in_wc|degf|fpm|lbf|lbs|btu|btuh|btu_h|ft|ft2|ft3|sqft|inch|inches|mph|gpm|psi|grains|pints)$"
)
UNIT_SUFFIX_PLACES = ("io", "report", "cli", "web")
IMPURE_MODULES = {
    "os", "pathlib", "shutil", "tempfile", "io", "glob", "time", "random", "secrets", "socket", "ssl", "http", "urllib",
    "ftplib", "smtplib", "subprocess", "sqlite3", "requests", "webbrowser", "locale", "logging",
}  # fmt: skip
IMPURE_CALLS = {"open", "print", "input", "breakpoint"}
CLOCK_CALLS = {"now", "today", "utcnow"}
# Names that stand for whatever quantity is handed in.
NAMES_WITHOUT_A_UNIT = {
    "first",
    "second",
    "value",
    "values",
    "number",
    "factor",
    "low",
    "high",
    "likely",
    "x",
    "y",
    "digits",
    "target",
}
SUFFIXES_OF_TEXT = {
    "",
    ".py",
    ".toml",
    ".yaml",
    ".yml",
    ".md",
    ".txt",
    ".sh",
    ".cfg",
    ".in",
    ".csv",
    ".html",
    ".typ",
    ".svg",
}


def long_files(root: Path) -> Iterator[str]:
    """A file is at most 400 lines; one that truly needs more says why: `# longer than 400 lines: ...`."""
    for below in ("src", "tests", "docs", "benchmarks", "tools"):
        for module in python_modules(root, below):
            lines = module.text.splitlines()
            excused = any(re.match(r"# longer than 400 lines: \w", line) for line in lines[:20])
            if len(lines) > LONGEST_FILE and not excused:
                yield f"{module.place}: {len(lines)} lines, at most {LONGEST_FILE}"


def folders_that_are_no_package(root: Path) -> Iterator[str]:
    """A folder with modules has an `__init__.py`, or the contracts on imports do not see it."""
    for folder in sorted({module.path.parent for module in package_modules(root)}):
        if not (folder / "__init__.py").is_file():
            yield f"{folder.relative_to(root)}: no __init__.py"


def undocumented_parameters(root: Path) -> Iterator[str]:
    """The parameters of a docstring equal the signature; in calculating packages they are all there."""
    for module in package_modules(root):
        for function in public_functions(module):
            told, real = list(function.section("Parameters")), function.parameters
            must = module.part not in UNMEASURED_MODULES and not is_protocol(module.syntax, function)
            if (told or must) and told != real and not function.is_command:
                yield f"{function.place}: docstring tells {told}, signature has {real}"


def parameters_without_unit(root: Path) -> Iterator[str]:
    """In calculating packages every parameter is told with its [unit]; [-] where it has none."""
    for module in package_modules(root):
        if module.part in UNMEASURED_MODULES:
            continue
        for function in public_functions(module):
            for name, text in function.section("Parameters").items():
                if unit_of(text) is None:
                    yield f"{function.place}: {name} has no [unit]"


def unit_of(text: str) -> str | None:
    """The unit in the last brackets of a parameter's description."""
    found = re.findall(
        r"\[([^\[\]]+)\]", text.partition(" ")[2] if text.startswith(("list[", "tuple[", "dict[")) else text
    )
    return found[-1] if found else None


def wrong_raises(root: Path) -> Iterator[str]:
    """`Raises` tells all that a body raises, and nothing that neither it nor what it calls in the package raises."""
    modules = package_modules(root)
    makers = {
        node.name: ast.unparse(node.returns).rpartition(".")[2]
        for module in modules
        for node in ast.walk(module.syntax)
        if isinstance(node, ast.FunctionDef) and node.returns is not None
    }
    through = raised_through(modules, makers)
    for module in modules:
        for function in public_functions(module):
            told, own = set(function.section("Raises")), raised(function.node, makers)
            allowed = own.union(*(through.get(name, set()) for name in called(function.node)))
            if not own <= told <= allowed and not function.is_command:
                yield f"{function.place}: docstring raises {sorted(told)}, body raises {sorted(own)}"


def raised_through(modules: list[Module], makers: Mapping[str, str]) -> dict[str, set[str]]:
    """What each function or class of the package raises, itself or by what it calls, by its bare name."""
    raises: dict[str, set[str]] = defaultdict(set)
    calls: dict[str, set[str]] = defaultdict(set)
    for module in modules:
        for node in ast.walk(module.syntax):
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                bodies = [node] if isinstance(node, ast.FunctionDef) else node.body
                raises[node.name] |= set().union(*(raised(body, makers) for body in bodies))
                calls[node.name] |= set().union(*(called(body) for body in bodies))
    changed = True
    while changed:
        changed = False
        for name, names in calls.items():
            more = set().union(*(raises[other] for other in names if other in raises))
            changed |= not more <= raises[name]
            raises[name] |= more
    return raises


def called(node: ast.AST) -> set[str]:
    """The bare names that a body calls."""
    calls = [inner.func for inner in ast.walk(node) if isinstance(inner, ast.Call)]
    return {call.attr if isinstance(call, ast.Attribute) else ast.unparse(call) for call in calls}


def raised(node: ast.AST, makers: Mapping[str, str]) -> set[str]:
    """The exceptions that leave a body by its own raise statements; not those of nested functions.

    `makers` are functions that make the exception to raise: name -> what it returns.
    """
    names: set[str] = set()
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda | ast.ClassDef):
            continue
        if isinstance(child, ast.Try):
            inside = raised(ast.Module(child.body, []), makers)
            caught = {name for handler in child.handlers for name in handled(handler)}
            names |= inside - caught
            names |= raised(ast.Module([*child.handlers, *child.orelse, *child.finalbody], []), makers)  # type: ignore[list-item]
        elif isinstance(child, ast.Raise) and child.exc is not None:
            target = child.exc.func if isinstance(child.exc, ast.Call) else child.exc
            name = ast.unparse(target).rpartition(".")[2]
            names.add(makers.get(name, name))
        elif isinstance(child, ast.ExceptHandler):
            passes_on = any(isinstance(line, ast.Raise) and line.exc is None for line in child.body)
            names |= (set(handled(child)) if passes_on else set()) | raised(child, makers)
        else:
            names |= raised(child, makers)
    return names


def handled(handler: ast.ExceptHandler) -> list[str]:
    """The names of the exceptions that a handler catches."""
    kinds = handler.type.elts if isinstance(handler.type, ast.Tuple) else [handler.type] if handler.type else []
    return [ast.unparse(kind).rpartition(".")[2] for kind in kinds]


def unreferenced_physics(root: Path) -> Iterator[str]:
    """A calculating function of physics says where its formula was published."""
    for module in package_modules(root):
        if module.part != "physics":
            continue
        for function in public_functions(module):
            calculates = bool(function.parameters) and not function.is_property and not function.in_class
            if calculates and not re.search(r"\bReferences?\b", function.docstring):
                yield f"{function.place}: no Reference"


def names_with_two_units(root: Path) -> Iterator[str]:
    """A parameter's name has one unit everywhere, spelled one way."""
    seen: dict[str, dict[str, str]] = defaultdict(dict)
    for module in package_modules(root):
        if module.part in UNMEASURED_MODULES:
            continue
        for function in public_functions(module):
            for name, text in function.section("Parameters").items():
                unit = unit_of(text)
                if (
                    unit is not None
                    and name not in NAMES_WITHOUT_A_UNIT
                    and not unit.lower().startswith(("same", "si unit", "any"))
                ):
                    seen[name].setdefault(unit, function.place)
    for name, units in sorted(seen.items()):
        if len(units) > 1:
            yield f"{name}: " + "; ".join(f"[{unit}] in {place}" for unit, place in units.items())


def unit_suffixes(root: Path) -> Iterator[str]:
    """Names such as `flow_cfm` stand in io, report, cli and web only: inside, all is SI."""
    for module in package_modules(root):
        if module.part in UNIT_SUFFIX_PLACES:
            continue
        for node in ast.walk(module.syntax):
            name = getattr(node, "id", None) or getattr(node, "arg", None) or getattr(node, "attr", None)
            name = name or getattr(node, "name", None)
            if isinstance(name, str) and UNIT_SUFFIX.search(name.lower()):
                yield f"{module.place}:{getattr(node, 'lineno', 0)}: {name}"


def impure_calculations(root: Path) -> Iterator[str]:
    """Calculating packages touch no file, clock, net or screen."""
    for module in calculating_modules(root):
        for node in ast.walk(module.syntax):
            reason = ""
            if isinstance(node, ast.Import):
                reason = ", ".join(a.name for a in node.names if a.name.partition(".")[0] in IMPURE_MODULES)
            elif isinstance(node, ast.ImportFrom) and (node.module or "").partition(".")[0] in IMPURE_MODULES:
                reason = node.module or ""
            elif isinstance(node, ast.ImportFrom) and node.module == "importlib" and module.part != "sources":
                reason = "importlib"
            elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in IMPURE_CALLS:
                reason = node.func.id
            elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in CLOCK_CALLS:
                reason = node.func.attr
            if reason:
                yield f"{module.place}:{node.lineno}: {reason}"


def study_names(root: Path) -> list[str]:
    """The studies of a tree: modules of `studies` with a run of their own (a protocol has none)."""
    names = []
    for module in package_modules(root):
        if module.part == "studies" and module.path.stem != "__init__" and not module.path.stem.startswith("_"):
            runs = [f for f in public_functions(module) if f.node.name == "run" and not is_protocol(module.syntax, f)]
            names += [module.path.stem] if runs and module.path.parent.name == "studies" else []
    return sorted(names)


def is_protocol(syntax: ast.Module, function: Documented) -> bool:
    """Whether a function is a method of a protocol class."""
    owner = function.name.partition(".")[0]
    classes = [node for node in syntax.body if isinstance(node, ast.ClassDef) and node.name == owner]
    return any("Protocol" in ast.unparse(base) for node in classes for base in node.bases)


def studies_without_manual(root: Path) -> Iterator[str]:
    """Every study has a page in the manual, and the manual's list leads to it."""
    index = root / "docs" / "manual" / "index.md"
    listed = index.read_text(encoding="utf-8") if index.is_file() else ""
    for name in study_names(root):
        page = root / "docs" / "manual" / f"{name}.md"
        if not page.is_file() or len(page.read_text(encoding="utf-8").split()) < 50:
            yield f"{name}: no page docs/manual/{name}.md"
        if not re.search(rf"^{name}$|\({name}\.md\)", listed, re.MULTILINE):
            yield f"{name}: docs/manual/index.md does not lead to it"


def studies_without_command(root: Path, helps: Mapping[str, str]) -> Iterator[str]:
    """Every study has a command with a help text; `helps` holds the commands' own."""
    for name in study_names(root):
        command = {"first_answer": "ask"}.get(name, name.replace("_", "-"))
        if not helps.get(command, "").strip():
            yield f"{name}: no command {command} with a help text"


def _written_files(root: Path) -> Iterator[tuple[str, int, str]]:
    for path in files(root):
        if path.suffix in SUFFIXES_OF_TEXT:
            for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
                yield str(path.relative_to(root)), number, line


# Spelled in pieces, so that this file keeps its own rules.
_FOLDERS = "|".join(("work", "tmp", "home", "root", "Users", "opt"))
_HOSTS = "|".join(("pypi" + r"\.org", "python" + "hosted", "npm" + r"js\.org", "deb" + r"\.debian"))
MACHINE = re.compile(rf"(?<![\w.\-)}}*])/(?:{_FOLDERS})/|{_HOSTS}")
OUTSIDE_PAPER = re.compile(r"\bse" + r"ed[\s_-]*(?:doc|brief|paper|text|prompt)", re.IGNORECASE)
UNFINISHED = re.compile(r"\b(?:TO" + r"DO|FIX" + r"ME|XX" + r"X|place" + r"holder(?!=)|st" + r"ub)\b", re.IGNORECASE)


def machine_names(root: Path) -> Iterator[str]:
    """No file names a folder of one machine or the host of a registry."""
    for place, number, line in _written_files(root):
        found = MACHINE.search(line)
        if found:
            yield f"{place}:{number}: {found.group()}"


def outside_papers(root: Path) -> Iterator[str]:
    """No file speaks of papers that a reader of the repository does not have."""
    for place, number, line in _written_files(root):
        if OUTSIDE_PAPER.search(line) or OUTSIDE_PAPER.search(place):
            yield f"{place}:{number}: {line.strip()[:80]}"


def unfinished_work(root: Path) -> Iterator[str]:
    """Nothing in the package is marked as still to be done."""
    for place, number, line in _written_files(root):
        if place.startswith("src/") and UNFINISHED.search(line):
            yield f"{place}:{number}: {line.strip()[:80]}"


def broken_links(root: Path) -> Iterator[str]:
    """Every relative link of a page leads to a file."""
    for path in files(root):
        if path.suffix != ".md":
            continue
        for target in re.findall(r"\]\(([^)\s#]+)[^)]*\)", path.read_text(encoding="utf-8")):
            if "://" not in target and not (path.parent / target).exists():
                yield f"{path.relative_to(root)}: {target}"


def unsorted_public_names(root: Path) -> Iterator[str]:
    """`__all__` is one sorted list, constants first."""
    for module in package_modules(root):
        for node in module.syntax.body:
            targets = node.targets if isinstance(node, ast.Assign) else []
            if any(isinstance(target, ast.Name) and target.id == "__all__" for target in targets):
                names = ast.literal_eval(node.value)  # type: ignore[attr-defined]
                constants_first = sorted(names, key=lambda name: (not name.isupper(), name))
                if list(names) != constants_first or len(set(names)) != len(names):
                    yield f"{module.place}: {list(names)}"


def tests_that_cannot_fail(root: Path) -> Iterator[str]:
    """No test is skipped and none ends in `or True`; every test function checks something."""
    for module in python_modules(root, "tests"):
        for node in ast.walk(module.syntax):
            if isinstance(node, ast.Attribute) and node.attr in {"skip", "skipif", "importorskip"}:
                yield f"{module.place}:{node.lineno}: {node.attr}"
            if isinstance(node, ast.BoolOp) and isinstance(node.op, ast.Or) and any(map(is_true, node.values)):
                yield f"{module.place}:{node.lineno}: or True"
            if isinstance(node, ast.Assert) and isinstance(node.test, ast.Constant | ast.Tuple):
                yield f"{module.place}:{node.lineno}: asserts a constant"
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_") and not checks_something(node):
                yield f"{module.place}:{node.lineno}: {node.name} checks nothing"


def is_true(node: ast.expr) -> bool:
    """Whether an expression is the constant True."""
    return isinstance(node, ast.Constant) and node.value is True


def checks_something(test: ast.FunctionDef) -> bool:
    """Whether a test asserts, expects an exception, or hands over to something named as a check."""
    words = re.compile(r"(^|\.|_)(assert\w*|raises|warns|check\w*|fail|expect\w*|run)\b")
    calls = [ast.unparse(node.func) for node in ast.walk(test) if isinstance(node, ast.Call)]
    return any(isinstance(node, ast.Assert) for node in ast.walk(test)) or any(words.search(call) for call in calls)


RULES: dict[str, Callable[[Path], Iterator[str]]] = {
    rule.__name__: rule
    for rule in (
        long_files,
        folders_that_are_no_package,
        undocumented_parameters,
        parameters_without_unit,
        wrong_raises,
        unreferenced_physics,
        names_with_two_units,
        unit_suffixes,
        impure_calculations,
        studies_without_manual,
        machine_names,
        outside_papers,
        unfinished_work,
        broken_links,
        unsorted_public_names,
        tests_that_cannot_fail,
    )
}
