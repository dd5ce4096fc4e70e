"""The collapse as a moving picture: the dome weakened step by step, then the mechanism that the multipliers give. SVG
with SMIL, nothing but the file itself; a viewer that cannot play it shows the dome as designed. The same drawing at one
moment gives still frames."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shellcheck_earth.design.design import Design
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.courses import Course
from shellcheck_earth.studies.explain.ways import Step, Way
from shellcheck_earth.views.figures.explain.courses import MOVED, Mirror, Point, corners, drawn_size, moved, moves
from shellcheck_earth.views.figures.explain.marks import KEY_HEIGHT, key, marks
from shellcheck_earth.views.figures.letters import PHONE_SIZE, wrapped_to
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, RED, Sheet, _n
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.explain.shown import value_shown
from shellcheck_earth.views.text.explain.ways import title
from shellcheck_earth.views.text.language import _

__all__ = ["LENGTH", "animated", "collapse_svg"]

WIDTH, ROOM, TALLEST = 174.0, 87.0, 62.0

OVER, UNDER, LINE = 15.0, 17.0, 4.6
"""Room for the words over and under each dome, and from one line of them to the next [mm]."""

LENGTH = 14.0
"""Of one round [s]."""

FAILS, GOES, RESTS = 7.0, 8.5, 11.5
"""When the last dome, which has no line, shows the signs of its mechanism; when it begins to go; when the motion is
held [s].
"""

GAIT = ((0.0, 0.0), (0.35, 0.08), (0.7, 0.45), (1.0, 1.0))
"""Share of the motion against share of its time: slow at first, as a thing falls."""


@dataclass(frozen=True)
class _Panel:
    """Where one way is drawn, its steps with the moment each begins [s], and the size of the drawn motion [m]."""

    way: Way
    x_zero: float
    y_zero: float
    scale: float
    foot: float
    steps: tuple[tuple[float, Step], ...]
    size: float


def animated(ways: Sequence[Way]) -> tuple[Way, ...]:
    """One way a kind: the finished dry dome where it collapses, else the case that does first. A case that has no line
    as designed collapses the same whatever would be added to it: shown once, and again only without any wire."""
    out: dict[str, Way] = {}
    kinds = set()
    for way in ways:
        if way.collapse is None or way.kind in kinds:
            continue
        kinds.add(way.kind)
        out.setdefault(
            f"as designed, {way.case_id}, {way.kind.endswith('without wire')}" if _as_designed(way) else way.kind, way
        )
    return tuple(out.values())


def _as_designed(way: Way) -> bool:
    """The dome moves as it is designed, nothing taken away: it has no thrust line."""
    return way.outcome in ("rises", "never stands")


def _heading(way: Way) -> str:
    if not _as_designed(way):
        return title(way)
    return _("As designed, but without any wire") if way.kind == "friction without wire" else _("As designed")


def _steps(way: Way) -> tuple[tuple[float, Step], ...]:
    """The steps down to the first without a line; only the dome as designed where that has none already."""
    shown = []
    for step in way.steps:
        shown.append(step)
        if not step.stands:
            break
    before = len(shown) - 1
    return tuple(
        (FAILS if index == before and before else FAILS * index / max(before, 1), step)
        for index, step in enumerate(shown)
    )


def _panels(ways: Sequence[Way]) -> tuple[list[_Panel], float]:
    """The panels, two in a row, and the height of the sheet."""
    every = [course for way in ways for step in way.steps for course in step.courses]
    reach, base, top = max(c.outer_radius for c in every), min(c.z_bottom for c in every), max(c.z_top for c in every)
    scale = min((ROOM - 16.0) / (2 * reach), TALLEST / (top - base))
    tall = (top - base) * scale + OVER + UNDER
    out = []
    for index, way in enumerate(ways):
        x, y = (index % 2 + 0.5) * ROOM, (index // 2) * tall
        if len(ways) == 1:
            x = WIDTH / 2
        out.append(
            _Panel(way, x, y + OVER + top * scale, scale, y + OVER + (top - base) * scale, _steps(way), drawn_size(way))
        )
    return out, tall * ((len(ways) + 1) // 2) + KEY_HEIGHT


def _both(sheet: Sheet, mirror: Sheet, points: Sequence[Point]) -> Iterator[list[Point]]:
    for half in (sheet, mirror):
        yield [(half.x(r), half.y(z)) for r, z in points]


def _outlines(sheet: Sheet, mirror: Sheet, courses: Sequence[Course]) -> str:
    """Both halves of all courses as one path."""
    shapes = [shape for course in courses for shape in _both(sheet, mirror, corners(course))]
    places = "".join(f"M{' L'.join(f'{_n(x)} {_n(y)}' for x, y in shape)}Z" for shape in shapes)
    return f'<path d="{places}" fill="{CLAY}" stroke="{FAINT}" stroke-width="0.12"/>'


def _draw_step(sheet: Sheet, mirror: Sheet, panel: _Panel, design: Design, step: Step) -> None:
    sheet.parts.append(_outlines(sheet, mirror, step.courses))
    band = step.band
    inner, outer = list(zip(band.x_low, band.z, strict=True)), list(zip(band.x_high, band.z, strict=True))
    if inner and step.stands:
        for shape in _both(sheet, mirror, [(float(x), float(z)) for x, z in inner + outer[::-1]]):
            sheet.path(shape, width=0.2, fill=INK, closed=True, opacity=0.6)
    if not step.stands and panel.way.collapse is not None:
        marks(mirror, panel.way.collapsed, panel.way.collapse)
    shown = value_shown(design, panel.way.kind, step.value)
    sheet.text(panel.x_zero, panel.foot + LINE, shown, size=PHONE_SIZE, anchor="middle", bold=True)
    said = _("a thrust line is left") if step.stands else _("no thrust line is left")
    _say(sheet, panel.x_zero, panel.foot + 2 * LINE, said, colour=INK if step.stands else RED)


def _say(sheet: Sheet, x: float, y: float, said: str, colour: str = INK) -> None:
    """Words in the middle of a panel, in as many lines as it takes."""
    for index, words in enumerate(wrapped_to(said, ROOM - 4.0, PHONE_SIZE)):
        sheet.text(x, y + LINE * index, words, size=PHONE_SIZE, anchor="middle", colour=colour)


def _window(start: float, end: float, at: float | None) -> str:
    """Opening tag of a group seen from `start` to `end`."""
    if at is not None:
        return f'<g opacity="{1 if start <= at < end else 0}">'
    times, values = [0.0], ["1" if start == 0.0 else "0"]
    if start > 0.0:
        times.append(start / LENGTH)
        values.append("1")
    if end < LENGTH:
        times.append(end / LENGTH)
        values.append("0")
    return (
        f'<g opacity="{values[0]}"><animate attributeName="opacity" calcMode="discrete" dur="{LENGTH:g}s"'
        f' repeatCount="indefinite" keyTimes="{";".join(f"{t:.4f}" for t in times)}" values="{";".join(values)}"/>'
    )


def _share(at: float) -> float:
    """How much of the motion has happened at a moment."""
    if at <= GOES:
        return 0.0
    passed = min((at - GOES) / (RESTS - GOES), 1.0)
    for (t0, a0), (t1, a1) in pairwise(GAIT):
        if passed <= t1:
            return a0 + (a1 - a0) * (passed - t0) / (t1 - t0)
    return 1.0


def _points(shape: Sequence[Point]) -> str:
    return " ".join(f"{_n(x)},{_n(y)}" for x, y in shape)


def _draw_motion(sheet: Sheet, mirror: Sheet, panel: _Panel, at: float | None) -> None:
    found, courses = panel.way.collapse, panel.way.collapsed
    assert found is not None
    going = [index for index, course in enumerate(courses) if moves(found, index, course)]
    sheet.parts.append(_outlines(sheet, mirror, [course for index, course in enumerate(courses) if index not in going]))
    style = f'fill="{MOVED}" stroke="{RED}" stroke-width="0.25" stroke-linejoin="round"'
    moments = [GOES + t * (RESTS - GOES) for t, _part in GAIT]
    times = ";".join(f"{t:.4f}" for t in (0.0, *(moment / LENGTH for moment in moments), 1.0))
    for index in reversed(going):
        for half in range(2):

            def place(amount: float, index: int = index, half: int = half) -> str:
                shapes = list(_both(sheet, mirror, moved(found, index, courses[index], amount * panel.size)))
                return _points(shapes[half])

            if at is not None:
                sheet.parts.append(f'<polygon points="{place(_share(at))}" {style}/>')
                continue
            values = ";".join([place(0.0), *(place(amount) for _, amount in GAIT), place(1.0)])
            sheet.parts.append(
                f'<polygon points="{place(0.0)}" {style}><animate attributeName="points" dur="{LENGTH:g}s" '
                f'repeatCount="indefinite" keyTimes="{times}" values="{values}"/></polygon>'
            )
    sheet.text(
        panel.x_zero, panel.foot + LINE, _("it collapses"), size=PHONE_SIZE, anchor="middle", bold=True, colour=RED
    )
    note = _("motion enlarged; only directions and proportions are computed")
    _say(sheet, panel.x_zero, panel.foot + 2 * LINE, note)


def collapse_svg(design: Design, ways: Sequence[Way], at: float | None = None) -> str:
    """The moving picture, or with `at` in [0, LENGTH) its frame at that second; ValueError when no way has a
    mechanism.
    """
    if not ways or any(way.collapse is None for way in ways):
        raise ValueError("a way without a mechanism cannot be shown collapsing")
    panels, height = _panels(ways)
    sheet = Sheet(WIDTH, height, 1.0, 0.0, 0.0)
    for panel in panels:
        right = Sheet(WIDTH, height, panel.scale, panel.x_zero, panel.y_zero, sheet.parts)
        left = Mirror(WIDTH, height, panel.scale, panel.x_zero, panel.y_zero, sheet.parts)
        top = panel.y_zero - max(course.z_top for course in panel.way.steps[0].courses) * panel.scale
        sheet.text(panel.x_zero, top - 11.0, _heading(panel.way), size=PHONE_SIZE, anchor="middle", bold=True)
        _say(sheet, panel.x_zero, top - 11.0 + LINE, said_below(panel.way.case_title))
        reach = max(course.outer_radius for step in panel.way.steps for course in step.courses) * panel.scale + 2.0
        ends = [start for start, _ in panel.steps[1:]] + [GOES]
        for (start, step), end in zip(panel.steps, ends, strict=True):
            sheet.parts.append(_window(start, end, at))
            _draw_step(right, left, panel, design, step)
            sheet.parts.append("</g>")
        sheet.parts.append(_window(GOES, LENGTH, at))
        _draw_motion(right, left, panel, at)
        sheet.parts.append("</g>")
        sheet.line(panel.x_zero - reach, panel.foot, panel.x_zero + reach, panel.foot, width=0.3)
    key(sheet, height - 8.0, moving=True)
    return sheet.svg(
        _("How {name} collapses", name=design.name),
        _(
            "Moving picture: the dome as designed, or weakened step by step, until no thrust line is"
            " left, then its mechanism of collapse, motions enlarged."
        ),
        design_sha256(design),
    )
