"""Whole checks of domes that need blocks, cold, on the clock: what `benchmark.py --blocks` times."""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.safety.check import check

__all__ = ["DOMES", "whole_checks"]

SEED_BANK = Path(__file__).parents[1] / "reports" / "seed-bank" / "design.toml"


def _changed(text: str, *pairs: tuple[str, str]) -> str:
    for old, new in pairs:
        if text.count(old) != 1:
            raise ValueError(f"expected once: {old}")
        text = text.replace(old, new)
    return text


def _window(bearing: int, width: str = "0.5 m") -> str:
    return (
        f'[[opening]]\nkind = "window"\nbearing = "{bearing} deg"\nsill = "0.9 m"\nwidth = "{width}"\n'
        'height = "0.6 m"\nhead = "round"\n\n'
    )


def _domes() -> dict[str, str]:
    """Invented, of the orchard: name -> design file."""
    seeds = SEED_BANK.read_text(encoding="utf-8")
    start, criteria = seeds.split('[[opening]]\nkind = "window"')[0], "[criteria]" + seeds.split("[criteria]")[1]
    shaken = _changed(
        start,
        (
            'earthquake = { value = "none", reason = "the local code asks for none in this county" }',
            'earthquake = "8 %"\nearthquake_basis = "strength level"',
        ),
        (
            'wind_pressure = "0.6 kPa"\nwind_basis = "strength level"',
            'wind_pressure = { value = "none", reason = "stands in a walled yard" }',
        ),
    )
    hall = _changed(
        start,
        ('inside_diameter = "3.2 m"', 'inside_diameter = "6.0 m"'),
        ('crown_opening = "0.90 m"', 'crown_opening = "1.20 m"'),
        ('flat_width = "600 mm"', 'flat_width = "850 mm"'),
        ('filled_width = "520 mm"', 'filled_width = "750 mm"'),
        ('course_height = "135 mm"', 'course_height = "175 mm"'),
        ('width = "0.8 m"', 'width = "1.0 m"'),
        ('height = "1.8 m"', 'height = "2.0 m"'),
        ('ground_bearing = { value = "96 kPa"', 'ground_bearing = { value = "250 kPa"'),
        ('ground_bearing_wet = { value = "84 kPa"', 'ground_bearing_wet = { value = "200 kPa"'),
    )
    return {
        "a door, two windows, wind (the seed bank)": seeds,
        "five openings, earthquake": shaken + "".join(_window(72 * k, "0.4 m") for k in range(1, 5)) + criteria,
        "a hall of 6 m with a door and two windows, wind": hall
        + _window(120, "0.6 m")
        + _window(240, "0.6 m")
        + criteria,
    }


DOMES = _domes()


def whole_checks() -> list[str]:
    """One line a dome: seconds on the clock with nothing kept from before, on the processors there are."""
    out = []
    for name, text in DOMES.items():
        design = parse_design(text)
        with tempfile.TemporaryDirectory() as kept:
            start = time.perf_counter()
            found = check(design, cache=Path(kept))
            took = time.perf_counter() - start
        blocks = max(line.blocks for one in found.blocks for line in one.convergence)
        out.append(f"{name}: {took:.0f} s, {len(found.blocks)} answers of up to {blocks} blocks, {found.verdict}")
    return out
