"""The folders in alphabetical order are the order of the imports: code looks down the list, never up."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "shellcheck_earth"
FLOORS = sorted(path.name for path in PACKAGE.iterdir() if path.is_dir() and not path.name.startswith("_"))
MODULES = sorted(PACKAGE.rglob("*.py"))


def imported_floors(source: str, floor: str) -> set[str]:
    """Floors a module imports, nested imports included."""
    out = set()
    for node in ast.walk(ast.parse(source)):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            if node.level == 0:
                module = node.module or ""
                names = [module, *(f"{module}.{alias.name}" for alias in node.names)]
            elif node.level == 1:
                names = [f"shellcheck_earth.{floor}"]
            else:
                names = [f"shellcheck_earth.{node.module or alias.name}" for alias in node.names]
        out |= {name.split(".")[1] for name in names if name.startswith("shellcheck_earth.")}
    return out & set(FLOORS)


def test_the_floors_are_the_ones_of_the_map() -> None:
    assert FLOORS == ["basics", "design", "geometry", "loads", "mechanics", "safety", "studies", "views"]


@pytest.mark.parametrize(
    "path", [p for p in MODULES if p.parent != PACKAGE], ids=lambda p: str(p.relative_to(PACKAGE).with_suffix(""))
)
def test_imports_look_down(path: Path) -> None:
    floor = path.relative_to(PACKAGE).parts[0]
    above = {name for name in imported_floors(path.read_text(encoding="utf-8"), floor) if name > floor}
    assert not above


def imported_modules(source: str, known: frozenset[str]) -> set[str]:
    """Modules of the package that a module imports, nested imports and those for type checkers included."""
    out = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            out |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            out |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return out & known


def circles(imports: dict[str, set[str]]) -> set[str]:
    """What is left when modules that import nothing left, and those that nothing left imports, are taken away."""
    left = set(imports)
    while True:
        wanted = {other for name in left for other in imports[name]}
        going = {name for name in left if not imports[name] & left or name not in wanted}
        if not going:
            return left
        left -= going


def test_no_modules_import_each_other_in_a_circle() -> None:
    names = {".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts): path for path in MODULES}
    names = {name: path for name, path in names.items() if not name.endswith("__init__")}
    known = frozenset(names)
    assert not circles({name: imported_modules(path.read_text("utf-8"), known) for name, path in names.items()})


def test_the_check_sees_a_circle() -> None:
    assert circles({"a": {"b"}, "b": {"c"}, "c": {"b"}, "d": {"a"}}) == {"b", "c"}
    nested = "if TYPE_CHECKING:\n    from shellcheck_earth.safety import margins\n"
    assert imported_modules(nested, frozenset({"shellcheck_earth.safety.margins"})) == {
        "shellcheck_earth.safety.margins"
    }


def test_the_check_sees_an_import_that_looks_up() -> None:
    assert imported_floors("def f():\n    from shellcheck_earth.views import cli\n", "geometry") == {"views"}
    assert imported_floors("from ..safety import margins\n", "geometry") == {"safety"}


def own_lines(text: str, tree: ast.AST) -> int:
    """Lines of a module or function that are neither a docstring nor blank."""
    inside: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str):
            inside |= set(range(node.lineno, (node.end_lineno or node.lineno) + 1))
    first, last = getattr(tree, "lineno", 1), getattr(tree, "end_lineno", None) or text.count("\n")
    lines = text.splitlines()
    return sum(1 for n in range(first, last + 1) if n not in inside and lines[n - 1].strip())


COMPILED = {
    ("mechanics/many/followed.py", "follow"),
    ("mechanics/many/kernel.py", "ask_dome"),
    ("mechanics/many/lunes.py", "fill_rows"),
    ("mechanics/many/margins.py", "_dome_steps"),
}
"""Loops that the compiler takes whole: taking them apart costs time in the innermost of them."""


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE).with_suffix("")))
def test_functions_fit_on_a_screen(path: Path) -> None:
    text, name = path.read_text(encoding="utf-8"), path.relative_to(PACKAGE).as_posix()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef) and (name, node.name) not in COMPILED:
            assert own_lines(text, node) <= 60, node.name


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE).with_suffix("")))
def test_modules_are_small_and_say_what_they_offer(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert own_lines(text, ast.parse(text)) <= 430
    if path.name != "__init__.py":
        assert "__all__" in text
    assert ast.get_docstring(ast.parse(text))


CHECKER = (
    "backfill",
    "block_cases",
    "block_data",
    "block_faces",
    "block_footing",
    "block_handed",
    "block_loads",
    "block_openings",
    "block_places",
    "block_problem",
    "block_range",
    "block_rows",
    "block_walls",
    "blocks",
    "carried",
    "check",
    "combinations",
    "courses",
    "doubts",
    "earth",
    "keys",
    "moisture",
    "quantities",
    "reading",
    "rebuild",
    "ring_loads",
    "states",
    "statics",
)
STANDARD = {"__future__", "collections.abc", "contextlib", "dataclasses", "decimal", "fractions", "functools", "gc"}
STANDARD |= {"hashlib", "itertools", "json", "math", "os", "pathlib", "re", "stat", "sys", "tomllib", "typing"}


@pytest.mark.parametrize("name", CHECKER)
def test_the_certificate_check_stands_alone(name: str) -> None:
    """What checks a proof shares no code with what found it, and uses the standard library only."""
    tree = ast.parse((PACKAGE / "mechanics" / "proof" / f"{name}.py").read_text(encoding="utf-8"))
    names = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    names |= {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    assert names <= STANDARD | {f"shellcheck_earth.mechanics.proof.{one}" for one in CHECKER}
