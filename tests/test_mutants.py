"""The runner of single changes: what it changes, that a seed repeats itself, and that its old holes stay listed."""

from __future__ import annotations

from pathlib import Path

from validation.known_changes import KNOWN
from validation.mutants import BUDGET, LONGEST, PARTS, asked_tests, chosen, known, modules, table
from validation.mutants import Outcome as Said
from validation.single_changes import changes

ROOT = Path(__file__).parents[1]
SOURCE = '''"""A text."""
LIMIT = 3


def held(inner: float, outer: float, *, wet: bool = False) -> float:
    """Another."""
    if not wet and inner <= outer:
        return min(inner, 2.5) + outer * LIMIT
    return inner
'''


def test_changes_that_a_test_should_notice() -> None:
    found = {(one.before, one.after) for one in changes(SOURCE)}
    assert {
        ("3", "4"), ("False", "True"), ("2.5", "3.75"), ("not wet", "wet"), ("min", "max"), ("inner", "outer"),
        ("inner <= outer", "(inner < outer)"), ("inner <= outer", "(inner > outer)"),
        ("outer * LIMIT", "(outer / LIMIT)"), ("min(inner, 2.5)", "(inner)"),
        ("not wet and inner <= outer", "((not wet) or (inner <= outer))"),
        ("not wet and inner <= outer", "True"), ("min(inner, 2.5) + outer * LIMIT", "None"),
    } <= found  # fmt: skip
    assert all(one.runs(SOURCE) for one in changes(SOURCE))
    assert not any("text" in before or "float" in before for before, _ in found)
    for one in changes(SOURCE):
        changed = one.applied(SOURCE)
        compile(changed, "x", "exec")
        assert changed != SOURCE and one.line in one.span


def test_messages_and_exports_are_left_alone() -> None:
    source = (
        '__all__ = ["a"]\n\n\ndef a(x: int) -> int:\n    if x:\n        raise ValueError(f"{x + 1}")\n    return x\n'
    )
    assert {one.before for one in changes(source)} == {"x"}


def test_a_seed_repeats_itself() -> None:
    source = (ROOT / "shellcheck_earth/safety/ground.py").read_text(encoding="utf-8")
    first = chosen(source, "ground", 0.1, 7)
    assert first == chosen(source, "ground", 0.1, 7) != chosen(source, "ground", 0.1, 8)
    assert len(first) == round(0.1 * len(changes(source)))


def test_parts_and_their_tests_are_there() -> None:
    named = [module for part, _, _ in PARTS for module in modules(ROOT, part)]
    assert len(named) == len(set(named)) and "safety/blocks/reserve.py" in named and "safety/margins.py" in named
    for _, share, tests in PARTS:
        assert 0 < share <= 1 and all((ROOT / "tests" / test).exists() for test in tests)


def test_each_change_that_once_went_unnoticed_can_still_be_made() -> None:
    for what, module, before, after in KNOWN:
        source = (ROOT / "shellcheck_earth" / module).read_text(encoding="utf-8")
        assert source.count(before) == 1, what
        change = next(one for one in known(source, module) if one.kind == what and one.after == after)
        assert change.applied(source) == source.replace(before, after), what
        assert change.runs(source), what


def test_tests_that_run_the_line_come_first_and_the_quickest_of_them() -> None:
    seconds = {"a::1": 2.0, "a::2": 1.0, "a::3": 0.1, "b::1": 0.5, "c::1": LONGEST + 1}
    lines = {"7": ["a::1", "a::2", "c::1"], "8": ["b::1"], "9": [""]}
    assert asked_tests(lines, range(7, 8), seconds) == ["a::2", "a::1", "a::3"]
    assert asked_tests(lines, range(9, 10), seconds) == ["b::1", "a::2", "a::1", "a::3"]
    assert asked_tests(lines, range(20, 21), seconds) == ["b::1", "a::2", "a::1", "a::3"]
    many = {f"a::{i}": 1.0 for i in range(40)}
    assert len(asked_tests({"7": list(many)}, range(7, 8), many)) == int(BUDGET)


def test_the_table_counts_by_folder_and_module() -> None:
    said = [Said("safety/a.py", 1, "", "", "", word, 0.0, "") for word in ("caught", "caught", "survived")]
    rows = table(said).splitlines()
    assert [row.split()[0] for row in rows] == ["all", "safety", "safety/a.py"]
    assert all("2 caught" in row and "1 left" in row and "66.7%" in row for row in rows)
