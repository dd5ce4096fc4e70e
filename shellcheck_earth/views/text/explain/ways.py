"""One capacity taken away step by step, and how the dome then collapses."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shellcheck_earth.design.design import Design
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.studies.explain.ways import Kind, Way
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.explain.shown import runs_shown, share_shown, value_shown
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import capital

__all__ = ["NOUNS", "THE", "mechanism_words", "title", "way_words"]

LESS: dict[Kind, str] = {
    "wall": mark("A thinner wall"),
    "friction": mark("Less friction in the beds"),
    "wire": mark("Less wire"),
    "friction without wire": mark("No wire, and less friction"),
}
MORE: dict[Kind, str] = {
    "wall": mark("A thicker wall"),
    "friction": mark("More friction in the beds"),
    "wire": mark("More wire"),
    "friction without wire": mark("No wire, but more friction"),
}
NOUNS: dict[Kind, str] = {
    "wall": mark("wall"),
    "friction": mark("bed friction"),
    "wire": mark("wire"),
    "friction without wire": mark("bed friction without any wire"),
}
THE: dict[Kind, str] = {
    "wall": mark("the wall"),
    "friction": mark("the bed friction"),
    "wire": mark("the wire"),
    "friction without wire": mark("the bed friction without any wire"),
}
WITH: dict[Kind, str] = {
    "wall": mark("with a wall"),
    "friction": mark("with a bed friction"),
    "wire": mark("with a wire"),
    "friction without wire": mark("with a bed friction without any wire"),
}
"""What is taken away, with the words before it that go with it."""

SEEN = 0.05
"""Hinges and slips under this share of the largest are too small to be seen and are not named."""


def title(way: Way) -> str:
    """What is done to the dome: taken away until no line is left, or added where there is none."""
    return _((MORE if way.outcome in ("rises", "never stands") else LESS)[way.kind])


def way_words(design: Design, way: Way) -> str:
    """Where the line is lost (or won), in one or two sentences."""
    the, designed = _(THE[way.kind]), value_shown(design, way.kind, way.designed)
    where = capital(said_below(way.case_title))
    extra = (
        _(" ({designed} of the inside diameter)", designed=share_shown(design, way.designed))
        if way.kind == "wall"
        else ""
    )
    if way.outcome == "never falls":
        return _(
            "{where}: a thrust line is left even when {the} goes from {designed} down to 0.",
            where=where,
            the=the,
            designed=designed,
        )
    if way.edge is None:
        most = value_shown(design, way.kind, way.steps[-1].value)
        return _(
            "{where}: there is no thrust line {with_it} of {designed}{extra}, and none up to {most}:"
            " more of it alone does not help.",
            where=where,
            with_it=_(WITH[way.kind]),
            designed=designed,
            extra=extra,
            most=most,
        )
    edge = value_shown(design, way.kind, way.edge[0])
    percent = _(", {edge} of the diameter", edge=share_shown(design, way.edge[0])) if way.kind == "wall" else ""
    if way.outcome == "rises":
        return _(
            "{where}: with {the} as designed, {designed}{extra}, there is no thrust line. Adding to"
            " it, the first appears at {edge}{percent}, {times:.3g} times as much.",
            where=where,
            the=the,
            designed=designed,
            extra=extra,
            edge=edge,
            percent=percent,
            times=way.edge[0] / way.designed,
        )
    return _(
        "{where}: from {designed}{extra} {the} can go down to {edge}{percent}, {times:.3g}"
        " times less, before the last thrust line is gone.",
        where=where,
        designed=designed,
        extra=extra,
        the=the,
        edge=edge,
        percent=percent,
        times=way.designed / way.edge[0],
    )


def _large(numbers: Sequence[int], values: Sequence[float], most: float) -> list[int]:
    """The courses at which a motion can be seen."""
    return [n for n, value in zip(numbers, values, strict=True) if most > 1e-6 and value > SEEN * most]


def _beds(found: Collapse, numbers: Sequence[int]) -> Iterator[str]:
    """What is crushed, opens and slides."""
    squash = [float(value) for value in found.squash]
    squashed = _large(numbers, squash, max(squash, default=0.0))
    if squashed:
        yield _(
            "The bed under course {squashed} is crushed whole; everything above it comes down.",
            squashed=runs_shown(squashed),
        )
    turns = [float(v) for v in found.hinge_inner], [float(v) for v in found.hinge_outer]
    most = max(*turns[0], *turns[1])
    for values, one, more in ((turns[0], *HINGES["inner"]), (turns[1], *HINGES["outer"])):
        hinges = _large(numbers, values, most)
        if hinges:
            yield _said(hinges, one, more)
    for slips, one, more in ((found.slip_outward, *SLIPS["outward"]), (found.slip_inward, *SLIPS["inward"])):
        sliding = [n for n, value in zip(numbers, slips, strict=True) if value > max(SEEN * max(slips), 0.005)]
        if sliding:
            yield _said(sliding, one, more)


HINGES = {
    "inner": (
        mark("The bed under course {courses} opens on the outside: a hinge at the inner edge."),
        mark("The beds under courses {courses} open on the outside: a hinge at the inner edge."),
    ),
    "outer": (
        mark("The bed under course {courses} opens on the inside: a hinge at the outer edge."),
        mark("The beds under courses {courses} open on the inside: a hinge at the outer edge."),
    ),
}
SLIPS = {
    "outward": (
        mark("Course {courses} slides outward over what is below."),
        mark("Courses {courses} slide outward over what is below."),
    ),
    "inward": (
        mark("Course {courses} slides inward over what is below."),
        mark("Courses {courses} slide inward over what is below."),
    ),
}
"""Said of one course, and of several."""


def _said(numbers: Sequence[int], one: str, more: str) -> str:
    return _(one if len(numbers) == 1 else more, courses=runs_shown(numbers))


def _rings(found: Collapse, numbers: Sequence[int]) -> Iterator[str]:
    """Which rings open or are crushed, and which wires yield."""
    opening = [n for n, name in zip(numbers, found.ring, strict=True) if name.startswith("opens")]
    crushing = [n for n, name in zip(numbers, found.ring, strict=True) if name == "crushes"]
    wires = [n for n, yields in zip(numbers, found.wire_yields, strict=True) if yields]
    for courses, (one, more) in ((opening, OPENS), (crushing, CRUSHED), (wires, YIELDS)):
        if courses:
            yield _said(courses, one, more)


OPENS = (
    mark("Ring {courses} opens: the circle grows and its fill parts."),
    mark("Rings {courses} open: the circle grows and its fill parts."),
)
CRUSHED = (
    mark("Ring {courses} is crushed: the circle shrinks."),
    mark("Rings {courses} are crushed: the circle shrinks."),
)
YIELDS = (
    mark("The wire under course {courses} is stretched past what is counted on."),
    mark("The wire under courses {courses} is stretched past what is counted on."),
)


def mechanism_words(found: Collapse) -> str:
    """What opens, slides, crushes and yields, course by course; one sentence a kind."""
    numbers = [int(number) for number in found.number]
    return " ".join((*_beds(found, numbers), *_rings(found, numbers)))
