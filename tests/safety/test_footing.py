"""A footing under the wall: by hand, the checker beside the program, and what neither takes."""

from __future__ import annotations

import io
import math
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from certificates import SMALL, certified, sealed
from samples import classroom, sturdy

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.design import Design, Footing
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.model import Model, build_model
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.mechanics.proof.check import digest as digest_of
from shellcheck_earth.mechanics.proof.check import recheck_texts
from shellcheck_earth.mechanics.proof.doubts import doubts
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.mechanics.proof.rebuild import rebuild
from shellcheck_earth.mechanics.proof.statics import Loaded
from shellcheck_earth.mechanics.rings.admissible import pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.doubts import doubts_of
from shellcheck_earth.safety.ground import GroundDemand, ground_demand, spread_of
from shellcheck_earth.safety.shortfalls import meets_all
from shellcheck_earth.safety.together import ground_limit
from shellcheck_earth.safety.worst import worst_margins
from shellcheck_earth.studies.sample.asked import make_study
from shellcheck_earth.views.figures.section import design_svg
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.language import speaking, words
from validation.one_ring import rings

FOOTING = """[footing]
width = "0.8 m"
depth = "0.3 m"
unit_weight = { low = "16 kN/m3", high = "20 kN/m3", source = "measured" }
"""
PUSHED = """[[ring_load]]
name = "Cap"
height = "0.5 m"
weight = "5 kN"
thrust = "3 kN"
from_inner_face = "0.1 m"
"""


def on(design: Design, **changes: Any) -> Design:
    return replace(design, footing=Footing(**({"width": 0.8, "depth": 0.3} | changes)))


def demanded(model: Model, name: str) -> GroundDemand:
    case = model.case(name)
    lune = cut_lune(model.dome, case)
    base = base_state(pack(lune))
    assert base is not None
    return ground_demand(lune, base, spread_of(model.dome, case, lune))


def test_one_ring_on_a_footing_by_hand() -> None:
    """Of one ring every number is known: W_c = 37.7 kN, 5 kN of cap, 3 kN of thrust at the top, m = 1.7 m.

    A radian: V = 42.7/(2 pi), H = 3/(2 pi), the footing weighs 16 to 20 times 0.8 x 0.3 x 1.7; it presses over the
    bed's 0.4 m and its depth; all that the ground may hold (friction over 1.5) tips it at its depth.
    """
    bare, there = (build_model(parse_design(rings(0.6) + more + PUSHED)) for more in ("", FOOTING))
    own = 1800 * 9.80665e-3 * 0.5 * math.pi * (1.9**2 - 1.5**2)
    V, H, m = (own + 5.0) / (2 * math.pi), 3.0 / (2 * math.pi), 1.7
    light, heavy, width = 16 * 0.8 * 0.3 * m, 20 * 0.8 * 0.3 * m, 0.7
    centre = (own * 2 / 3 * (1.9**3 - 1.5**3) / (1.9**2 - 1.5**2) + 5.0 * 1.6 + 3.0 * 0.5) / (own + 5.0)
    name = "finished-dry-carrying-1"
    plain, found = demanded(bare, name), demanded(there, name)
    assert plain.friction == pytest.approx(H / V) and found.friction == pytest.approx(H / (V + light))
    push = there.design.site.ground_friction / there.design.criteria.required["base sliding"] * (V + light)
    off = (V * abs(centre - m) + 0.3 * push) / (V + heavy)
    mean = (V + heavy) / m / width
    edge = mean * (1 + 6 * off / width) if off <= width / 6 else 2 * (V + heavy) / m / (3 * (width / 2 - off))
    assert found.edge_stress == pytest.approx(edge, rel=1e-6)
    assert plain.edge_stress == pytest.approx(V / m / 0.4 * (1 + 6 * abs(centre - m) / 0.4), rel=1e-3)


def test_silence_is_none_and_a_weight_nobody_measured_counts_at_both_ends() -> None:
    """Stating it gains nothing; the least steadies, the greatest presses."""
    name, base = "finished-damp", sturdy()
    tested = replace(on(base, unit_weight=(18.0, 18.0)), bases={**base.bases, "footing.unit_weight": "measured"})
    stated = on(base, unit_weight=(18.0, 18.0))
    loose, exact = (demanded(build_model(design), name) for design in (stated, tested))
    assert loose.edge_stress > exact.edge_stress and loose.friction >= exact.friction
    silent = demanded(build_model(on(base)), name)
    assert (silent.edge_stress, silent.friction) == (loose.edge_stress, loose.friction)
    wide = [demanded(build_model(on(base, width=w, depth=0.5)), name).edge_stress for w in (0.5, 0.6, 0.7, 0.8)]
    assert wide == sorted(wide, reverse=True)
    # past the bed's width and the depth more width spreads no further, and weighs more
    heavy = [demanded(build_model(on(base, width=w, depth=0.3)), name).edge_stress for w in (0.7, 0.9, 1.2)]
    assert heavy == sorted(heavy)


def test_a_narrow_deep_one_turns_over() -> None:
    design = on(sturdy(), width=0.385, depth=1.8)
    assert demanded(build_model(design), "finished-dry").edge_stress == math.inf
    found = check(design, explore=False)
    margin = next(one for one in found.case("finished-dry").margins if one.check == "ground bearing")
    assert (margin.meets, margin.needed, margin.why) == (False, None, "none enough")
    assert found.verdict == "falls short" and not meets_all(design)
    report = recheck_texts(found.certificate.encode(), design_toml(design).encode())  # type: ignore[union-attr]
    assert report.verdict == "falls short"


def test_the_worst_margins_of_a_dome_that_turns_over_on_it_are_those_of_its_cases() -> None:
    """A wall that turns over in one case has a bearing factor of 0; the others are still asked how they slide."""
    design = on(sturdy(), width=0.385, depth=1.8)
    worst = {one.check: one for one in worst_margins(build_model(design))}
    assert worst["ground bearing"].factor == 0.0 and not worst["ground bearing"].meets
    counted = (case for case in check(design, proofs=False, explore=False).cases if case.counts)
    sliding = [m.factor for case in counted for m in case.margins if m.check == "base sliding"]
    assert worst["base sliding"].factor == pytest.approx(min(f or math.inf for f in sliding), rel=1e-6)


@pytest.mark.parametrize("footing", [Footing(0.5, 0.2), Footing(0.8, 0.4), Footing(1.2, 0.9, (12.0, 27.0))])
def test_the_checker_asks_the_same_of_the_base(footing: Footing) -> None:
    """Independently written: the share of the bed and the friction that one line has to keep to."""
    text = design_toml(replace(sturdy(), footing=footing))
    model = build_model(parse_design(text))
    required = model.design.criteria.required
    for case in rebuild(read(text)).cases[:5]:
        mine = model.case(case.id)
        lune = cut_lune(model.dome, mine)
        limit = ground_limit(model.dome, mine, lune, required["base sliding"], required["ground bearing"])
        for question in case.questions:
            if question.name in ("base sliding", "ground bearing"):
                loaded = Loaded(case.beds, *question.loads)
                sliding = loaded.slide(len(case.beds) - 1, question, False)
                assert sliding is not None and question.base_friction is not None
                ground = Fraction(sliding, loaded.vertical[-1])
                own = case.beds[-1].friction
                assert own is not None and float(ground) == pytest.approx(min(limit.friction, float(own)), rel=1e-9)
            if question.base_stress is not None:
                share = loaded.base_contact(question.base_stress, question.spread)
                assert min(float(share), 1.0) == pytest.approx(limit.contact, rel=2e-4)


def test_a_certificate_on_a_footing_and_what_it_is_not() -> None:
    text = SMALL + FOOTING
    data = certified(text, "meets")
    assert recheck_texts(sealed(data), text.encode()).verdict == "meets"
    assert recheck_texts(sealed(certified(SMALL, "meets")), text.encode()).verdict == "cannot say"
    # lines that press the bed further out than a deep footing allows
    deep = SMALL + FOOTING.replace('"0.3 m"', '"0.75 m"').replace("0.8 m", "0.4 m")
    forged = {**certified(deep, "falls short"), "verdict": "meets", "trials": data["trials"]}
    lines = {case["case"]: case["lines"] for case in certified(SMALL, "meets")["cases"]}
    for case in forged["cases"]:
        case["lines"], case["none"] = lines[case["case"]], []
    forged["digest"] = digest_of({key: value for key, value in forged.items() if key != "digest"})
    report = recheck_texts(sealed(forged), deep.encode())
    assert report.verdict == "cannot say" and "does not hold" in report.lines[-1]


def test_a_file_says_it_and_a_design_without_it_keeps_its_digest() -> None:
    design = on(sturdy(), unit_weight=(16.0, 22.0))
    again = parse_design(design_toml(design))
    assert again.footing == design.footing and design_sha256(design) != design_sha256(sturdy())
    assert parse_design(design_toml(sturdy())).footing is None
    feet = parse_design(design_toml(sturdy()) + '[footing]\nwidth = "2 ft"\ndepth = "1 ft"\nunit_weight = "120 pcf"\n')
    assert feet.footing is not None and feet.footing.width == pytest.approx(0.6096)


@pytest.mark.parametrize(
    ("old", "new", "path"),
    [
        ('"0.8 m"', '"0.3 m"', "footing.width"),
        ('"0.8 m"', '"3.5 m"', "footing.width"),
        ('"0.8 m"', '"2.99 m"', "footing.width"),
        ('depth = "0.3 m"\n', "", "footing.depth"),
        ('"0.3 m"', '"0 m"', "footing.depth"),
        ('low = "16 kN/m3"', 'low = "21 kN/m3"', "footing.unit_weight"),
        ('low = "16 kN/m3"', 'low = "6 kN/m3"', "footing.unit_weight"),
        ("unit_weight", "density", "footing.density"),
        ("[footing]", "[[footing]]", "footing"),
    ],
)
def test_both_readers_refuse(old: str, new: str, path: str) -> None:
    text = SMALL + FOOTING.replace(old, new)
    with pytest.raises(InputError) as caught:
        parse_design(text)
    assert [problem.path for problem in caught.value.problems] == [path]
    with pytest.raises(RefusedError, match="footing"):
        rebuild(read(text))


def test_blocks_stand_on_it_and_studies_refuse_it() -> None:
    windy = on(classroom())
    windy = replace(windy, site=replace(windy.site, wind_pressure=0.5))
    assert not any("footing" in one.kind or one.path == "footing" for one in doubts_of(build_dome(windy)))
    assert not any(one.startswith("footing") for one in doubts(read(design_toml(windy))))
    with pytest.raises(InputError, match="footing"):
        make_study(on(sturdy()), stated_scatter(), 64, 1)


def test_it_is_drawn_and_said() -> None:
    design = on(sturdy(), unit_weight=(18.0, 18.0))
    boxes = [
        svg.count('fill="none" stroke="#22201d" stroke-width="0.25"') for svg in map(design_svg, (design, sturdy()))
    ]
    assert boxes[0] == boxes[1] + 2
    found = check(design, proofs=False, explore=False)
    assert [one.path for one in found.assumptions if one.path.startswith("footing")] == ["footing.unit_weight"]
    caution = next(one for one in found.cautions if one.key == "footing")
    with speaking(words("es")):
        assert "cimiento" in caution_sentence(caution)
    ezdxf = pytest.importorskip("ezdxf")
    pytest.importorskip("trimesh")
    from shellcheck_earth.views.export.drawings.section import section_drawing

    dome = build_dome(design)
    drawing = ezdxf.read(io.StringIO(section_drawing(dome).decode()))
    lines = list(drawing.modelspace().query('LWPOLYLINE[layer=="FOOTING"]'))
    levels = sorted({round(y * 0.001, 6) for line in lines for _x, y, *_ in line})
    assert len(lines) == 2 and levels == pytest.approx([dome.base - 0.3, dome.base])
