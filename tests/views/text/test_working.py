"""The printed working: every line comes out again from the digits it prints, and leads to the margin."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from samples import classroom, sturdy

from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.loads.materials import friction_at, strength_at
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings.admissible import resultant_range
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.findings import BedWorking
from shellcheck_earth.safety.result import Margin, Result
from shellcheck_earth.safety.working import workings
from shellcheck_earth.views.text.arithmetic import digits, put_in, worked_out
from shellcheck_earth.views.text.course_weights import CourseRow, course_tables
from shellcheck_earth.views.text.report import fill_paragraph
from shellcheck_earth.views.text.working import printed_workings, workings_of
from shellcheck_earth.views.text.worksheet import Working

REPORTS = Path(__file__).parents[3] / "reports"
EXAMPLES = ("garden-classroom", "seed-bank", "slender-hall", "tool-store")


@cache
def _example(name: str) -> Result:
    return check(read_design(REPORTS / name / "design.toml"), blocks=False, proofs=False, explore=False)


def _names(working: Working) -> dict[str, float]:
    return {line.result.split(" = ")[0]: float(line.result.split(" = ")[1].split()[0]) for line in working.lines}


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_line_comes_out_again_from_its_printed_digits(name: str) -> None:
    """As a reader does it: the sum as it is printed, worked out, to the digits of the result that is printed."""
    count = 0
    for working in workings_of(_example(name).workings):
        for line in working.lines:
            symbol, said = line.result.split(" = ")
            assert digits(worked_out(line.numbers)) == said.split()[0], (working.title, line)
            assert line.what and line.formula and line.source and symbol
            count += 1
    assert count > 100


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_line_uses_what_a_line_above_it_printed(name: str) -> None:
    """V in the friction, a and b in the stress blocks: the very digits."""
    for working in workings_of(_example(name).workings):
        known: dict[str, str] = {}
        for line in working.lines:
            if line.formula in ("L = mu V + c", "m = |H|/V", "L = mu V/q + c/q"):
                assert known["V"] in line.numbers
            if line.formula.startswith("c_i = sqrt(a"):
                assert known["a"] in line.numbers and known["V"] in line.numbers
            symbol, said = line.result.split(" = ")
            known[symbol] = said.split()[0]


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_working_leads_to_the_margin_it_is_of(name: str) -> None:
    result = _example(name)
    governing = result.governing()
    seen = []
    for bed, working in zip(result.workings, workings_of(result.workings), strict=True):
        case, margin = governing[working.check]
        found, seen = _names(working), [*seen, working.check]
        assert margin.course == working.course and case.title == bed.case_title
        assert found["V"] == pytest.approx(sum(one.weight for one in bed.above), rel=1e-6)
        assert found["W"] == pytest.approx(bed.above[-1].weight, rel=1e-5)
        if "s" in found:
            assert found["s"] == pytest.approx(margin.share, rel=1e-4), working.title
        if bed.stands and "x" in found:
            low, high = found.get("x_1", found["a"]), found.get("x_2", found["b"])
            if not bed.middlemost:
                assert low - 1e-5 <= found["x"] <= high + 1e-5
    assert {"bed friction", "strength while building"} & set(seen)
    assert set(seen) <= set(governing)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_bed_and_its_weights_are_printed_once(name: str) -> None:
    """What stands in place of the lines left out gives the very digits that they end in, and where they stand."""
    beds = _example(name).workings
    whole, printed = list(workings_of(beds)), list(printed_workings(beds))
    before: dict[str, Working] = {}
    for full, short in zip(whole, printed, strict=True):
        assert full.title == short.title and full.lines[-1] == short.lines[-1]
        if full != short:
            named = next(one for title, one in before.items() if short.lines[0].what.endswith(f": {title}"))
            known = {line.result for line in named.lines}
            assert all(result in known for result in short.lines[0].result.split(", "))
            assert short.lines[1:] == full.lines[-len(short.lines) + 1 :]
        before[full.title] = full
    assert name != "garden-classroom" or whole != printed


def test_the_state_of_least_friction_stands_beside_the_middlemost_line() -> None:
    """What the first takes is what is needed; the middlemost line takes more."""
    result = check(sturdy(), proofs=False, explore=False)
    bed = next(one for one in result.workings if one.check == "bed friction")
    (working,) = workings_of([bed])
    takes = [float(line.result.split()[2]) for line in working.lines if line.formula == "m = |H|/V"]
    assert len(takes) == 2 and takes[0] < takes[1]
    assert bed.needed is not None and takes[0] == pytest.approx(bed.needed, rel=1e-5)


def test_a_dome_without_any_line_still_has_its_weights() -> None:
    result = check(classroom(), proofs=False, explore=False)
    assert result.workings and all(len(working.lines) > 5 for working in workings_of(result.workings))


def test_printed_sums_are_read_as_a_calculator_reads_them() -> None:
    for text, value in (
        ("sqrt(3.4^2 - 1.2^2) - 0.5", (3.4**2 - 1.2**2) ** 0.5 - 0.5),
        ("2 x 3 + (-4)/8", 5.5),
        ("max(1, 2.5) - min(3, 4)", -0.5),
        ("abs(-2) x 1e-05", 2e-5),
        ("1 + 2 x ln((3 + 4)/(1 + 1))", 1 + 2 * math.log(3.5)),
        ("0", 0.0),
    ):
        assert worked_out(text) == pytest.approx(value, rel=1e-12)
    for text in ("a + 1", "__import__('os')", "1 +", "sin(1)", "1 if 1 else 2"):
        with pytest.raises(ValueError, match="no printed sum"):
            worked_out(text)
    assert digits(1 / 3) == "0.3333333" and put_in("{a} - {b}", {"a": "1", "b": "-2"}) == "1 - (-2)"


def _line(w: float, w0: float, w1: float, y0: float, y1: float) -> float:
    """As the report says it: between two anchors the logarithm goes in a straight line, or the value where one is 0."""
    share = min(max((w - w0) / (w1 - w0), 0.0), 1.0)
    return y0 ** (1 - share) * y1**share if y0 and y1 else (1 - share) * y0 + share * y1


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("w", [0.01, 0.03, 0.05, 0.075, 0.09, 0.1, 0.12, 0.15, 0.25])
def test_what_is_put_in_for_the_fill_follows_by_the_rule_that_is_printed(name: str, w: float) -> None:
    design = read_design(REPORTS / name / "design.toml")
    fill, beds = design.fill, design.beds
    full = 1000 / fill.dry_density - 1000 / fill.particle_density
    placed, wet = fill.placing_moisture, 0.9 * full
    if fill.stabiliser != "none":
        hardened = _line(w, min(0.04, placed), wet, fill.strength_dry, fill.strength_wet)
        assert strength_at(fill, w, hardened=True) == pytest.approx(hardened)
    if w < placed:
        dried = _line(w, min(0.04, placed / 2), placed, fill.strength_dry, fill.strength_as_placed)
    else:
        dried = _line(w, placed, wet, fill.strength_as_placed, fill.strength_wet)
    assert strength_at(fill, w) == pytest.approx(dried)
    share = min(max((w - placed) / (wet - placed), 0.0), 1.0)
    assert friction_at(beds, fill, w) == pytest.approx((1 - share) * beds.friction + share * beds.friction_wet)
    assert "0.00980665" in fill_paragraph()
    assert "up to w = 4 %" in fill_paragraph()
    assert "from 90 % of w_s" in fill_paragraph()


def test_the_strength_and_the_weight_that_the_store_prints_come_out_of_that_rule() -> None:
    working = next(one for one in _example("tool-store").workings if one.check == "standing without wire")
    fill = read_design(REPORTS / "tool-store" / "design.toml").fill
    full = 1000 / fill.dry_density - 1000 / fill.particle_density
    w = fill.placing_moisture
    assert working.weighed[-1].parts[0][1] == pytest.approx(fill.dry_density * (1 + w) * 0.00980665)
    assert working.strength_in == pytest.approx(_line(w, 0.04, 0.9 * full, fill.strength_dry, fill.strength_wet))


def _one(row: CourseRow) -> tuple[float, float]:
    """(W, M) of a printed row, worked out from what the row prints: the formulas that stand over the tables."""
    k = row.factor
    if row.force:
        weight = "0" if row.what == "thrust handed in" else f"{k} x ({row.force})"
        return worked_out(weight), worked_out(f"{k} x ({row.force}) x ({row.place})")
    stress = f"{k} x {row.unit_weight} x {row.height}"
    return (
        worked_out(f"{stress} x ({row.outer}^2 - {row.inner}^2)/2"),
        worked_out(f"{stress} x ({row.outer}^3 - {row.inner}^3)/3"),
    )


def _sums(result: Result) -> int:
    """Every table of weights worked out again; how many rows there were."""
    tables, count = course_tables(result.workings), 0
    plaster = [row for one in tables if one.kind == "plaster" for row in one.rows]
    for one in tables:
        for row in one.rows:
            weight, moment = _one(row)
            assert (digits(weight), digits(moment)) == (row.weight or "0", row.moment)
            count += 1
        if one.kind != "courses":
            continue
        loads = [row for other in tables if other.kind == "loads" and
                 (other.case, other.combination) == (one.case, one.combination) for row in other.rows]  # fmt: skip
        factor = one.rows[0].factor
        V = M = ""
        for row in one.rows:
            if not row.whole_weight:
                continue
            own = [p for p in (*one.rows, *loads) if p.course == row.course]
            own += [p for p in plaster if one.plastered and (p.course, p.factor) == (row.course, factor)]
            weights, moments = ([p.weight for p in own if p.weight], [p.moment for p in own])
            assert digits(worked_out(" + ".join(weights))) == row.whole_weight
            assert digits(worked_out(" + ".join(f"({p})" for p in moments))) == row.whole_moment
            V, M = (f"{V} + " if V else "") + row.whole_weight, (f"{M} + " if M else "") + row.whole_moment
            assert (digits(worked_out(V)), digits(worked_out(M))) == (row.vertical, row.moments)
    return count


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_courses_weigh_comes_out_again_and_is_what_the_working_sums(name: str) -> None:
    """Part by part, course by course, down to the V and the M of every working, to the digit."""
    result = _example(name)
    assert _sums(result) > 50
    tables = course_tables(result.workings)
    for bed, working in zip(result.workings, workings_of(result.workings), strict=True):
        (table,) = (one for one in tables if one.kind == "courses" and one.rows[0].course == bed.above[0].number
                    and (one.case, one.combination) == (bed.case_title, bed.combination))  # fmt: skip
        row = next(one for one in table.rows if one.course == bed.number and one.vertical)
        found = {line.result.split(" = ")[0]: line.result.split()[2] for line in working.lines}
        assert (row.vertical, row.moments) == (found["V"], found["M"])
        assert float(row.vertical) == pytest.approx(sum(one.weight for one in bed.above), rel=1e-6)
        assert float(row.moments) == pytest.approx(sum(one.moment for one in bed.above), rel=1e-6, abs=1e-6)


def _wet(**changes: object) -> list[BedWorking]:
    """Every bed of the stages that rain has wetted, of a small dome, as if each governed its strength."""
    base = classroom()
    design = replace(
        base,
        dome=replace(base.dome, inside_diameter=2.6),
        building=replace(base.building, cover_after=None),
        beds=replace(base.beds, cohesion=4.0, cohesion_wet=1.0),
        **changes,  # type: ignore[arg-type]
    )
    model = build_model(design)
    cases = [case for case in model.counted if case.wetting == "rain"]
    asked = []
    for case in cases[::6]:
        lune = cut_lune(model.dome, case)
        for number in lune.number[:: max(lune.size // 4, 1)]:
            said = Margin("overall reserve", 1.0, 0.5, "", 1.3, 1.25, True, int(number), "stated")
            asked.append((case, lune, said))
    return list(workings(model.dome, asked))


SITE, FILL = classroom().site, classroom().fill


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"site": replace(SITE, rain_hours=1.0), "fill": replace(FILL, suction_head=2.0)}, "F = i_c T"),
        ({"site": replace(SITE, rain_hours=3.0)}, "F = F_p + K (T - t_p)"),
        ({"site": replace(SITE, rain_hours=40.0)}, "w_b = min(L_w + l, t)"),
        ({"fill": replace(FILL, hydraulic_conductivity=1e-4)}, "F = i_c T"),
        ({"fill": replace(FILL, placing_moisture=0.18)}, "w_b = t"),
    ],
    ids=["short", "ponding", "through the ledge", "all goes in", "placed wet"],
)
def test_how_wet_a_bed_is_comes_out_of_the_printed_lines(changes: dict[str, object], says: str) -> None:
    """The radius, the friction and the cohesion that the check was asked with, and the ends of where the resultant may
    be as the kernel has them, from the stated rain and fill by printed lines alone."""
    formulas, crushed = set(), 0
    for bed, working in zip(beds := _wet(**changes), workings_of(beds), strict=True):
        for line in working.lines:
            _symbol, said = line.result.split(" = ")
            assert digits(worked_out(line.numbers)) == said.split()[0], line
            formulas.add(line.formula)
        if bed.wet is None:
            continue
        first: dict[str, float] = {}
        for line in working.lines:
            first.setdefault(line.result.split(" = ")[0], float(line.result.split()[2]))
        last = _names(working)
        assert first["r_w"] == pytest.approx(bed.wet_from, rel=2e-6)
        assert last["mu"] == pytest.approx(bed.friction, rel=1e-5)
        assert last["c"] == pytest.approx(bed.cohesion, rel=1e-4, abs=1e-6)
        if "V_d" not in last:
            continue
        mid, half = (first["a"] + first["b"]) / 2, (first["b"] - first["a"]) / 2 / bed.divided
        f_in, f_out = bed.strength_in / bed.divided, bed.strength_out / bed.divided
        low, high = resultant_range(mid - half, bed.wet_from, mid + half, f_in, f_out, last["V"])
        if low > high:
            crushed += 1
            assert "x_1" not in last and last["V_r"] < last["V"] * (1 + 1e-5)
        elif "x_1" in last:
            assert (last["x_1"], last["x_2"]) == pytest.approx((low, high), rel=2e-5)
    assert any(formula.startswith(says) for formula in formulas), formulas


def test_of_two_strengths_either_part_may_need_the_help_of_the_other() -> None:
    """All four ways to carry a weight, and a bed that is crushed whatever the line does."""
    (bed, *_) = [one for one in _wet(site=replace(SITE, rain_hours=3.0)) if one.wet and one.number == 1]
    assert bed.wet is not None
    seen = set()
    for dry, soaked, radius in (
        (450.0, 225.0, 0.9), (450.0, 225.0, 0.1), (5.0, 225.0, 0.5),
        (450.0, 2.0, 0.5), (40.0, 41.0, 0.5), (1.0, 2.0, 0.5),
    ):  # fmt: skip
        known = _names(next(iter(workings_of([bed]))))
        a, b = known["a"], known["b"]
        wet = replace(bed.wet, strength=(dry, soaked), divided=(1.0, 1.0, 1.0), rained=None)
        one = replace(bed, wet=wet, wet_from=a + radius * (b - a), strength_in=dry, strength_out=soaked)
        one = replace(one, divides_width=False, divides_strength=False, divides_friction=False, divided=1.0)
        found, formulas = _names(working := next(iter(workings_of([one])))), {line.formula for line in working.lines}
        low, high = resultant_range(found["a"], one.wet_from, found["b"], dry, soaked, found["V"])
        seen |= {formula for formula in formulas if formula.startswith(("c_i", "c_o"))}
        if low > high:
            assert "x_1" not in found and found["V_r"] < found["V"]
        else:
            assert (found["x_1"], found["x_2"]) == pytest.approx((low, high), rel=1e-6), (dry, soaked, working)
    assert len(seen) == 4
