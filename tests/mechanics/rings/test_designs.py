"""Random designs, dry, wet, snowed on, rained on, soaked at the base and without their wire, asked twice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from hypothesis import given, settings
from second_opinion import Shares, stands
from strategies import designs, model_of, some_cases

from shellcheck_earth.design.design import Design
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.model import Model, build_model
from shellcheck_earth.mechanics.rings.admissible import pack
from shellcheck_earth.mechanics.rings.capacity import (
    CONTACT,
    FRICTION,
    HALF_WIDTH,
    STRENGTH,
    WIRE,
    Edge,
    least_capacity,
)
from shellcheck_earth.mechanics.rings.discretise import cut_lune

JOINT = (FRICTION, STRENGTH, WIRE, HALF_WIDTH)
QUESTIONS: dict[str, tuple[tuple[int, ...], float, float, Callable[[float], Shares]]] = {
    "friction": ((FRICTION,), 1e-2, 1e2, lambda s: Shares(friction=s)),
    "strength": ((STRENGTH,), 1e-2, 1e2, lambda s: Shares(strength=s)),
    "wire": ((WIRE,), 1e-2, 1e2, lambda s: Shares(wire=s)),
    "contact": ((CONTACT,), 1e-2, 1.0, lambda s: Shares(contact=s)),
    "reserve": (JOINT, 1e-2, 1e2, Shares.all),
}
CLOSE = 2e-3
"""Either side of the edge the second method must say the same: its own tolerance is 1e-9 of the weight."""


def edge_of(model: Model, case: Case, name: str) -> Edge:
    slots, low, high, _ = QUESTIONS[name]
    return least_capacity(pack(cut_lune(model.dome, case)), slots, low, high)


@settings(max_examples=40)
@given(designs())
def test_a_second_programme_finds_the_same_edges(design: Design) -> None:
    model = model_of(design)
    for index, case in enumerate(some_cases(model)):
        names = list(QUESTIONS)
        for name in ("reserve", names[index % len(names)]):
            _, low, high, shares = QUESTIONS[name]
            edge = edge_of(model, case, name)
            assert edge.closed
            if edge.value is None:
                assert stands(model.dome, case, shares(high)) is not True, (case.id, name)
            elif edge.value == 0.0:
                assert stands(model.dome, case, shares(low * (1 + CLOSE))) is not False, (case.id, name)
            else:
                assert stands(model.dome, case, shares(edge.value * (1 + CLOSE))) is not False, (case.id, name)
                assert stands(model.dome, case, shares(edge.value * (1 - CLOSE))) is not True, (case.id, name)


def test_the_second_opinion_can_say_both() -> None:
    from samples import classroom

    base = classroom()
    model = build_model(replace(base, fill=replace(base.fill, strength_wet=20.0)))
    said = [stands(model.dome, case) for case in model.cases]
    assert set(said) == {True, False}
    assert said[0] is True  # finished and dry
