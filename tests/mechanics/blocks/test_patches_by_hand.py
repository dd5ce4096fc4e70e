"""Which friction and strength each face of the blocks has: the weaker course, the wet half, the ground; by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Buttress, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.mechanics.blocks.faces import Shares, WetHalf, block_patches
from shellcheck_earth.mechanics.blocks.interfaces import GROUND, Patches
from shellcheck_earth.mechanics.blocks.weights import arc_share

CUTS = 6


@cache
def parts() -> tuple[Dome, Case, Case, Layout]:
    """A dome with a buttress; a dry case and a soaked one of other frictions and strengths."""
    base = classroom(
        openings=(Opening("window", 0.5, 0.6, 0.5, 0.5, "pointed"),), buttresses=(Buttress(math.pi, 0.6, 0.5, 0.8),)
    )
    dome = build_dome(replace(base, dome=replace(base.dome, inside_diameter=2.6)))
    case = dead_cases(dome)[0]

    def of(friction: float, strength: float) -> Case:
        changes = {"friction": friction, "friction_wet": friction, "strength": strength, "strength_wet": strength}
        return replace(case, states=tuple(replace(state, **changes) for state in case.states))  # type: ignore[arg-type]

    return dome, of(0.6, 900.0), of(0.3, 200.0), cut_blocks(dome, CUTS)


def patches(**given: Any) -> Patches:
    dome, dry, _, layout = parts()
    return block_patches(dome, given.pop("case", dry), layout, **given)


def bearings(found: Patches) -> np.ndarray:
    return np.arctan2(found.centre[:, 0], found.centre[:, 1])


def is_kind(found: Patches, kind: str) -> np.ndarray:
    return np.array([one == kind for one in found.kind])


def test_friction_and_strength_of_every_kind_of_face() -> None:
    """A bed's friction is lessened by sin(b)/b of its own arc, a head joint's strength by that of its longer block."""
    found, layout = patches(), parts()[3]
    jointed = {block for face in layout.faces if face.kind == "head joint" for block in (face.upper, face.lower)}
    widest = max(layout.blocks[block].end - layout.blocks[block].start for block in jointed)
    level = np.isin(found.kind, ["bed", "ground", "lintel"])
    assert level.any() and (found.friction[level] <= 0.6).all() and (found.friction[level] >= 0.6 * 0.93).all()
    assert found.strength[level] == pytest.approx(900.0)
    joints = is_kind(found, "head joint")
    assert found.friction[joints] == pytest.approx(0.6)
    assert (found.strength[joints] < 900.0).all() and (found.strength[joints] > 900.0 * 0.9).all()
    assert found.strength[joints].min() == pytest.approx(900.0 * arc_share(widest), rel=1e-9)
    buttress = is_kind(found, "buttress bed")
    assert buttress.any() and found.friction[buttress] == pytest.approx(0.6)
    half = patches(shares=Shares(friction=0.5, strength=0.25))
    assert half.friction == pytest.approx(found.friction / 2) and half.strength == pytest.approx(found.strength / 4)


@pytest.mark.parametrize("bearing", [0.3, 2.0, 4.0])
def test_the_wet_half_is_wet_and_the_other_is_not(bearing: float) -> None:
    """Every face within a right angle of the bearing has what the soaked case leaves it, every other what it has."""
    _, _, soaked, _ = parts()
    found, dry, wet = patches(wet=WetHalf(soaked, bearing)), patches(), patches(case=soaked)
    inside = np.cos(bearings(found) - bearing) > -1e-9
    for kind in ("bed", "ground", "head joint", "buttress bed"):
        here = is_kind(found, kind)
        assert (here & inside).any() or kind == "buttress bed"
        for column in ("friction", "strength"):
            mine, dry_one, wet_one = (getattr(one, column)[here] for one in (found, dry, wet))
            assert mine == pytest.approx(np.where(inside[here], wet_one, dry_one)), (kind, column)
            assert (wet_one < dry_one).all()
    assert (~inside & is_kind(found, "bed")).any()


def test_what_lies_on_the_ground_slides_on_the_ground() -> None:
    free, capped = patches(), patches(shares=Shares(base_friction=0.2))
    on_ground = free.lower == GROUND
    walls, buttress = is_kind(free, "ground"), on_ground & is_kind(free, "buttress bed")
    assert walls.any() and buttress.any()
    assert capped.friction[buttress] == pytest.approx(0.2)
    assert capped.friction[walls] == pytest.approx(0.2 * free.friction[walls] / 0.6)
    assert capped.friction[~on_ground] == pytest.approx(free.friction[~on_ground])
    # Divided with the rest where capacities are divided; better ground than the bed changes nothing.
    half = patches(shares=Shares(friction=0.5, base_friction=0.2))
    assert half.friction[on_ground] == pytest.approx(capped.friction[on_ground] / 2)
    assert patches(shares=Shares(base_friction=0.9)).friction == pytest.approx(free.friction)


def test_what_lies_on_the_ground_presses_no_harder_than_it_bears() -> None:
    free, capped = patches(), patches(shares=Shares(base_strength=72.0))
    on_ground = free.lower == GROUND
    assert on_ground[is_kind(free, "buttress bed")].any() and (free.strength[on_ground] > 72.0).all()
    assert (capped.strength[on_ground] == 72.0).all()
    assert np.array_equal(capped.strength[~on_ground], free.strength[~on_ground])
    # A reserve divides the fill's strength, not what the ground bears; weaker fill stays weaker.
    half = patches(shares=Shares(strength=0.5, base_strength=72.0))
    assert (half.strength[on_ground] == 72.0).all()
    thin = patches(shares=Shares(half_width=0.8, base_strength=72.0))
    assert thin.strength[thin.lower == GROUND] == pytest.approx(90.0)  # thinner, and as much harder
    weak = patches(shares=Shares(strength=1e-3, base_strength=72.0))
    assert (weak.strength[on_ground] < 72.0).all()


@pytest.mark.parametrize("upper_is_worse", [True, False])
def test_a_bed_is_as_good_as_the_worse_of_its_courses(upper_is_worse: bool) -> None:
    dome, dry, _, _ = parts()
    layout = cut_blocks(dome, 36)  # with few cuts next to nothing lies between the arcs of either part
    worse = {"friction": 0.4, "friction_wet": 0.2, "strength": 500.0, "strength_wet": 90.0}
    lower, upper = 6, 7
    wet_from = dome.courses[upper].bed_outer - 0.2
    states = list(dry.states)
    changed = upper if upper_is_worse else lower
    states[changed] = replace(states[changed], **worse, wet_from=wet_from)  # type: ignore[arg-type]
    found, plain = (block_patches(dome, one, layout) for one in (replace(dry, states=tuple(states)), dry))
    courses = [layout.blocks[block].course for block in found.upper]
    below = [layout.blocks[block].course if block >= 0 else -1 for block in found.lower]
    between = np.array([(a, b) == (upper, lower) for a, b in zip(courses, below, strict=True)]) & is_kind(found, "bed")
    whole = np.array(
        [
            (layout.blocks[a].course, layout.blocks[b].course if b >= 0 else -1) == (upper, lower)
            for a, b in zip(plain.upper, plain.lower, strict=True)
        ]
    ) & is_kind(plain, "bed")
    out = np.hypot(found.points[:, :, 0], found.points[:, :, 1]).max(axis=1) > wet_from
    dry_part, wet_part = between & ~out, between & out
    assert whole.sum() == dry_part.sum() == wet_part.sum() > 0
    assert found.friction[dry_part] == pytest.approx(0.4 * plain.friction[whole] / 0.6, rel=1e-3)
    assert found.friction[wet_part] == pytest.approx(0.2 * plain.friction[whole] / 0.6, rel=1e-3)
    assert (found.strength[dry_part], found.strength[wet_part]) == (pytest.approx(500.0), pytest.approx(90.0))
