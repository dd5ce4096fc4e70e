"""The states of a design as written problems: which there are, and what of the design each of them says."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from samples import classroom

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.design import Opening
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.joint import ON_THE_GROUND
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.safety.blocks.written import State, state_data, states

BASE = classroom(openings=(Opening("door", 0.3, 0.0, 0.8, 1.5, "pointed"),))
SITE = replace(BASE.site, snow=0.5, wind_pressure=0.4)
DOME = build_dome(replace(BASE, dome=replace(BASE.dome, inside_diameter=2.6), site=SITE))
EN_1990 = replace(DOME.design, criteria=replace(DOME.design.criteria, set_name="EN 1990"))
KNOWN = states(DOME)


def ratios(data: dict[str, Any], other: dict[str, Any], key: str) -> list[float]:
    """Of the faces that are in both: where widths are divided, the thinnest beds of long blocks are gone."""
    by_blocks = {(face["upper"], face["lower"]): float(face[key]) for face in other["faces"]}
    pairs = [(float(face[key]), by_blocks.get((face["upper"], face["lower"]))) for face in data["faces"]]
    found = [a / b for a, b in pairs if b is not None]
    assert len(found) > 200
    return found


def test_every_job_has_its_states_and_every_joint_one_its_rows() -> None:
    plain = {name for name, state in KNOWN.items() if not state.job.joint}
    assert {"three-d-finished-dry", "three-d-finished-damp", "three-d-finished-snow"} <= plain
    assert f"three-d-finished-damp-joint, {ON_THE_GROUND}" in KNOWN
    winds = [state for name, state in KNOWN.items() if name.startswith("three-d-wind, ")]
    assert winds and all(
        state.load is not None and name == state.name for name, state in KNOWN.items() if state in winds
    )
    joint = [state for name, state in KNOWN.items() if name.startswith("three-d-wind-joint, ")]
    assert len(joint) == len(winds) and {state.row.name for state in joint} == {"all capacities"}
    assert all(f"{state.job.title}, {state.load.title}" == state.title for state in winds if state.load)
    assert KNOWN["three-d-finished-dry"].title == KNOWN["three-d-finished-dry"].job.title


def test_a_reserve_divides_friction_and_strength_and_the_load_is_the_weight_again() -> None:
    state = KNOWN["three-d-finished-dry"]
    whole, half = state_data(DOME, state, 8, 1.0), state_data(DOME, state, 8, 2.0)
    for key in ("friction", "strength"):
        found = ratios(half, whole, key)
        assert found == pytest.approx([0.5] * len(found), rel=1e-12)
    layout = cut_blocks(DOME, 8, len(state.job.case.states))
    _, weight = block_weights(DOME, state.job.case, layout)
    for data in (whole, half):
        assert [float(one["weight"]) for one in data["blocks"]] == pytest.approx(weight.tolist(), rel=1e-12)
        live = [[float(v) for v in one["live"]] for one in data["blocks"]]
        assert [row[2] for row in live] == pytest.approx((-weight).tolist()) and not any(
            any(r[:2] + r[3:]) for r in live
        )
        assert data["most"] == "10" and data["width"] == "0.385"
        assert data["name"] == f"{DOME.design.name}: three-d-finished-dry"
        assert data["design_sha256"] == design_sha256(DOME.design)
    assert "divided by 2;" in half["about"] and "8 blocks a ring" in half["about"] and "Factors" not in half["about"]
    # Not said: what is required of it, 1.25.
    asked = state_data(DOME, state, 8)
    assert "divided by 1.25;" in asked["about"]
    required = ratios(whole, asked, "friction")
    assert required == pytest.approx([1.25] * len(required), rel=1e-12)


def test_a_row_s_factors_are_in_the_weights_the_capacities_and_the_words() -> None:
    dome = build_dome(EN_1990)
    known = states(dome)
    name, state = next((name, one) for name, one in known.items() if one.load is None and one.row.permanent > 1)
    plain = known[name.split("-joint")[0]]
    data, bare = state_data(dome, state, 8), state_data(dome, plain, 8, 1.0)
    shares = [float(a["weight"]) / float(b["weight"]) for a, b in zip(data["blocks"], bare["blocks"], strict=True)]
    assert shares == pytest.approx([state.row.permanent] * len(shares), rel=1e-9)
    friction = ratios(bare, data, "friction")
    assert friction == pytest.approx([state.row.friction] * len(friction), rel=1e-9)
    said = f"Factors in it: permanent {state.row.permanent:g}, "
    assert said in data["about"] and f"strength {state.row.strength:g}" in data["about"]
    assert "divided by 1;" in data["about"] and "load " not in data["about"].split("Factors")[1].split(".")[0]


def test_a_load_from_one_side_is_that_of_the_design() -> None:
    state = next(one for name, one in KNOWN.items() if name.startswith("three-d-wind, "))
    data = state_data(DOME, state, 8)
    assert data["most"] == "10" and "The multiple is its factor".lower() in data["about"].lower()
    push = [sum(float(one["live"][axis]) for one in data["blocks"]) for axis in (0, 1)]
    assert state.load is not None and (push[0] ** 2 + push[1] ** 2) ** 0.5 > 0.5
    top = DOME.courses[-1].label
    assert data["blocks"][0]["label"] == f"wall, course {DOME.courses[0].label}"
    assert any(one["label"] == f"wall, course {top}" for one in data["blocks"])


@pytest.mark.parametrize("cuts", [7, 145])
def test_cuts_out_of_range(cuts: int) -> None:
    with pytest.raises(InputError, match="8 to 144"):
        state_data(DOME, KNOWN["three-d-finished-dry"], cuts)


@pytest.mark.parametrize(("reserve", "ok"), [(0.1, True), (0.099, False), (100.0, True), (100.1, False)])
def test_reserves_of_a_dead_load_alone(reserve: float, ok: bool) -> None:
    def asked(state: State) -> bool:
        try:
            state_data(DOME, state, 8, reserve)
        except InputError as refused:
            assert "0.1 to 100" in str(refused)
            return False
        return True

    assert asked(KNOWN["three-d-finished-dry"]) == ok
    assert not asked(next(one for one in KNOWN.values() if one.load is not None))
