"""The lesson as slides: a question, the dome step by step, the answer, and how it goes. From `studies/explain`."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from shellcheck_earth.basics.progress import Progress
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Course
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.studies.explain.alone import Alone, slender, wetter
from shellcheck_earth.studies.explain.ways import Step, Way, ways
from shellcheck_earth.views.figures.explain.courses import Mirror, draw_band, extent
from shellcheck_earth.views.figures.explain.marks import marks
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, Sheet
from shellcheck_earth.views.page.drawing import draw_moving
from shellcheck_earth.views.page.job import AskedText
from shellcheck_earth.views.text.language import _, speaking, words
from shellcheck_earth.views.text.page import lesson as said

__all__ = ["Frame", "Slide", "lesson_slides", "run_lesson"]

WIDTH, TALLEST = 150.0, 90.0


@dataclass(frozen=True)
class Frame:
    """One picture of a slide and the words under it; `moves`: the mechanism."""

    svg: str
    words: str
    stands: bool
    moves: bool = False


@dataclass(frozen=True)
class Slide:
    """A question before its answer; the frames come one after the other between them."""

    title: str
    question: str
    frames: tuple[Frame, ...]
    answer: tuple[str, ...]


def _sheets(groups: Sequence[Sequence[Course]]) -> tuple[Sheet, Sheet]:
    """The sheet, and the same one with radii to the left."""
    reach, low, high = extent(groups)
    scale = min((WIDTH - 16.0) / (2 * reach), TALLEST / (high - low))
    zero = 6.0 + high * scale
    right = Sheet(WIDTH, zero - low * scale + 6.0, scale, WIDTH / 2, zero)
    return right, Mirror(right.width, right.height, scale, WIDTH / 2, zero, right.parts)


def _both_halves(sheet: Sheet, courses: Sequence[Course]) -> None:
    for course in courses:
        for side in (-1, 1):
            near, far = sorted((side * course.inner_radius, side * course.outer_radius))
            sheet.rect((near, course.z_bottom), (far, course.z_top), fill=CLAY, stroke=FAINT, width=0.15)
    base, reach = min(course.z_bottom for course in courses), max(course.outer_radius for course in courses)
    sheet.line(sheet.x(-reach) - 4, sheet.y(base), sheet.x(reach) + 4, sheet.y(base), width=0.3)


def _step_frame(groups: Sequence[Sequence[Course]], step: Step, words: str, title: str) -> Frame:
    right, left = _sheets(groups)
    _both_halves(right, step.courses)
    for half in (right, left):
        draw_band(half, step.band)
    return Frame(right.svg(title, words), words, step.stands)


def _moving_frame(
    groups: Sequence[Sequence[Course]], courses: Sequence[Course], found: Collapse, words: str, title: str
) -> Frame:
    right, _ = _sheets(groups)
    _both_halves(right, courses)
    draw_moving(right, courses, found)
    marks(right, courses, found)
    return Frame(right.svg(title, words), words, stands=False, moves=True)


def _frames(
    steps: Sequence[Step],
    words: Callable[[Step], str],
    title: str,
    collapsed: Sequence[Course],
    found: Collapse | None,
) -> tuple[Frame, ...]:
    groups = [step.courses for step in steps]
    shown = [_step_frame(groups, step, words(step), title) for step in steps]
    if found is not None:
        groups.append(tuple(collapsed))
        shown.append(_moving_frame(groups, collapsed, found, _(said.MOVES), title))
    return tuple(shown)


def _way_slide(design: Design, way: Way) -> Slide:
    title = said.way_title(way)
    frames = _frames(way.steps, lambda step: said.step_words(design, way, step), title, way.collapsed, way.collapse)
    return Slide(title, said.way_question(way), frames, (said.answer_of(design, way), *said.moves_answer(way.collapse)))


def _alone_slide(design: Design, found: Alone) -> Slide:
    title = said.alone_title(found)
    frames = _frames(
        found.steps, lambda step: said.alone_words(design, found, step), title, found.collapsed, found.collapse
    )
    answer = (said.alone_answer(design, found), *said.moves_answer(found.collapse))
    return Slide(title, said.alone_question(found), frames, answer)


def lesson_slides(design: Design, progress: Progress) -> tuple[Slide, ...]:
    """The whole lesson of a design that can be built; UndecidedError where a programme does not answer."""
    found = [way for way in ways(design, lambda done, of: progress(said.DOING, done, of + 2)) if not way.governing]
    steps = found[0].steps[0]
    first = _step_frame([steps.courses], steps, design.name, _(said.FIRST_TITLE))
    progress(said.DOING, 5, 6)
    alone = [one for one in (slender(design), wetter(design)) if one is not None]
    return (
        Slide(_(said.FIRST_TITLE), _(said.FIRST_QUESTION), (first,), (said.first_answer(steps),)),
        *(_way_slide(design, way) for way in found),
        *(_alone_slide(design, one) for one in alone),
        Slide(_(said.LAST_TITLE), "", (), tuple(said.last_answer())),
    )


def run_lesson(asked: AskedText, cache: Path | None, progress: Progress) -> tuple[Slide, ...]:
    """The lesson of the design that a file's text says; errors as `parse_design` and `lesson_slides`."""
    del cache
    with speaking(words(asked.language)):
        return lesson_slides(parse_design(asked.text), progress)
