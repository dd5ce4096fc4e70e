"""Which block cases a design demands, and what it says of the blocks in each: rebuilt from the design file alone.

Part of the checker: standard library only. STATEMENT.md, section 8. Bounds on places and capacities are in doubles:
they refuse another dome's blocks; the forces themselves are checked in whole numbers (`blocks.py`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import degrees, pi, remainder, sqrt
from typing import Any

from shellcheck_earth.mechanics.proof.block_places import Clear, Layer, Wall
from shellcheck_earth.mechanics.proof.blocks import check_block_proof
from shellcheck_earth.mechanics.proof.reading import Design, RefusedError
from shellcheck_earth.mechanics.proof.rebuild import UNIT, State, WallCases

__all__ = ["Demand", "block_demands", "block_faults"]

DIRECTIONS, STAGES = 4, 3
CROWN, DEPTH = 0.35, 0.25
"""A ring of bags 0.25 m deep closes in the last course that it reaches into by this share of its height."""
TINY, ALIKE = 1e-6, 1e-9


@dataclass(frozen=True)
class Demand:
    """One state of forces that a "meets" needs: its name, what it must reach, and the wall its blocks stand in."""

    name: str
    least: Fraction
    sideways: bool
    wall: Wall


@dataclass(frozen=True)
class _Opening:
    """Levels above the springing [m], bearing [rad], width [m], head and tie [kN] of a row of the design file."""

    bearing: float
    sill: float
    top: float
    width: float
    height: float
    head: str
    tie: float

    @property
    def rise(self) -> float:
        return min({"round": 0.5, "pointed": sqrt(3) / 2, "lintel": 0.0}[self.head] * self.width, self.height)


def _m(length: int) -> float:
    return length / UNIT


class _Demands:
    def __init__(self, design: Design) -> None:
        self.d, self.cases = design, WallCases(design)
        self.courses = self.cases.courses
        self.floor, self.ground = _m(self.cases.floor), _m(self.cases.ground)
        self.openings = [
            _Opening(
                float(row["bearing"]), self.floor + float(row["sill"]),
                self.floor + float(row["sill"]) + float(row["height"]),
                float(row["width"]), float(row["height"]), row["head"], float(row.get("tie", 0)),
            )
            for row in design["opening"]
        ]  # fmt: skip
        self.buttresses = [
            tuple(float(row[key]) for key in ("bearing", "length", "width", "height")) for row in design["buttress"]
        ]

    # -- what the design says of its blocks --------------------------------------------------------------------------

    def wall(self, states: Sequence[State], *, earthquake: float | None = None, worker: float | None = None) -> Wall:
        d, above, layers = self.d, 0.0, []
        counted = float(d["beds.wire_strands"] * d["beds.wire_breaking_load"] * d["beds.wire_counted_share"])
        beds = self.cases.beds(list(states))
        for bed, state, course in zip(beds, reversed(states), reversed(self.courses[: len(states)]), strict=True):
            weight = (state.dead[0] + state.imposed[0]) / (6 * UNIT**4)
            above += weight
            bond = float(bed.friction or 0) * above if bed.bond is None else float(bed.bond)
            wire = min(counted, bond) if bed.wire > 0 else 0.0
            layers.append(
                Layer(
                    _m(course.z_bottom), _m(course.z_top), _m(course.inner), _m(course.outer),
                    _m(course.bed_inner), _m(course.bed_outer), weight,
                    float(state.friction), float(state.strength), wire,
                )
            )  # fmt: skip
        clear = tuple(
            Clear(remainder(o.bearing, 2 * pi), o.sill, o.top - o.rise, o.top, o.width, o.tie) for o in self.openings
        )
        return Wall(
            tuple(reversed(layers)), clear, max((b[1] for b in self.buttresses), default=0.0), earthquake, worker
        )

    # -- when the forms come out -------------------------------------------------------------------------------------

    def closed(self, o: _Opening, top: int) -> bool:
        """Whether `top` courses close over an opening."""
        if o.head == "lintel":
            return any(_m(course.z_bottom) >= o.top - TINY for course in self.courses[:top])
        return self._arched(o, top) or o.top <= _m(self.courses[top - 1].z_bottom) + TINY

    def _arched(self, o: _Opening, top: int) -> bool:
        off = 0.0 if o.head == "round" else o.width / 2
        inside, height = o.width / 2 + off, _m(self.courses[0].z_top - self.courses[0].z_bottom)
        spring = o.top - sqrt(inside**2 - off**2)
        first = max(round((spring - _m(self.courses[0].z_bottom)) / height), 1)
        if first >= top:
            return False
        apex = _m(self.courses[first].z_bottom) + sqrt((inside + DEPTH) ** 2 - off**2)
        reached = [k for k, course in enumerate(self.courses) if _m(course.z_bottom) + CROWN * height <= apex]
        last = max(reached, default=first)
        return first < last < top and last + 1 < len(self.courses)

    def stages(self) -> list[tuple[int, str]]:
        """(how many courses stand, name of the case) of the stages that are asked with forms out."""
        closing: dict[int, int] = {}
        for top in range(2, len(self.courses)):
            for index, o in enumerate(self.openings):
                if index not in closing and self.courses[top - 1].number >= 1 and self.closed(o, top - 1):
                    closing[index] = top
        whole = []
        for top in sorted(set(closing.values())):
            begun = [i for i, o in enumerate(self.openings) if o.sill < _m(self.courses[top - 1].z_top) - TINY]
            if all(closing.get(i, top + 1) <= top for i in begun):
                whole.append(top)
        whole = whole if len(whole) <= STAGES else [*whole[: STAGES - 1], whole[-1]]
        out = []
        for top in whole:
            every = sum(at <= top for at in closing.values()) == len(self.openings)
            out.append((top, "three-d-forms-out" + ("" if every else f"-{self.courses[top - 1].number:02d}")))
        return out

    # -- loads from one side -----------------------------------------------------------------------------------------

    def mirrored(self, axis: float) -> bool:
        """Whether openings and buttresses are their own image in the upright plane through a bearing [rad]."""
        parts = [(o.bearing, replace(o, bearing=0.0)) for o in self.openings]
        parts += [(b[0], b[1:]) for b in self.buttresses]  # type: ignore[misc]
        return all(
            any(same == other and abs(remainder(at + place - 2 * axis, 2 * pi)) < ALIKE for at, other in parts)
            for place, same in parts
        )

    def directions(self) -> list[float]:
        widest = max(self.openings, key=lambda o: o.width, default=None)
        first = widest.bearing if widest else 0.0
        return [(first + 2 * pi * k / DIRECTIONS) % (2 * pi) for k in range(DIRECTIONS)]

    def once(self, kinds: Iterable[str]) -> list[str]:
        """Names of the loads of one kind without those that are the mirror image of another."""
        kept: list[tuple[str, float]] = []
        names = []
        for kind in kinds:
            for bearing in self.directions():
                alike = [at for other, at in kept if other == kind]
                if not any(self.mirrored((bearing + at) / 2) for at in alike):
                    kept.append((kind, bearing))
                    names.append(kind.format(degrees(bearing)))
        return names

    # -- the list ----------------------------------------------------------------------------------------------------

    def demands(self) -> Iterable[Demand]:
        d, need = self.d, self.d.required
        dry, damp, soaked = (self.cases.finished_states(name) for name in ("dry", "damp", "soaked"))
        bare = d["site.left_unprotected"]
        protected = (d["plaster.outside"] > 0 or d["site.roof"]) and not bare
        finished = [("finished-dry", dry), ("finished-damp", damp)] + (
            [] if protected else [("soaked-through", soaked)]
        )
        for name, states in finished:
            yield Demand(f"three-d-{name}", need["overall reserve"], False, self.wall(states))
        for top, name in self.stages():
            yield Demand(name, need["overall reserve"], False, self.wall(self.cases.stage_states(top)))
        inside = [f"wind-{{:03.0f}}-{lee}-{within}" for lee in ("suction", "still") for within in ("out", "in")]
        if d["site.wind_pressure"] > 0:
            yield from self._sideways("wind", inside, need["storm"], self.wall(dry))
        if d["site.earthquake"] > 0:
            wall = self.wall(damp, earthquake=float(d["site.earthquake"]))
            yield from self._sideways("earthquake", ["earthquake-{:03.0f}"], need["earthquake"], wall)
        if d["site.snow"] > 0:
            yield from self._sideways("snow", ["snow-half-{:03.0f}"], need["overall reserve"], self.wall(dry))
        if bare and soaked[0].dead[0] > dry[0].dead[0]:
            yield from self._sideways("rain", ["rain-half-{:03.0f}"], need["overall reserve"], self.wall(dry))
        if d["building.worker"] > 0:
            wall = self.wall(damp, worker=float(d["building.worker"]))
            yield Demand("three-d-worker, worker", need["overall reserve"], True, wall)

    def _sideways(self, kind: str, names: list[str], least: Fraction, wall: Wall) -> Iterable[Demand]:
        return [Demand(f"three-d-{kind}, {name}", least, True, wall) for name in self.once(names)]


def block_demands(design: Design) -> tuple[Demand, ...]:
    """Every state of forces that a "meets" of this design needs from the block model; () where it needs none."""
    return tuple(_Demands(design).demands()) if design.needs_blocks else ()


def block_faults(design: Design, entries: Any, wanted: bool) -> list[str]:
    """What is missing of the block cases; RefusedError for proofs of cases that the design does not demand.

    wanted: the certificate claims a "meets"; else it may hold none.
    """
    if not isinstance(entries, list) or not all(isinstance(one, Mapping) for one in entries):
        raise RefusedError("blocks: expected a list of proofs")
    unfinished = design.needs_blocks and design["building.unfinished"]
    demands = block_demands(design) if (entries or wanted) and not unfinished else ()
    held = {one.get("case"): one for one in entries}
    if len(held) < len(entries) or not set(held) <= {demand.name for demand in demands}:
        raise RefusedError("blocks: expected one proof for each block case that the design demands")
    out = [] if wanted or not design.needs_blocks else ["its block cases are not proven"]
    if wanted and unfinished:
        out.append("block cases of an unfinished dome are not proven")
    for demand in demands if wanted else ():
        if demand.name not in held:
            out.append(f"block case {demand.name} is not proven")
            continue
        finding = check_block_proof(held[demand.name], demand.wall)
        right = demand.sideways == bool(held[demand.name].get("factor"))
        if finding.proven is None or not right:
            out.append(f"block case {demand.name} is not proven: {finding.why or 'another question'}")
        elif finding.proven < demand.least:
            shown, least = float(finding.proven), float(demand.least)
            out.append(f"block case {demand.name} is proven to {shown:.4g}, {least:.4g} is required")
    return out
