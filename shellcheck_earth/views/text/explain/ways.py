"""One capacity taken away step by step, and how the dome then collapses."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shellcheck_earth.design.design import Design
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.studies.explain.ways import Kind, Way
from shellcheck_earth.views.text.explain.shown import many_shown, runs_shown, share_shown, value_shown
from shellcheck_earth.views.text.numbers import capital

__all__ = ["NOUNS", "mechanism_words", "title", "way_words"]

LESS: dict[Kind, str] = {
    "wall": "A thinner wall",
    "friction": "Less friction in the beds",
    "wire": "Less wire",
    "friction without wire": "No wire, and less friction",
}
MORE: dict[Kind, str] = {
    "wall": "A thicker wall",
    "friction": "More friction in the beds",
    "wire": "More wire",
    "friction without wire": "No wire, but more friction",
}
NOUNS: dict[Kind, str] = {
    "wall": "wall",
    "friction": "bed friction",
    "wire": "wire",
    "friction without wire": "bed friction without any wire",
}

SEEN = 0.05
"""Hinges and slips under this share of the largest are too small to be seen and are not named."""


def title(way: Way) -> str:
    """What is done to the dome: taken away until no line is left, or added where there is none."""
    return (MORE if way.outcome in ("rises", "never stands") else LESS)[way.kind]


def way_words(design: Design, way: Way) -> str:
    """Where the line is lost (or won), in one or two sentences."""
    noun, designed = NOUNS[way.kind], value_shown(design, way.kind, way.designed)
    where = capital(way.case_title)
    extra = f" ({share_shown(design, way.designed)} of the inside diameter)" if way.kind == "wall" else ""
    if way.outcome == "never falls":
        return f"{where}: a thrust line is left even when the {noun} goes from {designed} down to 0."
    if way.edge is None:
        most = value_shown(design, way.kind, way.steps[-1].value)
        return (
            f"{where}: there is no thrust line with a {noun} of {designed}{extra}, and none up to {most}: more of it"
            " alone does not help."
        )
    edge = value_shown(design, way.kind, way.edge[0])
    percent = f", {share_shown(design, way.edge[0])} of the diameter" if way.kind == "wall" else ""
    if way.outcome == "rises":
        return (
            f"{where}: with the {noun} as designed, {designed}{extra}, there is no thrust line. Adding to it, the first"
            f" appears at {edge}{percent}, {way.edge[0] / way.designed:.3g} times as much."
        )
    return (
        f"{where}: from {designed}{extra} the {noun} can go down to {edge}{percent},"
        f" {way.designed / way.edge[0]:.3g} times less, before the last thrust line is gone."
    )


def _large(numbers: Sequence[int], values: Sequence[float], most: float) -> list[int]:
    """The courses at which a motion can be seen."""
    return [n for n, value in zip(numbers, values, strict=True) if most > 1e-6 and value > SEEN * most]


def _beds(found: Collapse, numbers: Sequence[int]) -> Iterator[str]:
    """What is crushed, opens and slides."""
    squash = [float(value) for value in found.squash]
    squashed = _large(numbers, squash, max(squash, default=0.0))
    if squashed:
        yield f"The bed under course {runs_shown(squashed)} is crushed whole; everything above it comes down."
    turns = [float(v) for v in found.hinge_inner], [float(v) for v in found.hinge_outer]
    most = max(*turns[0], *turns[1])
    for values, side, edge in ((turns[0], "outside", "inner"), (turns[1], "inside", "outer")):
        hinges = _large(numbers, values, most)
        if hinges:
            where = many_shown(hinges, "The bed under course", "The beds under courses")
            yield f"{where} {'opens' if len(hinges) == 1 else 'open'} on the {side}: a hinge at the {edge} edge."
    for slips, way in ((found.slip_outward, "outward"), (found.slip_inward, "inward")):
        sliding = [n for n, value in zip(numbers, slips, strict=True) if value > max(SEEN * max(slips), 0.005)]
        if sliding:
            slides = "slides" if len(sliding) == 1 else "slide"
            yield f"{many_shown(sliding, 'Course', 'Courses')} {slides} {way} over what is below."


def _rings(found: Collapse, numbers: Sequence[int]) -> Iterator[str]:
    """Which rings open or are crushed, and which wires yield."""
    opening = [n for n, name in zip(numbers, found.ring, strict=True) if name.startswith("opens")]
    crushing = [n for n, name in zip(numbers, found.ring, strict=True) if name == "crushes"]
    if opening:
        opens = "opens" if len(opening) == 1 else "open"
        yield f"{many_shown(opening, 'Ring', 'Rings')} {opens}: the circle grows and its fill parts."
    if crushing:
        are = "is" if len(crushing) == 1 else "are"
        yield f"{many_shown(crushing, 'Ring', 'Rings')} {are} crushed: the circle shrinks."
    wires = [n for n, yields in zip(numbers, found.wire_yields, strict=True) if yields]
    if wires:
        yield f"The wire under {many_shown(wires, 'course', 'courses')} is stretched past what is counted on."


def mechanism_words(found: Collapse) -> str:
    """What opens, slides, crushes and yields, course by course; one sentence a kind."""
    numbers = [int(number) for number in found.number]
    return " ".join((*_beds(found, numbers), *_rings(found, numbers)))
