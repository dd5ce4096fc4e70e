"""What is drawn of one design: a coordinate for each uncertain value, and which values of its fills share one.

A group of courses takes over from [fill] what it does not say otherwise; that is one value, so it is one draw. A value
of its own is a draw of its own, independent of the wall's: another mixture, another day, and nothing is known that ties
the two. Of strengths that is the unfavourable end: the dome is short where any of its courses is, and one of several
independent strengths is low more often than one that is low for all. Of weights it is not: that all courses are heavy
at once is rarer.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from shellcheck_earth.design.design import Design, group_path
from shellcheck_earth.loads.scatter import PATHS, Scatter

__all__ = ["VALUES", "WALL", "Inputs", "inputs_of", "place_in_file"]

VALUES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "dry_density": ("dry_density",),
        "placing_moisture": ("placing_moisture",),
        "service_moisture": ("service_moisture",),
        "strength_dry": ("strength", "strength_own:dry"),
        "strength_as_placed": ("strength", "strength_own:placed"),
        "strength_wet": ("strength", "strength_own:wet"),
    }
)
"""The values of a fill that scatter, and the factors each is multiplied by."""

OF_A_FILL = tuple(dict.fromkeys(name for factors in VALUES.values() for name in factors))

WALL = (*OF_A_FILL, "friction", "friction_wet_own", "wire", "filled_width")
"""Inputs of the wall with one coordinate each, in this order. Those of the groups come behind, then the compass."""


@dataclass(frozen=True)
class Inputs:
    """What is drawn of one design.

    names    inputs with one coordinate each, in this order; a group's as `wall.courses[1].dry_density`
    spreads  by name, without what follows a colon; and those of the compass
    fills    of the wall's own fill, then of each group: the names of the factors of each of VALUES
    """

    names: tuple[str, ...]
    spreads: Mapping[str, Scatter]
    fills: tuple[Mapping[str, tuple[str, ...]], ...]

    def spread(self, name: str) -> Scatter:
        """The distribution of an input."""
        return self.spreads[name.partition(":")[0]]


def place_in_file(name: str) -> tuple[int, str]:
    """(group of courses, 0 for the wall; the name that the same input of the wall has)."""
    group, dot, rest = name.removeprefix("wall.courses[").partition("].")
    return (int(group), rest) if dot else (0, name)


def inputs_of(design: Design, table: Mapping[str, Scatter], own: Sequence[Collection[str]] = ()) -> Inputs:
    """What is drawn of a design.

    Parameters
    ----------
    design
        Its spreads are those of values that were measured where it says so, of each fill by itself.
    table
        The stated distributions (`scatter`).
    own
        Of each group of courses, which of VALUES it does not take over from [fill].

    Returns
    -------
    Inputs
        Coordinates, distributions and shared draws. ValueError where `own` does not have an entry for every group.
    """
    names, fills = [*WALL], [VALUES]
    spreads = {key: _of(design, one, 0) for key, one in table.items()}
    for group, (_, of) in enumerate(zip(design.groups, own, strict=True), 1):
        fills.append(
            MappingProxyType(
                {
                    value: tuple(group_path(group, name) for name in factors) if value in of else factors
                    for value, factors in VALUES.items()
                }
            )
        )
        added = list(dict.fromkeys(name for value in VALUES if value in of for name in fills[-1][value]))
        names += added
        for name in added:
            key = place_in_file(name)[1].partition(":")[0]
            spreads[group_path(group, key)] = _of(design, table[key], group)
    return Inputs(tuple(names), MappingProxyType(spreads), tuple(fills))


def _of(design: Design, one: Scatter, group: int) -> Scatter:
    """The distribution with the spread that applies: the smaller one where every value it moves was measured."""
    paths = [group_path(group, path) for path in PATHS.get(one.key, ())]
    known = all(design.bases.get(path) == "measured" for path in paths)
    measured = known if paths else design.dome.profile == "measured"
    return replace(one, spread=one.measured) if measured else one
