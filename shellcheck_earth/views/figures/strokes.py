"""A sheet of SVG: strokes and words at fixed places, numbers to a hundredth of a millimetre so that bytes repeat."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape

from shellcheck_earth.views.figures.letters import advance

__all__ = ["CLAY", "FAINT", "INK", "RED", "Box", "Point", "Sheet"]

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom on the sheet [mm]."""

INK, FAINT, CLAY, RED = "#22201d", "#6f6a61", "#efe6d8", "#a63a1e"

_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")
"""Characters that XML 1.0 does not allow even when escaped."""


def _words(text: str) -> str:
    return escape(_FORBIDDEN.sub("?", text))


def _n(value: float) -> str:
    return (
        f"{value:.2f}".rstrip("0").rstrip(".").replace("-0", "0", 1)
        if abs(value) < 0.005
        else f"{value:.2f}".rstrip("0").rstrip(".")
    )


@dataclass
class Sheet:
    """`scale` is millimetres of paper a metre; `x_zero`, `y_zero` are where the axis and the springing lie on paper;
    `written` is where level words lie.
    """

    width: float
    height: float
    scale: float
    x_zero: float
    y_zero: float
    parts: list[str] = field(default_factory=list)
    written: list[Box] = field(default_factory=list)

    def x(self, metres: float) -> float:
        return self.x_zero + metres * self.scale

    def y(self, metres: float) -> float:
        return self.y_zero - metres * self.scale

    def line(
        self, x1: float, y1: float, x2: float, y2: float, *, width: float, colour: str = INK, dash: str = ""
    ) -> None:
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<line x1="{_n(x1)}" y1="{_n(y1)}" x2="{_n(x2)}" y2="{_n(y2)}" stroke="{colour}" '
            f'stroke-width="{width:g}"{dashed}/>'
        )

    def path(
        self,
        points: Sequence[tuple[float, float]],
        *,
        width: float,
        colour: str = INK,
        fill: str = "none",
        closed: bool = False,
        opacity: float = 1.0,
        dash: str = "",
    ) -> None:
        places = " L".join(f"{_n(x)} {_n(y)}" for x, y in points)
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        faded = f' fill-opacity="{opacity:g}"' if opacity < 1 else ""
        self.parts.append(
            f'<path d="M{places}{" Z" if closed else ""}" fill="{fill}"{faded} stroke="{colour}" '
            f'stroke-width="{width:g}" stroke-linejoin="round"{dashed}/>'
        )

    def rect(self, low: Point, high: Point, *, fill: str, stroke: str, width: float, rounding: float = 0.0) -> None:
        """From one corner to the other, (x, z) in metres; corners rounded by a share of the height."""
        (x1, z1), (x2, z2) = low, high
        self.parts.append(
            f'<rect x="{_n(self.x(x1))}" y="{_n(self.y(z2))}" width="{_n((x2 - x1) * self.scale)}"'
            f' height="{_n((z2 - z1) * self.scale)}" rx="{_n(rounding * (z2 - z1) * self.scale)}" fill="{fill}"'
            f' stroke="{stroke}" stroke-width="{width:g}"/>'
        )

    def bar(self, x: float, y: float, width: float, height: float, *, fill: str, opacity: float = 1.0) -> None:
        """A small box on paper [mm]."""
        self.parts.append(
            f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(width)}" height="{_n(height)}" fill="{fill}" '
            f'fill-opacity="{opacity:g}" stroke="{INK}" stroke-width="0.2"/>'
        )

    def circle(self, x: float, y: float, radius: float, *, fill: str, stroke: str, width: float) -> None:
        self.parts.append(
            f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" fill="{fill}" stroke="{stroke}" '
            f'stroke-width="{width:g}"/>'
        )

    def cross(self, x: float, y: float) -> None:
        """A pivot: a ring with a cross through it."""
        self.line(x - 2.2, y, x + 2.2, y, width=0.3)
        self.line(x, y - 2.2, x, y + 2.2, width=0.3)
        self.circle(x, y, 1.1, fill="#ffffff", stroke=INK, width=0.3)

    def arrow(self, x1: float, y1: float, x2: float, y2: float, *, width: float) -> None:
        """A force, its point at (x2, y2)."""
        length = math.hypot(x2 - x1, y2 - y1) or 1.0
        ux, uy = (x2 - x1) / length, (y2 - y1) / length
        back_x, back_y = x2 - 2.4 * ux, y2 - 2.4 * uy
        self.line(x1, y1, back_x, back_y, width=width)
        self.path(
            [(x2, y2), (back_x - 0.9 * uy, back_y + 0.9 * ux), (back_x + 0.9 * uy, back_y - 0.9 * ux)],
            width=0.1,
            fill=INK,
            closed=True,
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float,
        anchor: str = "start",
        bold: bool = False,
        colour: str = INK,
    ) -> None:
        weight = ' font-weight="bold"' if bold else ""
        wide = advance(words, size, bold=bold)
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        self._ground((left, y), wide, size, 0.0, (x, y))
        self.written.append((left, y - 0.78 * size, left + wide, y + 0.22 * size))
        self._write(x, y, words, f'font-size="{size:g}" text-anchor="{anchor}" fill="{colour}"{weight}')

    def _ground(self, start: Point, wide: float, size: float, turn: float, about: Point) -> None:
        """A white ground under words, as a shape of its own: every converter draws shapes in their order."""
        (x, y), round_about = start, math.radians(turn)
        sine, cosine = math.sin(round_about), math.cos(round_about)
        corners = [(x - 0.3, y - 0.78 * size), (x + wide + 0.3, y - 0.78 * size)]
        corners += [(x + wide + 0.3, y + 0.22 * size), (x - 0.3, y + 0.22 * size)]
        turned = [
            (about[0] + cosine * (u - about[0]) - sine * (v - about[1]),
             about[1] + sine * (u - about[0]) + cosine * (v - about[1]))
            for u, v in corners
        ]  # fmt: skip
        places = " ".join(f"{_n(u)},{_n(v)}" for u, v in turned)
        self.parts.append(f'<polygon class="ground" points="{places}" fill="#ffffff" fill-opacity="0.8"/>')

    def _write(self, x: float, y: float, words: str, look: str) -> None:
        self.parts.append(f'<text x="{_n(x)}" y="{_n(y)}" {look}>{_words(words)}</text>')

    def text_along(self, start: Point, end: Point, words: str, *, size: float, at: float) -> None:
        """Words along a line on paper [mm], above it, at a share of its length, never upside down."""
        (x1, y1), (x2, y2) = start, end
        turn = math.degrees(math.atan2(y2 - y1, x2 - x1))
        if abs(turn) > 90:
            turn -= math.copysign(180, turn)
        lift = math.radians(turn)
        x, y = x1 + at * (x2 - x1) + 0.8 * math.sin(lift), y1 + at * (y2 - y1) - 0.8 * math.cos(lift)
        turned = f' transform="rotate({_n(turn)} {_n(x)} {_n(y)})"' if turn else ""
        wide = advance(words, size)
        self._ground((x - wide / 2, y), wide, size, turn, (x, y))
        self._write(x, y, words, f'font-size="{size:g}" text-anchor="middle" fill="{INK}"{turned}')

    def svg(self, title: str, description: str, digest: str = "") -> str:
        """The whole file; `digest`: of the design, for a picture that is a file of its own."""
        about = f"<metadata>design_sha256:{digest}</metadata>" if digest else ""
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(self.width)} {_n(self.height)}"'
            f' width="{_n(self.width)}mm" height="{_n(self.height)}mm" role="img" font-family="DejaVu Sans,'
            f' sans-serif"><title>{_words(title)}</title><desc>{_words(description)}</desc>{about}'
            '<defs><pattern id="water"'
            ' width="1.6" height="1.6" patternUnits="userSpaceOnUse"><path d="M0 0.8 Q0.4 0.3 0.8 0.8 T1.6 0.8"'
            f' fill="none" stroke="{INK}" stroke-width="0.22"/></pattern></defs><rect width="{_n(self.width)}"'
            f' height="{_n(self.height)}" fill="#ffffff"/>'
        )
        return head + "\n".join(["", *self.parts, "</svg>", ""])
