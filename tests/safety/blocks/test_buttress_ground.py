"""What a buttress asks of its ground: by hand, and read from a proven state."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from samples import classroom

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.design.design import Buttress, Design, Fill, Opening
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.mechanics.proof.block_places import FORCE, KINDS, LENGTH
from shellcheck_earth.safety.blocks.buttress_ground import Footprint, footprints, worst_footprints
from shellcheck_earth.safety.blocks.jobs import jobs
from shellcheck_earth.safety.blocks.proofs import proven
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult
from shellcheck_earth.views.report import block_pages
from shellcheck_earth.views.text.language import speaking, words

EAST, SOUTH = Buttress(math.pi / 2, 0.6, 0.5, 0.8), Buttress(math.pi, 0.8, 0.5, 0.8)


def _state(force: list[tuple[float, float, float]], bearing: float) -> SimpleNamespace:
    """A patch 0.8 m long from 2.0 m out and 0.5 m wide, with these forces [kN] at its corners, and a block on it."""
    s, c = math.sin(bearing), math.cos(bearing)
    places = [(2.0, -0.25), (2.0, 0.25), (2.8, -0.25), (2.8, 0.25)]
    points = [v for out, side in places for v in (out * s + side * c, out * c - side * s, 0.0)]
    block = [0, KINDS.index("buttress"), round(2.4 * s * LENGTH), round(2.4 * c * LENGTH), 0, 0]
    state = {
        "blocks": [block, [0, KINDS.index("wall"), 0, LENGTH, 0, 0]],
        "patches": [[0, -1, *(round(v * LENGTH) for v in points), 0, 0], [1, -1, *([0] * 12), 0, 0]],
        "forces": [[round(v * FORCE) for one in force for v in one], [FORCE] * 12],
    }
    return SimpleNamespace(title="Wind", proofs=(json.dumps(state),))


def _design() -> Design:
    return classroom(buttresses=(EAST, SOUTH))


def test_a_patch_by_hand() -> None:
    """10 kN, three quarters of it at the outer end: the resultant lies 0.2 m off the middle, past the sixth (0.133)."""
    forces = [(0.25, 0.1, 1.25), (0.25, 0.1, 1.25), (0.75, 0.1, 3.75), (0.75, 0.1, 3.75)]
    (found,) = footprints(_design(), [_state(forces, math.pi / 2)])  # type: ignore[list-item]
    assert (found.index, found.title) == (0, "Wind")
    assert (found.length, found.width) == pytest.approx((0.8, 0.5)) and found.down == pytest.approx(10.0)
    assert found.off == pytest.approx(0.2)
    # the ground is pushed back: 2 kN inward, for the buttress is pushed outward (east), and 0.4 kN across
    assert found.along == pytest.approx(-2.0) and abs(found.across) == pytest.approx(0.4)
    assert found.sliding == pytest.approx(math.hypot(2.0, 0.4) / 10)
    assert found.edge == pytest.approx(2 * 10 / (3 * 0.2 * 0.5)) and found.overturning == pytest.approx(2.0)


def test_a_patch_belongs_to_the_buttress_above_it() -> None:
    west = Buttress(3 * math.pi / 2, 0.6, 0.5, 0.8)
    design = classroom(buttresses=(EAST, SOUTH, west))
    for index, bearing in enumerate((math.pi / 2, math.pi, 3 * math.pi / 2)):
        (found,) = footprints(design, [_state([(0.0, 0.0, 1.0)] * 4, bearing)])  # type: ignore[list-item]
        assert found.index == index


def test_stress_over_the_whole_patch_is_a_trapezium() -> None:
    one = Footprint(0, "", 10.0, 0.0, 0.0, 0.1, 0.8, 0.5)
    assert one.edge == pytest.approx(10 / 0.4 * (1 + 6 * 0.1 / 0.8)) and one.overturning == pytest.approx(4.0)
    assert replace(one, off=0.0).edge == pytest.approx(25.0) and replace(one, off=0.0).overturning == math.inf
    assert replace(one, off=-0.4).edge == math.inf and replace(one, off=-0.4).overturning == 1.0
    both = [replace(one, off=0.8 / 6 + e).edge for e in (-1e-9, 1e-9)]
    assert both[0] == pytest.approx(both[1], rel=1e-6)


def test_a_buttress_that_is_lifted_and_a_wall_on_the_ground_are_none() -> None:
    assert footprints(_design(), [_state([(0.0, 0.0, 0.0)] * 4, math.pi)]) == []  # type: ignore[list-item]
    assert footprints(classroom(), [_state([(0.0, 0.0, 1.0)] * 4, math.pi)]) == []  # type: ignore[list-item]


def test_the_worst_of_each_is_found() -> None:
    base = Footprint(1, "a", 10.0, 1.0, 0.0, 0.1, 0.8, 0.5)
    rows = [base, replace(base, title="b", down=20.0), replace(base, title="c", along=-3.0),
            replace(base, title="d", off=-0.15), replace(base, index=0, title="e")]  # fmt: skip
    worst = worst_footprints(rows)
    assert list(worst) == [0, 1] and [one.title for one in worst[1]] == ["b", "c", "d"]


def _dome() -> Dome:
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    design = classroom(openings=(Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed"),), buttresses=(EAST,))
    site = replace(design.site, ground_friction=0.35, friction_wet=0.35, ground_bearing=150.0, bearing_wet=150.0)
    measured = {f"site.ground_{name}_wet": "measured" for name in ("friction", "bearing")}
    return build_dome(
        replace(
            design, dome=replace(design.dome, inside_diameter=2.6), fill=fill, site=site,
            bases=FrozenMap({**design.bases, **measured}),
        )
    )  # fmt: skip


def test_read_from_a_proven_state_it_balances_the_buttress() -> None:
    """The ground carries the buttress and what the wall hands it, within its friction and within its patch."""
    dome = _dome()
    job = next(one for one in jobs(dome) if one.id == "three-d-finished-dry")
    claim = BlockResult(
        job.id, job.title, job.criterion, 1.02, 1.02, 1.02, 1.02, "solved", "", False, None, (),
        (CutResult(12, 1, 1.02),), (), (), len(job.case.states),
    )  # fmt: skip
    result = proven(dome, job, claim)
    (found,) = footprints(dome.design, [result])
    state: dict[str, Any] = json.loads(result.proofs[0])
    own = sum(block[5] for block in state["blocks"] if KINDS[block[1]] == "buttress") / FORCE
    assert 0.5 * own < found.down and abs(found.off) < found.length / 2 < 0.35
    assert found.width <= 0.5 and found.overturning > 1.0 and math.isfinite(found.edge)
    shown: Any = SimpleNamespace(design=dome.design, blocks=(result,))
    told = str(block_pages._on_the_ground(shown))
    assert "bearing, at its edge" in told and "kPa" in told and f"{found.sliding:.3g}" in told
    feet: Any = SimpleNamespace(design=replace(dome.design, unit_system="imperial"), blocks=(result,))
    assert "psf" in str(block_pages._on_the_ground(feet)) or "psi" in str(block_pages._on_the_ground(feet))
    with speaking(words("es")):
        spanish = str(block_pages._on_the_ground(shown))
    assert "contrafuerte" in spanish and "bearing" not in spanish
    unproven: Any = SimpleNamespace(design=dome.design, blocks=(replace(result, proofs=()),))
    assert "for the engineer to find" in str(block_pages._on_the_ground(unproven))
    bare: Any = SimpleNamespace(design=classroom(), blocks=())
    assert block_pages._on_the_ground(bare) == []
