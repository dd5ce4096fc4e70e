"""What an owner-builder can measure on the site, turned into inputs with their uncertainty and the
procedure's limits.

All functions take SI values (m, kg, kN, kPa, kg/m3, hours, rad) with `*_u` the reading uncertainty (plus or
minus), and refuse impossible readings with the reason (InputError). `Reading.value` is what goes into the
design: the best estimate for densities, moistures and sizes, the 5 % fractile for strength, friction and
wire, the unfavourable end for water.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.units import INCH, both
from shellcheck_earth.basics.values import fixed_pairs
from shellcheck_earth.design.design import Basis
from shellcheck_earth.loads.phases import saturation_moisture
from shellcheck_earth.loads.site_tests.fractile import FEWEST_TESTS, characteristic

__all__ = [
    "Reading",
    "aspect_factor",
    "conductivity_from_soak",
    "density_from_sample",
    "mean_and_spread",
    "moisture_from_drying",
    "refusal",
    "require_positive",
    "strength_from_crushing",
    "tube_from_filling",
    "wire_from_breaking",
]


@dataclass(frozen=True)
class Reading:
    """One input. `path` in the design file; `best` estimate and its `uncertainty`; `value` as it is to be
    used [SI]; `basis`: "assumed" where the tests are too few to be a measurement."""

    path: str
    value: float
    best: float
    uncertainty: float
    samples: int
    limits: tuple[str, ...]
    basis: Basis = "measured"


def refusal(path: str, expected: str, found: str, hint: str = "") -> InputError:
    """The error for a reading that says nothing."""
    return InputError([Problem(path, expected, found, hint)])


def _small(length: float) -> str:
    """A length [m] in millimetres, inches behind it."""
    return f"{1000 * length:.4g} mm ({length / INCH:.3g} in)"


def require_positive(path: str, *values: float) -> None:
    """InputError unless a reading is above zero."""
    for value in values:
        if not (math.isfinite(value) and value > 0.0):
            raise refusal(path, "a number over 0", f"{value:g}")


def moisture_from_drying(
    wet: float, dry: float, container: float = 0.0, mass_u: float = 0.0, path: str = "fill.placing_moisture"
) -> Reading:
    """w = (m_wet - m_dry)/(m_dry - m_container) [-]; masses with their container [kg]."""
    where = "reading.moisture"
    require_positive(where, wet, dry)
    if dry > wet:
        raise refusal(
            where,
            f"a dry mass of at most the wet mass, {wet:g} kg",
            f"{dry:g} kg",
            "a sample cannot gain by drying: are the two masses swapped?",
        )
    if not 0.0 <= container < dry:
        raise refusal(where, f"a container lighter than it is with the dry soil, {dry:g} kg", f"{container:g} kg")
    soil = dry - container
    moisture = (wet - dry) / soil
    # dw/dm_wet = 1/m_s, dw/dm_dry = -(1 + w)/m_s, dw/dm_c = w/m_s for independent weighings
    spread = mass_u / soil * math.sqrt(1.0 + (1.0 + moisture) ** 2 + (moisture**2 if container else 0.0))
    return Reading(
        path,
        moisture,
        moisture,
        spread,
        1,
        (
            "dry until two weighings an hour apart agree; a pan over a fire dries less evenly than an "
            "oven at 105 degrees C",
            "take the sample from the middle of the batch: the surface has dried already",
        ),
    )


def density_from_sample(
    mass: float,
    volume: float,
    moisture: float,
    particle_density: float,
    mass_u: float = 0.0,
    volume_u: float = 0.0,
    moisture_u: float = 0.0,
) -> Reading:
    """rho_d = m/(V (1 + w)) [kg/m3] of a sample tamped like the wall; refused when its voids cannot hold its
    water."""
    where = "reading.density"
    require_positive(where, mass, volume)
    dry = mass / volume / (1.0 + moisture)
    if dry >= particle_density:
        raise refusal(
            where,
            f"a dry density under that of the grains, {both(particle_density, 'density', figures=4)}",
            both(dry, "density", figures=4),
            "check the volume",
        )
    full = saturation_moisture(dry, particle_density)
    if moisture > full:
        raise refusal(
            where,
            f"a moisture of at most {100 * full:.1f} %, which fills every void at {both(dry, 'density', figures=4)}",
            f"{100 * moisture:.1f} %",
            "the mass is wetter than saturation: check the volume and the moisture",
        )
    share = math.sqrt((mass_u / mass) ** 2 + (volume_u / volume) ** 2 + (moisture_u / (1.0 + moisture)) ** 2)
    return Reading(
        "fill.dry_density",
        dry,
        dry,
        dry * share,
        1,
        (
            "tamp the sample as hard as the wall: a loose sample understates the weight",
            "a filled length of tube measured by its width, height and length is rounder than a box: its "
            "volume is less",
        ),
    )


_ASPECT = fixed_pairs("tests.aspect", "ratios", "shares")


def aspect_factor(ratio: float) -> float:
    """Share of a squat sample's strength that counts, by height over least width (0.4: 0.5, 1: 0.7, 3: 0.85,
    5: 1; the correction used in earth building standards, memory): the plates hold a squat sample
    together."""
    if ratio < _ASPECT[0][0]:
        raise refusal(
            "reading.strength",
            f"a sample at least {_ASPECT[0][0]:g} times as tall as wide",
            f"{ratio:.2f} times",
            "so flat a sample is held together by the plates and tells nothing of its strength",
        )
    for (r0, f0), (r1, f1) in pairwise(_ASPECT):
        if ratio <= r1:
            return f0 + (f1 - f0) * (ratio - r0) / (r1 - r0)
    return 1.0


def mean_and_spread(values: Sequence[float]) -> tuple[float, float]:
    """(mean, uncertainty): half the range of three or more samples; of fewer, at least a quarter of the
    mean."""
    mean = math.fsum(values) / len(values)
    half = (max(values) - min(values)) / 2
    return mean, half if len(values) >= 3 else max(half, 0.25 * mean)


def counted(values: Sequence[float]) -> tuple[float, Basis]:
    """What these tests of one thing let count, and how it is then known.

    From three tests on the 5 % fractile by their number and scatter; of fewer no more than the lowest and than the mean
    less a quarter, which is assumed and not measured.
    """
    if len(values) >= FEWEST_TESTS:
        return characteristic(values), "measured"
    mean, spread = mean_and_spread(values)
    return min(min(values), mean - spread), "assumed"


def too_few(tests: int, what: str) -> tuple[str, ...]:
    """The limit to be told where the tests are fewer than say something of their scatter."""
    if tests >= FEWEST_TESTS:
        return ()
    return (f"{tests} of at least {FEWEST_TESTS} {what}: assumed, not measured, for nothing is known of the scatter",)


def strength_from_crushing(
    loads: Sequence[float],
    area: float,
    height: float,
    width: float,
    path: str,
    load_u: float = 0.0,
    area_u: float = 0.0,
) -> Reading:
    """Strength [kPa] = load/area x aspect factor, of equal cylinders, cubes or bags. `width` is the least one
    [m].

    The value used is the 5 % fractile of the samples (see `counted`), less the reading uncertainty.
    """
    require_positive("reading.strength", *loads, area, height, width)
    if not loads:
        raise refusal("reading.strength", "at least one crushing load", "none")
    factor = aspect_factor(height / width)
    stresses = [factor * load / area for load in loads]
    best, spread = mean_and_spread(stresses)
    reading = best * math.hypot(load_u * len(loads) / math.fsum(loads), area_u / area)
    sure, basis = counted(stresses)
    return Reading(
        path,
        max(sure - reading, 0.0),
        best,
        math.hypot(spread, reading),
        len(loads),
        (
            *too_few(len(loads), "samples"),
            f"height over width {height / width:.2f}: {factor:.2f} of the reading counts",
            "it holds for this soil, this moisture and this age; crush at least three at each",
            "a bag or tube crushed whole is held by its fabric, which does not last: the fill alone is less",
        ),
        basis,
    )


def conductivity_from_soak(
    depth: float,
    hours: float,
    suction: float,
    deficit: float,
    depth_u: float = 0.0,
    path: str = "fill.hydraulic_conductivity",
) -> Reading:
    """K [m/h] from the depth of water F a ponded face took in: K = (F - psi dtheta ln(1 + F/(psi dtheta)))/t
    (Green & Ampt).

    The value used is the high end: more water in.
    """
    where = "reading.soak"
    require_positive(where, depth, hours, suction, deficit)
    if depth_u >= depth:
        raise refusal(
            where,
            f"a depth of water over its uncertainty, {_small(depth_u)}",
            _small(depth),
            "soak for longer",
        )
    storage = suction * deficit

    def conductivity(water: float) -> float:
        return (water - storage * math.log1p(water / storage)) / hours

    best, high = conductivity(depth), conductivity(depth + depth_u)
    return Reading(
        path,
        high,
        best,
        high - best,
        1,
        (
            "seal the ring's edge: a leak reads as a thirsty soil; the standing depth must be small "
            "beside the suction head",
            "soak a sample tamped like the wall, not the loose soil",
            f"taken with a suction head of {_small(suction)} and {100 * deficit:.0f} % of the volume to fill",
        ),
    )


def tube_from_filling(
    flat_width: float, filled_width: float, height: float, length_u: float = 0.0
) -> tuple[Reading, Reading]:
    """(filled width, course height) [m], checked against the fabric: 2B = 2(t - h) + pi h, so t = B - (pi/2 -
    1) h."""
    where = "reading.tube"
    require_positive(where, flat_width, filled_width, height)
    around = 2.0 * (filled_width - height) + math.pi * height
    if filled_width < height:
        raise refusal(
            where,
            f"a filled width of at least the height, {_small(height)}",
            _small(filled_width),
            "are width and height swapped?",
        )
    if around > 1.05 * 2.0 * flat_width + 4.0 * length_u:
        raise refusal(
            where,
            f"a section that {both(2 * flat_width, 'length')} of fabric can reach around",
            f"{both(around, 'length')} around",
            "flat width is that of the empty tube laid flat, one layer wide",
        )
    expected = flat_width - (math.pi / 2 - 1) * height
    note = (
        f"the fabric alone would give {_small(expected)} of width at this height; "
        f"measured {_small(filled_width)}, after tamping, in at least three places"
    )
    return (
        Reading("wall.filled_width", filled_width, filled_width, length_u, 1, (note,)),
        Reading("wall.course_height", height, height, length_u, 1, ("measure several tamped courses and divide",)),
    )


def wire_from_breaking(loads: Sequence[float], load_u: float = 0.0) -> Reading:
    """Breaking load of one strand [kN]: the 5 % fractile of the tests (see `counted`), less the reading uncertainty."""
    require_positive("reading.wire", *loads)
    if not loads:
        raise refusal("reading.wire", "at least one breaking load", "none")
    best, spread = mean_and_spread(loads)
    sure, basis = counted(loads)
    return Reading(
        "beds.wire_breaking_load",
        max(sure - load_u, 0.0),
        best,
        math.hypot(spread, load_u),
        len(loads),
        (
            *too_few(len(loads), "strands"),
            "a strand that slips in its grip reads low, one that is jerked reads low too; both lie on the "
            "cautious side",
            "laps, slack and rust are not in it: they are what wire_counted_share is for",
        ),
        basis,
    )
