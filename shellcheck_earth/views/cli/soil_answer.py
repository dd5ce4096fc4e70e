"""What site readings give, as text and as a block for the design file, in the units that they were taken in."""

from __future__ import annotations

from shellcheck_earth.basics.units import Dimension, format_quantity
from shellcheck_earth.loads.site_tests.readings import Reading

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


def answer_toml(readings: tuple[Reading, ...], system: str) -> str:
    """The block for the design file."""
    lines: list[str] = [
        "# From site readings. Strength, friction and wire: what one test in twenty falls below; water: the high end.",
        '# "assumed": too few tests to be a measurement; repeat them.',
    ]
    for section in ("wall", "fill", "beds"):
        own = [one for one in readings if one.path.startswith(f"{section}.")]
        if own:
            lines.append(f"\n[{section}]")
        for one in own:
            written = _quantity(one, one.value, system, 4)
            value = written if _SHOWN[one.path][0] == "number" else f'"{written}"'
            lines.append(f'{one.path.partition(".")[2]} = {{ value = {value}, source = "{one.basis}" }}')
    return "\n".join(lines) + "\n"


def answer_text(readings: tuple[Reading, ...], system: str) -> str:
    """What each reading gives, for the reader."""
    lines = ["What the readings give", ""]
    for one in readings:
        how = "" if one.basis == "measured" else " (assumed: too few tests to be a measurement)"
        lines.append(f"{one.path}: {_quantity(one, one.value, system)} to be used{how}")
        lines.append(
            f"    best estimate {_quantity(one, one.best, system)}, plus or minus "
            f"{_quantity(one, one.uncertainty, system, 2)}, "
            f"from {one.samples} {'reading' if one.samples == 1 else 'readings'}"
        )
        lines.extend(f"    limit: {limit}" for limit in one.limits)
    lines += [
        "",
        "Site tests tell what this batch did on this day. They replace no laboratory and no engineer: where people go",
        "under or onto the dome, have both look at it.",
    ]
    return "\n".join(lines) + "\n"
