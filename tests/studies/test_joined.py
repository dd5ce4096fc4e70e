"""Joined domes: by hand, against a published arch, and against the domes and the passage alone."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from joined_bodies import PAIR, ROUGH, example, live_of, posed, solved

from shellcheck_earth.basics.errors import UnbuildableError
from shellcheck_earth.design.design import Opening
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.interfaces import GROUND
from shellcheck_earth.studies.joined import passage as passage_module
from shellcheck_earth.studies.joined.ask import holds_dead
from shellcheck_earth.studies.joined.given import Pair, PassageGiven, digest_of
from shellcheck_earth.studies.joined.joining import _answered, _beyond, _Piece, join_domes
from shellcheck_earth.studies.joined.passage import Passage, clear_height, half_vault, lay_passage, wind_on_passage
from shellcheck_earth.studies.joined.placed import Placed, clipped, inside_rectangle, place_pair
from shellcheck_earth.studies.joined.posed import WAYS, Asked, Posed
from shellcheck_earth.studies.joined.solids import Earth, earth_of, hexahedron, problem_of, thinned
from shellcheck_earth.studies.joined.told import LEANT_ON, Told
from shellcheck_earth.studies.joined.union import moved, together

ROUND = PassageGiven(0.3, None, 1.9, 0.5, "round", 1, 3.0, 0.5, 0.2, 0.0, 0, plastered=True)
"""A round vault on walls that nothing tips."""


def arch_stands(thickness: float, bags: int, monkeypatch: pytest.MonkeyPatch) -> bool:
    """Whether a half circle of mean radius 1 stands by itself, between strong and rough bags."""
    monkeypatch.setattr(passage_module, "bags_of", lambda _given: bags)
    of = lay_passage(replace(ROUND, width=2.0 - thickness, vault_depth=thickness), 0.3, None).solids
    earth = Earth(20.0, 3.0, 1e9)
    held, _ = holds_dead(lambda _c, s: problem_of(of, earth, np.zeros((len(of.solids), 6)), shares=s), 0, Shares())
    assert held is not None
    return held


@pytest.mark.parametrize("bags", [12, 30])
def test_a_half_circle_needs_a_tenth_of_its_radius(bags: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Milankovitch 1907: t/R = 0.1075 with joints square to the arch (Makris & Alexakis 2013, abstract read)."""
    assert not arch_stands(0.1070, bags, monkeypatch)
    assert arch_stands(0.1080, bags, monkeypatch)


def test_an_arch_weighs_what_its_ring_does() -> None:
    of = lay_passage(ROUND, 0.3, None).solids
    vault = [k for k, solid in enumerate(of.solids) if solid.label.startswith("vault")]
    area = math.pi * (1.15**2 - 0.95**2) / 2
    assert of.weights(ROUGH)[vault].sum() == pytest.approx(18.0 * area * 0.3, rel=1e-3)


def test_a_body_between_six_faces_by_hand() -> None:
    """A cube of 1 m that is cut askew at one end: 1 m long at y = 0, 2 m at y = 1."""
    near = [(0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 1.0, 1.0), (0.0, 0.0, 1.0)]
    far = [(1.0, 0.0, 0.0), (2.0, 1.0, 0.0), (2.0, 1.0, 1.0), (1.0, 0.0, 1.0)]
    volume, centre = hexahedron([*near, *far])
    assert volume == pytest.approx(1.5)
    assert centre == pytest.approx((7 / 9, 5 / 9, 0.5))  # of a trapezium, by its square and its triangle


def test_what_two_outlines_share() -> None:
    square, askew = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)], [(0.5, -1.0), (3.0, -1.0), (3.0, 2.0), (0.5, 2.0)]
    for other in (askew, askew[::-1]):
        found = clipped(square, other)
        assert sorted({(round(x, 9), round(y, 9)) for x, y in found}) == [
            (0.5, 0.0),
            (0.5, 1.0),
            (1.0, 0.0),
            (1.0, 1.0),
        ]
    assert clipped(square, [(2.0, 0.0), (3.0, 0.0), (3.0, 1.0)]) == []
    assert np.array(inside_rectangle(square)) == pytest.approx(np.array([(0.0, 0.0), (1.0, 1.0)]))
    found_in = inside_rectangle([(0.0, 0.0), (2.0, 0.0), (0.0, 2.0)])
    assert found_in is not None and all(x + z <= 2.0 + 1e-9 for x, z in (found_in[0], found_in[1]))


def test_edges_are_drawn_together() -> None:
    edges = (((0.0, 0.0, 0.0), (2.0, 0.0, 0.0)), ((0.0, 1.0, 0.0), (2.0, 1.0, 0.0)))
    assert thinned(edges, 0.5, along=False) == (
        ((0.0, 0.25, 0.0), (2.0, 0.25, 0.0)),
        ((0.0, 0.75, 0.0), (2.0, 0.75, 0.0)),
    )
    (first, _), (_, last) = thinned(edges, 0.5, along=True)
    assert first == (0.5, 0.25, 0.0) and last == (1.5, 0.75, 0.0)


def test_without_the_passage_two_domes_hold_what_the_weaker_one_does() -> None:
    one = posed()
    alone = [live_of(one, body) for body in ("first dome", "second dome")]
    both = together(alone)
    assert both.blocks == sum(part.blocks for part in alone)
    each = [solved(part).multiplier for part in alone]
    assert solved(both).multiplier == pytest.approx(min(each), rel=1e-6)


def test_a_problem_that_is_turned_and_shifted_holds_the_same() -> None:
    problem = live_of(posed(), "first dome")
    angle = 0.7
    turn = np.array([[math.cos(angle), -math.sin(angle), 0], [math.sin(angle), math.cos(angle), 0], [0, 0, 1.0]])
    other = moved(problem, turn, np.array([3.0, -2.0, 1.0]))
    assert problem.ties.size > 0
    assert solved(other).multiplier == pytest.approx(solved(problem).multiplier, rel=1e-5)


def turned_pair(angles: tuple[float, float]) -> Pair:
    """Each design drawn about another north."""
    given = example()
    designs = tuple(
        replace(
            design,
            openings=tuple(replace(o, bearing=(o.bearing + angle) % (2 * math.pi)) for o in design.openings),
            text="",
        )
        for design, angle in zip(given.designs, angles, strict=True)
    )
    facing = (given.facing[0] + angles[0], given.facing[1] + angles[1])
    return replace(given, designs=designs, facing=facing)  # type: ignore[arg-type]


def test_turned_designs_are_the_same_pair() -> None:
    one, other = posed(), Posed(place_pair(turned_pair((0.5, 2.0))))
    first, second = one.touches(0), other.touches(0)
    assert len(first) == len(second) > 20
    assert sum(t.area for t in first) == pytest.approx(sum(t.area for t in second), rel=1e-6)
    for way in ("second", "left"):
        a, b = (solved(live_of(each, "joined", way)).multiplier for each in (one, other))
        assert a == pytest.approx(b, rel=1e-5)


def test_the_passage_touches_the_faces_of_the_domes_and_stands_clear_of_them() -> None:
    one = posed().placed
    for touch in one.touches(0):
        end, block = one.ends[touch.dome], one.layout(touch.dome, 0).blocks[touch.block]
        course = one.domes[touch.dome].courses[block.course]
        for x, y, z in (*touch.edges[0], *touch.edges[1]):
            assert math.hypot(x - end.axis, y) == pytest.approx(course.outer_radius)
            assert course.z_bottom - 1e-9 <= z + end.dome.floor <= course.z_top + 1e-9
    for solid in one.passages[0].solids.solids:
        for end in one.ends:
            low, high = min(z for _, _, z in solid.corners), max(z for _, _, z in solid.corners)
            reach = end.course(low, high)
            away = min(math.hypot(x - end.axis, y) for x, y, _ in solid.corners)
            assert reach is None or away >= reach.outer_radius - 0.01  # the chord of a bag


def test_each_part_stands_in_its_place() -> None:
    """The floors lie level, the axes as far apart as said, and the door of each dome looks at the other."""
    one = posed().placed
    radii = [max(course.outer_radius for course in dome.courses) for dome in one.domes]
    assert one.ends[1].axis - one.ends[0].axis == pytest.approx(0.75 + sum(radii))
    for index in (0, 1):
        problem = posed().pose(("first dome", "second dome")[index], "service")(0, Shares())
        layout = one.layout(index, 0)
        heads = [k for k, block in enumerate(layout.blocks) if block.kind == "head"]
        inward = problem.centre[heads, 0].mean() - one.ends[index].axis
        assert inward * (1 - 2 * index) > 1.0 and abs(problem.centre[heads, 1].mean()) < 1e-9
        lowest = problem.centre[:, 2].min() - one.domes[index].courses[0].height / 2
        assert lowest == pytest.approx(one.domes[index].base - one.domes[index].floor)


def test_what_leans_on_a_dome_is_the_vaults_weight_and_the_whole_push() -> None:
    one = posed()
    passage = one.placed.passages[0]
    hanging = {piece.solid for piece in passage.pieces if piece.vault and piece.end == 1}
    earth = one._earth("service")
    for body, bare, sign in ((LEANT_ON[1], "second dome", 1.0), (LEANT_ON[0], "first dome", -1.0)):
        alone, leant = live_of(one, bare), live_of(one, body)
        own = {piece.solid for piece in passage.pieces if piece.vault and piece.end == (0 if sign < 0 else 1)}
        weight = passage.solids.weights(earth)[sorted(own)].sum()
        assert alone.dead[:, 2].sum() - leant.dead[:, 2].sum() == pytest.approx(weight)
        assert leant.weight.sum() == pytest.approx(alone.weight.sum())
        pushes = leant.live[:, 0].sum() - alone.live[:, 0].sum()
        load = one.loads(Asked("joined", "wind", "second", ("service",)))["lee -0.5, inside +0.55"]
        along = wind_on_passage(passage.solids, load)[:, 0].sum()
        assert pushes == pytest.approx(along if along * sign > 0 else 0.0, abs=1e-9)
    assert hanging


def test_wind_on_a_passage_is_the_envelope_of_the_domes() -> None:
    """Across, to the left: +0.8 on the wall to windward, -0.5 on the lee, less 0.55 inside; upright walls."""
    one = posed()
    load = one.loads(Asked("joined", "wind", "left", ("service",)))["lee -0.5, inside +0.55"]
    assert load.bearing == WAYS["left"] and load.amount == 0.25
    of = one.placed.free[0].solids
    push = wind_on_passage(of, load)
    walls = [k for k, solid in enumerate(of.solids) if solid.label == "passage wall, course 3"]
    windward, lee = sorted(walls, key=lambda k: of.solids[k].centre[1])
    area = 0.75 * 0.135
    assert push[windward, 1] == pytest.approx(0.25 * (0.8 - 0.55) * area)
    assert push[lee, 1] == pytest.approx(0.25 * (0.5 + 0.55) * area)
    assert not push[[k for k, s in enumerate(of.solids) if s.label == "passage wall, course -1"]].any()


@pytest.fixture(scope="module")
def joined() -> Told:
    """Without wind: the dead load of every body. Laid in courses of 243 mm, five up to the springing of the passage:
    half as many blocks as in the example."""
    given = example()
    calm = tuple(
        replace(d, site=replace(d.site, wind_pressure=0.0), wall=replace(d.wall, course_height=0.243), text="")
        for d in given.designs
    )
    return join_domes(replace(given, designs=calm))  # type: ignore[arg-type]


def test_joined_domes_are_asked_as_one_and_each_alone(joined: Told) -> None:
    bodies = [one.body for one in joined.answers]
    assert bodies == ["joined", "first dome", "second dome", "passage", *LEANT_ON]
    of = {one.body: one.held for one in joined.answers}
    assert all(held.relied is not None and held.required == 1.25 for held in of.values())
    assert joined.decides.held.relied == min(held.relied or 0.0 for held in of.values())
    assert joined.blocks[1] > 1.8 * joined.blocks[0]
    assert {len(one.labels) for one in joined.written} == {joined.blocks[0]}
    assert len(joined.drawn.corners) == len(joined.drawn.labels)


def test_a_passage_that_touches_nothing_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Square at its ends, and without a face between it and the domes: what holds the least of the three."""
    monkeypatch.setattr(Posed, "touches", lambda _self, _cut: ())
    monkeypatch.setattr(Placed, "passages", Placed.free)
    one = Posed(place_pair(example()))
    whole = solved(live_of(one, "joined")).multiplier
    parts = [solved(live_of(one, body)).multiplier for body in ("first dome", "second dome", "passage")]
    assert whole == pytest.approx(min(parts), rel=1e-5) and parts[2] < min(parts[:2])


def test_a_passage_lies_on_the_ground_and_closes_at_its_crown() -> None:
    of: Passage = posed().placed.free[0]
    grounded = [face for face in of.solids.meetings if face.lower == GROUND]
    assert len(grounded) == 2 and {face.kind for face in grounded} == {"ground"}
    crown = [face for face in of.solids.meetings if max(abs(y) for _, y, _ in (*face.edge1, *face.edge2)) < 1e-9]
    assert len(crown) == 2  # one an arch, of two
    corners = np.array(half_vault(example().passage)[-1][0])
    assert corners[2:, 0] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert corners[3, 1] == pytest.approx(clear_height(example().passage))


def with_sites(given: Pair, **site: object) -> Pair:
    designs = tuple(replace(d, site=replace(d.site, **site), text="") for d in given.designs)  # type: ignore[arg-type]
    return replace(given, designs=designs)  # type: ignore[arg-type]


def test_states_and_ways_that_are_asked() -> None:
    """Soaked through where the passage has no plaster; snow where there is some; right as well where nothing is
    mirrored; an earthquake of the damp domes."""
    bare = replace(example(), passage=replace(example().passage, plastered=False))
    asked = Posed(place_pair(with_sites(bare, snow=0.8, earthquake=0.1))).questions()
    dead = next(one for one in asked if one.question == "dead")
    assert dead.states == ("service", "placed", "saturated", "service, snow", "placed, snow")
    assert {one.states for one in asked if one.question == "earthquake"} == {("placed",)}
    assert [one.way for one in asked if one.body == "joined" and one.question == "wind"] == ["second", "first", "left"]
    assert next(one.states for one in posed().questions()) == ("service", "placed")
    given = example()
    window = Opening("window", math.radians(200), 0.9, 0.4, 0.4, "round")
    first = replace(given.designs[0], openings=(*given.designs[0].openings, window), text="")
    lopsided = Posed(place_pair(replace(given, designs=(first, given.designs[1]))))
    assert {one.way for one in lopsided.questions() if one.question == "wind"} == set(WAYS)


def test_snow_lies_on_the_vault_and_soaked_earth_is_weaker_and_heavier() -> None:
    one = Posed(place_pair(with_sites(example(), snow=0.8)))
    plain, snowed = (one.pose("passage", state)(0, Shares()) for state in ("placed", "placed, snow"))  # type: ignore[arg-type]
    of = one.placed.free[0].solids
    given = example().passage
    plan = (given.width + 2 * given.vault_depth) * 0.75  # of the vault from outside to outside
    assert plain.dead[:, 2].sum() - snowed.dead[:, 2].sum() == pytest.approx(0.8 * plan, rel=1e-6)
    assert snowed.weight.sum() == pytest.approx(plain.weight.sum())
    damp, soaked = (earth_of(example().designs[0], state) for state in ("placed", "saturated"))  # type: ignore[arg-type]
    assert soaked.unit_weight > damp.unit_weight and soaked.strength < damp.strength
    assert soaked.friction == 0.42 and damp.friction == 0.48  # wet, and without its wire
    assert of.weights(damp).sum() == pytest.approx(plain.weight.sum())


def test_an_earthquake_shakes_every_part_by_its_share() -> None:
    one = Posed(place_pair(with_sites(example(), earthquake=0.2)))
    load = one.loads(Asked("joined", "earthquake", "first", ("placed",)))["up"]
    problem = one.pose("joined", "placed", load)(0, Shares())
    assert problem.live[:, 0] == pytest.approx(-0.2 * problem.weight, rel=1e-6)
    assert problem.live[:, 2] == pytest.approx(0.2 * 0.3 * problem.weight, rel=1e-6)
    assert problem.live[:, 1] == pytest.approx(np.zeros(problem.blocks), abs=1e-9)


def test_where_the_rings_do_not_hold_the_dead_load_no_wind_is_held() -> None:
    """Beds of next to no friction and no wire: the ring-symmetric check finds no line."""
    given = example()
    loose = replace(given.designs[0].beds, friction=0.05, friction_wet=0.05, friction_no_wire=0.05, wire_strands=0)
    designs = (replace(given.designs[0], beds=loose, text=""), given.designs[1])
    piece = _Piece(replace(given, designs=designs), "the file", Asked("first dome", "wind", "second", ("service",)))
    found = _answered(piece)
    assert found.held.relied == 0.0 and "ring-symmetric" in found.held.why


def test_doors_beyond_what_blocks_were_compared_at_are_said() -> None:
    assert _beyond(posed()) == ""
    tall = tuple(replace(d, openings=(replace(d.openings[0], height=2.35),), text="") for d in example().designs)
    high = replace(example(), designs=tall, passage=replace(example().passage, springing=1.755))
    try:
        found = _beyond(Posed(place_pair(high)))
    except UnbuildableError as error:
        pytest.fail(str(error))
    assert found.startswith("beyond the range of validation: Orchard") and "its top over the dome's height" in found


def test_the_example_is_what_is_found_today() -> None:
    """Its digest, and every number of the passage, which is quick to ask."""
    data = json.loads((PAIR / "joined.json").read_text(encoding="utf-8"))
    assert data["design_sha256"] == digest_of(example())
    kept = {(one["question"], one["towards"]): one for one in data["answers"] if one["of"] == "passage"}
    asked = [one for one in posed().questions() if one.body == "passage"]
    assert len(asked) == len(kept) == 4
    for one in asked:
        found = _answered(_Piece(example(), "the file", one))
        assert found.held.relied == pytest.approx(kept[one.question, one.way]["relied_on"], rel=1e-4)
        assert found.state == kept[one.question, one.way]["state"]
