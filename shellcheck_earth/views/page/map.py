"""The compare map: two keys of the design varied around what it is, every point asked of the ring-symmetric check."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.progress import Progress
from shellcheck_earth.basics.reading import parse_toml
from shellcheck_earth.design.keys import known_keys
from shellcheck_earth.geometry.reading import design_from_document, parse_design
from shellcheck_earth.safety.worst import outcome
from shellcheck_earth.views.page.controls import SLIDERS, Scale, Slider, unit_factor, values_of
from shellcheck_earth.views.page.following import changed_with_followers
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import Language, speaking, words
from shellcheck_earth.views.text.page.live import COMPARING
from shellcheck_earth.views.text.refusals import refusal_words

__all__ = ["COLUMNS", "ROWS", "Asked", "Axis", "Cell", "Map", "axis", "run_map"]

COLUMNS, ROWS = 9, 7

REACH = 0.3
"""The map reaches so far below and above the value that the design has, as a share of it."""


@dataclass(frozen=True)
class Asked:
    """The text of the design file, the unit system, the paths that run across and up, the language of the answer."""

    text: str
    system: Literal["metric", "imperial"]
    across: str
    up: str
    language: Language = "en"


@dataclass(frozen=True)
class Axis:
    """`values` as a design file would say them, ascending; `here`: the place of the design's own."""

    path: str
    values: tuple[Any, ...]
    labels: tuple[str, ...]
    here: int


@dataclass(frozen=True)
class Cell:
    """The answer at one point; `share`: least factor over what is required (None: nothing to share), of `check`."""

    answer: str
    share: float | None
    check: str
    why: str


@dataclass(frozen=True)
class Map:
    """`cells[row][column]`, rows from the lowest value up."""

    across: Axis
    up: Axis
    cells: tuple[tuple[Cell, ...], ...]


def _places(scale: Scale, here: float, count: int) -> list[float]:
    """Even places around a value, on the steps of its slider, with the value itself among them."""
    low, high = max(scale.low, here * (1 - REACH)), min(scale.high, here * (1 + REACH))
    if not low < high:
        low, high = scale.low, scale.high
    even = [low + (high - low) * k / (count - 1) for k in range(count)]
    stepped = {round(round(one / scale.step) * scale.step, 9) for one in even}
    nearest = min(stepped, key=lambda one: abs(one - here))
    return sorted((stepped - {nearest}) | {here})


def axis(slider: Slider, system: str, here: float, count: int) -> Axis:
    """The values of one key around what it is; `here` in SI."""
    scale = slider.imperial if system == "imperial" else slider.metric
    factor = unit_factor(slider.path, scale.unit)
    own = float(f"{here / factor:.9g}")
    places = [float(k) for k in range(5)] if known_keys()[slider.path].whole else _places(scale, own, count)
    values = tuple(f"{one:.9g} {scale.unit}" if scale.unit else _plain(slider.path, one) for one in places)
    labels = tuple(f"{one:.4g} {scale.unit}".strip() for one in places)
    return Axis(slider.path, values, labels, min(range(len(places)), key=lambda k: abs(places[k] - own)))


def _plain(path: str, value: float) -> int | float:
    return int(value) if known_keys()[path].whole else value


def _cell(document: Mapping[str, Any], settings: tuple[tuple[str, Any], ...]) -> Cell:
    try:
        for path, value in settings:
            document, _ = changed_with_followers(document, path, value)
        found = outcome(design_from_document(document), trials=False)
    except InputError as error:
        return Cell("not buildable", None, "", refusal_words("; ".join(map(str, error.problems)))[:300])
    least = found.least
    # Proofs and ranges are not looked at here, so that nothing on the map "meets".
    answer = "falls short" if found.verdict == "falls short" else "cannot say"
    share = None if least.share == float("inf") else round(least.share, 4)
    return Cell(answer, share, said_below(least.check), "")


def run_map(asked: Asked, cache: Path | None, progress: Progress) -> Map:
    """Every point of the map; InputError for a design that cannot be read."""
    del cache
    design, document = parse_design(asked.text), parse_toml(asked.text)
    sliders, now = {one.path: one for one in SLIDERS}, values_of(design)
    across = axis(sliders[asked.across], asked.system, now[asked.across] or 0.0, COLUMNS)
    up = axis(sliders[asked.up], asked.system, now[asked.up] or 0.0, ROWS)
    count = len(across.values) * len(up.values)
    rows: list[tuple[Cell, ...]] = []
    for row in up.values:
        cells: list[Cell] = []
        for column in across.values:
            progress(COMPARING, len(rows) * len(across.values) + len(cells), count)
            with speaking(words(asked.language)):
                cells.append(_cell(document, ((up.path, row), (across.path, column))))
        rows.append(tuple(cells))
    return Map(across, up, tuple(rows))
