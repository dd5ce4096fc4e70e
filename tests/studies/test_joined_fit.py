"""What of joined domes does not fit: refused, with the number that does."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest
from joined_bodies import PAIR_TEXT, WALL_TEXT, example, written

from shellcheck_earth.basics.errors import InputError, UnbuildableError
from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.studies.joined.given import Pair, read_given
from shellcheck_earth.studies.joined.passage import clear_height
from shellcheck_earth.studies.joined.placed import place_pair


def numbers_in(text: str) -> list[float]:
    return [float(found) for found in re.findall(r"(\d+(?:\.\d+)?) m\b", text)]


def changed(**changes: object) -> Pair:
    given = example()
    return replace(given, passage=replace(given.passage, **changes))  # type: ignore[arg-type]


def refused(given: Pair) -> tuple[str, str]:
    with pytest.raises(UnbuildableError) as found:
        place_pair(given)
    path = found.value.problems[0].path
    return path, " and ".join(one.expected for one in found.value.problems if one.path == path)


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("width", 2.6, "jamb"),
        ("width", 0.5, "door"),
        ("springing", 1.25, "whole courses"),
        ("springing", 0.81, "over the door"),
        ("springing", 2.16, "draws in"),
        ("vault_depth", 0.5, "walls it stands on"),
        ("length", 5.0, "at most"),
        ("edge_rounding", 0.2, "less than half"),
    ],
)
def test_what_does_not_fit_is_refused_with_the_number_that_does(key: str, value: float, says: str) -> None:
    path, expected = refused(changed(**{key: value}))
    assert path == f"passage.{key}" and says in expected
    found = numbers_in(expected)
    fits = min(found) if "at most" in expected or "draws in" in expected else max(found)
    if "draws in" in says:  # the level that the vault has to stay under, outside
        given = example().passage
        fits = math.floor((fits - (clear_height(given) - given.springing) - given.vault_depth) / 0.135) * 0.135
    if "less than" in says:
        fits -= 0.01
    elif key != "springing":
        fits += 5e-4 if "at least" in expected else -5e-4  # printed to four figures
    if key == "width":  # a vault that is so wide is too high here, which is another message
        others = [] if value < 1 else [refused(changed(width=fits))[0]]
        assert place_pair(changed(width=fits)) if value < 1 else others == ["passage.springing"]
    else:
        place_pair(changed(**{key: fits}))


def test_domes_that_overlap_are_refused_with_the_distance_that_fits() -> None:
    path, expected = refused(changed(length=None, between_axes=3.9))
    assert path == "passage.between_axes" and "overlap" in expected
    place_pair(changed(length=None, between_axes=numbers_in(expected)[0] + 5e-4))
    assert place_pair(changed(length=None, between_axes=4.92)).length == pytest.approx(
        4.92 - sum(max(c.outer_radius for c in build_dome(d).courses) for d in example().designs)
    )


def with_second(**opening: object) -> Pair:
    given = example()
    first, second = given.designs
    door = replace(second.openings[0], **opening)  # type: ignore[arg-type]
    return replace(given, designs=(first, replace(second, openings=(door,), text="")))


def test_doors_at_other_levels_or_bearings_are_refused() -> None:
    path, expected = refused(with_second(sill=0.27, height=1.45))
    assert path == "dome[2].file" and "sill" in expected and "0 m" in expected
    path, expected = refused(with_second(bearing=math.radians(200)))
    assert path == "dome[2].facing" and "200.0 deg" in expected
    given = example()
    second = replace(given.designs[1], dome=replace(given.designs[1].dome, floor_above_ground=0.2), text="")
    path, expected = refused(replace(given, designs=(given.designs[0], second)))
    assert path == "dome[2].file" and "floor_above_ground" in expected and numbers_in(expected) == [0.1]


def test_another_opening_in_the_way_and_another_wind_are_refused() -> None:
    given = example()
    window = Opening("window", math.radians(90 + 38), 0.9, 0.2, 0.3, "lintel", lintel_bearing=0.1)
    first = replace(given.designs[0], openings=(*given.designs[0].openings, window), text="")
    wide = replace(given, passage=replace(given.passage, width=1.9))
    path, expected = refused(replace(wide, designs=(first, given.designs[1])))
    assert path == "passage.width" and "jamb of dome[1]" in expected and min(numbers_in(expected)) < 1.9
    windy = replace(given.designs[1], site=replace(given.designs[1].site, wind_pressure=0.4), text="")
    path, expected = refused(replace(given, designs=(given.designs[0], windy)))
    assert path == "dome[2].file" and "wind_pressure" in expected
    silent = replace(windy, site=replace(windy.site, not_stated=frozenset({"earthquake"})), text="")
    path, expected = refused(replace(given, designs=(given.designs[0], silent)))
    assert "earthquake" in expected


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[joined]\nname = 'x'\n", "the file: expected a [wall], or two [[dome]] and their [passage], found neither"),
        (PAIR_TEXT.replace("width = ", "widht = "), "nearest: width"),
        (
            PAIR_TEXT.replace('length = "0.75 m"', 'length = "0.75 m"\nbetween_axes = "5 m"'),
            "one of the two, found both",
        ),
        (PAIR_TEXT.replace('springing = "1.215 m"', 'springing = "1.215"'), "passage.springing: expected a length"),
        (PAIR_TEXT.replace('springing = "1.215 m"', ""), "passage.springing: expected a value: it has no default"),
        (PAIR_TEXT.replace('"pointed"', '"flat"'), "passage.head: expected"),
        (PAIR_TEXT.replace("seed-dome.toml", "nowhere.toml"), "nowhere.toml"),
        (PAIR_TEXT.split("[[dome]]")[0] + "[passage]" + PAIR_TEXT.split("[passage]")[1], "two [[dome]] tables"),
        (WALL_TEXT.replace('side = "both"', 'side = "left"'), "wall.buttress.side"),
        (WALL_TEXT.replace('length = "6.0 m"', 'length = "6.0 kg"'), "wall.length: expected a length"),
        (WALL_TEXT.replace('materials = "meeting-dome.toml"', 'materials = ""'), "the path of a design file"),
    ],
)
def test_a_file_that_cannot_be_used_gets_one_clear_message(text: str, says: str, tmp_path: Path) -> None:
    assert text not in (PAIR_TEXT, WALL_TEXT)
    with pytest.raises(InputError, match=re.escape(says)):
        read_given(written(tmp_path, text))
