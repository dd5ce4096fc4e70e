"""Where the words of a drawing lie, so that tests can say that none covers another."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from xml.etree import ElementTree

from shellcheck_earth.views.figures.letters import LEAST_SIZE, advance

__all__ = ["PHONE", "assert_words_lie_free", "boxes", "smallest_on_a_phone"]

PHONE = 390
"""Pixels across a phone that is held upright."""

SVG = "{http://www.w3.org/2000/svg}"

Box = tuple[float, float, float, float]


def boxes(svg: str) -> Iterator[tuple[str, Box]]:
    """Words of a drawing and where they lie: left, top, right, bottom."""
    for text in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        size, words = float(text.get("font-size", "")), text.text or ""
        wide = advance(words, size, bold=text.get("font-weight") == "bold")
        x, y = float(text.get("x", "")), float(text.get("y", ""))
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[text.get("text-anchor", "start")]
        yield words, (left, y - 0.73 * size, left + wide, y + 0.02 * size)


def over(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def assert_words_lie_free(svg: str) -> None:
    """None over another, none cut by the edge, none too small to read."""
    found = list(boxes(svg))
    _, _, width, height = map(float, (ElementTree.fromstring(svg).get("viewBox") or "").split())
    for (one, box), (other, more) in itertools.combinations(found, 2):
        assert not over(box, more), (one, other)
    for words, (left, top, right, bottom) in found:
        assert left >= 0 and top >= 0 and right <= width and bottom <= height, words
    for text in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        assert float(text.get("font-size", "")) >= LEAST_SIZE - 0.01, text.text


def smallest_on_a_phone(svg: str) -> float:
    """Height of the smallest letters [pixels] where the drawing is as wide as a phone."""
    root = ElementTree.fromstring(svg)
    width = float((root.get("viewBox") or "").split()[2])
    return min(float(text.get("font-size", "")) for text in root.iter(f"{SVG}text")) * PHONE / width
