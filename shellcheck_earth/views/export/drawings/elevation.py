"""The elevations: the dome seen square onto each opening, with its sill, height and width."""

from __future__ import annotations

import math

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.openings import half_width, head_rise, levels, opening_label
from shellcheck_earth.views.export.drawings.draft import Draft, Place
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.drawings import ELEVATION_NOTE
from shellcheck_earth.views.text.language import _

__all__ = ["elevations_drawing", "opening_outline"]

HEAD_STEPS = 24


def opening_outline(dome: Dome, opening: Opening) -> list[Place]:
    """Corners of an opening seen square on: across [m], level [m above the springing]."""
    sill, top = levels(dome, opening)
    rise = head_rise(opening)
    right = [(opening.width / 2, sill), (opening.width / 2, top - rise)]
    right += [
        (half_width(dome, opening, z), z) for k in range(1, HEAD_STEPS + 1) if (z := top - rise + rise * k / HEAD_STEPS)
    ]
    if rise == 0.0:
        right = [(opening.width / 2, sill), (opening.width / 2, top)]
    return [*right, *((-x, z) for x, z in reversed(right))]


def elevations_drawing(dome: Dome) -> bytes:
    """One view a bearing that has an opening or a load, side by side, as DXF; the one from the entrance where there is
    none."""
    seen = [one.bearing for of in (dome.design.openings, dome.design.bearing_loads) for one in of]
    bearings = sorted({round(bearing % (2 * math.pi), 9) for bearing in seen}) or [0.0]
    reach = max(course.outer_radius for course in dome.courses) + dome.design.plaster.outside
    draft = Draft(dome.design, _("elevations"), max(2 * reach, dome.top - dome.ground))
    spread = 2 * reach + 16 * draft.letter
    for place, bearing in enumerate(bearings):
        _view(draft, dome, bearing, place * spread, reach)
    draft.title_block((-reach, dome.ground - 12 * draft.letter), [_(ELEVATION_NOTE)])
    return draft.data()


def _view(draft: Draft, dome: Dome, bearing: float, shift: float, reach: float) -> None:
    courses = [course for course in dome.courses if course.z_top > dome.ground + 1e-9]
    for course in courses:
        low = max(course.z_bottom, dome.ground)
        draft.box((shift - course.outer_radius, low), (shift + course.outer_radius, course.z_top), "COURSES_BEYOND")
    draft.path([(shift - reach, dome.ground), (shift + reach, dome.ground)], "GROUND")
    if (earth := dome.design.backfill) is not None and earth.height > 0.0:
        surface = dome.ground + earth.height
        cut = max(course.outer_radius for course in courses if course.z_bottom < surface)
        # seen from outside the wall on the right lies a quarter turn back on plan, that on the left one on
        sides = [side for side in (-1.0, 1.0) if earth.covers(bearing - side * math.pi / 2)]
        for side in sides:
            draft.path([(shift + side * cut, surface), (shift + side * (reach + 4 * draft.letter), surface)], "EARTH")
    draft.path([(shift, dome.ground), (shift, dome.top + 2 * draft.letter)], "AXES")
    said = _("from outside, at bearing {bearing:.4g} deg", bearing=math.degrees(bearing))
    draft.text((shift, dome.top + 3 * draft.letter), said, size=1.2, align="BOTTOM_CENTER")
    for index, opening in enumerate(dome.design.openings):
        if abs(math.remainder(opening.bearing - bearing, 2 * math.pi)) < 1e-6:
            _opening(draft, dome, index, shift)
    for load in dome.design.bearing_loads:
        if abs(math.remainder(load.bearing - bearing, 2 * math.pi)) < 1e-6:
            # A wedge that points at where it bears, or away from there where it rather lifts.
            way = 1.0 if max(load.weight, key=abs) >= 0.0 else -1.0
            half, top = load.width / 2, load.height + way * load.width / 2
            draft.path([(shift, load.height), (shift - half, top), (shift + half, top)], "LOADS", closed=True)
            draft.text((shift + half + draft.letter, load.height), load.name, align="MIDDLE_LEFT")


def _opening(draft: Draft, dome: Dome, index: int, shift: float) -> None:
    opening = dome.design.openings[index]
    sill, top = levels(dome, opening)
    outline = [(shift + x, z) for x, z in opening_outline(dome, opening)]
    draft.path(outline, "OPENINGS", closed=True)
    half, letter = opening.width / 2, draft.letter
    draft.dimension((shift - half, sill), (shift + half, sill), (shift, min(sill, dome.ground) - 3 * letter))
    draft.dimension((shift + half, sill), (shift, top), (shift + half + 3 * letter, 0.0), upright=True)
    if opening.sill > 0:
        draft.dimension(
            (shift + half, dome.floor), (shift + half, sill), (shift + half + 3 * letter, 0.0), upright=True
        )
    draft.text((shift, (sill + top) / 2), said_below(opening_label(dome.design, index)), align="MIDDLE_CENTER")
