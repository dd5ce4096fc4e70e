"""Phase relations of the fill. Any soil mechanics text (Craig; Das: recalled from memory) has them.

Moisture `w` is the mass of water over the mass of dry soil; densities in kg/m3; unit weights in kN/m3.
"""

from __future__ import annotations

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.values import fixed

__all__ = [
    "GRAVITY",
    "WATER_DENSITY",
    "bulk_density",
    "porosity",
    "saturation",
    "saturation_moisture",
    "unit_weight",
    "void_ratio",
]

WATER_DENSITY = fixed("physics.water_density")
"""kg/m3; fresh water near 4 degrees (any physics table, memory)."""

GRAVITY = 9.80665
"""m/s2, standard gravity (3rd CGPM 1901, memory)."""


def porosity(dry_density: float, particle_density: float) -> float:
    """n = 1 - rho_d/(G_s rho_w) [-]; InputError unless 0 < dry density < particle density."""
    if not 0.0 < dry_density < particle_density:
        raise InputError(
            [
                Problem(
                    "fill.dry_density",
                    f"more than 0 and under {particle_density:g} kg/m3, the density of the grains",
                    f"{dry_density:g} kg/m3",
                )
            ]
        )
    return 1.0 - dry_density / particle_density


def void_ratio(dry_density: float, particle_density: float) -> float:
    """e = n/(1 - n) [-]."""
    n = porosity(dry_density, particle_density)
    return n / (1.0 - n)


def saturation_moisture(dry_density: float, particle_density: float) -> float:
    """w_sat = e/G_s [-]: all voids full of water."""
    return void_ratio(dry_density, particle_density) * WATER_DENSITY / particle_density


def saturation(moisture: float, dry_density: float, particle_density: float) -> float:
    """S = w G_s/e [-]; InputError when there is more water than the voids can hold."""
    full = saturation_moisture(dry_density, particle_density)
    if not 0.0 <= moisture <= full * (1.0 + 1e-12):
        raise InputError(
            [
                Problem(
                    "moisture", f"between 0 and {100 * full:.1f} %, which fills every void", f"{100 * moisture:.1f} %"
                )
            ]
        )
    return min(moisture / full, 1.0)


def bulk_density(dry_density: float, moisture: float) -> float:
    """rho = rho_d (1 + w) [kg/m3]."""
    return dry_density * (1.0 + moisture)


def unit_weight(density: float) -> float:
    """gamma = rho g [kN/m3]."""
    return density * GRAVITY / 1000.0
