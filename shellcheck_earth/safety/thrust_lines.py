"""The least, the greatest and the middlemost thrust line of a case, for drawing and for the working."""

from __future__ import annotations

from typing import Literal

from shellcheck_earth.basics.errors import UndecidedError
from shellcheck_earth.mechanics.rings.admissible import Scales
from shellcheck_earth.mechanics.rings.capacity import Quantities
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.mechanics.rings.programme import Line, line
from shellcheck_earth.safety.result import ThrustLine

__all__ = ["thrust_lines"]


def _as_data(kind: Literal["least", "greatest", "middlemost"], lune: Lune, found: Line) -> ThrustLine:
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
    """Up to three lines; fewer when the programme does not answer, none when no line exists."""
    if not q.admissible:
        return ()
    share = min((q.contact_share.value or 0.01) * (1 + 1e-6), 1.0)
    wanted: tuple[
        tuple[Literal["least", "greatest", "middlemost"], Literal["least", "greatest", "any"], Scales], ...
    ] = (
        ("least", "least", Scales()),
        ("greatest", "greatest", Scales()),
        ("middlemost", "any", Scales(contact=share)),
    )
    out = []
    for name, objective, scales in wanted:
        try:
            found = line(lune, objective, scales)
        except UndecidedError:
            continue
        if found is not None:
            out.append(_as_data(name, lune, found))
    return tuple(out)
