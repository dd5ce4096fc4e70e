"""Cut one radian out of a case: from courses and their state to the arrays of a lune."""

from __future__ import annotations

import numpy as np

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.rings.lune import FRICTION_BOND, Floats, Lune

__all__ = ["cut_lune"]


def _bond(dome: Dome, bed_inner: Floats, bed_outer: Floats) -> Floats:
    """What each bed passes on to its wire, per radian [kN]: the tested hold of every strand along its middle radius."""
    beds = dome.design.beds
    if beds.wire_bond is None:
        return np.full(len(bed_inner), FRICTION_BOND)
    return beds.wire_strands * beds.wire_bond * (bed_inner + bed_outer) / 2


def cut_lune(dome: Dome, case: Case) -> Lune:
    """The lune of a case, top course first.

    The lowest ring takes no compression and no wire lies under it: it rests on the ground, and a ring held between
    nothing but its own prestress is not counted.
    """
    states = case.states[::-1]
    n = len(states)
    number, z_bottom, z_top, inner, outer, bed_inner, bed_outer, wired = dome.columns[:, :n][:, ::-1]
    here = np.array([state.numbers for state in states]).T
    # The wetter of the two courses at a bed decides; the lowest bed has one alone.
    beside = np.concatenate([here[:, 1:], here[:, -1:]], axis=1)
    strength, strength_wet, dry, wet, cohesion, cohesion_wet, wet_from = np.minimum(here[:7], beside[:7])
    wet_from = np.minimum(np.maximum(wet_from, bed_inner), bed_outer)
    dry_area, wet_area = (wet_from**2 - bed_inner**2) / 2, (bed_outer**2 - wet_from**2) / 2
    # A wetted share of the bed counts by area.
    whole, reached = bed_outer * bed_outer - bed_inner * bed_inner, bed_outer * bed_outer - wet_from * wet_from
    wetted = (wet_from < bed_outer) & (wet < dry)
    share = np.divide(reached, whole, out=np.zeros(n), where=wetted)
    friction = np.where(wetted, dry + (wet - dry) * share, dry)
    # Only the dry band of a wetted ring is counted on: one stress block of one strength.
    depth = np.maximum(np.minimum(here[7], outer) - inner, 0.0)
    counted = here[8] > 0.0
    counted[-1] = False
    wire = np.where(wired > 0.0, dome.design.beds.wire_tension if case.wire else 0.0, 0.0)
    wire[-1] = 0.0
    return Lune(
        number=number,
        z_bottom=z_bottom,
        z_top=z_top,
        weight=here[9],
        moment=here[10],
        bed_inner=bed_inner,
        bed_outer=bed_outer,
        crush_inner=strength,
        crush_outer=strength_wet,
        wet_from=wet_from,
        friction=friction,
        cohesion=cohesion * dry_area + cohesion_wet * wet_area,
        ring_strength=np.where(counted, here[0], 0.0),
        ring_depth=np.where(counted, depth, 0.0),
        wire=wire,
        push=here[11],
        bond=_bond(dome, bed_inner, bed_outer),
    )
