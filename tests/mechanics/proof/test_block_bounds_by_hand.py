"""More bounds of the block proofs by hand: what is shaken, faces without area, the dead load alone, wet ground."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import atan2, hypot, pi
from pathlib import Path
from typing import Any

import pytest
from certificates import SHELTER, WINDOW
from two_rings import WALL, N, W, loaded, proven

from shellcheck_earth.mechanics.proof.block_cases import _Demands
from shellcheck_earth.mechanics.proof.block_loads import Angle, Course, Load, load_on, same_load
from shellcheck_earth.mechanics.proof.block_places import FRICTION, KINDS, RefusedError
from shellcheck_earth.mechanics.proof.block_problem import check_problem, digest_of
from shellcheck_earth.mechanics.proof.block_rows import BlockRows
from shellcheck_earth.mechanics.proof.blocks import Finding, _State
from shellcheck_earth.mechanics.proof.keys import default
from shellcheck_earth.mechanics.proof.reading import Design, read

FOLDER = Path(__file__).parents[3] / "validation" / "conformance" / "blocks"
Data = dict[str, Any]

# -- loads -----------------------------------------------------------------------------------------------------------


def shaken(share: float, kind: str) -> str:
    """What is said where block 3 of the lower ring, of a kind, is pushed east by a share of its weight, all others by
    a fifth of it; the dome counts at 0.8 of its weight, its courses weigh 1.1 times what they count as."""
    data = loaded(east=0.2 * 1.1)
    data["live"][3][0] = round(share * W)
    data["blocks"][3][1] = KINDS.index(kind)
    state = _State(data, replace(WALL, load=Load("earthquake", pi / 2, 0.2, own=(1.1, 1.1), permanent=0.8)))
    try:
        state.loads()
    except RefusedError as refused:
        return str(refused)
    return ""


@pytest.mark.parametrize(("kind", "share"), [("wall", 0.22), ("lintel", 0.22), ("head", 0.25), ("buttress", 0.25)])
def test_a_sector_shakes_as_its_course_and_all_else_as_what_its_factor_took(kind: str, share: float) -> None:
    assert shaken(share, kind) == ""
    for other in (0.22, 0.25, 0.2):
        if other != share:
            assert "live[3]: not the design's load" in shaken(other, kind)


@pytest.mark.parametrize("axis", range(6))
def test_nothing_but_an_earthquake_acts_on_a_buttress(axis: int) -> None:
    """Under snow that adds nothing to any course: nothing may stand in its row."""
    data = loaded()
    data["blocks"][3][1] = KINDS.index("buttress")
    wall = replace(WALL, load=Load("snow", pi / 2, added=((0.0, 0.0), (0.0, 0.0))))
    _State(data, wall).loads()
    data["live"][3][axis] = W // 1000 * (1 if axis < 3 else 1 << 34)
    with pytest.raises(RefusedError, match=r"live\[3\]: not the design's load"):
        _State(data, wall).loads()


RING, EAST = Course(1, 0.2, 0.4, 1.0, 1.4, 1.3), Angle(pi / 2, 0.1, (1.2, 0.0, 0.3), 5.0)


def test_wind_on_a_course_that_the_next_one_stands_out_over_is_that_on_an_upright_face() -> None:
    load = Load("wind", pi / 2, 0.6, lee=-0.5)
    upright = load_on(load, replace(RING, above=1.4), EAST)
    assert upright is not None and upright == load_on(load, replace(RING, above=1.5), EAST)
    assert upright[0][2] == 0.0 and upright != load_on(load, RING, EAST)


def test_the_top_course_slopes_in_by_half_its_width() -> None:
    load = Load("wind", pi / 2, 0.6, lee=-0.5)
    assert load_on(load, replace(RING, above=None), EAST) == load_on(load, replace(RING, above=1.2), EAST)
    found = load_on(load, replace(RING, above=None), EAST)
    assert found is not None
    (x, y, z), _ = found
    assert atan2(z, hypot(x, y)) == pytest.approx(atan2(0.2, 0.2), abs=2e-3)  # square to a face of 0.2 by 0.2 m


@pytest.mark.parametrize("part", range(6))
def test_a_load_is_the_same_within_a_millionth(part: int) -> None:
    """Of its own size and a billionth of the weight; of moments that times the width where it is more than a metre."""
    force, moment = (0.3, 0.0, 0.4), (1.0, 2.0, 3.0)
    room = 0.5e-6 + 5e-9
    for width, more in ((0.4, 1.0), (3.0, 3.0 if part > 2 else 1.0)):
        for share, same in ((0.99, True), (-0.99, True), (1.01, False), (-1.01, False)):
            got = [*force, *moment]
            got[part] += share * room * more
            assert same_load(got, (force, moment), 5.0, width) == same, (width, share)


# -- written problems ------------------------------------------------------------------------------------------------


def tied_blocks() -> Data:
    found: Data = json.loads((FOLDER / "03-tied-blocks.json").read_text(encoding="utf-8"))
    return found


def said(data: Data) -> Finding:
    return check_problem(json.dumps({**data, "digest": digest_of(data)}))


@pytest.mark.parametrize(("at", "on"), [(0, 1), (2, 3), (0, 2), (1, 3)])
@pytest.mark.parametrize("face", [0, 1])
def test_a_face_has_four_corners(at: int, on: int, face: int) -> None:
    data = tied_blocks()
    data["faces"][face]["points"][at] = data["faces"][face]["points"][on]
    assert said(data).why == f"faces[{face}].points: expected four corners"


def standing() -> Data:
    """The two blocks with nothing but their weight: 6 kN at each point, no multiple of the push."""
    data = tied_blocks()
    data["certificate"] = {"multiple": "0", "forces": [["0", "0", "6"] * 4] * 2, "tensions": ["0"]}
    data["solution"] = {**data["solution"], "multiple": "0"}
    return data


def test_forces_of_the_dead_load_alone_prove_no_multiple() -> None:
    assert said(standing()).proven == 0
    for more in ("0.001", "0.5", "1"):
        data = standing()
        data["solution"]["multiple"] = more
        found = said(data)
        assert found.proven is None and "where the forces show 0" in found.why


@pytest.mark.parametrize("sign", [1, -1])
def test_what_is_left_on_a_block_lowers_what_is_proven(sign: int) -> None:
    """24e-7 kN too much or too little on a block of 24 kN is a ten-millionth of it; 0.5 is asked of both blocks."""
    data = tied_blocks()
    forces = data["certificate"]["forces"]
    whole = said(data).proven
    forces[1][2] = str(Decimal(forces[1][2]) + sign * Decimal("0.0000024"))
    forces[1][5] = str(Decimal(forces[1][5]) - sign * Decimal("0.0000024"))  # a couple about one axis: 0.5 m apart
    data["solution"]["multiple"] = "0.6"
    data["certificate"]["multiple"] = str(float(data["certificate"]["multiple"]))
    found = said(data).proven
    assert whole is not None and found is not None
    times = Fraction(data["certificate"]["multiple"])
    assert times * (1 - Fraction(1, 10**6)) < found < times * (1 - Fraction(1, 10**8))


@pytest.mark.parametrize(
    ("part", "wrong"), [("blocks", 1), ("blocks", "x"), ("faces", [1, 2]), ("faces", None), ("ties", 3.5)]
)
def test_what_is_no_object_is_refused_and_no_fault(part: str, wrong: Any) -> None:
    data = standing()
    data[part][0] = wrong
    assert said(data).why == f"{part}[0]: expected an object"


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda d: d["certificate"].update(forces=[["0", "0", "5.9"] * 4, ["0", "0", "6"] * 4]), "not balanced"),
        (lambda d: d["certificate"].update(forces=[["0", "0", "6"] * 4]), "forces: expected a list of 2"),
        (lambda d: d["certificate"].update(forces=[["0", "0", "6"] * 3] * 2), "forces[0]: expected a list of 12"),
        (lambda d: d["certificate"].update(tensions=["0", "0"]), "tensions: expected 1"),
        (lambda d: d["certificate"].update(tensions=["-0.001"]), "ties[0]: more than"),
        (lambda d: d["certificate"].update(multiple="-0.001"), "up to `most`"),
        (lambda d: d["solution"].update(multiple="-0.001"), "up to `most`"),
        (lambda d: d.update(most="0"), "width and most"),
        (lambda d: d.update(most="1000.001"), "width and most"),
        (lambda d: d["blocks"][0].update(length="0"), "a weight and a length above 0"),
        (lambda d: d["blocks"][0].update(label=1), "label"),
        (lambda d: d.update(about=1), "about"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_refused(change: Callable[[Data], object], says: str) -> None:
    data = standing()
    change(data)
    found = said(data)
    assert found.proven is None and says in found.why


def test_a_search_may_go_to_a_thousand_and_not_further() -> None:
    data = standing()
    data["most"] = "1000"
    assert said(data).proven == 0


# -- rows of factors -------------------------------------------------------------------------------------------------


def design(**values: Any) -> Design:
    found = read(SHELTER)
    values = {key.replace("__", "."): value for key, value in values.items()}
    return replace(found, values={**found.values, **values})


@pytest.mark.parametrize(
    ("quantity", "dry", "wet", "least"),
    [("friction", "0.6", "0.5", "0.5"), ("friction", "0.4", "0.5", "0.4"), ("bearing", "250", "200", "200"),
     ("bearing", "150", "200", "150")],
)  # fmt: skip
def test_ground_is_never_better_wet_than_dry(quantity: str, dry: str, wet: str, least: str) -> None:
    values = {f"site__ground_{quantity}": Fraction(dry), f"site__ground_{quantity}_wet": Fraction(wet)}
    found = design(**values)
    assert found.bases[f"site.ground_{quantity}_wet"] == "measured"
    assert BlockRows(found).under(quantity) == Fraction(least)


@pytest.mark.parametrize("quantity", ["friction", "bearing"])
def test_ground_that_nobody_measured_is_at_the_low_end_of_its_range(quantity: str) -> None:
    path = f"site.ground_{quantity}_wet"
    low = default(path, "low")
    for times, least in ((2, 1), (Fraction(1, 2), Fraction(1, 2))):
        found = design(**{path.replace(".", "__"): low * times, f"site__ground_{quantity}": low * 9})
        stated = replace(found, bases={**found.bases, path: "assumed"})
        assert BlockRows(stated).under(quantity) == low * least
        assert BlockRows(found).under(quantity) == low * times


def test_a_row_of_the_ground_asks_it_alone() -> None:
    rows = BlockRows(read(SHELTER))
    need = rows.d.required
    both, bears = (rows.on_the_ground(sliding=which) for which in (True, False))
    assert (both.sliding, both.bearing) == (need["base sliding"], need["ground bearing"])
    assert (bears.sliding, bears.bearing) == (Fraction(0), need["ground bearing"]) and need["base sliding"] > 0
    for row in (both, bears):
        assert row.asks == (Fraction(1),) * 4 and row.as_it_is and row.load == row.permanent == 1


def test_what_a_row_asks_of_a_dome_is_its_capacities_times_the_weight_it_counts() -> None:
    row = replace(
        BlockRows(read(SHELTER)).on_the_ground(sliding=True), friction=Fraction(2), strength=Fraction(3),
        wire=Fraction(5), width=Fraction(7), permanent=Fraction(11),
    )  # fmt: skip
    assert row.asks == tuple(map(Fraction, (2, 33, 55, 7))) and not row.as_it_is
    one = Fraction(1)
    assert not replace(row, permanent=one, snow=one).as_it_is and not replace(row, permanent=one, wind=one).as_it_is
    assert replace(row, permanent=Fraction(1)).as_it_is


def partial(**values: str) -> BlockRows:
    """EN 1990 has rows of factors, with wind beside snow and snow beside wind."""
    found = read(SHELTER + '\n[criteria]\nset = "EN 1990"\n')
    return BlockRows(replace(found, values={**found.values, **{f"site.{k}": Fraction(v) for k, v in values.items()}}))


def test_wind_is_beside_snow_only_where_there_is_wind_and_snow_beside_wind_only_where_there_is_snow() -> None:
    least = Fraction(5, 4)
    calm = partial(wind_pressure="0", snow="0.5").beside("snow", least, building=False)
    assert calm and all((row.wind == 0 and row.load > 0) or row.name == "on the ground" for row in calm)
    windy = partial(wind_pressure="0.6", snow="0.5").beside("snow", least, building=False)
    assert any(row.wind > 0 for row in windy) and all(row.snow == 0 for row in windy)
    bare = partial(wind_pressure="0.6", snow="0").beside("wind", least, building=False)
    assert bare and all(row.snow == row.wind == 0 for row in bare)
    for kind in ("wind", "earthquake"):
        snowed = partial(wind_pressure="0.6", snow="0.5").beside(kind, least, building=False)
        assert all(row.wind == 0 for row in snowed)
        assert any(row.snow > 0 for row in snowed)
        # While it is built no snow lies on it.
        building = partial(wind_pressure="0.6", snow="0.5").beside(kind, least, building=True)
        assert building and all(row.snow == 0 for row in building)
    worker = partial(wind_pressure="0.6", snow="0.5").beside("worker", least, building=False)
    assert worker and all(row.snow == row.wind == 0 for row in worker)


@pytest.mark.parametrize("building", [False, True])
def test_the_lower_factor_is_of_strengths_that_were_tested(building: bool) -> None:
    """What EN 1990 divides a strength by, by whether it was tested; of a stage that of building."""
    rows = partial(wind_pressure="0.6", snow="0")
    name = "strength while building" if building else "strength"
    column = "strength_building" if building else "strength"
    for tested, ending in ((frozenset({name}), "_tested"), (frozenset(), "")):
        of = BlockRows(replace(rows.d, tested=tested))
        known = {one.name: one[column + ending] for one in rows.d.rows}
        found = [row for row in of.beside("wind", Fraction(5, 4), building=building) if row.name in known]
        assert found and all(row.strength == known[row.name] for row in found)
    assert any(one[column] != one[column + "_tested"] for one in rows.d.rows)


def test_the_rings_stand_with_nothing_beside_them() -> None:
    """What the loads here are put on: with no load the proof holds; a reserve of twice is no proof of these forces."""
    data = loaded(factor=0.0)
    assert proven(data) == "" and len(data["blocks"]) == 2 * N
    twice = copy.deepcopy(data)
    twice["reserve"] = 2 * FRICTION
    assert proven(twice) != ""


# -- what a design demands -------------------------------------------------------------------------------------------


def test_a_worker_stands_over_each_opening_where_it_is() -> None:
    demands = _Demands(read(SHELTER.replace('scaffold_above = "0 m"', "") + WINDOW))
    ((name, load),) = demands.workers([0], 9)
    assert name == "worker-200" and load.bearing == pytest.approx(200 * pi / 180) and load.kind == "worker"
    assert demands.workers([0, 0], 9) == [(name, load)]  # one over two openings above each other
    ((whole, top),) = demands.workers(None, 9)
    assert (whole, top.amount) == ("worker", load.amount) and load.amount > 0
    idle = read(SHELTER.replace('scaffold_above = "0 m"', ""))
    assert _Demands(idle).workers(None, 9)
    assert _Demands(replace(idle, values={**idle.values, "building.worker": Fraction(0)})).workers(None, 9) == []


@pytest.mark.parametrize("bare", [True, False])
def test_water_in_one_half_is_demanded_of_a_dome_that_stands_bare(bare: bool) -> None:
    text = SHELTER.replace("[site]\n", "[site]\nleft_unprotected = true\n") if bare else SHELTER
    names = {demand.name for demand in _Demands(read(text + WINDOW)).demands()}
    assert "three-d-finished-dry" in names
    assert any(name.startswith("three-d-rain, ") for name in names) == bare


@pytest.mark.parametrize(("wet", "held"), [("0.2", True), ("0", False)])
def test_wire_holds_by_friction_and_where_there_is_none_by_nothing(wet: str, held: bool) -> None:
    text = SHELTER.replace("friction_wet = { value = 0.55", f"friction_wet = {{ value = {wet}")
    text = text.replace("[site]\n", "[site]\nleft_unprotected = true\n") + WINDOW
    soaked = next(one for one in _Demands(read(text)).demands() if one.name.startswith("three-d-soaked-through"))
    assert {layer.friction == 0.0 for layer in soaked.wall.layers} == {not held}
    assert any(layer.wire > 0.0 for layer in soaked.wall.layers) == held


@pytest.mark.parametrize("points", [[["0", "0", "0"]] * 3, [["0", "0", "0"]] * 5, "0000", {"a": 1}, None])
def test_a_face_has_four_points_in_a_list(points: Any) -> None:
    data = standing()
    data["faces"][1]["points"] = points
    assert said(data).why == "faces[1].points: expected four points"
