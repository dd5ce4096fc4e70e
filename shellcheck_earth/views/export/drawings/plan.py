"""The plan at a level: the course cut there, the base course, openings with their bearings, buttresses, pivots."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shellcheck_earth.geometry.bearing_loads import bearing_half
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.openings import Interval, course_cuts, levels, opening_label
from shellcheck_earth.geometry.ring_loads import course_under
from shellcheck_earth.views.export.drawings.draft import Draft, Place
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.drawings import PLAN_BEARINGS
from shellcheck_earth.views.text.language import _

__all__ = ["between_openings", "plan_drawing"]

FACET = math.radians(2.0)
"""Arcs are drawn as chords no longer than this angle, so that every program reads them alike."""


def _at(radius: float, bearing: float) -> Place:
    """Bearings turn clockwise from the entrance, which is up on the sheet."""
    return radius * math.sin(bearing), radius * math.cos(bearing)


def between_openings(dome: Dome, course: Course) -> list[Interval]:
    """The pieces of a course that its openings leave, as bearings [rad]; (0, 2 pi) where nothing cuts it."""
    cuts = sorted(interval for _, interval in course_cuts(dome, course))
    if not cuts:
        return [(0.0, 2 * math.pi)]
    merged = [cuts[0]]
    for start, end in cuts[1:]:
        if start <= merged[-1][1]:
            merged[-1] = merged[-1][0], max(merged[-1][1], end)
        else:
            merged.append((start, end))
    turned = [*merged[1:], (merged[0][0] + 2 * math.pi, merged[0][1] + 2 * math.pi)]
    pieces = [(one[1], following[0]) for one, following in zip(merged, turned, strict=True)]
    return [(start, end) for start, end in pieces if end - start > 1e-9]


def _arc(radius: float, start: float, end: float) -> list[Place]:
    steps = max(math.ceil((end - start) / FACET), 1)
    return [_at(radius, start + (end - start) * k / steps) for k in range(steps + 1)]


def _cut_course(dome: Dome) -> Course:
    """The course that most openings cut, the lowest of these; the first above the springing where none is cut."""
    arcs = [course for course in dome.courses if course.number >= 1]
    return max(arcs, key=lambda course: (len(course_cuts(dome, course)), -course.number))


def plan_drawing(dome: Dome) -> bytes:
    """The plan as DXF; lengths in the design's units at full size."""
    base, course = dome.courses[0], _cut_course(dome)
    reach = base.outer_radius + max((one.length for one in dome.design.buttresses), default=0.0)
    draft = Draft(dome.design, _("plan, cut through course {course}", course=said_below(course.label)), 2 * reach)
    _ring(draft, course, between_openings(dome, course))
    for radius in (base.inner_radius, base.outer_radius):
        if abs(radius - (course.inner_radius if radius == base.inner_radius else course.outer_radius)) > 1e-9:
            draft.circle((0.0, 0.0), radius, "COURSES_BEYOND")
    draft.circle((0.0, 0.0), dome.courses[-1].inner_radius, "COURSES_BEYOND")
    _axes(draft, reach)
    _openings(draft, dome, course, reach)
    _buttresses(draft, dome)
    _bearing_loads(draft, dome, reach)
    free = _free_bearing(dome)
    draft.radius(course.inner_radius, free, 0.6 * course.inner_radius)
    draft.radius(course.outer_radius, free - 12.0, reach + 4 * draft.letter)
    draft.title_block((-reach, -reach - 9 * draft.letter), [_(PLAN_BEARINGS), *_earth(draft, dome)])
    return draft.data()


def _earth(draft: Draft, dome: Dome) -> list[str]:
    """The note of earth against the wall: all around it has no edge to draw, on one side its bearings say it."""
    earth = dome.design.backfill
    if earth is None or earth.height <= 0.0:
        return []
    height = draft.shown(earth.height)
    if earth.from_bearing is not None and earth.to_bearing is not None:
        start, end = (math.degrees(bearing) % 360 for bearing in (earth.from_bearing, earth.to_bearing))
        return [
            _(
                "Earth against the wall from bearing {start:.4g} to {end:.4g} deg, up to {height} above the ground.",
                start=start,
                end=end,
                height=height,
            )
        ]
    return [_("Earth against the wall all around, up to {height} above the ground.", height=height)]


def _free_bearing(dome: Dome) -> float:
    """A direction on the sheet [degrees from the right, counter-clockwise] as far from every opening as there is."""
    design = dome.design
    bearings = [one.bearing for of in (design.openings, design.buttresses, design.bearing_loads) for one in of]

    def room(bearing: float) -> float:
        return min((abs((bearing - math.degrees(other) + 180) % 360 - 180) for other in bearings), default=180.0)

    return 90.0 - max([60.0, *(15.0 * k for k in range(24))], key=room)


def _ring(draft: Draft, course: Course, pieces: Sequence[Interval]) -> None:
    if pieces == [(0.0, 2 * math.pi)]:
        draft.circle((0.0, 0.0), course.inner_radius, "COURSES")
        draft.circle((0.0, 0.0), course.outer_radius, "COURSES")
        return
    for start, end in pieces:
        places = [*_arc(course.inner_radius, start, end), *reversed(_arc(course.outer_radius, start, end))]
        draft.path(places, "COURSES", closed=True)


def _axes(draft: Draft, reach: float) -> None:
    far = reach + 3 * draft.letter
    draft.path([(-far, 0.0), (far, 0.0)], "AXES")
    draft.path([(0.0, -far), (0.0, far)], "AXES")
    draft.cross((0.0, 0.0), "COMPASSES")


def _openings(draft: Draft, dome: Dome, course: Course, reach: float) -> None:
    for index, opening in enumerate(dome.design.openings):
        half, bearing = opening.width / 2, opening.bearing
        across = (math.cos(bearing), -math.sin(bearing))  # to the right of one who looks out

        def place(out: float, side: float, turn: float = bearing, right: Place = across) -> Place:
            x, y = _at(out, turn)
            return x + side * right[0], y + side * right[1]

        inner = math.sqrt(max(course.inner_radius**2 - half**2, 0.0))
        outer = math.sqrt(max(course.outer_radius**2 - half**2, 0.0))
        for side in (-half, half):
            draft.path([place(inner, side), place(outer, side)], "OPENINGS")
        draft.path([(0.0, 0.0), place(reach + 2 * draft.letter, 0.0)], "AXES")
        sill, top = (level - dome.floor for level in levels(dome, opening))
        said = _(
            "{opening}: {bearing:.4g} deg, {width} wide",
            opening=said_below(opening_label(dome.design, index)),
            bearing=math.degrees(bearing),
            width=draft.shown(opening.width),
        )
        more = _("sill {sill}, top {top} over the floor", sill=draft.shown(sill), top=draft.shown(top))
        x, y = place(reach + 3 * draft.letter, 0.0)
        align = "LEFT" if math.sin(bearing) > 0.2 else "RIGHT" if math.sin(bearing) < -0.2 else "CENTER"
        draft.text((x, y), said, align=f"BOTTOM_{align}")
        draft.text((x, y - 0.5 * draft.letter), more, align=f"TOP_{align}")


def _bearing_loads(draft: Draft, dome: Dome, reach: float) -> None:
    """Where each load at one bearing lies on its own course, with its height over the floor."""
    for load in dome.design.bearing_loads:
        course = course_under(dome, load.height)
        if course is None:
            continue
        half, bearing = bearing_half(load, course), load.bearing
        inner, outer = (_arc(r, bearing - half, bearing + half) for r in (course.inner_radius, course.outer_radius))
        draft.path([*inner, *reversed(outer)], "LOADS", closed=True)
        said = _(
            "{name}: {bearing:.4g} deg, bears on {width}, {height} over the floor",
            name=load.name,
            bearing=math.degrees(bearing),
            width=draft.shown(load.width),
            height=draft.shown(load.height - dome.floor),
        )
        draft.path([_at(course.outer_radius, bearing), _at(reach + 4.5 * draft.letter, bearing)], "AXES")
        align = "LEFT" if math.sin(bearing) > 0.2 else "RIGHT" if math.sin(bearing) < -0.2 else "CENTER"
        draft.text(_at(reach + 5.5 * draft.letter, bearing), said, align=f"BOTTOM_{align}")


def _buttresses(draft: Draft, dome: Dome) -> None:
    base = dome.courses[0]
    for buttress in dome.design.buttresses:
        right = (math.cos(buttress.bearing), -math.sin(buttress.bearing))
        start = math.sqrt(max(base.outer_radius**2 - (buttress.width / 2) ** 2, 0.0))
        corners = []
        for out, side in ((start, -0.5), (start, 0.5), (base.outer_radius + buttress.length, 0.5),
                          (base.outer_radius + buttress.length, -0.5)):  # fmt: skip
            x, y = _at(out, buttress.bearing)
            corners.append((x + side * buttress.width * right[0], y + side * buttress.width * right[1]))
        draft.path(corners, "BUTTRESSES", closed=True)
