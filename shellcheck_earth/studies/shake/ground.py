"""The motion of the ground: a pulse, a lean that grows slowly, or a record from a file."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.reading import read_text
from shellcheck_earth.mechanics.moving.body import GRAVITY
from shellcheck_earth.mechanics.moving.shaken import GroundMotion

__all__ = ["MOST_SECONDS", "Shape", "Told", "lean", "pulse", "record"]

Shape = Literal["sine", "half sine", "lean"]

MOST_SECONDS, MOST_ROWS, MOST_SHARE = 120.0, 20_000, 3.0
"""Longest motion [s], rows of a record, and largest acceleration, in shares of gravity, that is taken for one."""

FACES = 200
"""Straight pieces of a pulse."""

HELD = 2.0
"""For how long a lean is held once it is whole [s]."""

COLUMNS = {"along": 0, "acceleration": 0, "across": 1, "up": 2}
UNITS = {"m_s2": 1.0, "g": GRAVITY}


@dataclass(frozen=True)
class Told:
    """A ground motion with what it is: peak as a share of gravity; seconds: a pulse's period, how long it lasts."""

    kind: Literal["sine", "half sine", "lean", "record"]
    motion: GroundMotion
    peak: float
    seconds: float
    name: str = ""


def _along(bearing: float, along: np.ndarray, across: np.ndarray, up: np.ndarray) -> np.ndarray:
    """(k, 3) from components along a bearing [rad], to its right, and up."""
    s, c = math.sin(bearing), math.cos(bearing)
    return np.stack([s * along + c * across, c * along - s * across, up], axis=1)


def pulse(shape: Literal["sine", "half sine"], peak: float, period: float, bearing: float) -> Told:
    """One sine, or half of one, of a peak [share of gravity] and a period [s]; first towards the bearing [rad]."""
    long = period if shape == "sine" else period / 2
    t = np.linspace(0.0, long, FACES + 1)
    a = peak * GRAVITY * np.sin(2 * math.pi * t / period)
    return Told(shape, GroundMotion(t, _along(bearing, a, 0 * a, 0 * a)), peak, long)


def lean(peak: float, seconds: float, bearing: float) -> Told:
    """A pull that grows evenly over some seconds and stays: what a slowly tilted ground does. Blocks lean *away* from
    an acceleration of the ground, so that it points away from the bearing [rad]."""
    t = np.array([0.0, seconds, seconds + HELD])
    a = -peak * GRAVITY * np.array([0.0, 1.0, 1.0])
    return Told("lean", GroundMotion(t, _along(bearing, a, 0 * a, 0 * a)), peak, seconds + HELD)


def record(path: Path, bearing: float) -> Told:
    """A record: CSV with `time_s` and one of `acceleration_g`, `acceleration_m_s2`, or `along_`, `across_` and `up_`
    of either unit. InputError where it is none."""
    text = read_text(path, "a record of ground motion (CSV)")
    rows = [row for row in csv.reader(io.StringIO(text.removeprefix("\ufeff"))) if row and not row[0].startswith("#")]
    where = str(path)
    if not rows or rows[0][0].strip() != "time_s":
        found = repr(rows[0][0][:40]) if rows else "nothing"
        raise InputError([Problem("line 1", "a head: time_s, acceleration_g (or acceleration_m_s2)", found)], where)
    heads = [_column(head.strip(), where) for head in rows[0][1:]]
    if not heads or len({axis for axis, _ in heads}) < len(heads):
        raise InputError([Problem("line 1", "one column for each direction", f"{len(heads)} columns")], where)
    if not 3 <= len(rows) <= MOST_ROWS + 1:
        raise InputError([Problem("the record", f"2 to {MOST_ROWS} rows", f"{len(rows) - 1}")], where)
    values = np.array([_numbers(row, len(heads) + 1, line, where) for line, row in enumerate(rows[1:], 2)])
    times, parts = values[:, 0] - values[0, 0], np.zeros((len(values), 3))
    for k, (axis, unit) in enumerate(heads):
        parts[:, axis] = values[:, 1 + k] * unit
    peak = float(np.abs(parts).max()) / GRAVITY
    if not (np.diff(times) > 0).all():
        raise InputError([Problem("time_s", "times that grow from row to row", "some that do not")], where)
    if times[-1] > MOST_SECONDS:
        raise InputError([Problem("time_s", f"at most {MOST_SECONDS:g} s", f"{times[-1]:g} s")], where)
    if not 0 < peak <= MOST_SHARE:
        expected = f"a peak over 0 and up to {MOST_SHARE:g} times gravity"
        raise InputError([Problem("the record", expected, f"{peak:g}", "is the unit that of the head?")], where)
    motion = GroundMotion(times, _along(bearing, parts[:, 0], parts[:, 1], parts[:, 2]))
    return Told("record", motion, peak, float(times[-1]), path.name)


def _column(head: str, where: str) -> tuple[int, float]:
    what, _, unit = head.partition("_")
    if what not in COLUMNS or unit not in UNITS:
        expected = "columns such as acceleration_g, acceleration_m_s2, along_g, across_g, up_g"
        raise InputError([Problem("line 1", expected, repr(head[:40]))], where)
    return COLUMNS[what], UNITS[unit]


def _numbers(row: list[str], count: int, line: int, where: str) -> list[float]:
    try:
        values = [float(cell) for cell in row]
    except ValueError:
        values = []
    if len(values) != count or not all(math.isfinite(value) for value in values):
        raise InputError([Problem(f"line {line}", f"{count} numbers", repr(",".join(row)[:60]))], where)
    return values
