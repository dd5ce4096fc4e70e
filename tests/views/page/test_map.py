"""The map asks what `compare` asks, says "meets" nowhere, and has the design itself in its middle."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from certificates import SHELTER

from shellcheck_earth.basics.progress import quiet
from shellcheck_earth.design.starter import starter_text
from shellcheck_earth.studies.compare import compare
from shellcheck_earth.views.page.controls import SLIDERS
from shellcheck_earth.views.page.map import Asked, axis, run_map
from shellcheck_earth.views.page.tab import Tab

STORE = Path(__file__).parents[3] / "reports" / "examples" / "narrow-store.toml"


def _low_store() -> str:
    given = STORE.read_text(encoding="utf-8")
    text = re.sub(r'\nscaffold_above = "[^"]*"', '\nscaffold_above = "0.3 m"', given)
    assert text != given
    return text


@pytest.mark.parametrize(("text", "meets"), [(_low_store(), False), (SHELTER, True)], ids=["store", "shelter"])
def test_its_points_are_those_of_compare(text: str, meets: bool, tmp_path: Path) -> None:
    """Of a store whose crew stands on its lowest rings, which `compare` asks of blocks; of a shelter that meets."""
    store = tmp_path / "store.toml"
    store.write_text(text, encoding="utf-8")
    found = run_map(Asked(text, "metric", "beds.wire_strands", "wall.filled_width"), None, quiet)
    across, up = found.across, found.up
    vary = [f"{one.path}={','.join(map(str, one.values))}" for one in (up, across)]
    points = compare([store], vary, workers=1).points
    cells = [cell for row in found.cells for cell in row]
    assert len(points) == len(cells) == len(across.values) * len(up.values)
    for cell, point in zip(cells, points, strict=True):
        if point.answer == "not buildable":
            assert cell.answer == "not buildable" and cell.why
            continue
        assert (cell.answer == "falls short") == (point.answer == "falls short")
        ring = replace(point, margins=tuple(one for one in point.margins if "three-d" not in one.case_id))
        least = ring.least
        assert least is not None and cell.check == least.check and cell.share == pytest.approx(least.share, abs=1e-4)
    assert not any(cell.answer == "meets" for cell in cells) and meets is any(
        point.answer == "meets" for point in points
    )


@pytest.mark.parametrize("slider", SLIDERS, ids=lambda one: one.path)
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_every_axis_holds_the_design_and_stays_in_range(slider: object, system: str) -> None:
    from shellcheck_earth.basics.units import parse_quantity
    from shellcheck_earth.design.keys import known_keys
    from shellcheck_earth.geometry.reading import parse_design
    from shellcheck_earth.views.page.controls import Slider, values_of

    assert isinstance(slider, Slider)
    here = values_of(parse_design(starter_text()))[slider.path]
    assert here is not None
    found = axis(slider, system, here, 7)
    key = known_keys()[slider.path]
    assert key.dimension is not None and key.within is not None
    values = [parse_quantity(value, key.dimension) for value in found.values]
    assert values == sorted(values) and len(set(values)) == len(values) >= 5
    assert values[found.here] == pytest.approx(here, rel=1e-6, abs=1e-9)
    assert all(key.within.low - 1e-9 <= value <= key.within.high + 1e-9 for value in values)
    for scale in (slider.metric, slider.imperial):
        for end in (scale.low, scale.high):
            text = f"{end} {scale.unit}" if scale.unit else end
            assert key.within.low - 1e-9 <= parse_quantity(text, key.dimension) <= key.within.high + 1e-9


def test_a_point_is_taken_over_as_one_step() -> None:
    tab = Tab("one", starter_text(), "starter")
    settings = [["wall.filled_width", "400 mm"], ["dome.inside_diameter", "3.2 m"]]
    tab.take([{"do": "pick", "settings": settings, "n": 1}])
    design = tab.design()
    assert (design.wall.filled_width, design.dome.inside_diameter) == (0.4, 3.2)
    tab.take([{"do": "undo", "n": 2}])
    assert tab.document.text == starter_text()
