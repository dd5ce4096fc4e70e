"""Beyond what the block model was compared with, no case of blocks meets."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from samples import classroom

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.safety.blocks import solve
from shellcheck_earth.safety.blocks.jobs import jobs
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.blocks.solve import block_cases
from shellcheck_earth.safety.blocks.validity import beyond_validation, in_range
from validation.second_block_programme import DESIGNS
from validation.second_block_programme import as_design as small_design


def _dome(diameter: float, *openings: Opening) -> Dome:
    design = classroom(openings=openings)
    return build_dome(replace(design, dome=replace(design.dome, inside_diameter=diameter)))


def _door(width: float, height: float = 1.5, bearing: float = 0.0) -> Opening:
    return Opening("door", bearing, 0.0, width, height, "round")


HELD = BlockResult("a", "A", "overall reserve", 2.0, 2.0, 2.0, 1.25, "solved", "", False, None, (), (), (), (), 1)


@pytest.mark.parametrize(("diameter", "width"), [(4.0, 2.4), (3.2, 1.6), (4.0, 1.61)])
def test_a_wide_opening_is_cannot_say(diameter: float, width: float) -> None:
    found = in_range(_dome(diameter, _door(width)), HELD)
    assert (found.meets, found.relied, found.status) == (None, None, "cannot say")
    assert f"opening 1: width over the dome's diameter is {width / diameter:.3g}" in found.why
    assert "0.4 only" in found.why


def test_within_the_range_nothing_changes_and_what_falls_short_stays() -> None:
    assert in_range(_dome(4.0, _door(1.6)), HELD) is HELD
    short = replace(HELD, relied=1.0)
    assert in_range(_dome(4.0, _door(2.4)), short) is short


def test_high_heads_many_openings_and_thin_jambs_are_beyond() -> None:
    high = beyond_validation(_dome(4.0, _door(0.8, 2.7)))
    assert [one.quantity for one in high] == ["head_over_height"]
    six = [Opening("window", 2 * math.pi * k / 6, 0.9, 0.4, 0.5, "round") for k in range(6)]
    assert [one.quantity for one in beyond_validation(_dome(4.0, *six))] == ["openings"]
    assert beyond_validation(_dome(4.0, *six[:5])) == ()
    # Two windows of 0.4 m on an inner face of about 2 m: 30 deg apart they leave some 0.6 m, 27 deg some 0.5 m.
    for degrees, beyond in ((32.0, 0), (26.0, 1)):
        pair = (six[0], replace(six[0], bearing=math.radians(degrees)))
        assert len(beyond_validation(_dome(4.0, *pair))) == beyond


def test_the_range_is_what_was_compared() -> None:
    """Each limit is reached by a design of the second programme, and none of them is beyond."""
    domes = [build_dome(small_design(small)) for _, small in DESIGNS]
    assert all(beyond_validation(dome) == () for dome in domes)
    openings = [(dome, opening) for dome in domes for opening in dome.design.openings]
    assert max(o.width / dome.design.dome.inside_diameter for dome, o in openings) == pytest.approx(0.4)
    assert max((o.sill + o.height) / dome.top for dome, o in openings) > 0.66
    assert max(len(dome.design.openings) for dome in domes) == 5
    assert {o.head for _, o in openings} == {"pointed", "round", "lintel"}


def test_it_is_asked_before_a_verdict(monkeypatch: pytest.MonkeyPatch) -> None:
    dome = _dome(4.0, _door(2.4))
    job = jobs(dome)[0]
    monkeypatch.setattr(solve, "jobs", lambda _dome: [job])
    monkeypatch.setattr(solve, "reserve_case", lambda _dome, _job, _cuts, _states: replace(HELD, id=job.id))
    (found,) = block_cases(dome, lambda *_: None)
    assert found.meets is None
    assert "beyond the range of validation" in found.why
