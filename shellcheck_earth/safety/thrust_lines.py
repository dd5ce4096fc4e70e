"""Lines of least and greatest thrust, and the middlemost one, of a case: for drawing and for the working.

Each is one definite line of the exact set, the same on every machine (`mechanics/rings/definite_line`).
"""

from __future__ import annotations

from typing import Literal

from shellcheck_earth.mechanics.rings.admissible import Scales
from shellcheck_earth.mechanics.rings.capacity import Quantities
from shellcheck_earth.mechanics.rings.definite_line import DefiniteLine, Start, definite_line
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.result import ThrustLine

__all__ = ["thrust_lines"]


def _as_data(kind: Literal["least", "greatest", "middlemost"], lune: Lune, found: DefiniteLine) -> ThrustLine:
    return ThrustLine(
        kind=kind,
        x=_floats(found.x),
        z=_floats(lune.z_bottom),
        H=_floats(found.H),
        V=_floats(lune.vertical),
        ring=_floats(found.ring),
        wire=_floats(found.wire),
    )


def _floats(values: object) -> tuple[float, ...]:
    return tuple(float(value) for value in values)  # type: ignore[attr-defined]


def thrust_lines(lune: Lune, q: Quantities) -> tuple[ThrustLine, ...]:
    """Up to three lines; fewer where rounding does not let one be followed, none when no line exists."""
    if not q.admissible:
        return ()
    share = min((q.contact_share.value or 0.01) * (1 + 1e-6), 1.0)
    wanted: tuple[tuple[Literal["least", "greatest", "middlemost"], Start, Scales], ...] = (
        ("least", "least", Scales()),
        ("greatest", "greatest", Scales()),
        ("middlemost", "middle", Scales(contact=share)),
    )
    found = ((kind, definite_line(lune, start, scales)) for kind, start, scales in wanted)
    return tuple(_as_data(kind, lune, line) for kind, line in found if line is not None)
