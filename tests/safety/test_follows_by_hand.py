"""What comes down with a value that is tried lower: a wet value never stays above the dry one, by hand."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
from samples import TESTED, classroom, sturdy

from shellcheck_earth.basics.values import default
from shellcheck_earth.design.criteria import LOADS, Combination
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety import assumptions, checks, untested
from shellcheck_earth.safety.untested import brought_down, with_number

STABLE = replace(
    classroom().fill, stabiliser="cement", strength_dry=900.0, strength_as_placed=300.0, strength_wet=500.0
)
PLAIN = replace(classroom().fill, strength_dry=900.0, strength_as_placed=300.0, strength_wet=250.0)


@pytest.mark.parametrize(
    ("fill", "path", "value", "down"),
    [
        (STABLE, "fill.strength_dry", 400.0, {"fill.strength_wet": 400.0}),
        (STABLE, "fill.strength_dry", 200.0, {"fill.strength_as_placed": 200.0, "fill.strength_wet": 200.0}),
        (STABLE, "fill.strength_dry", 600.0, {}),
        (STABLE, "fill.strength_as_placed", 100.0, {}),  # hardened fill is wet at the strength of hardened fill
        (PLAIN, "fill.strength_as_placed", 100.0, {"fill.strength_wet": 100.0}),
        (PLAIN, "fill.strength_as_placed", 280.0, {}),
        (PLAIN, "fill.strength_dry", 200.0, {"fill.strength_as_placed": 200.0, "fill.strength_wet": 200.0}),
        (PLAIN, "fill.dry_density", 1500.0, {}),
    ],
)
def test_strengths_that_come_down_together(fill, path: str, value: float, down: dict[str, float]) -> None:  # type: ignore[no-untyped-def]
    design = classroom(fill=fill)
    assert brought_down(design, path, value) == down
    tried = with_number(design, path, value)
    assert all(getattr(tried.fill, name.split(".")[1]) == new for name, new in down.items())
    assert getattr(tried.fill, path.split(".")[1]) == value


def test_wet_beds_and_wet_ground_come_down_with_the_dry_ones() -> None:
    design = classroom()
    assert brought_down(design, "beds.friction", 0.2)["beds.friction_wet"] == 0.2
    assert set(brought_down(design, "site.ground_friction", 0.1)) <= {"site.ground_friction_wet"}
    assert with_number(design, "wall.filled_width", 0.3).wall.flat_width is None


def test_what_is_stated_is_listed_only_where_a_range_is_known() -> None:
    stated = replace(
        sturdy(), bases=MappingProxyType({**TESTED, "beds.friction": "stated", "dome.inside_diameter": "stated"})
    )
    listed = {one.path: (float(one.low), float(one.high)) for one in assumptions.assumptions(stated)}
    row = default("beds.wired.friction")
    assert listed == {"beds.friction": (float(row.low), float(row.high))}


def test_both_ends_of_a_range_are_tried() -> None:
    stated = replace(sturdy(), bases=MappingProxyType({**TESTED, "beds.friction": "stated"}))
    row = default("beds.wired.friction")
    tried = [value for path, value, _ in untested._trials(stated) if path == "beds.friction"]
    assert tried == pytest.approx([float(row.low), float(row.high)])


def test_cohesion_is_divided_by_its_own_factor(monkeypatch: pytest.MonkeyPatch) -> None:
    """Friction by 1.1, cohesion by 2, fill by 3, wire by 1.3, the weight by 0.9: each where it belongs."""
    none = dict.fromkeys(LOADS, 0.0)
    row = Combination("x", 0.9, **none, friction=1.1, cohesion=2.0, strength=3.0, strength_tested=2.5,
                      strength_building=2.0, strength_building_tested=1.5, wire=1.3)  # fmt: skip
    monkeypatch.setattr(checks, "ring_rows", lambda *_: ((row, 1.0),))
    design = sturdy(beds=replace(sturdy().beds, cohesion=8.0, cohesion_wet=4.0))
    stack = build_dome(design)
    case = case_of(stack, "finished-dry")
    lune = cut_lune(stack, case)
    (asked,) = checks.combined_questions(stack, case, lune)
    got = asked.lune
    assert np.allclose(got.friction, lune.friction / 1.1, rtol=1e-12)
    assert np.allclose(got.cohesion, lune.cohesion / 2.0, rtol=1e-12) and lune.cohesion.min() > 0.5  # on its area
    assert np.allclose(got.crush_inner, lune.crush_inner / 2.5, rtol=1e-12)  # every strength of it was tested
    assert np.allclose(got.wire, lune.wire / 1.3, rtol=1e-12)
    assert np.allclose(got.weight, 0.9 * lune.weight, rtol=1e-12)
