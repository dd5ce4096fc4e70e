"""What site readings give, as text and as a block for the design file, in the units that they were taken in."""

from __future__ import annotations

from shellcheck_earth.basics.texts import wrapped
from shellcheck_earth.basics.units import Dimension, format_quantity
from shellcheck_earth.loads.site_tests.readings import Reading
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark, review_sentences

__all__ = ["answer_text", "answer_toml"]

_SHOWN: dict[str, tuple[Dimension, str, str]] = {
    "fill.dry_density": ("density", "kg/m3", "lb/ft3"),
    "fill.placing_moisture": ("share", "%", "%"),
    "fill.strength_dry": ("stress", "kPa", "psi"),
    "fill.strength_as_placed": ("stress", "kPa", "psi"),
    "fill.strength_wet": ("stress", "kPa", "psi"),
    "fill.hydraulic_conductivity": ("speed", "cm/h", "in/h"),
    "fill.particle_density": ("density", "kg/m3", "lb/ft3"),
    "fill.suction_head": ("length", "mm", "in"),
    "beds.friction": ("number", "", ""),
    "beds.friction_wet": ("number", "", ""),
    "beds.wire_breaking_load": ("force", "kN", "lbf"),
    "wall.filled_width": ("length", "mm", "in"),
    "wall.course_height": ("length", "mm", "in"),
}
"""Dimension and unit of an answer, where most readings are metric and where most are imperial."""


def _si(reading: Reading, value: float) -> float:
    """Conductivity is read in m/h and written as a speed in m/s; everything else is SI already."""
    return value / 3600.0 if reading.path == "fill.hydraulic_conductivity" else value


def _quantity(reading: Reading, value: float, system: str, figures: int = 3) -> str:
    dimension, metric, imperial = _SHOWN[reading.path]
    unit = imperial if system == "imperial" else metric
    return format_quantity(_si(reading, value), dimension, unit=unit, figures=figures)


LIMITS = (
    mark(
        "dry until two weighings an hour apart agree; a pan over a fire dries less evenly than an oven at 105 degrees C"
    ),
    mark("take the sample from the middle of the batch: the surface has dried already"),
    mark("tamp the sample as hard as the wall: a loose sample understates the weight"),
    mark("a filled length of tube measured by its width, height and length is rounder than a box: its volume is less"),
    mark("{0} of at least {1} samples: assumed, not measured, for nothing is known of the scatter"),
    mark("{0} of at least {1} strands: assumed, not measured, for nothing is known of the scatter"),
    mark("height over width {0}: {1} of the reading counts"),
    mark("it holds for this soil, this moisture and this age; crush at least three at each"),
    mark("a bag or tube crushed whole is held by its fabric, which does not last: the fill alone is less"),
    mark(
        "seal the ring's edge: a leak reads as a thirsty soil; the standing depth must be small beside the suction head"
    ),
    mark("soak a sample tamped like the wall, not the loose soil"),
    mark("taken with a suction head of {0} mm ({1} in) and {2} % of the volume to fill"),
    mark(
        "the fabric alone would give {0} mm ({1} in) of width at this height; measured {2} mm ({3} in), after tamping,"
        " in at least three places"
    ),
    mark("measure several tamped courses and divide"),
    mark("a strand that slips in its grip reads low, one that is jerked reads low too; both lie on the cautious side"),
    mark("laps, slack and rust are not in it: they are what wire_counted_share is for"),
    mark(
        "one pressure only, {0} kPa ({1} psi): any interlock is still in it and overstates friction at higher pressure"
    ),
    mark(
        "assumed, not measured: it takes {0} tilts at each of two loads, one twice the other, to tell friction from"
        " interlock and from chance"
    ),
    mark(
        "pressures of {0} kPa ({1} psi) to {2} kPa ({3} psi); interlock of about {4} kPa ({5} psi) was taken out and is"
        " not counted"
    ),
    mark("wet beds need a test of their own"),
)
"""What the readings say of their limits, with their numbers left open."""


def answer_toml(readings: tuple[Reading, ...], system: str) -> str:
    """The block for the design file; its remarks in the reader's language."""
    water = _(
        "From site readings. Strength, friction and wire: what one test in twenty falls below; water: the high end."
    )
    few = _('"assumed": too few tests to be a measurement; repeat them.')
    lines: list[str] = [f"# {water}", f"# {few}"]
    for section in ("wall", "fill", "beds"):
        own = [one for one in readings if one.path.startswith(f"{section}.")]
        if own:
            lines.append(f"\n[{section}]")
        for one in own:
            written = _quantity(one, one.value, system, 4)
            value = written if _SHOWN[one.path][0] == "number" else f'"{written}"'
            lines.append(f'{one.path.partition(".")[2]} = {{ value = {value}, source = "{one.basis}" }}')
    return "\n".join(lines) + "\n"


def _from_words(one: Reading) -> str:
    if one.samples == 1:
        return _("from 1 reading")
    return _("from {count} readings", count=one.samples)


def answer_text(readings: tuple[Reading, ...], system: str) -> str:
    """What each reading gives, for the reader."""
    lines = [_("What the readings give"), ""]
    for one in readings:
        how = "" if one.basis == "measured" else " " + _("(assumed: too few tests to be a measurement)")
        lines.append(
            _("{path}: {value} to be used{how}", path=one.path, value=_quantity(one, one.value, system), how=how)
        )
        said = _(
            "best estimate {best}, plus or minus {within}, {from_what}",
            best=_quantity(one, one.best, system),
            within=_quantity(one, one.uncertainty, system, 2),
            from_what=_from_words(one),
        )
        lines.append(f"    {said}")
        limits = [_("limit: {limit}", limit=said_below(limit)) for limit in one.limits]
        lines.extend(f"    {limit}" for limit in limits)
    last = _(
        "Site tests tell what this batch did on this day. They replace no laboratory and no engineer: where people go"
        " under or onto the dome, have both look at it."
    )
    for text in (last, *review_sentences()):
        lines += ["", *wrapped(text)]
    return "\n".join(lines) + "\n"
