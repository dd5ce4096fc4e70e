"""Where the words of a chart stand so that no curve runs through them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["Box", "clear_corner", "clear_height", "words_box"]

Box = tuple[float, float, float, float]
"""Left, bottom, right, top from the lower left corner of the axes [points]."""

LINE, CLEAR, RING = 10.0, 4.0, 12.0
"""Height of a line of words, what is left free around it, and from a ring to words beside it [points]."""


def clear_height(axes: Axes, x: float, y: float, reach: float) -> float:
    """Where words that begin at a point of the data and reach so far to one side [points, with its sign] stand so that
    no line of the axes runs through them: their middle over the point [points], as near to it as can be.
    """
    across, up = _points_per_unit(axes)
    low, high = -y * up + LINE, (axes.get_ylim()[1] - y) * up - LINE / 2
    lines: list[list[float]] = []
    for line in axes.get_lines():
        xs, ys = (np.asarray(side, dtype=float).tolist() for side in line.get_data())
        if len(xs) == 2 and xs == [0.0, 1.0]:  # across the whole axes
            lines.append([(ys[0] - y) * up])
            continue
        begin, end = sorted((x, x + reach / across))
        places = [begin + (end - begin) * step / 40.0 for step in range(41)]
        lines.append([(_at(place, xs, ys) - y) * up for place in places if xs[0] <= place <= xs[-1]])

    def crossed(middle: float) -> bool:
        return any(
            min(heights) - CLEAR < middle + LINE / 2 and max(heights) + CLEAR > middle - LINE / 2
            for heights in lines
            if heights
        )

    tried = sorted((float(at) for at in range(math.ceil(low), math.floor(high) + 1)), key=lambda at: (abs(at), at))
    return next((at for at in tried if abs(at) >= RING and not crossed(at)), -RING - CLEAR)


def words_box(axes: Axes, x: float, y: float, offset: tuple[float, float], reach: float) -> Box:
    """Where a line of words lies whose near end is off a point of the data by so many points, and whose middle stands
    that much over it; `reach` as above.
    """
    (left, bottom), (across, up) = _corner(axes), _points_per_unit(axes)
    near, middle = (x - left) * across + offset[0], (y - bottom) * up + offset[1]
    low, high = sorted((near, near + reach))
    return low, middle - LINE / 2, high, middle + LINE / 2


def clear_corner(axes: Axes, wide: float, under: float, taken: Sequence[Box] = ()) -> tuple[float, float]:
    """The lower left corner [data] of words so wide [points], under a height of the data, clear of every line and of
    what is `taken`: as far down, then as far left as can be; where nothing is clear, the place with most room.
    """
    (left, bottom), (across, up) = _corner(axes), _points_per_unit(axes)
    width, most = (axes.get_xlim()[1] - left) * across, (under - bottom) * up - LINE - CLEAR
    drawn = [tuple(_values(side) for side in line.get_data()) for line in axes.get_lines()]
    curves = [
        [((a - left) * across, (b - bottom) * up) for a, b in zip(xs, ys, strict=True)]
        for xs, ys in drawn
        if xs != [0.0, 1.0] or ys[0] != ys[1]  # across the whole axes
    ]

    over: dict[float, list[tuple[float, float]]] = {}  # by where words begin: a column is tried at every height

    def room(at: tuple[float, float]) -> float:
        box = (at[0], at[1], at[0] + wide, at[1] + LINE)
        if at[0] not in over:
            spans = (_span(box[0], box[2], curve) for curve in curves)
            over[at[0]] = [span for span in spans if span is not None]
        return min(
            [*(_off_curve(box, span) for span in over[at[0]]), *(_apart(box, other) for other in taken)], default=LINE
        )

    rows = [EDGE + 2.0 * step for step in range(max(int((most - EDGE) / 2.0), 0) + 1)]
    columns = [EDGE + 4.0 * step for step in range(max(int((width - wide - 2 * EDGE) / 4.0), 0) + 1)]
    tried = [(x, y) for y in rows for x in columns]
    x, y = next((at for at in tried if room(at) >= CLEAR), None) or max(tried, key=room)
    return left + x / across, bottom + y / up


EDGE = 3.0
"""From words to the edge of the axes [points]."""


def _values(side: object) -> list[float]:
    return [float(one) for one in np.asarray(side, dtype=float)]


def _corner(axes: Axes) -> tuple[float, float]:
    return float(axes.get_xlim()[0]), float(axes.get_ylim()[0])


def _span(left: float, right: float, curve: Sequence[tuple[float, float]]) -> tuple[float, float] | None:
    """The least and the greatest height of a curve of straight pieces between two places; None: it is elsewhere."""
    if not curve or curve[-1][0] < left or curve[0][0] > right:
        return None
    xs, ys = zip(*curve, strict=True)
    heights = [_at(left + (right - left) * step / 40.0, xs, ys) for step in range(41)]
    heights += [y for x, y in curve if left <= x <= right]
    return min(heights), max(heights)


def _off_curve(box: Box, span: tuple[float, float]) -> float:
    """How far a curve of that span beside it keeps over or under a box [points]; 0: it crosses it."""
    return max(span[0] - box[3], box[1] - span[1], 0.0)


def _apart(one: Box, other: Box) -> float:
    across = max(one[0] - other[2], other[0] - one[2])
    return max(across, one[1] - other[3], other[1] - one[3], 0.0)


def _points_per_unit(axes: Axes) -> tuple[float, float]:
    """Points on paper of one unit of the data, across and up."""
    figure, place = axes.figure, axes.get_position()
    (left, right), (bottom, top) = axes.get_xlim(), axes.get_ylim()
    width, height = (float(one) * 72.0 for one in figure.get_size_inches())  # type: ignore[union-attr]
    return place.width * width / (right - left), place.height * height / (top - bottom)


def _at(x: float, xs: Sequence[float], ys: Sequence[float]) -> float:
    """The height of a line of straight pieces at `x`, within its ends."""
    after = next((index for index, one in enumerate(xs) if one >= x), len(xs) - 1)
    if after == 0:
        return ys[0]
    before = after - 1
    return ys[before] + (ys[after] - ys[before]) * (x - xs[before]) / (xs[after] - xs[before])
