"""The section through the axis: every course, plaster, levels, both compasses, and the dimensions to build from."""

from __future__ import annotations

from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.dug import dug_to, footing_section
from shellcheck_earth.views.export.drawings.draft import Draft
from shellcheck_earth.views.text.drawings import level_words
from shellcheck_earth.views.text.language import _

__all__ = ["ground_and_levels", "section_drawing"]


def section_drawing(dome: Dome) -> bytes:
    """The section as DXF; lengths in the design's units at full size."""
    reach = max(course.outer_radius for course in dome.courses)
    base = dug_to(dome)
    draft = Draft(dome.design, _("section through the axis"), max(2 * reach, dome.top - base))
    for course in dome.courses:
        for side in (-1.0, 1.0):
            near, far = sorted((side * course.inner_radius, side * course.outer_radius))
            draft.box((near, course.z_bottom), (far, course.z_top), "COURSES")
        draft.text(
            (course.inner_radius + course.width / 2, course.z_mid), course.label, size=0.8, align="MIDDLE_CENTER"
        )
    _plaster(draft, dome)
    _earth(draft, dome, reach)
    _footing(draft, dome)
    ground_and_levels(draft, dome, reach)
    _compasses(draft, dome)
    _dimensions(draft, dome, reach)
    draft.title_block((-reach, base - 9 * draft.letter))
    return draft.data()


def _plaster(draft: Draft, dome: Dome) -> None:
    plaster = dome.design.plaster
    for thickness, outside in ((plaster.outside, True), (plaster.inside, False)):
        from_level = dome.ground if outside else dome.floor
        courses = [course for course in dome.courses if course.z_top > from_level + 1e-9]
        if thickness <= 0 or not courses:
            continue
        for side in (-1.0, 1.0):
            places = []
            for course in courses:
                radius = course.outer_radius + thickness if outside else max(course.inner_radius - thickness, 0.0)
                places += [(side * radius, max(course.z_bottom, from_level)), (side * radius, course.z_top)]
            draft.path(places, "PLASTER")


def _earth(draft: Draft, dome: Dome, reach: float) -> None:
    """Earth laid against the finished wall: its surface, and where it lies against the courses."""
    earth = dome.design.backfill
    if earth is None or earth.height <= 0.0:
        return
    surface, plaster = dome.ground + earth.height, dome.design.plaster.outside
    against = [course for course in dome.courses if course.z_bottom < surface and course.z_top > dome.ground]
    for side in (-1.0, 1.0) if earth.all_around else (1.0,):  # on one side: the section passes through it and the axis
        face = [
            (side * (course.outer_radius + plaster), level)
            for course in against
            for level in (max(course.z_bottom, dome.ground), min(course.z_top, surface))
        ]
        draft.path([*face, (side * (reach + 8 * draft.letter), surface)], "EARTH")


def _footing(draft: Draft, dome: Dome) -> None:
    """The section of the footing on both sides, with its size."""
    section, footing = footing_section(dome), dome.design.footing
    if section is None or footing is None:
        return
    (inner, bottom), (outer, top) = section
    for side in (-1.0, 1.0):
        near, far = sorted((side * inner, side * outer))
        draft.box((near, bottom), (far, top), "FOOTING")
    said = _("footing {width} wide, {depth} deep", width=draft.shown(footing.width), depth=draft.shown(footing.depth))
    draft.text((outer + draft.letter, bottom), said, align="BOTTOM_LEFT")


def ground_and_levels(draft: Draft, dome: Dome, reach: float) -> None:
    """Ground, floor, springing and top with their heights above the finished floor."""
    left, right = -reach - 10 * draft.letter, reach + 3 * draft.letter
    outer = dome.courses[0].outer_radius
    for side in (-1.0, 1.0):
        draft.path([(side * outer, dome.ground), (side * (reach + 8 * draft.letter), dome.ground)], "GROUND")
    named = [(dome.top, "top"), (0.0, "springing"), (dome.floor, "floor"), (dome.ground, "ground")]
    if dome.design.backfill is not None and dome.design.backfill.height > 0.0:
        named.append((dome.ground + dome.design.backfill.height, "earth"))
    groups: dict[float, list[str]] = {}
    for level, name in named:
        groups.setdefault(round(level, 9), []).append(name)
    last = float("inf")
    for level in sorted(groups, reverse=True):
        draft.path([(left, level), (right, level)], "LEVELS")
        shown = min(level, last - 1.6 * draft.letter)  # planes nearer than a line of text do not share their words
        said = level_words(groups[level], level - dome.floor, draft.shown(abs(level - dome.floor)))
        draft.text((left, shown), said, align="BOTTOM_RIGHT")
        last = shown


def _aim(dome: Dome) -> Course:
    arcs = [course for course in dome.courses if course.kind == "arc"]
    return arcs[(2 * len(arcs)) // 3 if len(arcs) > 1 else 0]


def _compasses(draft: Draft, dome: Dome) -> None:
    """Axis, both pivots and an arm of each compass to the inner face at mid-height of a course, as they are set."""
    course, pivot = _aim(dome), dome.design.dome.centre_pivot_above_springing
    draft.path([(0.0, min(dome.base, dome.ground)), (0.0, dome.top + 2 * draft.letter)], "AXES")
    draft.cross((0.0, pivot), "COMPASSES")
    draft.path([(0.0, pivot), (-course.inner_radius, course.z_mid)], "COMPASSES")
    said = _("centre compass, course {course}: {length}", course=course.label, length=draft.shown(course.compass))
    draft.along((0.0, pivot), (-course.inner_radius, course.z_mid), 0.7, said)
    if dome.design.dome.profile == "measured":
        return
    draft.cross((-dome.pivot_radius, 0.0), "COMPASSES")
    draft.path([(-dome.pivot_radius, 0.0), (course.inner_radius, course.z_mid)], "COMPASSES")
    said = _("fixed compass: {length}", length=draft.shown(dome.fixed_compass))
    draft.along((-dome.pivot_radius, 0.0), (course.inner_radius, course.z_mid), 0.75, said)


def _dimensions(draft: Draft, dome: Dome, reach: float) -> None:
    first, top, letter = dome.courses[0], dome.courses[-1], draft.letter
    low = dug_to(dome)
    inner, outer = first.inner_radius, first.outer_radius
    draft.dimension((-inner, first.z_bottom), (inner, first.z_bottom), (0.0, low - 2 * letter))
    draft.dimension((-outer, first.z_bottom), (outer, first.z_bottom), (0.0, low - 5 * letter))
    draft.dimension((inner, first.z_bottom), (outer, first.z_bottom), (inner, low - 2 * letter))
    at = reach + 6 * letter
    draft.dimension((outer, dome.base), (top.outer_radius, dome.top), (at + 3 * letter, 0.0), upright=True)
    draft.dimension((outer, dome.floor), (top.outer_radius, dome.top), (at, 0.0), upright=True)
    if top.inner_radius > 0:
        above = dome.top + 4 * letter
        draft.dimension((-top.inner_radius, dome.top), (top.inner_radius, dome.top), (0.0, above))
    middle = dome.courses[len(dome.courses) // 2]
    draft.dimension(
        (middle.outer_radius, middle.z_bottom), (middle.outer_radius, middle.z_top), (reach + 2 * letter, 0.0),
        upright=True,
    )  # fmt: skip
