"""Random lunes and designs for hypothesis: domes a builder could draw, good and bad ones alike."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from hypothesis import reject
from hypothesis import strategies as st
from samples import classroom

from shellcheck_earth.basics.errors import UnbuildableError
from shellcheck_earth.design.design import CourseGroup, Design, Stabiliser
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.model import Model, build_model
from shellcheck_earth.mechanics.rings.lune import Lune

__all__ = ["designs", "dome_lune", "lunes", "model_of", "some_cases"]


def dome_lune(
    inside: float = 4.0,
    width: float = 0.45,
    height: float = 0.15,
    *,
    strength: float = 500.0,
    friction: float = 0.5,
    wire: float = 0.0,
    rounding: float = 0.0,
    crown: float = 0.0,
    unit_weight: float = 18.0,
    pivot: float | None = None,
    cohesion: float = 0.0,
    wet: float = 0.0,
    strength_wet: float = 0.0,
) -> Lune:
    """A pointed dome of level courses, written independently of the package (lengths m, kN, kPa)."""
    e = width if pivot is None else pivot
    length, a = inside + e, inside / 2 + e
    reach = math.sqrt(length**2 - (a + crown / 2) ** 2)
    n = max(int(reach / height + 0.5), 1)
    r = np.array([math.sqrt(length**2 - ((i + 0.5) * height) ** 2) - a for i in range(n)])
    under = np.concatenate([r[:1], r[:-1]])
    inner, outer = np.maximum(r, under) + rounding, np.minimum(r, under) + width - rounding
    one = np.ones(n)
    counted = one.copy()
    counted[0] = 0.0
    z = np.arange(n) * height
    columns = {
        "number": np.arange(1, n + 1),
        "z_bottom": z,
        "z_top": z + height,
        "weight": unit_weight * height * ((r + width) ** 2 - r**2) / 2,
        "moment": unit_weight * height * ((r + width) ** 3 - r**3) / 3,
        "bed_inner": inner,
        "bed_outer": outer,
        "crush_inner": strength * one,
        "crush_outer": (strength_wet if wet > 0 else strength) * one,
        "wet_from": np.clip(np.minimum(r, under) + width - wet, inner, outer) if wet > 0 else outer,
        "friction": friction * one,
        "cohesion": cohesion * (outer**2 - inner**2) / 2,
        "ring_strength": np.where(counted > 0, strength, 0.0),
        "ring_depth": width * counted,
        "wire": wire * counted,
    }
    return Lune(**{name: np.asarray(column, dtype=np.float64)[::-1] for name, column in columns.items()})


@st.composite
def lunes(draw: st.DrawFn, most_courses: int = 40) -> Lune:
    inside = draw(st.floats(1.5, 7.0))
    width = draw(st.floats(0.05, 0.14)) * inside
    height = max(draw(st.floats(0.25, 0.5)) * width, inside / most_courses)
    return dome_lune(
        inside,
        width,
        height,
        strength=draw(st.sampled_from([60.0, 150.0, 500.0, 2000.0, math.inf])),
        friction=draw(st.floats(0.15, 0.9)),
        wire=draw(st.sampled_from([0.0, 0.0, 0.5, 2.5])),
        rounding=draw(st.floats(0.0, 0.12)) * width,
        crown=draw(st.floats(0.0, 0.15)) * inside,
        unit_weight=draw(st.floats(14.0, 23.0)),
        pivot=draw(st.floats(0.0, 1.5)) * width,
        cohesion=draw(st.sampled_from([0.0, 0.0, 2.0])),
        wet=draw(st.sampled_from([0.0, 0.0, 0.2])) * width,
        strength_wet=draw(st.floats(5.0, 60.0)),
    )


@st.composite
def designs(draw: st.DrawFn) -> Design:
    """Designs of the classroom's kind, dry and wet, wired or not, tested or not; some of them cannot be built."""
    base = classroom()
    inside, width = draw(st.floats(2.4, 5.5)), draw(st.floats(0.25, 0.5))
    dry = draw(st.sampled_from([150.0, 400.0, 900.0, 2000.0]))
    placed = dry * draw(st.floats(0.1, 0.9))
    wet = placed * draw(st.sampled_from([0.0, 0.1, 0.5, 0.9]))
    placing = draw(st.floats(0.05, 0.13))
    mu = draw(st.floats(0.25, 0.8))
    cohesion = draw(st.sampled_from([0.0, 0.0, 3.0]))
    stabiliser: Stabiliser = draw(st.sampled_from(("none", "cement")))
    fill = replace(
        base.fill,
        dry_density=draw(st.floats(1500.0, 1950.0)),
        placing_moisture=placing,
        service_moisture=placing * draw(st.floats(0.2, 1.0)),
        stabiliser=stabiliser,
        strength_dry=dry,
        strength_as_placed=placed,
        strength_wet=wet,
    )
    low = replace(fill, strength_dry=dry * 2, strength_as_placed=placed * 1.5, strength_wet=placed)
    return replace(
        base,
        dome=replace(
            base.dome,
            inside_diameter=inside,
            pivot_beyond_inner_face=draw(st.floats(0.5, 1.2)) * width,
            floor_above_ground=draw(st.sampled_from([0.0, 0.15, 0.3])),
        ),
        wall=replace(
            base.wall,
            flat_width=None,
            filled_width=width,
            course_height=draw(st.floats(0.14, 0.2)),
            edge_rounding=draw(st.floats(0.0, 0.08)) * width,
            buried_courses=draw(st.integers(0, 2)),
        ),
        fill=fill,
        beds=replace(
            base.beds,
            friction=mu,
            friction_wet=mu * draw(st.floats(0.5, 1.0)),
            friction_no_wire=mu * draw(st.floats(0.6, 1.0)),
            cohesion=cohesion,
            cohesion_wet=cohesion * draw(st.floats(0.0, 1.0)),
            wire_strands=draw(st.integers(0, 4)),
            wire_bond=draw(st.sampled_from([None, None, 0.2, 1.0])),
        ),
        plaster=replace(base.plaster, outside=draw(st.sampled_from([0.0, 0.03]))),
        building=replace(
            base.building,
            worker=draw(st.floats(0.5, 2.0)),
            courses_per_day=draw(st.floats(1.0, 6.0)),
            cover_after=draw(st.sampled_from([None, 0.5, 2.0])),
        ),
        site=replace(base.site, snow=draw(st.sampled_from([0.0, 0.8])), left_unprotected=draw(st.booleans())),
        groups=draw(st.sampled_from([(), (CourseGroup(None, 1, low),)])),
    )


def model_of(design: Design) -> Model:
    """Its model; a design that cannot be built is no example."""
    try:
        return build_model(design)
    except UnbuildableError:
        reject()
        raise  # for the type checker: reject never returns


def some_cases(model: Model) -> list[Case]:
    """Every case of the finished dome, and of the stages and rains the highest, with all that is special of each."""
    finished = [case for case in model.cases if case.kind == "finished"]
    stages = [case for case in model.cases if case.kind == "stage"]
    rains = [case for case in model.cases if case.kind == "rain"]
    return [*finished, *stages[-2:], stages[len(stages) // 2], *rains[-2:], rains[len(rains) // 2]]
