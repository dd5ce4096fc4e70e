"""A dome that settles: the movements by hand and against designs that say the same, what is said, files, refusals."""

from __future__ import annotations

import csv
import io
import itertools
import json
import math
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from samples import sturdy

from shellcheck_earth.design.design import Design
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, bed_limits
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.checks import reserve_of
from shellcheck_earth.safety.shortfalls import case_shortfalls
from shellcheck_earth.studies.settle.moved import (
    MOST_TURN,
    Movement,
    lunes_after,
    opened,
    shortened,
    spread,
    tilted_beds,
)
from shellcheck_earth.studies.settle.study import KINDS, Reached, Settling, settle_design
from shellcheck_earth.views.cli.main import run
from shellcheck_earth.views.export.settle import UNITS, settle_csv, settle_files
from shellcheck_earth.views.figures.settle import settle_svg
from shellcheck_earth.views.text.cautions import ENGINEER
from shellcheck_earth.views.text.language import words
from shellcheck_earth.views.text.settle import settle_words

ALL = ("number", "z_bottom", "z_top", "weight", "moment", "bed_inner", "bed_outer", "friction", "ring_strength", "wire")


@cache
def base() -> Design:
    design: Design = sturdy(openings=(), site=replace(sturdy().site, wind_pressure=0.0, earthquake=0.0, snow=0.0))
    return design


@cache
def lune(case: str = "finished-damp") -> Lune:
    model = build_model(base())
    return cut_lune(model.dome, model.case(case))


@cache
def told() -> Settling:
    return settle_design(base())


def reached(kind: str) -> Reached:
    return next(one for one in told().reached if one.kind == kind)


def test_no_movement_leaves_the_lune_as_it_is() -> None:
    (same,) = lunes_after(lune(), Movement())
    for name in ALL:
        assert np.array_equal(getattr(same, name), getattr(lune(), name))


def three(**changes: object) -> Lune:
    """Three courses of 0.2 m on a wall from 1.0 to 1.4 m, 1, 2 and 3 kN a radian, top first."""
    n = 3
    levels = np.array([0.4, 0.2, 0.0])
    flat = {name: np.full(n, value) for name, value in (("bed_inner", 1.0), ("bed_outer", 1.4), ("wet_from", 1.4))}
    strong = {name: np.full(n, 1000.0) for name in ("crush_inner", "crush_outer", "ring_strength")}
    plain = Lune(
        number=np.array([3.0, 2.0, 1.0]),
        z_bottom=levels,
        z_top=levels + 0.2,
        weight=np.array([1.0, 2.0, 3.0]),
        moment=np.array([1.2, 2.4, 3.6]),
        friction=np.full(n, 0.5),
        cohesion=np.zeros(n),
        ring_depth=np.full(n, 0.4),
        wire=np.full(n, 2.0),
        **flat,
        **strong,
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


def test_courses_shorten_by_the_stress_on_them() -> None:
    """A = (1.4^2 - 1.0^2)/2 = 0.48 m2: 2.083, 6.25 and 12.5 kPa; at 125 kPa of stiffness 1/60, 0.05, 0.1 of 0.2 m."""
    out = shortened(three(), 1 / 125)
    heights = out.z_top - out.z_bottom
    assert heights == pytest.approx([0.2 * (1 - 1 / 60), 0.2 * 0.95, 0.2 * 0.9], rel=1e-12)
    assert out.z_bottom[-1] == 0.0
    assert out.z_bottom == pytest.approx([0.37, 0.18, 0.0])
    assert np.array_equal(out.z_top[1:], out.z_bottom[:-1])
    assert np.array_equal(out.weight, three().weight) and np.array_equal(out.ring_high, out.z_top)
    with pytest.raises(ValueError, match="no height"):
        shortened(three(), 1 / 12.5)


def test_a_spreading_base_turns_what_is_under_the_cap_as_one_body() -> None:
    """Base out by 0.02 m under a cap at 0.4 m, straight above it: sin t = 0.05. The second bed, 0.2 m lower than the
    hinge, moves out by 0.2 sin t; the second course, its middle 0.1 m lower, weighs 0.1 sin t further out (its weight
    is at the hinge's radius). The cap sinks by 0.4 (1 - cos t), and the base stays."""
    t = math.asin(0.05)
    out, sunk = spread(three(), 0.02, 0), 0.4 * (1 - math.cos(t))
    assert (out.bed_inner + out.bed_outer) / 2 == pytest.approx([1.2, 1.21, 1.22])
    assert out.z_bottom == pytest.approx([0.4 - sunk, 0.2 - sunk / 2, 0.0], abs=1e-12)
    assert out.moment == pytest.approx([1.2, 2.4 + 2 * 0.1 * math.sin(t), 3.6 + 3 * 0.3 * math.sin(t)])
    kept = math.tan(math.atan(0.5) - t)
    assert out.friction == pytest.approx([0.5, kept, kept])
    assert list(out.ring_strength) == [1000.0, 0.0, 0.0] and list(out.ring_depth) == [0.4, 0.0, 0.0]
    assert list(out.wire) == [2.0, 2.0, 2.0]
    half = 0.2 * (math.cos(t) - math.sin(t) * kept)
    assert (out.bed_outer - out.bed_inner) / 2 == pytest.approx([0.2, half, half])
    assert list(spread(three(), 0.02, 0, wire=False).wire) == [2.0, 0.0, 0.0]
    with pytest.raises(ValueError, match="not that high"):
        spread(three(), 1.01 * math.sin(MOST_TURN) * 0.4, 0)
    assert spread(three(), 0.99 * math.sin(MOST_TURN) * 0.4, 0).size == 3
    with pytest.raises(ValueError, match="not that high"):
        spread(three(), 0.0, 2)


@pytest.mark.parametrize(("cap", "way"), [(8, 0.02), (4, 0.1), (8, 0.1), (1, 0.15)])
def test_what_is_under_the_cap_turns_as_a_rigid_body_and_the_cap_comes_straight_down(cap: int, way: float) -> None:
    """Distances stay to the last digits, and the turn is the one found here by halving, with complex numbers: no
    formula of the module."""
    whole = lune()
    out = spread(whole, way, cap)

    def middles(one: Lune) -> np.ndarray:
        return (one.bed_inner + one.bed_outer) / 2 + 1j * one.z_bottom

    before, after = middles(whole)[cap:], middles(out)[cap:]
    for i in range(len(before)):
        for j in range(i):
            assert abs(after[i] - after[j]) == pytest.approx(abs(before[i] - before[j]), rel=1e-12)
    low, high = 0.0, MOST_TURN
    for _ in range(60):
        t = (low + high) / 2
        short = ((before[-1] - before[0]) * np.exp(1j * t)).real < before[-1].real - before[0].real + way
        low, high = (t, high) if short else (low, t)
    drop = before[-1].imag - (before[0] + (before[-1] - before[0]) * np.exp(1j * low)).imag
    assert after == pytest.approx(before[0] + (before - before[0]) * np.exp(1j * low) + 1j * drop, abs=1e-9)
    assert drop < 0.0
    above = middles(out)[: cap + 1] - middles(whole)[: cap + 1]
    assert np.allclose(above, 1j * drop, atol=1e-9)
    assert after[-1] == pytest.approx(before[-1] + way, abs=1e-9)
    weighed = [m / w + 1j * (b + t) / 2 for m, w, b, t in zip(
        whole.moment, whole.weight, whole.z_bottom, whole.z_top, strict=True
    )]  # fmt: skip
    turned = [(before[0] + (one - before[0]) * np.exp(1j * low)).real for one in weighed]
    assert out.moment[cap + 1 :] / out.weight[cap + 1 :] == pytest.approx(turned[cap + 1 :], abs=1e-9)
    assert np.array_equal(out.moment[: cap + 1], whole.moment[: cap + 1])


def test_a_spread_to_the_first_order_would_have_turned_too_little() -> None:
    """Why turns are as they are: where the base lies far out from the hinge, it has to turn more for the same way."""
    whole, cap, way = lune(), 4, 0.15
    middle = (whole.bed_inner + whole.bed_outer) / 2
    out = spread(whole, way, cap)
    turn = math.atan(whole.friction[-1]) - math.atan(out.friction[-1])
    first = way / (whole.z_bottom[cap] - whole.z_bottom[-1])
    assert middle[-1] - middle[cap] > 0.3 and turn > 1.008 * first


def on_a_slope(lune: Lune, H: float, x: float, angle: float) -> bool:
    """Whether a level bed's one course, put on a slope of `angle` (outer end up), carries H and the whole V at x on its
    middle's level: vectors along and across the slope, and a stress block summed in 20,000 strips."""
    a, b, mu, c, f = (float(getattr(lune, name)[0]) for name in (
        "bed_inner", "bed_outer", "friction", "cohesion", "crush_inner"
    ))  # fmt: skip
    V, middle = float(lune.vertical[0]), (a + b) / 2
    along = np.array([math.cos(angle), math.sin(angle)])
    force, across = np.array([H, -V]), np.array([math.sin(angle), -math.cos(angle)])
    N, S = float(force @ across), float(force @ along)
    if N <= 0 or abs(S) > mu * N + c + 1e-12:
        return False
    # Where the line of action through (x - middle, 0) meets the slope, in lengths along it from its middle.
    s = float(np.linalg.solve(np.column_stack([along, -force]), [x - middle, 0.0])[0])
    edges = np.linspace(-(b - a) / 2, (b - a) / 2, 20_001)
    strips = (edges[1:] + edges[:-1]) / 2
    carried = f * (middle + strips * along[0]) * np.diff(edges)
    ends = []
    for order in (slice(None), slice(None, None, -1)):
        taken = np.cumsum(carried[order])
        if taken[-1] < N:
            return False
        used = carried[order] * np.clip((N - taken) / carried[order] + 1, 0, 1)
        ends.append(float((used * strips[order]).sum() / used.sum()))
    return ends[0] - 1e-6 <= s <= ends[1] + 1e-6


@pytest.mark.parametrize("seed", range(60))
def test_a_bed_askew_is_counted_with_no_more_than_it_has(seed: int) -> None:
    """At the corners of what the moved lune allows, whichever end is up; and what is given away is of the order of the
    slope times the greatest thrust."""
    rng = np.random.default_rng(seed)
    a, w, V = rng.uniform(0.15, 3.0), rng.uniform(0.2, 0.5), rng.uniform(1.0, 60.0)
    mu, angle, c = rng.uniform(0.25, 0.9), rng.uniform(0.005, 0.15), rng.choice([0.0, 0.1]) * V
    f = V / ((a + w / 2) * w) * rng.uniform(1.5, 10.0)
    one = Lune(*(np.array([value]) for value in (
        1.0, 0.0, 0.15, V, V * (a + w / 2), a, a + w, f, f, a + w, mu, c, 0.0, 0.0, 0.0
    )))  # fmt: skip
    moved = tilted_beds(one, angle)
    low, high, limit = bed_limits(moved.rows, 0, AVAILABLE.as_array())
    if low > high:
        return
    for H, x, way in itertools.product((-limit, 0.0, limit), (low, (low + high) / 2, high), (angle, -angle)):
        assert on_a_slope(one, H, x, way), (H / V, x, way)
    level_low, level_high, _ = bed_limits(one.rows, 0, AVAILABLE.as_array())
    given_away = (level_high - level_low) - (high - low)
    assert -1e-9 <= given_away <= (3 * limit / V + angle) * angle * w


def test_a_bed_that_slopes_more_than_its_friction_holds_nothing() -> None:
    assert reserve_of(tilted_beds(three(), 0.1)) > 0.5  # type: ignore[operator]
    steep = tilted_beds(three(), math.atan(0.5) + 0.01)
    assert (steep.friction < 0.0).all() and reserve_of(steep) == 0.0
    assert np.isinf(tilted_beds(three(friction=np.full(3, np.inf)), 0.1).friction).all()
    assert tilted_beds(three(), 0.1).friction == pytest.approx(math.tan(math.atan(0.5) - 0.1))


def test_opening_more_rings_never_helps() -> None:
    whole = lune()
    reserves = [reserve_of(opened(whole, whole.size - count)) or 0.0 for count in range(whole.size)]
    assert all(later <= earlier + 1e-6 for earlier, later in itertools.pairwise(reserves))
    assert reserves[-1] < reserves[0]


def test_a_base_that_begins_to_spread_is_a_dome_with_open_rings() -> None:
    """A way of next to nothing under each cap, and the same rings open: the same reserve."""
    whole = lune()
    for cap in (2, 9, whole.size - 2):
        assert reserve_of(spread(whole, 1e-9, cap)) == pytest.approx(reserve_of(opened(whole, cap + 1)), rel=1e-6)


def flips(kind: str, design_at: object, low: float, high: float) -> None:
    """The largest amount is where a design that says the same starts to fall short in its finished states."""
    to = reached(kind).meets_to
    assert to is not None and low < to < high

    def meets(amount: float) -> bool:
        model = build_model(design_at(amount))  # type: ignore[operator]
        cases = [case for case in model.counted if case.kind == "finished"]
        return not any(case_shortfalls(model.dome, case) for case in cases)

    step = reached(kind).most / 40 / 2**12
    assert meets(to) and not meets(to + 3 * step)


def test_a_tired_fill_is_a_weaker_fill() -> None:
    fill = base().fill

    def weaker(lost: float) -> Design:
        kept = 1.0 - lost
        strengths = {
            name: getattr(fill, name) * kept for name in ("strength_dry", "strength_as_placed", "strength_wet")
        }
        return replace(base(), fill=replace(fill, **strengths))

    flips("lasting load", weaker, 0.1, 0.99)


def test_beds_askew_are_beds_of_less_friction_and_less_than_that() -> None:
    """Never further than the friction that is left would let them, and not far from it."""
    beds, to = base().beds, reached("beds askew").meets_to
    assert to is not None

    def meets(angle: float) -> bool:
        names = ("friction", "friction_wet", "friction_no_wire")
        less = {name: math.tan(math.atan(getattr(beds, name)) - angle) for name in names}
        model = build_model(replace(base(), beds=replace(beds, **less)))  # type: ignore[arg-type]
        cases = [case for case in model.counted if case.kind == "finished"]
        return not any(case_shortfalls(model.dome, case) for case in cases)

    assert 0.01 < to < math.radians(15.0) and meets(to) and not meets(1.5 * to)


def test_a_shortened_dome_is_a_dome_measured_lower() -> None:
    """The same lune as from a wall measured with these levels, its weight apart."""
    moved = shortened(lune(), 2e-3)
    dome = build_dome(base())
    measured = replace(
        base(),
        text="",
        dome=replace(
            base().dome,
            profile="measured",
            inner_radii=tuple(course.inner_radius for course in dome.courses),
            measured_from=dome.courses[0].number,
            course_tops=tuple(float(z) for z in moved.z_top[::-1]),
        ),
    )
    model = build_model(measured)
    other = cut_lune(model.dome, model.case("finished-damp"))
    for name in ("z_bottom", "z_top", "bed_inner", "bed_outer", "friction", "wire", "ring_depth", "ring_strength"):
        assert getattr(other, name) == pytest.approx(getattr(moved, name), rel=1e-9, abs=1e-9), name


def test_every_movement_is_looked_at_and_stands_as_long_as_it_meets() -> None:
    assert tuple(one.kind for one in told().reached) == KINDS == tuple(UNITS)
    for one in told().reached:
        assert one.meets_to is not None and one.stands_to is not None
        assert 0.0 <= one.meets_to <= one.stands_to <= one.most
        assert (one.first is None) == (one.meets_to == one.most)
        reserves = [reserve for _, reserve in one.curve if reserve is not None]
        assert reserves[0] == pytest.approx(reached("spread, no wire").curve[0][1])
    assert reached("spread, no wire").meets_to <= reached("spread").meets_to  # type: ignore[operator]
    assert told().together is None and told().stands_together


def test_what_is_stated_is_asked_together() -> None:
    most = reached("lasting load").meets_to
    assert most is not None
    alone = settle_design(base(), Movement(sustained=1.0 - 0.9 * most))
    assert alone.together is None
    both = settle_design(base(), Movement(sustained=1.0 - 0.9 * most, bed_tilt=math.radians(25.0), spread=0.05))
    assert both.together is not None
    words = " ".join(settle_words(both))
    assert "All that was stated together" in words and both.together.check in words
    assert "safe" not in words.lower()
    assert ENGINEER in words and "no verdict" in words


def test_a_dome_that_falls_short_unmoved_is_said_to() -> None:
    slippery = replace(base().beds, friction=0.05, friction_wet=0.05, friction_no_wire=0.05, wire_strands=0)
    found = settle_design(replace(base(), beds=slippery))
    assert all(one.meets_to is None for one in found.reached)
    words = " ".join(settle_words(found))
    assert "unmoved" in words and "margins are met up to" not in words


def test_files_repeat_and_hold_what_is_said() -> None:
    files = settle_files(told(), words("en"))
    assert files == settle_files(settle_design(base()), words("en"))
    data = json.loads(files["settle.json"], parse_constant=lambda name: pytest.fail(name))
    assert [one["movement"] for one in data["movements"]] == list(KINDS)
    rows = list(csv.reader(io.StringIO(settle_csv(told()))))
    assert len(rows) == 1 + sum(len(one.curve) for one in told().reached)
    ET.fromstring(settle_svg(told()))


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--sample", "4 mm"], "--sample"),
        (["--sample", "80 mm of 130 mm under 60 kPa"], "less than half"),
        (["--sample", "4 mm of 130 mm under 60 mm"], "--sample"),
        (["--stiffness", "3 MPa", "--sample", "4 mm of 130 mm under 60 kPa"], "one of the two"),
        (["--creep", "2"], "that it multiplies"),
        (["--creep", "-1", "--stiffness", "3 MPa"], "--creep"),
        (["--sustained", "0"], "--sustained"),
        (["--sustained", "1.2"], "--sustained"),
        (["--spread", "5 kg"], "--spread"),
        (["--bed-tilt", "40 deg"], "--bed-tilt"),
        (["--opened-rings", "200"], "--opened-rings"),
    ],
)
def test_odd_options_are_refused_by_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], options: list[str], said: str
) -> None:
    design = tmp_path / "design.toml"
    design.write_text(design_toml(base()), encoding="utf-8")
    out = tmp_path / "out"
    assert run(["settle", str(design), *options, "--out", str(out)]) == 2
    shown = capsys.readouterr()
    assert said in shown.err + shown.out
    assert not out.exists()


def test_the_command_says_and_writes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    design = tmp_path / "design.toml"
    design.write_text(design_toml(replace(base(), unit_system="imperial")), encoding="utf-8")
    sample = ["--sample", "1/8 in of 5 in under 9 psi", "--creep", "1"]
    assert run(["settle", str(design), *sample, "--out", str(tmp_path / "out")]) == 0
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["settle.csv", "settle.json", "settle.svg"]
    stated = json.loads((tmp_path / "out" / "settle.json").read_text())["stated"]
    assert stated["compliance_per_kpa"] == pytest.approx(2 * 0.025 / (9 * 6.894757), rel=1e-5)
    assert " in (" in " ".join(capsys.readouterr().out.split())
