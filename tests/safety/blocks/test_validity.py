"""Beyond what the block model was compared with, no case of blocks meets."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from samples import classroom

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.openings import check_openings
from shellcheck_earth.safety.blocks import solve
from shellcheck_earth.safety.blocks.jobs import jobs
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.blocks.solve import block_cases
from shellcheck_earth.safety.blocks.validity import beyond_validation, in_range
from validation.second_block_programme import DESIGNS, OPEN_TOPS
from validation.second_block_programme import as_design as small_design


def _dome(diameter: float, *openings: Opening) -> Dome:
    design = classroom(openings=openings)
    return build_dome(replace(design, dome=replace(design.dome, inside_diameter=diameter)))


def _door(width: float, height: float = 1.5, bearing: float = 0.0) -> Opening:
    return Opening("door", bearing, 0.0, width, height, "round")


HELD = BlockResult("a", "A", "overall reserve", 2.0, 2.0, 2.0, 1.25, "solved", "", False, None, (), (), (), (), 1)
"""Of the lowest course alone."""


def _asked(dome: Dome) -> BlockResult:
    """What is held of the whole dome."""
    return in_range(dome, replace(HELD, course_top=len(dome.courses)))


@pytest.mark.parametrize(("diameter", "width"), [(4.0, 2.4), (3.2, 1.6), (4.0, 1.61)])
def test_a_wide_opening_is_cannot_say(diameter: float, width: float) -> None:
    found = _asked(_dome(diameter, _door(width)))
    assert (found.meets, found.relied, found.status) == (None, None, "cannot say")
    assert f"opening 1: width over the dome's diameter is {width / diameter:.3g}" in found.why
    assert "0.4 only" in found.why


def test_within_the_range_nothing_changes_and_what_falls_short_stays() -> None:
    assert _asked(_dome(4.0, _door(1.6))).meets
    beyond = _dome(4.0, _door(2.4))
    short = replace(HELD, relied=1.0, course_top=len(beyond.courses))
    assert in_range(beyond, short) is short and in_range(beyond, replace(short, relied=2.0)).relied is None


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


def test_a_head_is_measured_over_what_stands_above_the_floor() -> None:
    """On a stem of 0.6 m a door of 3.0 m rises to 3.0 over a height of the dome of 0.6 m more than without it."""
    design = classroom(openings=(_door(0.8, 3.0),))
    dome = build_dome(replace(design, dome=replace(design.dome, inside_diameter=4.0, springing_above_floor=0.675)))
    assert dome.floor == pytest.approx(-0.675)
    (high,) = beyond_validation(dome)
    assert high.quantity == "head_over_height" and high.found == pytest.approx(3.0 / (dome.top + 0.675))


def test_the_range_is_what_was_compared() -> None:
    """Each limit is reached by a design of the second programme, and none of them is beyond."""
    domes = [build_dome(small_design(small)) for _, small in DESIGNS]
    assert all(beyond_validation(dome) == () for dome in domes)
    openings = [(dome, opening) for dome in domes for opening in dome.design.openings]
    assert max(o.width / dome.design.dome.inside_diameter for dome, o in openings) == pytest.approx(0.4)
    assert max((o.sill + o.height) / dome.top for dome, o in openings) > 0.66
    assert max(len(dome.design.openings) for dome in domes) == 5
    assert {o.head for _, o in openings} == {"pointed", "round", "lintel"}


def test_the_range_of_open_tops_is_what_was_compared() -> None:
    """Walls that stand as they are, with nothing more to come: heads of each kind, widths, jambs, five openings."""
    domes = [build_dome(small_design(small)) for _, small in OPEN_TOPS]
    for dome in domes:
        check_openings(dome)
    openings = [(dome, opening) for dome in domes for opening in dome.design.openings]
    for head in ("pointed", "round", "lintel"):
        assert max((o.sill + o.height) / dome.top for dome, o in openings if o.head == head) > 0.86
    assert max(o.width / dome.design.dome.inside_diameter for dome, o in openings) == pytest.approx(0.4)
    assert max(len(dome.design.openings) for dome in domes) == 5
    # one course more than they have makes each of them a wall that is open at the top
    for dome in domes:
        design = replace(dome.design, dome=replace(dome.design.dome, crown_opening=0.3))
        taller = build_dome(design)
        assert len(taller.courses) > len(dome.courses)
        assert [one for one in beyond_validation(taller, len(dome.courses)) if one.found > 0.876] == []


def test_an_open_top_is_held_to_what_stands() -> None:
    """A door of 1.5 m under a floor at the springing, courses of 0.135 m: 0.86 of what stands from 1.744 m on."""
    dome = _dome(4.0, _door(0.8))
    for standing in range(1, len(dome.courses)):
        top = dome.courses[standing - 1].z_top - dome.floor
        beyond = [one.quantity for one in beyond_validation(dome, standing)]
        assert beyond == ([] if top < 1e-6 or 0.86 * top + 1e-6 >= 1.5 else ["head_over_open_top"])
    assert beyond_validation(dome) == beyond_validation(dome, len(dome.courses)) == ()
    stage = replace(HELD, course_top=next(k for k, c in enumerate(dome.courses, 1) if c.z_top - dome.floor > 1.6))
    found = in_range(dome, stage)
    assert found.meets is None and "its top over the height that stands is" in found.why


def test_an_opening_that_is_not_begun_does_not_count_in_a_stage() -> None:
    dome = _dome(4.0, _door(0.8, 1.2), Opening("window", math.pi, 2.2, 0.4, 0.5, "round"))
    assert [one.quantity for one in beyond_validation(dome)] == ["head_over_height"]
    standing = next(k for k, c in enumerate(dome.courses, 1) if c.z_top - dome.floor > 1.9)
    assert beyond_validation(dome, standing) == ()


def test_it_is_asked_before_a_verdict(monkeypatch: pytest.MonkeyPatch) -> None:
    dome = _dome(4.0, _door(2.4))
    job, top = jobs(dome)[0], len(dome.courses)
    monkeypatch.setattr(solve, "needed_jobs", lambda _dome: [job])
    monkeypatch.setattr(
        solve, "reserve_case", lambda _dome, _job, _cuts, _states: replace(HELD, id=job.id, course_top=top)
    )
    (found,) = block_cases(dome, lambda *_: None)
    assert found.meets is None
    assert "beyond the range of validation" in found.why
