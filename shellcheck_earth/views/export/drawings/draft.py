"""One DXF drawing at full size: layers, text and dimensions as a draughtsman expects them.

Lengths come in metres and lie on the sheet in millimetres, or in inches where the design is in feet and inches. The
library's own stamps (time, random identifiers) are fixed, so that the same design gives the same bytes.
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from typing import Any

from ezdxf import options  # type: ignore[attr-defined]
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.math import BoundingBox2d

from shellcheck_earth.basics.units import feet_inches
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.views.text.drawings import DRAWING_CAUTION, DRAWN_AT
from shellcheck_earth.views.text.language import _, review_sentences

__all__ = ["LAYERS", "Draft", "Place"]

Place = tuple[float, float]
"""A place on the sheet [m]."""

LAYERS: dict[str, tuple[int, str, int]] = {
    "COURSES": (7, "Continuous", 35),
    "COURSES_BEYOND": (8, "Continuous", 13),
    "PLASTER": (8, "Continuous", 18),
    "OPENINGS": (5, "Continuous", 50),
    "BUTTRESSES": (3, "Continuous", 35),
    "LOADS": (30, "Continuous", 50),
    "GROUND": (34, "Continuous", 50),
    "EARTH": (34, "Continuous", 25),
    "FOOTING": (8, "Continuous", 35),
    "LEVELS": (8, "DASHED", 13),
    "AXES": (8, "CENTER", 13),
    "COMPASSES": (6, "DASHDOT", 18),
    "DIMENSIONS": (1, "Continuous", 18),
    "TEXT": (7, "Continuous", 18),
}
"""Name -> colour index, line type, line weight [1/100 mm]. A line's layer says what it is; its colour need not."""

_MM, _INCH = 4, 1
"""$INSUNITS of millimetres and of inches."""


class Draft:
    """A drawing that grows; `data` gives its bytes."""

    def __init__(self, design: Design, title: str, reach: float) -> None:
        """`reach`: the greatest length on the sheet [m], which says how large its text is."""
        options.write_fixed_meta_data_for_testing = True
        self.design = design
        self.imperial = design.unit_system == "imperial"
        self.unit = 0.0254 if self.imperial else 0.001
        self.letter = reach / 60
        self.document = new("R2013", setup=True)
        self.document.header["$INSUNITS"] = _INCH if self.imperial else _MM
        self.document.header["$MEASUREMENT"] = 0 if self.imperial else 1
        self.document.header["$LTSCALE"] = self.letter / self.unit / 8
        for name, (colour, line, weight) in LAYERS.items():
            self.document.layers.add(name, color=colour, linetype=line, lineweight=weight)
        self.space = self.document.modelspace()
        self.title = title

    def _at(self, place: Place) -> Place:
        return place[0] / self.unit, place[1] / self.unit

    def path(self, places: Sequence[Place], layer: str, *, closed: bool = False) -> None:
        """Straight lines through places."""
        points = [self._at(one) for one in places]
        self.space.add_lwpolyline(points, close=closed, dxfattribs={"layer": layer})

    def box(self, low: Place, high: Place, layer: str) -> None:
        """A rectangle with level sides."""
        self.path([low, (high[0], low[1]), high, (low[0], high[1])], layer, closed=True)

    def circle(self, centre: Place, radius: float, layer: str) -> None:
        if radius > 0:
            self.space.add_circle(self._at(centre), radius / self.unit, dxfattribs={"layer": layer})

    def cross(self, centre: Place, layer: str) -> None:
        """A pivot."""
        x, y = centre
        self.path([(x - self.letter, y), (x + self.letter, y)], layer)
        self.path([(x, y - self.letter), (x, y + self.letter)], layer)

    def text(
        self, place: Place, said: str, *, size: float = 1.0, align: str = "BOTTOM_LEFT", turn: float = 0.0
    ) -> None:
        """One line of text; `turn` in degrees."""
        entity = self.space.add_text(said, height=size * self.letter / self.unit, rotation=turn)
        entity.dxf.layer = "TEXT"
        entity.set_placement(self._at(place), align=TextEntityAlignment[align])

    def shown(self, metres: float) -> str:
        """A length as it stands at a dimension line."""
        return feet_inches(metres) if self.imperial else f"{1000 * metres:.0f}"

    def _style(self) -> dict[str, Any]:
        size = self.letter / self.unit
        return {"dimtxt": size, "dimasz": 0.7 * size, "dimexe": 0.4 * size, "dimexo": 0.4 * size, "dimgap": 0.3 * size}

    def dimension(self, first: Place, second: Place, along: Place, *, upright: bool = False) -> None:
        """The level distance of two places (`upright`: the height), on a line through `along`."""
        measured = abs(second[1] - first[1]) if upright else abs(second[0] - first[0])
        made = self.space.add_linear_dim(
            base=self._at(along), p1=self._at(first), p2=self._at(second), angle=90 if upright else 0,
            text=self.shown(measured), override=self._style(), dxfattribs={"layer": "DIMENSIONS"},
        )  # fmt: skip
        made.render()

    def radius(self, radius: float, turn: float, text_at: float) -> None:
        """A radius from the origin towards `turn` [degrees], its text so far out [m]."""
        away = math.radians(turn)
        place = self._at((text_at * math.cos(away), text_at * math.sin(away)))
        made = self.space.add_radius_dim(
            center=(0, 0), radius=radius / self.unit, angle=turn, location=place, text=f"R {self.shown(radius)}",
            override=self._style(), dxfattribs={"layer": "DIMENSIONS"},
        )  # fmt: skip
        made.render()

    def along(self, first: Place, second: Place, at: float, said: str) -> None:
        """Text on a line between two places, at a share of its length, never upside down."""
        x, y = (a + at * (b - a) for a, b in zip(first, second, strict=True))
        turn = math.degrees(math.atan2(second[1] - first[1], second[0] - first[0]))
        turn = (turn + 90) % 180 - 90
        lift = math.radians(turn + 90)
        gap = 0.3 * self.letter
        place = (x + gap * math.cos(lift), y + gap * math.sin(lift))
        self.text(place, said, size=0.8, align="BOTTOM_CENTER", turn=turn)

    def title_block(self, corner: Place, lines: Sequence[str] = ()) -> None:
        """What the drawing shows, of which design, in what unit, and what it is not; downwards from its corner."""
        unit = _(DRAWN_AT["imperial" if self.imperial else "metric"])
        digest = f"design_sha256 {design_sha256(self.design)}"
        x, y = corner
        self.text((x, y), f"{self.design.name}: {self.title}", size=1.4, align="TOP_LEFT")
        for k, line in enumerate((*lines, unit, *map(_, DRAWING_CAUTION), *review_sentences(), digest)):
            self.text((x, y - (2.6 + 1.7 * k) * self.letter), line, align="TOP_LEFT")

    def data(self) -> bytes:
        """The drawing as DXF text."""
        from ezdxf import bbox

        found = bbox.extents(self.space, fast=True)
        box = BoundingBox2d([(p.x, p.y) for p in (found.extmin, found.extmax)])
        self.document.set_modelspace_vport(height=1.1 * max(box.size.y, box.size.x / 1.6), center=tuple(box.center))
        stream = io.StringIO(newline="\n")
        self.document.write(stream)
        return stream.getvalue().encode(self.document.encoding)
