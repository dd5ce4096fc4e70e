"""Loads that push a dome sideways or weigh on one side of it: the reference loads of the three-dimensional check.

Bearings are on plan, clockwise from the entrance; x = r sin(bearing), y = r cos(bearing), as for the blocks of the
dome.

Wind: the published charts of domes end at a rise of half the diameter, and a dome as tall as it is wide lies outside
them. An envelope takes their place: pressure coefficient +0.8 on the windward side, -1.2 over the crown, 0 or -0.5 on
the lee (memory), joined by cos^2 of the angle from the wind around the wall and by sin^2 of the slope up to the crown
(proposed). Both cases of the charts are asked: the windward push falls off from the foot on (A), or only above EVEN_TO
(B). Pressure inside, +0.2 or -0.3, or +-0.55 where a door may stand open, is taken off the pressure outside, each sign
in turn (all over alike).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Buttress, Design, Opening

__all__ = [
    "CROWN",
    "DIRECTIONS",
    "DRIFT",
    "EVEN_TO",
    "INSIDE",
    "INSIDE_OPEN",
    "LEE",
    "OPEN_TOP",
    "VERTICAL",
    "WINDWARD",
    "Gust",
    "SideLoad",
    "directions_to_try",
    "each_once",
    "inside_coefficients",
    "mirrored",
    "on_half",
    "side_loads",
    "turned",
    "wind_beside",
    "wind_coefficient",
    "workers",
]

WINDWARD, CROWN, LEE = fixed("wind.windward"), fixed("wind.crown"), (fixed("wind.lee"), 0.0)
"""Pressure coefficients of the envelope (memory); both values of the lee are tried."""

EVEN_TO = fixed("wind.even_to")
"""Slope of the surface's normal above the level [rad] up to which the windward push does not fall off in case B."""

INSIDE, INSIDE_OPEN = (fixed("wind.inside"), fixed("wind.inside_suction")), fixed("wind.inside_open")
"""Pressure coefficients inside: pressing and sucking with everything shut; of either sign with a door open."""

OPEN_TOP = fixed("wind.open_top")
"""Pressure coefficient inside a stage whose top is open, either sign (memory)."""

DRIFT = fixed("snow.drift")
"""What lies on one half, as a multiple of the snow on the ground, where the wind has carried it there (memory)."""

VERTICAL = fixed("earthquake.vertical")
"""Vertical share of an earthquake beside all of its sideways one, up and down (memory)."""

FLANK_SHARE = fixed("wind.flank_share")
"""Suction on the flanks of the wall as a share of the crown's."""

DIRECTIONS = round(fixed("wind.directions"))
"""Directions of a sideways load that are tried, the first towards the opening that is looked at."""

ON_THE_PLANE = 1e-9
"""Bearings closer than this to their mirror image are it [rad]."""

Kind = Literal["wind", "earthquake", "snow", "worker", "rain"]
Criterion = Literal["storm", "earthquake", "overall reserve"]


@dataclass(frozen=True)
class Gust:
    """Wind towards the same bearing beside another load: pressure [kPa], and its coefficients as in `SideLoad`."""

    amount: float
    lee: float
    inside: float
    even_to: float


@dataclass(frozen=True)
class SideLoad:
    """One reference load; the multiplier of the check is a multiple of it.

    bearing    the direction that the load pushes to (wind, earthquake), or the middle of the loaded half or place [rad]
    amount     wind: peak velocity pressure [kPa]; earthquake: share of weight [-]; snow [kPa]; worker [kN]; rain:
        share of
               the fill's weight that full saturation adds [-]
    criterion  whose required factor the multiplier must reach
    """

    id: str
    title: str
    kind: Kind
    bearing: float
    amount: float
    criterion: Criterion
    lee: float = 0.0
    inside: float = 0.0  # pressure coefficient inside, positive outward
    even_to: float = 0.0  # wind: slope [rad] up to which the windward push does not fall off
    vertical: float = 0.0  # earthquake: upward share beside `amount` [-]
    beside: Gust | None = None  # snow: the wind that drifted it


def wind_coefficient(from_wind: float, slope: float, lee: float, even_to: float = 0.0) -> float:
    """Pressure coefficient, positive inward; `from_wind` is the angle on plan between a place and where the wind comes
    from, `slope` that of the surface's outward normal above the level, both [rad].

    Wall (slope 0): WINDWARD or `lee` weighted by cos^2, half the crown's suction at the flanks weighted by sin^2
    (proposed).
    Crown (slope pi/2): CROWN; between them sin^2 of the slope, on the windward side from `even_to` on.
    """
    c = math.cos(from_wind)
    flank = FLANK_SHARE * CROWN
    front = WINDWARD if c >= 0 else lee
    up = math.sin(slope) ** 2
    begins = math.sin(even_to) ** 2 if c >= 0 else 0.0
    ahead = max(up - begins, 0.0) / (1 - begins)
    return (front * (1 - ahead) + CROWN * ahead) * c * c + (flank * (1 - up) + CROWN * up) * (1 - c * c)


def on_half(bearing: float, middle: float) -> bool:
    """Whether a place lies in the half circle about a bearing."""
    return math.cos(bearing - middle) > 0.0


def inside_coefficients(design: Design, *, open_top: bool = False) -> tuple[float, float]:
    """Greatest and least pressure coefficient inside [-]: a dome with a door is taken with the door open; `open_top`: a
    stage."""
    presses, sucks = INSIDE
    if any(opening.kind == "door" for opening in design.openings):
        presses, sucks = max(presses, INSIDE_OPEN), min(sucks, -INSIDE_OPEN)
    return (max(presses, OPEN_TOP), min(sucks, -OPEN_TOP)) if open_top else (presses, sucks)


def _at_one_bearing(design: Design) -> list[float]:
    """Bearings of the loads at one bearing, then that of the middle of earth on one side [rad]."""
    earth = design.backfill
    aside = [] if earth is None or earth.all_around else [earth.middle]
    return [*(load.bearing for load in design.bearing_loads), *aside]


def mirrored(design: Design, axis: float) -> bool:
    """Whether openings, buttresses and loads at one bearing are their own mirror image in the upright plane through a
    bearing [rad]."""
    parts: list[tuple[float, Opening | Buttress]] = [(o.bearing, replace(o, bearing=0.0)) for o in design.openings]
    parts += [(b.bearing, replace(b, bearing=0.0)) for b in design.buttresses]
    # A load at one bearing may be there without its image: it has to lie in the plane itself, and so has earth.
    if any(abs(math.remainder(2 * (one - axis), 2 * math.pi)) >= ON_THE_PLANE for one in _at_one_bearing(design)):
        return False
    return all(
        any(
            same == other and abs(math.remainder(place + bearing - 2 * axis, 2 * math.pi)) < ON_THE_PLANE
            for place, other in parts
        )
        for bearing, same in parts
    )


def directions_to_try(design: Design) -> tuple[float, ...]:
    """Bearings of a sideways load: towards the widest opening (without any, the first load at one bearing, or the
    earth on one side), square to
    it on both sides, and away from it."""
    first = next(iter(_at_one_bearing(design)), 0.0)
    first = max(design.openings, key=lambda opening: opening.width).bearing if design.openings else first
    return tuple((first + 2 * math.pi * k / DIRECTIONS) % (2 * math.pi) for k in range(DIRECTIONS))


def _degrees(angle: float) -> str:
    return f"{math.degrees(angle) % 360:.0f} deg"


def each_once(design: Design, loads: tuple[SideLoad, ...]) -> list[tuple[SideLoad, list[float]]]:
    """The loads without those that are the mirror image of another; with each the bearings [rad] that it stands for."""
    out: list[tuple[SideLoad, list[float]]] = []
    for load in loads:
        for first, bearings in out:
            alike = replace(load, id=first.id, title=first.title, bearing=first.bearing) == first
            if alike and mirrored(design, (load.bearing + first.bearing) / 2):
                bearings.append(load.bearing)
                break
        else:
            out.append((load, [load.bearing]))
    return out


def _wind(design: Design, b: float, open_top: bool) -> Iterator[SideLoad]:
    """Wind towards a bearing [rad]: with and without suction in the lee, pressing and sucking inside, both cases of the
    charts."""
    pressure = design.site.wind_pressure
    for lee in LEE:
        for within in inside_coefficients(design, open_top=open_top):
            case = f"{'suction' if lee else 'still'}-{'out' if within > 0 else 'in'}"
            title = f"Wind towards {_degrees(b)}, lee {lee:g}, inside {within:+g}"
            falling = SideLoad(f"wind-{math.degrees(b):03.0f}-{case}", title, "wind", b, pressure, "storm", lee, within)
            yield falling
            even = f"{title}, even to {_degrees(EVEN_TO)}"
            yield replace(falling, id=f"{falling.id}-even", title=even, even_to=EVEN_TO)


def turned(load: SideLoad, bearing: float) -> SideLoad:
    """The same load about another bearing [rad], under its own name."""
    bearing = bearing % (2 * math.pi)
    before, after = (math.degrees(b) for b in (load.bearing, bearing))
    name = load.id.replace(f"-{before:03.0f}", f"-{after:03.0f}", 1)  # the bearing stands first
    title = load.title.replace(_degrees(load.bearing), _degrees(bearing), 1)
    return replace(load, id=name, title=title, bearing=bearing)


def _drifted(design: Design, b: float) -> Iterator[SideLoad]:
    """Snow drifted onto the half about a bearing [rad], alone and with the wind that drifted it there: it lies in the
    lee."""
    alone = _from("snow", "Snow drifted onto the half about", b, design.site.snow * DRIFT, "overall reserve")
    yield alone
    for wind in _wind(design, b, False) if design.site.wind_pressure > 0 else ():
        said = wind.id.partition(f"{math.degrees(b):03.0f}-")[2]
        more = f"lee {wind.lee:g}, inside {wind.inside:+g}" + (f", even to {_degrees(EVEN_TO)}" if wind.even_to else "")
        gust = Gust(wind.amount, wind.lee, wind.inside, wind.even_to)
        yield replace(alone, id=f"{alone.id}-wind-{said}", title=f"{alone.title}, wind with {more}", beside=gust)


def wind_beside(load: SideLoad) -> SideLoad | None:
    """The wind that acts beside a load, as one of its own; None where there is none."""
    gust = load.beside
    if gust is None:
        return None
    return replace(
        load, kind="wind", amount=gust.amount, lee=gust.lee, inside=gust.inside, even_to=gust.even_to, beside=None
    )


def _earthquake(design: Design, b: float) -> Iterator[SideLoad]:
    """Towards a bearing [rad], with its vertical share up and down."""
    for word, sign in (("up", 1.0), ("down", -1.0)):
        load = _from("earthquake", "Earthquake towards", b, design.site.earthquake, "earthquake")
        yield replace(
            load,
            id=f"{load.id}-{word}",
            title=f"{load.title}, {word}",
            vertical=sign * VERTICAL * design.site.earthquake,
        )


def workers(design: Design, over: tuple[int, ...]) -> tuple[SideLoad, ...]:
    """One worker on the top ring over each of some openings (by their place in the design file, counted from 0)."""
    if design.building.worker <= 0:
        return ()
    title = "One worker on the top ring over"
    bearings = dict.fromkeys(design.openings[index].bearing % (2 * math.pi) for index in over)
    return tuple(_from("worker", title, b, design.building.worker, "overall reserve") for b in bearings)


def _from(kind: Kind, title: str, bearing: float, amount: float, criterion: Criterion) -> SideLoad:
    name = f"{kind}-half" if kind in ("snow", "rain") else kind
    return SideLoad(
        f"{name}-{math.degrees(bearing):03.0f}", f"{title} {_degrees(bearing)}", kind, bearing, amount, criterion
    )


def side_loads(design: Design, wet_share: float, *, open_top: bool = False) -> tuple[SideLoad, ...]:
    """Every sideways or one-sided load the design has; `wet_share` is what saturation adds to the fill's weight [-],
    `open_top`: of a stage, on which no snow lies."""
    out: list[SideLoad] = []
    bearings, site = directions_to_try(design), design.site
    for b in bearings:
        if site.wind_pressure > 0:
            out += _wind(design, b, open_top)
        if site.earthquake > 0:
            out += _earthquake(design, b)
    for b in bearings:
        if site.snow > 0 and not open_top:
            out += _drifted(design, b)
        if site.left_unprotected and wet_share > 0:
            out.append(_from("rain", "Rain-soaked half about", b, wet_share, "overall reserve"))
    if design.building.worker > 0:
        title = f"One worker on the top ring over {_degrees(bearings[0])}"
        out.append(SideLoad("worker", title, "worker", bearings[0], design.building.worker, "overall reserve"))
    return tuple(out)
