"""The site tests as simple line drawings: what stands, what is moved or pressed, what is read off."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from shellcheck_earth.safety.to_test import SiteTest
from shellcheck_earth.views.figures.letters import LEAST_SIZE, wrapped_to
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, RED, Point, Sheet
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.tests import TEST_ALT

__all__ = ["site_test_svg"]

WIDTH, HEIGHT, GROUND = 84.0, 29.6, 29.0
"""Of each drawing, and where its ground lies [mm]."""

WATER = "url(#water)"


def site_test_svg(test: SiteTest) -> str:
    """One test as SVG."""
    sheet = Sheet(WIDTH, HEIGHT, 1.0, 0.0, 0.0)
    sheet.line(1.0, GROUND, WIDTH - 1.0, GROUND, width=0.3)
    DRAWN[test](sheet)
    return sheet.svg(_(TEST_ALT[test]), _(TEST_ALT[test]))


def _say(sheet: Sheet, x: float, y: float, said: str, anchor: str = "start", room: float = 0.0) -> None:
    """Words from a place on, in as many lines as the room to the edge, or what is said of it [mm], asks for."""
    for index, words in enumerate(wrapped_to(said, room or WIDTH - x - 1.0, LEAST_SIZE)):
        sheet.text(x, y + 3.6 * index, words, size=LEAST_SIZE, anchor=anchor)


def _round(low: Point, high: Point, radius: float) -> list[Point]:
    """A box with round corners as a path, from its lower left to its upper right corner."""
    (x1, y1), (x2, y2) = low, high
    corners = ((x2 - radius, y1 + radius, 270), (x2 - radius, y2 - radius, 0), (x1 + radius, y2 - radius, 90))
    out = []
    for cx, cy, start in (*corners, (x1 + radius, y1 + radius, 180)):
        for step in range(5):
            turn = math.radians(start + 22.5 * step)
            out.append((cx + radius * math.cos(turn), cy + radius * math.sin(turn)))
    return out


def _turned(points: list[Point], about: Point, degrees: float) -> list[Point]:
    """Turned upward from the right, on paper, where y runs down."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    (x0, y0) = about
    return [(x0 + c * (x - x0) + s * (y - y0), y0 - s * (x - x0) + c * (y - y0)) for x, y in points]


def _bag(sheet: Sheet, points: list[Point]) -> None:
    sheet.path(points, width=0.35, fill=CLAY, closed=True)


def _tilt(sheet: Sheet) -> None:
    hinge, turn = (8.0, GROUND - 1.0), 22.0
    sheet.path(
        _turned([(8.0, 28.0), (50.0, 28.0), (50.0, 26.8), (8.0, 26.8)], hinge, turn), width=0.3, fill=FAINT, closed=True
    )
    _bag(sheet, _turned(_round((16.0, 20.6), (46.0, 26.8), 2.4), hinge, turn))
    _bag(sheet, _turned(_round((13.0, 14.2), (43.0, 20.4), 2.4), hinge, turn))
    sheet.path(
        _turned([(23.0, 14.2), (35.0, 14.2), (35.0, 9.6), (23.0, 9.6)], hinge, turn),
        width=0.3, fill="#d8d2c6", closed=True,
    )  # fmt: skip
    start, end = _turned([(12.0, 12.0), (6.5, 12.0)], hinge, turn)
    sheet.arrow(*start, *end, width=0.5)
    sheet.path([_turned([(52.0, 28.0)], hinge, a)[0] for a in range(2, 20, 3)], width=0.4, colour=RED)
    tip, before = _turned([(52.0, 28.0)], hinge, 21.0)[0], _turned([(52.0, 28.0)], hinge, 16.0)[0]
    sheet.arrow(*before, *tip, width=0.4)
    _say(sheet, 61.0, 17.0, _("angle at which it slips"))
    _say(sheet, 38.0, 3.4, _("load"))


def _crush(sheet: Sheet) -> None:
    sheet.path([(18, 27.2), (44, 27.2), (44, GROUND), (18, GROUND)], width=0.3, fill=FAINT, closed=True)
    sheet.path([(23, 27.2), (23.6, 12), (38.4, 12), (39, 27.2)], width=0.35, fill=CLAY, closed=True)
    for crack in ([(27, 13.5), (29, 18), (27.5, 21), (29.5, 26)], [(34, 13), (32.5, 17), (35, 21.5), (33.5, 26)]):
        sheet.path(list(crack), width=0.3, colour=RED)
    sheet.path([(18, 12), (44, 12), (44, 10), (18, 10)], width=0.3, fill=FAINT, closed=True)
    sheet.arrow(31, 2.5, 31, 9.4, width=0.8)
    _say(sheet, 34.0, 5.6, _("load at which it fails"))
    sheet.line(47, 12, 47, 27.2, width=0.2)
    _say(sheet, 49.0, 19.0, _("measure its height and how thick it is"))


def _scale(sheet: Sheet, x: float, wide: float) -> None:
    sheet.path([(x, 24.5), (x + wide, 24.5), (x + wide - 3, GROUND), (x + 3, GROUND)], width=0.3, fill="#ffffff",
               closed=True)  # fmt: skip
    sheet.circle(x + wide / 2, 26.8, 1.5, fill="#ffffff", stroke=INK, width=0.25)
    sheet.line(x + wide / 2, 26.8, x + wide / 2 + 0.9, 25.9, width=0.3, colour=RED)


def _weigh(sheet: Sheet) -> None:
    _scale(sheet, 14, 30)
    sheet.path([(18, 24.5), (18, 9), (40, 9), (40, 24.5)], width=0.5, fill=CLAY, closed=True)
    for row in range(3):
        for column in range(6):
            sheet.circle(20.5 + 3.4 * column, 12.5 + 4.2 * row, 0.35, fill=FAINT, stroke=FAINT, width=0.1)
    sheet.line(18, 6.5, 40, 6.5, width=0.2)
    _say(sheet, 29.0, 4.4, _("inside size"), anchor="middle")
    _say(sheet, 48.0, 13.0, _("tamped as hard as the wall; weigh it full and empty"))


def _heap(sheet: Sheet, x: float, y: float, wide: float) -> None:
    half = wide / 2
    points = [(x - half + wide * t / 12, y - 0.32 * wide * math.sin(math.pi * t / 12)) for t in range(13)]
    sheet.path(points, width=0.3, fill=CLAY, closed=True)


def _dry(sheet: Sheet) -> None:
    for x in (3.0, 60.0):
        _scale(sheet, x, 20)
    _heap(sheet, 13.0, 24.3, 15.0)
    _heap(sheet, 70.0, 24.3, 13.0)
    sheet.path([(31, 17), (33, 20), (49, 20), (51, 17)], width=0.5)
    _heap(sheet, 41.0, 19.7, 14.0)
    for x in (35.5, 40.0, 44.5):
        flame = [(x - 1.4, GROUND), (x - 1.6, 26.5), (x, 22.5), (x + 1.6, 26.5), (x + 1.4, GROUND)]
        sheet.path(flame, width=0.3, colour=RED, closed=True)
    sheet.arrow(24, 15, 29.5, 15, width=0.4)
    sheet.arrow(53, 15, 58.5, 15, width=0.4)
    for x, words in ((13, _("weigh it damp")), (41, _("dry it")), (70, _("weigh it dry"))):
        _say(sheet, x, 6.0, words, anchor="middle", room=26.0)


def _soak(sheet: Sheet) -> None:
    sheet.path([(6, GROUND), (6, 19), (54, 19), (54, GROUND)], width=0.35, fill=CLAY, closed=True)
    sheet.path([(21, 19), (21, 14.5), (39, 14.5), (39, 19)], width=0.2, colour=FAINT, fill=WATER, closed=True)
    for x in (20.2, 39.8):
        sheet.line(x, 19, x, 11, width=0.9)
    for x in (24.0, 30.0, 36.0):
        sheet.arrow(x, 20.0, x, 25.5, width=0.35)
    jug = _turned([(42, 3), (50, 3), (50, 11), (42, 11)], (42, 7), -35)
    sheet.path(jug, width=0.35, fill="#ffffff", closed=True)
    sheet.path([(40.2, 8.5), (37.2, 10.0), (36.2, 14.3)], width=0.4)
    _say(sheet, 57.0, 8.0, _("from a measure: how much, in what time"))
    _say(sheet, 57.0, 24.0, _("tamped face"))
    _say(sheet, 1.0, 13.0, _("ring, sealed"), room=18.5)


def _tube(sheet: Sheet) -> None:
    _bag(sheet, _round((14.0, 18.4), (44.0, 26.4), 3.6))
    _bag(sheet, _round((15.0, 10.0), (43.0, 18.2), 3.6))
    for x in (14.0, 44.0):
        sheet.line(x, 22.4, x, 28.6, width=0.2)
    sheet.arrow(29, 27.8, 14.2, 27.8, width=0.3)
    sheet.arrow(29, 27.8, 43.8, 27.8, width=0.3)
    _say(sheet, 48.0, 13.0, _("two courses, tamped"))
    _say(sheet, 48.0, 22.6, _("measure the lower one across"))


def _wire(sheet: Sheet) -> None:
    sheet.path([(14, 3), (46, 3), (46, 1), (14, 1)], width=0.3, fill=FAINT, closed=True)
    sheet.line(30, 3, 30, 18, width=0.5)
    for y in (6.0, 10.0, 14.0):
        sheet.line(28.8, y - 0.8, 31.2, y + 0.8, width=0.4)
    sheet.path([(25, 18.5), (35, 18.5), (33.8, 26), (26.2, 26)], width=0.4, fill=CLAY, closed=True)
    sheet.path([(25, 18.5), (30, 15.8), (35, 18.5)], width=0.3)
    _say(sheet, 40.0, 8.0, _("one strand, one metre"))
    _say(sheet, 40.0, 20.0, _("weights, until it breaks: stand clear"))


DRAWN: Mapping[SiteTest, Callable[[Sheet], None]] = {
    "tilt": _tilt,
    "crush": _crush,
    "weigh": _weigh,
    "dry": _dry,
    "soak": _soak,
    "tube": _tube,
    "wire": _wire,
}
