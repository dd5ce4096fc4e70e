"""The rows of factors that block cases are asked at, rebuilt from the design file alone.

Part of the checker: standard library only. STATEMENT.md, section 12.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from shellcheck_earth.mechanics.proof.combinations import ALL_CAPACITIES, ON_THE_GROUND, Combination
from shellcheck_earth.mechanics.proof.keys import LEVELS, default
from shellcheck_earth.mechanics.proof.reading import Design

__all__ = ["ON_THE_GROUND", "PLAIN", "BlockRows", "Row"]


@dataclass(frozen=True)
class Row:
    """Factors at once: on permanent weight, on what is imposed or from one side, on snow all around and on wind beside
    it; the others divide capacities. sliding, bearing: divide friction on the ground and its pressure; 0: the ground is
    not asked. counts: something is handed in, and counted with the greatest and the least factor of any row."""

    name: str = ""
    permanent: Fraction = Fraction(1)
    load: Fraction = Fraction(1)
    friction: Fraction = Fraction(1)
    strength: Fraction = Fraction(1)
    wire: Fraction = Fraction(1)
    width: Fraction = Fraction(1)
    sliding: Fraction = Fraction(0)
    bearing: Fraction = Fraction(0)
    snow: Fraction = Fraction(0)
    wind: Fraction = Fraction(0)
    counts: bool = False

    @property
    def as_it_is(self) -> bool:
        """Whether the load alone on weights as they are is held where this is."""
        return self.permanent == 1 and self.snow == self.wind == 0 and not self.counts

    @property
    def asks(self) -> tuple[Fraction, ...]:
        """What it asks of friction, strength, wire and width of a dome whose weight is as it is."""
        return self.friction, self.strength * self.permanent, self.wire * self.permanent, self.width

    @property
    def on_ground(self) -> bool:
        """Whether it asks the ground by factors of its own, which do not go with the weight."""
        return self.sliding > 0 or self.bearing > 0

    def holds(self, other: Row) -> bool:
        """Whether forces that hold a dead load in this row, made smaller together, hold it in the other one."""
        alike = not self.counts or self.permanent == other.permanent
        if self.on_ground or other.on_ground:
            alike = self.permanent == other.permanent and self.on_ground == other.on_ground
            alike = alike and self.sliding >= other.sliding and self.bearing >= other.bearing
        return alike and all(a >= b for a, b in zip(self.asks, other.asks, strict=True))


PLAIN = Row()


class BlockRows:
    """What a design asks its block cases at."""

    def __init__(self, design: Design) -> None:
        self.d = design

    def under(self, quantity: str) -> Fraction:
        """What the ground has when wet; the low end of its range where that was not measured."""
        path = f"site.ground_{quantity}_wet"
        value = min(self.d[path], self.d[path.removesuffix("_wet")])
        return Fraction(value if self.d.bases.get(path) == "measured" else min(value, default(path, "low")))

    def on_the_ground(self, *, sliding: bool) -> Row:
        need = self.d.required
        slide = need["base sliding"] if sliding else Fraction(0)
        return Row(ON_THE_GROUND, sliding=slide, bearing=need["ground bearing"])

    def _made(self, column: str, *, building: bool, handed: bool) -> list[tuple[Combination, Row]]:
        """Every row of factors, with that of a column on the load; handed: beside what is handed in."""
        counts = handed and any(one["permanent"] != 1 for one in self.d.rows)
        strength = "strength_building" if building else "strength"
        tested = "_tested" if ("strength while building" if building else "strength") in self.d.tested else ""
        return [
            (
                one,
                Row(
                    one.name, one["permanent"], one[column], one["friction"], one[strength + tested], one["wire"],
                    sliding=one["ground_friction"], bearing=one["ground_bearing"], counts=counts,
                ),
            )
            for one in self.d.rows
        ]  # fmt: skip

    def _column(self, kind: str) -> str:
        """The column of the factor on a load from one side, by what the site states it as."""
        plain = {"snow": "snow", "rain": "water", "worker": "imposed", "wind": "wind", "earthquake": "earthquake"}[kind]
        level = kind in ("wind", "earthquake") and self.d[f"site.{kind}_basis"] == "strength level"
        return f"{plain}_strength_level" if level else plain

    def _at_once(self, least: Fraction, criterion: str) -> Row:
        """Of a set of global factors: all capacities over what the criterion requires at strength level, and what it
        requires of a characteristic load beyond that on the load."""
        r = least
        if criterion in LEVELS and self.d[LEVELS[criterion]] == "characteristic":
            r = min(least, self.d.asked.level[criterion])
        bearing = self.d.required["ground bearing"]
        return Row(ALL_CAPACITIES, load=least / r, friction=r, strength=r, wire=r, width=r, bearing=bearing)

    def beside(self, kind: str, least: Fraction, *, building: bool, handed: bool = False) -> list[Row]:
        """What a load from one side is asked at: all capacities over what its criterion requires, or the set's rows;
        and the design's own rows."""
        criterion = {"wind": "storm", "earthquake": "earthquake"}.get(kind, "")
        rows = [] if self.d.asked.has_rows else [self._at_once(least, criterion)]
        snowed = kind in ("wind", "earthquake") and self.d["site.snow"] > 0 and not building
        drifted = kind == "snow" and self.d["site.wind_pressure"] > 0
        for one, row in self._made(self._column(kind), building=building, handed=handed):
            snow = one["snow"] if snowed else Fraction(0)
            wind = one[self._column("wind")] if drifted else Fraction(0)
            rows += [replace(row, snow=snow, wind=wind)] if row.load > 0 else []
        return [*_most(rows), *([self.on_the_ground(sliding=False)] if self.d.asked.has_rows else [])]

    def dead(self, *, building: bool, snow: bool, grounded: bool, handed: bool = False) -> list[Row]:
        """What a dead load is asked at beside its reserve; without rows whose forces another one's hold too: what is
        handed in, which every row counts alike, does not go with the weight. grounded: the ground is asked of it."""
        made = self._made("snow" if snow else "permanent", building=building, handed=handed)
        if not grounded:
            made = [(one, replace(row, sliding=Fraction(0), bearing=Fraction(0))) for one, row in made]
        if snow:
            return _most([row for _, row in made if row.load > 0])
        rows, kept = [replace(row, load=Fraction(1)) for _, row in made], list[Row]()
        for row in rows:
            if not any(other.holds(row) for other in kept):
                kept = [one for one in kept if not row.holds(one)] + [row]
        return kept


def _most(rows: Sequence[Row]) -> list[Row]:
    """Of rows alike but for name and load the one with the most of it: with the dead load, asked as well, it holds all
    between (states of forces are convex)."""
    kept: dict[Row, Row] = {}
    for row in rows:
        alike = replace(row, name="", load=row.load if row.wind > 0 else Fraction(0))
        if alike not in kept or row.load > kept[alike].load:
            kept[alike] = row
    return list(kept.values())
