"""Earth against the wall as a file says it: read, written again, and what is refused with one message."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from banked import cylinder, measured
from samples import sturdy

from shellcheck_earth.basics.errors import InputError, UnbuildableError
from shellcheck_earth.design.design import Backfill, RingLoad
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.mechanics.proof.doubts import doubts
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.safety.doubts import doubts_of
from shellcheck_earth.studies.sample.asked import make_study
from shellcheck_earth.studies.settle.study import settle_design
from shellcheck_earth.studies.shake.study import shake_design


def test_a_file_says_it_and_is_written_again() -> None:
    for design in (measured(sturdy(), unit_weight=(15.0, 20.0)), replace(sturdy(), backfill=Backfill(height=0.3))):
        again = parse_design(design_toml(design))
        assert again.backfill == design.backfill
        known = [again.bases[f"backfill.{key}"] for key in ("unit_weight", "friction_angle")]
        assert (set(known) == {"measured"}) == ("backfill.unit_weight" in design.bases)
    feet = design_toml(sturdy()) + '[backfill]\nheight = "4 ft"\nunit_weight = "110 pcf"\ndrained = false\n'
    assert parse_design(feet).backfill == Backfill(height=1.2192, unit_weight=(pytest.approx(17.28, abs=0.01),) * 2)


def test_a_design_without_earth_keeps_its_digest() -> None:
    assert "backfill" not in parse_design(design_toml(sturdy())).bases
    assert design_sha256(sturdy()) != design_sha256(measured(sturdy()))


@pytest.mark.parametrize(
    ("said", "path"),
    [
        ('[backfill]\nheight = "0 m"\n', "backfill.height"),
        ("[backfill]\n", "backfill.height"),
        ('[backfill]\nheight = "6 m"\n', "backfill.height"),
        ('[backfill]\nheight = "3.5 m"\n', "backfill.height"),
        (
            '[backfill]\nheight = "0.5 m"\nunit_weight = { low = "20 kN/m3", high = "18 kN/m3" }\n',
            "backfill.unit_weight",
        ),
        ('[backfill]\nheight = "0.5 m"\nunit_weight = "9 kN/m3"\n', "backfill.unit_weight"),
        ('[backfill]\nheight = "0.5 m"\nfriction_angle = "60 deg"\n', "backfill.friction_angle"),
        ('[backfill]\nheight = "0.5 m"\ndrained = true\n', "backfill.drained"),
        ('[backfill]\nheight = "0.5 m"\ndrained = { value = true, reason = "dry" }\n', "backfill.drained"),
        ('[backfill]\nheight = "0.5 m"\nbearing = "90 deg"\n', "backfill.bearing"),
        ('[[backfill]]\nheight = "0.5 m"\n', "backfill"),
    ],
)
def test_what_cannot_be_is_refused_with_one_message(said: str, path: str) -> None:
    with pytest.raises(InputError) as caught:
        build_model(parse_design(design_toml(sturdy()) + said))
    assert [problem.path for problem in caught.value.problems] == [path]


def test_more_than_one_table_is_refused_in_words() -> None:
    with pytest.raises(InputError, match="or, with from_bearing and to_bearing, on one side"):
        parse_design(design_toml(sturdy()) + '[[backfill]]\nheight = "0.5 m"\n')


def test_one_end_of_a_side_alone_is_told_in_degrees() -> None:
    with pytest.raises(InputError, match=r"backfill\.to_bearing: expected .* or neither, found only 98 deg"):
        parse_design(design_toml(sturdy()) + '[backfill]\nheight = "0.5 m"\nfrom_bearing = "98 deg"\n')


@pytest.mark.parametrize(
    "changes", [{"height": -1.0}, {"unit_weight": (20.0, 10.0)}, {"friction_angle": 0.5}, {"drained": "dry"}]
)
def test_the_gate_holds_code_to_the_ranges(changes: dict[str, Any]) -> None:
    with pytest.raises(InputError):
        measured(sturdy(), **changes)


def test_earth_above_the_crown_and_too_many_loads_are_refused() -> None:
    with pytest.raises(UnbuildableError, match="the top of the wall"):
        build_model(measured(sturdy(), height=4.0))
    loads = tuple(RingLoad(name, 0.5, (1.0, 2.0), (0.0, 1.0), (0.1, 0.1)) for name in ("Loft", "Roof"))
    build_model(replace(sturdy(), ring_loads=loads))
    with pytest.raises(UnbuildableError, match="at most 8 states"):
        build_model(replace(measured(sturdy()), ring_loads=loads))


def test_studies_that_do_not_see_it_refuse() -> None:
    low = replace(sturdy(), dome=replace(sturdy().dome, floor_above_ground=-0.4))
    for design, path in ((measured(sturdy()), "backfill"), (low, "dome.floor_above_ground")):
        for study in (
            lambda design=design: settle_design(design),
            lambda design=design: shake_design(design, None, 0.0),
            lambda design=design: make_study(design, stated_scatter(), 64, 1),
        ):
            with pytest.raises(InputError, match=path):
                study()


def test_against_an_unfinished_wall_there_is_none_yet() -> None:
    """No case of it, and nothing of it stands against going on; a floor below the ground keeps its doubt of water."""
    built = cylinder(2, drained="")
    wall = replace(built, building=replace(built.building, laid=2, unfinished=True))
    assert not any(case.carries for case in build_model(wall).cases)
    for design, found in ((wall, []), (replace(wall, dome=replace(wall.dome, floor_above_ground=-0.3)), ["water"])):
        kinds = [one.kind for one in doubts_of(build_dome(design)) if "earth" in one.kind or "water" in one.kind]
        assert [kind.partition(" ")[0] for kind in kinds] == found
        assert sum("water may press" in one for one in doubts(read(design_toml(design)))) == len(found)
