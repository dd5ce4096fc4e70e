"""How wide words are: advances of DejaVu Sans, so that a drawing can leave room for them without a typesetter."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

__all__ = ["LEAST_SIZE", "LINE", "PHONE_SIZE", "advance", "stacked", "wrapped_to"]

LEAST_SIZE = 2.85
"""Of letters on paper [mm]: a little over 8 points."""

LINE = 3.6
"""From one line of words of that size to the next [mm]."""

PHONE_SIZE = 3.6
"""Of letters of a moving picture 174 mm wide: 8 pixels where a phone shows it 390 wide."""

FIRST, OTHER = 32, 640

# fmt: off
PLAIN = (
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636, 636, 636, 636, 636,
    636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863,
    748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635,
    615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636,
    337, 636, 838,
)
BOLD = (
    348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365, 696, 696, 696, 696, 696, 696, 696,
    696, 696, 696, 400, 400, 838, 838, 838, 580, 1000, 774, 762, 734, 830, 683, 683, 821, 837, 372, 372, 775, 637, 995,
    837, 850, 733, 850, 770, 720, 682, 812, 774, 1103, 771, 724, 725, 457, 365, 457, 838, 500, 500, 675, 716, 593, 716,
    678, 435, 716, 712, 343, 343, 665, 343, 1042, 712, 687, 716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712,
    365, 712, 838,
)
# fmt: on
"""Advances of the printable letters of ASCII, in thousandths of the size (read from the font's own table)."""


def advance(text: str, size: float, *, bold: bool = False) -> float:
    """Width of words in the unit of `size`; a letter outside ASCII counts as a middling one."""
    table = BOLD if bold else PLAIN
    return size / 1000 * sum(table[ord(c) - FIRST] if 0 <= ord(c) - FIRST < len(table) else OTHER for c in text)


def wrapped_to(text: str, width: float, size: float, *, bold: bool = False) -> list[str]:
    """Lines no wider than `width`, but for a word that is wider alone."""
    return list(_lines(text, width, size, bold=bold))


def _lines(text: str, width: float, size: float, *, bold: bool) -> Iterator[str]:
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if line and advance(longer, size, bold=bold) > width:
            yield line
            longer = word
        line = longer
    if line:
        yield line


def stacked(wanted: Sequence[tuple[float, float]], low: float, high: float) -> list[float]:
    """Tops of blocks of words (wanted top, height) in one column, as near as can be to where they are wanted, in order
    of their tops, none over another, between `low` and `high` where they fit.
    """
    order = sorted(range(len(wanted)), key=lambda i: (wanted[i][0], i))
    placed, last = [0.0] * len(wanted), low
    for i in order:
        placed[i] = max(wanted[i][0], last)
        last = placed[i] + wanted[i][1]
    ceiling = high
    for i in reversed(order):
        placed[i] = min(placed[i], ceiling - wanted[i][1])
        ceiling = placed[i]
    return placed
