import itertools
from dataclasses import replace

import pytest
from samples import classroom

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.design import Building
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.materials import strength_at
from shellcheck_earth.loads.rain.calendar import (
    course_moisture,
    course_strength,
    dry_case,
    early_share,
    rain_bands,
    rain_case,
    stage_days,
    stage_on_day,
    wetted_bands,
)

DESIGN = classroom()
STACK = build_dome(DESIGN)
LAST = stage_days(STACK)[-1]


def test_ages_by_hand() -> None:
    # two buried courses and 24 above at three a day: the last (26th) is laid on the ninth day
    assert (LAST.stage, LAST.day) == (24, 8)
    assert LAST.ages[:4] == (8, 8, 8, 7)
    assert LAST.ages[-1] == 0
    waited = stage_on_day(STACK, 20)
    assert (waited.stage, waited.day, waited.ages[-1]) == (24, 20, 12)


def test_rest_day_only_ages() -> None:
    design = classroom(building=Building(3.0, 1.5, rest_days=1))
    before, on = stage_on_day(replace(STACK, design=design), 5), stage_on_day(replace(STACK, design=design), 6)
    assert before.stage == on.stage == 16
    assert [b + 1 for b in before.ages] == list(on.ages)
    assert stage_on_day(replace(STACK, design=design), 7).stage == 19


def test_dry_stage_is_the_stage_of_the_dead_load() -> None:
    case = dry_case(STACK, LAST)
    stage = next(one for one in dead_cases(STACK) if one.id == "stage-24")
    for ours, theirs in zip(case.states, stage.states, strict=True):
        assert ours.weight == pytest.approx(theirs.weight, rel=1e-12)
        assert (ours.strength, ours.friction, ours.wet_from) == (
            theirs.strength,
            theirs.friction,
            theirs.wet_from,
        )


def test_no_rain_wets_nothing_and_endless_rain_wets_through() -> None:
    assert all(band.bed == band.section == 0.0 for band in wetted_bands(STACK, LAST, 0.0))
    soaked = rain_bands(STACK, LAST, 1e5)
    width = DESIGN.wall.filled_width
    # the lowest course reaches 15 mm out of the ground (0.15 m under the floor): it counts as exposed
    assert [band.bed for band in soaked] == pytest.approx([width] * 26)
    assert soaked[-1].section == pytest.approx(width)
    deep = classroom(dome=replace(DESIGN.dome, floor_above_ground=0.0))
    dry = [band.bed for band in rain_bands(build_dome(deep), LAST, 1e5)]
    assert dry == pytest.approx([0.0, 0.0] + [width] * 24)


@pytest.mark.parametrize(("floor", "in_ground"), [(0.0, 3), (0.15, 1), (0.3, 1)])
def test_rain_soaks_the_ground_and_what_begins_in_it(floor: float, in_ground: int) -> None:
    """Courses of 135 mm, two of them under the floor: those that begin at or below the ground, and the lowest one
    wherever it begins. From the first rain on, and under a cover too."""
    design = classroom(
        dome=replace(DESIGN.dome, floor_above_ground=floor), building=Building(3.0, 1.5, cover_after=0.0)
    )
    dome, width = build_dome(design), DESIGN.wall.filled_width
    for hours in (0.01, 12.0):
        bands = wetted_bands(dome, LAST, hours)
        assert [band.bed for band in bands] == [band.section for band in bands]
        assert [band.bed for band in bands] == pytest.approx([width] * in_ground + [0.0] * (26 - in_ground))
    assert not any(band.bed for band in wetted_bands(dome, LAST, 0.0))
    dry = replace(dome, design=replace(design, site=replace(design.site, rain_intensity=0.0)))
    assert not any(band.bed for band in wetted_bands(dry, LAST, 12.0))
    case = rain_case(dome, LAST, 12.0, heavy=True)
    assert case.states[0].strength_wet <= design.fill.strength_wet and case.states[0].ring_to == pytest.approx(
        dome.courses[0].inner_radius
    )


def test_cover_keeps_the_rain_out() -> None:
    covered = classroom(building=Building(3.0, 1.5, cover_after=1.0))
    assert rain_bands(replace(STACK, design=covered), LAST, 12.0) == rain_bands(STACK, LAST, 1.0)
    at_once = classroom(building=Building(3.0, 1.5, cover_after=0.0))
    assert all(band.bed == 0.0 for band in rain_bands(replace(STACK, design=at_once), LAST, 12.0))


def test_water_weighs_by_hand() -> None:
    light = rain_case(STACK, LAST, 1e5, heavy=False).states[-1]
    heavy = rain_case(STACK, LAST, 1e5, heavy=True).states[-1]
    # placed at 10 %, full at 1/1.75 - 1/2.65 = 19.41 %
    assert heavy.weight / light.weight == pytest.approx(1.1941 / 1.10, rel=1e-4)
    assert light.weight == pytest.approx(dry_case(STACK, LAST).states[-1].weight)


def test_rain_counts_whether_or_not_a_cover_is_named() -> None:
    assert rain_case(STACK, LAST, 1.0, heavy=True).counts
    covered = classroom(building=Building(3.0, 1.5, cover_after=1.0))
    assert rain_case(replace(STACK, design=covered), LAST, 1.0, heavy=True).counts


def test_more_rain_never_wets_less() -> None:
    mild = [wetted_bands(STACK, LAST, 0.25 * k) for k in range(30)]
    harder = classroom(site=replace(DESIGN.site, rain_intensity=2 * DESIGN.site.rain_intensity))
    for before, after in itertools.pairwise(mild):
        assert all(a.bed >= b.bed and a.section >= b.section for a, b in zip(after, before, strict=True))
    for k, before in enumerate(mild):
        after = wetted_bands(replace(STACK, design=harder), LAST, 0.25 * k)
        assert all(a.bed >= b.bed - 1e-12 for a, b in zip(after, before, strict=True))


def test_moisture_sources() -> None:
    assert course_moisture(DESIGN, 30) == 0.10
    dry = classroom(building=Building(3.0, 1.5, climate="hot and dry"))
    assert 0.02 < course_moisture(dry, 10) < course_moisture(dry, 3) < 0.10
    table = classroom(building=Building(3.0, 1.5, climate="hot and dry", drying=((0.0, 0.12), (10.0, 0.06))))
    assert course_moisture(table, 0) == 0.10  # never damper than placed
    assert course_moisture(table, 10) == 0.06
    late = classroom(building=Building(3.0, 1.5, drying=((4.0, 0.08),)))
    assert course_moisture(late, 2) == pytest.approx(0.09)  # half-way from 10 % to the first row
    assert course_moisture(late, 40) == 0.08
    with pytest.raises(InputError):
        course_moisture(classroom(building=Building(3.0, 1.5, drying=((0.0, 0.06), (10.0, 0.12)))), 3)


def test_stabilised_fill_hardens() -> None:
    assert [early_share(age) for age in (0, 7, 28, 90)] == [0.3, 0.5, 1.0, 1.0]
    assert early_share(3.5) == pytest.approx(0.4)
    lime = classroom(fill=replace(DESIGN.fill, stabiliser="cement", strength_wet=80.0))
    state = rain_case(replace(STACK, design=lime), LAST, 1e5, heavy=False).states[-1]
    assert state.strength == pytest.approx(100.0)  # placed today: the strength as placed, and not yet more
    assert course_strength(lime, STACK.course(10), 28) == pytest.approx(strength_at(lime.fill, 0.10, hardened=True))
    assert state.strength_wet == pytest.approx(0.3 * 80.0)


def test_fabric_adds_only_when_asked_and_fades() -> None:
    course = STACK.course(10)
    asked = classroom(building=Building(3.0, 1.5, count_fabric=True))
    # 2 sqrt 3 x 12/(0.385 sqrt 3) (3 x 0.385/0.135 - 1) = 62.3377 x 7.5556 = 471.0
    assert course_strength(asked, course, 0) == pytest.approx(100.0 + 471.0, rel=1e-4)
    assert course_strength(asked, course, 25) == pytest.approx(100.0 + 471.0 / 2, rel=1e-4)  # 2 % a day
    assert course_strength(DESIGN, course, 0) == pytest.approx(100.0)


def test_fill_as_wet_as_wet_counts_is_wet_at_once() -> None:
    soggy = classroom(fill=replace(DESIGN.fill, placing_moisture=0.19))
    bands = wetted_bands(replace(STACK, design=soggy), LAST, 1e-3)
    assert [band.bed for band in bands] == pytest.approx([DESIGN.wall.filled_width] * 26)
