"""A starter file of site readings, every procedure in its comments: fill in, delete what was not measured."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping

from shellcheck_earth.views.text.language import _

__all__ = ["soil_starter"]

WIDTH, COLUMN = 112, 34
"""Of a line, and where the remark behind a value begins."""


def _said(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="# ", subsequent_indent="# ")


def _behind(line: str, remark: str) -> str:
    return f"{line:{COLUMN}}# {remark}" if len(line) < COLUMN else f"{line}   # {remark}"


def _density_lines() -> list[str]:
    """A box of fill, and its water."""
    return [
        *_said(
            _(
                "Site readings for `shellcheck-earth soil`. Every value is a string with its unit; metric and "
                "imperial mix freely. Delete every section that was not measured. `..._within` is how far off a "
                "reading may be (plus or minus)."
            )
        ),
        "",
        _behind("[sample]", _("a box or a length of tube filled and tamped as hard as the wall")),
        'mass = "31.0 kg"',
        'mass_within = "0.1 kg"',
        *_said(_("measured with water or sand; a tube is rounder than width x height x length")),
        'volume = "16.0 l"',
        'volume_within = "0.4 l"',
        _behind('particle_density = "2650 kg/m3"', _("of the grains: sand 2650, clay up to 2800")),
        "",
        *_said(_("a spoonful of the same fill, weighed damp, dried until it loses no more, weighed again")),
        "[drying]",
        _behind('wet = "1250 g"', _("with its container")),
        _behind('dry = "1165 g"', _("with its container")),
        'container = "310 g"',
        'mass_within = "2 g"',
        "",
    ]


def _strength_lines() -> list[str]:
    """What is crushed and what is tilted."""
    return [
        *_said(_("cylinders, cubes or whole bags pressed until they fail; one section a state of the fill")),
        "[[crush]]",
        _behind('state = "as placed"', "dry | as placed | wet"),
        _behind('width = "150 mm"', _("least width or diameter")),
        _behind('length = "150 mm"', _("the other width; leave out for a round sample")),
        'height = "300 mm"',
        'loads = ["3.4 kN", "3.9 kN", "3.6 kN"]',
        'load_within = "0.1 kN"',
        "",
        *_said(
            _(
                "one filled course on another, wire between as in the wall, loaded, tilted until it slips: three "
                "times at least, rebuilt each time"
            )
        ),
        *_tilted(
            '"33 deg", "35 deg", "34 deg"',
            "120 kg",
            {
                "bed": "dry | wet",
                "angles": _("when it slips; over 60 degrees it is interlock, not friction"),
                "mass": _("of all that lies on the bed: the upper course and its load"),
                "width": _("of the bed"),
            },
        ),
        "",
        *_said(_("three more with at least twice the load tell friction from interlock; fewer are no measurement")),
        *_tilted('"30 deg", "31 deg", "30 deg"', "300 kg", {}),
        "",
    ]


def _tilted(angles: str, mass: str, remarks: Mapping[str, str]) -> list[str]:
    """One load of the tilted course; remarks stand behind the keys they are about."""
    lines = {
        "bed": 'bed = "dry"',
        "angles": f"angles = [{angles}]",
        "angle_within": 'angle_within = "1 deg"',
        "mass": f'mass = "{mass}"',
        "width": 'width = "350 mm"',
        "length": 'length = "800 mm"',
    }
    return ["[[tilt]]", *(_behind(line, remarks[key]) if key in remarks else line for key, line in lines.items())]


def _water_lines() -> list[str]:
    """What soaks in, the tube and the wire."""
    return [
        *_said(_("a ring sealed onto a tamped face, water a few millimetres deep, topped up from a measure")),
        "[soak]",
        _behind('depth = "18 mm"', _("water taken in: volume over the area of the ring")),
        'depth_within = "1 mm"',
        'time = "6 h"',
        *_said(_("clay 320, clay loam 210, loam 90, sand 50 mm (farm soils; Rawls and others 1983)")),
        'suction_head = "210 mm"',
        "",
        "[tube]",
        _behind('flat_width = "450 mm"', _("empty, laid flat, one layer wide")),
        _behind('filled_width = "370 mm"', _("filled and tamped, in at least three places")),
        'course_height = "135 mm"',
        'within = "5 mm"',
        "",
        _behind("[wire]", _("single strands pulled until they break")),
        'loads = ["4.1 kN", "4.4 kN", "4.2 kN"]',
        'load_within = "0.1 kN"',
    ]


def soil_starter() -> str:
    """The file, its remarks in the reader's language; TOML that `soil` reads as it stands."""
    return "\n".join([*_density_lines(), *_strength_lines(), *_water_lines()]) + "\n"
