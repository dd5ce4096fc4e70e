"""What a message says of a file that is written in feet."""

from __future__ import annotations

import pytest

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.geometry.reading import parse_design

FEET = '[dome]\ninside_diameter = "12 ft"\n[wall]\ncourse_height = "5 in"\nflat_width = "18 in"\n'


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            '"18 in"',
            '"20 ft"',
            'wall.flat_width: expected a value from 0.165 ft (0.0500 m) to 9.84 ft (3.00 m), found "20',
        ),
        ('"18 in"', '"2 in"', "filled 0.417 ft (0.127 m) high, found a flat width of 0.167 ft (0.0508 m)"),
        ('"18 in"', '"18 in"\nfilled_width = "19 in"', "less than the flat width 1.500 ft (0.4572 m), found 1.583 ft"),
        ("[wall]", '[footing]\nwidth = "1 ft"\ndepth = "1 ft"\n[wall]', "the width of the wall, 1.262 ft"),
        (
            "[wall]",
            '[site]\nground_bearing_wet = "40 psi"\nground_bearing = "20 psi"\n[wall]',
            "dry value 20.00 psi (137.9",
        ),
        ("[wall]", '[fill]\nstrength_wet = "200 psi"\n[wall]', "psi"),
    ],
)
def test_a_file_in_feet_is_told_its_limits_in_feet(old: str, new: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_design(FEET.replace(old, new))
    assert says in str(caught.value)
