"""Run every comparison and write RESULTS.md and sweeps.svg; exit 1 when one fails that is not known to, or agrees that
was known not to. From the repository: python validation/run.py
"""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))

from shellcheck_earth.basics.errors import ShellcheckError  # noqa: E402 (the folder above must be importable first)
from shellcheck_earth.basics.measured import measured  # noqa: E402
from validation.measured import checks as measured_checks  # noqa: E402
from validation.table import Check  # noqa: E402

__all__ = ["FILES", "all_checks", "results_text"]

FILES = (
    "arches",
    "lunes",
    "ring_loads",
    "earth",
    "footing",
    "membranes",
    "phases",
    "trade",
    "green_ampt",
    "laying_tipping",
    "confinement",
    "block_limits",
    "slow_push",
    "second_block_programme",
    "second_block_loads",
    "second_block_rain",
    "turned_domes",
    "sweeps",
    "papers",
    "dry_models",
    "block_arches",
)
"""One file a source."""


def all_checks(files: tuple[str, ...] = FILES) -> list[tuple[str, Check]]:
    """(file, check) of every comparison."""
    out = []
    for name in files:
        module = importlib.import_module(f"validation.{name}")
        try:
            found = module.checks() if hasattr(module, "checks") else [Check(**case) for case in module.cases()]
        except ShellcheckError as error:
            found = [Check(f"the whole file: {error}", "none", "none", None, None, 0.0, "a solver did not answer")]
        out += [(name, check) for check in found]
    if files == FILES:
        out += [("measured", check) for check in measured_checks()]
    return out


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.6g}"


def _table(rows: list[tuple[str, Check]]) -> list[str]:
    lines = [
        "| file | what | printed | recomputed | ours | tolerance | why | source, how known | outcome |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    for name, c in rows:
        outcome = "agrees" if c.passed else f"DIFFERS: {c.differs}" if c.differs else "DIFFERS"
        lines.append(
            f"| {name} | {c.id} | {_number(c.printed)} | {_number(c.recomputed)} | {_number(c.computed)} |"
            f" {c.tolerance:g} | {c.why} | {c.source}; {c.known} | {outcome} |"
        )
    return lines


def results_text(rows: list[tuple[str, Check]]) -> str:
    """The whole page: read sources, recalled ones, and what this project computed or the trade says, kept apart."""
    groups = (
        ("Measured tests", lambda c: c.known == "measured"),
        ("Sources that were read (some only as an abstract, where it says so)", lambda c: "read" in c.known),
        ("Sources recalled from memory", lambda c: c.known == "memory"),
        ("Common practice, no source", lambda c: c.known == "common practice"),
        (
            "Computed or derived a second time",
            lambda c: "read" not in c.known and c.known not in ("memory", "common practice", "measured"),
        ),
    )
    agree = sum(c.passed for _, c in rows)
    lines = [
        "# Validation",
        "",
        f"{agree} of {len(rows)} comparisons agree. Written by `python validation/run.py`.",
        "",
        f"Validated by measurement: {len(measured())}. `reports/guide/bench-protocol.md` says how a workshop can change"
        " that; the ledger is `shellcheck_earth/basics/measured.toml`.",
        "",
        "![Least thickness of arches and domes, swept](sweeps.svg)",
        "",
    ]
    for title, belongs in groups:
        chosen = [row for row in rows if belongs(row[1])]
        if chosen:
            lines += [f"## {title}", "", *_table(chosen), ""]
    return "\n".join(lines)


def main() -> int:
    rows = all_checks()
    (HERE / "RESULTS.md").write_text(results_text(rows), encoding="utf-8")
    (HERE / "sweeps.svg").write_text(importlib.import_module("validation.sweeps").sweeps_svg(), encoding="utf-8")
    failed = [(name, check) for name, check in rows if not check.expected]
    for name, check in failed:
        print(
            f"{name}: {check.id}: expected {check.printed if check.printed is not None else check.recomputed}, got"
            f" {check.computed}"
        )
    print(f"{sum(check.passed for _, check in rows)} of {len(rows)} comparisons agree")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
