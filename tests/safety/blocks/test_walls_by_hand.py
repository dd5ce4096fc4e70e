"""The wall that a proof is held to, from the design: its layers, openings, buttresses, ground and load, by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest
from samples import classroom

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.design.design import Buttress, Opening
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.joint import ON_THE_GROUND, PLAIN, Row
from shellcheck_earth.mechanics.proof.blocks import Finding
from shellcheck_earth.mechanics.rings.admissible import Scales, wire_limit
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks import proofs
from shellcheck_earth.safety.blocks.jobs import jobs
from shellcheck_earth.safety.blocks.proofs import proof_name, proven, pushed, wall_of
from shellcheck_earth.safety.blocks.result import BlockResult

BASE = classroom(
    openings=(Opening("door", 3.5, 0.0, 0.8, 1.5, "pointed"), Opening("window", 0.5, 0.9, 0.5, 0.6, "lintel", 8.0)),
    buttresses=(Buttress(2.0, 0.6, 0.5, 0.8), Buttress(5.0, 0.9, 0.5, 0.8)),
)
SITE = replace(BASE.site, wind_pressure=0.4, earthquake=0.1, snow=0.5, left_unprotected=True)
DOME = build_dome(replace(BASE, dome=replace(BASE.dome, inside_diameter=2.6), site=SITE))
DEAD, QUAKE = jobs(DOME)[0], next(job for job in jobs(DOME) if job.criterion == "earthquake")


def test_each_course_is_a_layer_with_what_it_can_carry_divided() -> None:
    row = Row("x", friction=1.25, strength=2.0, wire=1.6, width=1.1)
    plain, divided = wall_of(DOME, DEAD), wall_of(DOME, DEAD, row)
    assert len(plain.layers) == len(DEAD.case.states) and (plain.width, divided.width) == (1.0, 1.1)
    lune = cut_lune(DOME, DEAD.case)
    for k, (layer, less) in enumerate(zip(plain.layers, divided.layers, strict=True)):
        course, state = DOME.courses[k], DEAD.case.states[k]
        assert (layer.bottom, layer.top) == (course.z_bottom, course.z_top)
        assert (layer.inner, layer.outer) == (course.inner_radius, course.outer_radius)
        assert (layer.bed_inner, layer.bed_outer) == pytest.approx((course.bed_inner, course.bed_outer))
        assert (layer.weight, layer.friction, layer.strength) == (state.weight, state.friction, state.strength)
        assert less.friction == pytest.approx(layer.friction / 1.25) and less.strength == layer.strength / 2.0
        assert less.weight == layer.weight
        middle, half = (course.bed_inner + course.bed_outer) / 2, (course.bed_outer - course.bed_inner) / 2
        assert (less.bed_inner, less.bed_outer) == pytest.approx((middle - half / 1.1, middle + half / 1.1))
        # Two strands of 4.2 kN, 0.3 of it counted, where their bond lets them; none under the lowest course.
        last = len(plain.layers) - 1 - k
        assert layer.wire == float(wire_limit(lune.rows, last, Scales().as_array())) <= 2 * 4.2 * 0.3
        assert less.wire <= layer.wire / 1.25 + 1e-12
    assert plain.layers[0].wire == 0.0 < plain.layers[3].wire


def test_its_openings_buttresses_and_what_carries_them() -> None:
    wall = wall_of(DOME, DEAD, Row("x", wire=1.6))
    door, window = wall.openings
    assert door.bearing == pytest.approx(3.5 - 2 * math.pi) and window.bearing == pytest.approx(0.5)
    assert (door.sill, door.top) == pytest.approx((DOME.floor, DOME.floor + 1.5))
    assert (window.sill, window.top) == pytest.approx((DOME.floor + 0.9, DOME.floor + 1.5))
    assert door.spring == pytest.approx(door.top - 0.8 * math.sqrt(3) / 2) and window.spring == window.top
    assert (door.width, window.width, door.tie) == (0.8, 0.5, 0.0) and window.tie == pytest.approx(8.0 / 1.6)
    opened = DOME.design.openings
    assert (door.beside, window.beside) == (opened[0].head_depth + 0.05, opened[1].lintel_bearing)
    assert wall.reach == 0.9  # of the longer buttress
    assert wall_of(replace(DOME, design=replace(DOME.design, buttresses=())), DEAD).reach == 0.0


def test_the_ground_is_asked_where_the_row_or_the_load_asks_it() -> None:
    site = replace(DOME.design.site, ground_friction=0.6, friction_wet=0.48, ground_bearing=120.0, bearing_wet=90.0)
    names: dict[str, Any] = {f"site.ground_{name}_wet": "measured" for name in ("friction", "bearing")}
    dome = replace(DOME, design=replace(DOME.design, site=site, bases=FrozenMap({**DOME.design.bases, **names})))
    of = dome.design.site
    friction = min(of.ground_friction, of.ground_friction_wet)
    bearing = min(of.ground_bearing, of.ground_bearing_wet)
    assert (wall_of(dome, DEAD).ground, wall_of(dome, DEAD).bears) == (None, None)
    asked = wall_of(dome, DEAD, Row(ON_THE_GROUND, sliding=1.5, bearing=2.0, friction=1.2))
    assert asked.ground == pytest.approx(friction / 1.5 / 1.2) and asked.bears == pytest.approx(bearing / 2.0)
    load = QUAKE.loads[0]
    aside = wall_of(dome, QUAKE, Row("x", friction=1.2), load)
    assert aside.ground == pytest.approx(friction / 1.2) and aside.bears is None


def test_a_load_is_handed_on_as_the_design_has_it() -> None:
    load = QUAKE.loads[1]
    plain = pushed(DOME, QUAKE, load)
    assert (plain.kind, plain.bearing, plain.amount, plain.vertical) == ("earthquake", load.bearing, 0.1, load.vertical)
    assert (plain.own, plain.permanent, plain.share, plain.beside, plain.ground) == ((), 1.0, 0.0, None, DOME.ground)
    heavy = pushed(DOME, QUAKE, load, Row("x", permanent=1.25))
    assert heavy.permanent == 1.25 and heavy.own == pytest.approx([0.8] * len(QUAKE.case.states))
    for kind, times in (("snow", 2.0), ("rain", 1.0)):
        job = next(job for job in jobs(DOME) if job.id == f"three-d-{kind}")
        found = pushed(DOME, job, job.loads[0], Row("x", friction=1.25, strength=2.0))
        assert job.heavier is not None and found.amount == 0.0
        for (weight, moment), less, more in zip(found.added, job.case.states, job.heavier.states, strict=True):
            assert (weight, moment) == pytest.approx(
                (times * (more.weight - less.weight), times * (more.moment - less.moment))
            )
        if kind == "rain":
            assert found.weak == tuple((s.friction / 1.25, s.strength / 2.0) for s in job.heavier.states)
            above = sum(state.weight for state in job.case.states)
            for state, soaked, most in zip(job.case.states, job.heavier.states, found.wire, strict=True):
                # of every course but the lowest, whose bed holds no wire: no more than slick beds pass on
                assert 0.0 <= most <= soaked.friction / 1.25 * above + 1e-9
                above -= state.weight
            assert max(found.wire) > 0.0
        else:
            assert found.weak == () and found.wire == ()
    wind = next(job for job in jobs(DOME) if job.id == "three-d-wind").loads[0]
    blown = pushed(DOME, QUAKE, wind, Row("x", permanent=1.25))
    assert (blown.lee, blown.inside, blown.even_to) == (wind.lee, wind.inside, wind.even_to)
    assert (blown.own, blown.permanent, blown.amount) == ((), 1.0, wind.amount)
    drifted = next(job for job in jobs(DOME) if job.id == "three-d-snow")
    beside = next(load for load in drifted.drifted if load.beside is not None)
    both = pushed(DOME, drifted, beside, Row("x", load=1.5, wind=0.6))
    assert both.beside is not None and both.beside.amount == 0.4 and both.share == pytest.approx(0.4)


# -- what a result may rely on ---------------------------------------------------------------------------------------


def asked(
    monkeypatch: pytest.MonkeyPatch, shown: dict[str, float | None], *, relied: float = 1.2, **more: Any
) -> tuple[BlockResult, list[str]]:
    """The earthquake's result where each proof shows so much; and the proofs asked for, in turn."""
    job = replace(QUAKE, loads=QUAKE.loads[:2], rows=more.get("rows", (PLAIN,)))
    seen: list[str] = []

    def state(claim: Any, _known: Any) -> Any:
        seen.append(claim.name)
        found = shown.get(claim.name, 9.0)
        return ("", None, "beyond friction") if found is None else (f"proof of {claim.name}", found, "")

    monkeypatch.setattr(proofs, "_state", state)
    monkeypatch.setattr(proofs, "each_once", lambda _design, loads: [(load, [load.bearing]) for load in loads])
    result = BlockResult(
        job.id, job.title, job.criterion, 2.0, 2.0, relied, 1.1, "solved", "", False, None, (), (), (), (), 9,
        between=more.get("between", ()),
    )  # fmt: skip
    return proven(DOME, job, result), seen


FIRST, SECOND = (proof_name(QUAKE, load, PLAIN) for load in QUAKE.loads[:2])


def test_every_load_and_every_direction_between_needs_its_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    found, seen = asked(monkeypatch, {}, between=((QUAKE.loads[0].id, "", -1),))
    assert seen[:2] == [FIRST, SECOND] and "turned -22.5 deg" in seen[2] and len(seen) == 3
    assert found.proofs == tuple(f"proof of {name}" for name in seen) and found.meets is True
    assert (found.relied, found.below) == (1.2, 9.0)
    two, seen = asked(monkeypatch, {}, rows=(PLAIN, Row("x")))
    assert seen == [FIRST, f"{FIRST}, x", SECOND, f"{SECOND}, x"] and len(two.proofs) == 4


def test_what_the_least_of_the_proofs_shows_is_relied_on(monkeypatch: pytest.MonkeyPatch) -> None:
    found, _ = asked(monkeypatch, {SECOND: 1.15})
    assert (found.relied, found.below, found.meets) == (1.15, 1.15, True)
    short, _ = asked(monkeypatch, {SECOND: 1.09})
    assert (short.relied, short.meets) == (1.09, False)


def test_without_a_proof_it_is_a_cannot_say(monkeypatch: pytest.MonkeyPatch) -> None:
    found, seen = asked(monkeypatch, {FIRST: None})
    assert (found.status, found.relied, found.meets, found.proofs) == ("cannot say", None, None, ())
    assert "beyond friction" in found.why and QUAKE.loads[0].title in found.why and seen == [FIRST]
    fallen, seen = asked(monkeypatch, {}, relied=1.0)
    assert (fallen.meets, fallen.relied, fallen.proofs, seen) == (False, 1.0, (), [])


@pytest.mark.parametrize(("proven_to", "share"), [(1.5, 1.0), (1.5, 1.25)])
def test_a_proof_shows_a_multiple_of_the_row_s_own_load(proven_to: float, share: float) -> None:
    result: Any = SimpleNamespace(relied=None)
    row = Row("x", load=share)
    claim = proofs._Claim(DOME, QUAKE, result, QUAKE.loads[0], row)
    assert claim.shown(Finding(Fraction(proven_to))) == pytest.approx(proven_to / share)
    assert proofs._Claim(DOME, DEAD, result, None, row).shown(Finding(Fraction(proven_to))) == proven_to
    assert claim.shown(Finding(None, "x")) == 0.0 and claim.relied == 0.0
