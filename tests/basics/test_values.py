"""No value without a source, and every value readable as what it claims to be."""

from __future__ import annotations

import math

import pytest

from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import (
    KNOWN,
    criteria_set,
    criteria_sets,
    defaults,
    fixed,
    fixed_pairs,
    fixed_values,
    ground_class,
    make_sourced,
    sources,
)
from shellcheck_earth.mechanics.proof import doubts, moisture


def test_a_value_without_a_source_is_refused() -> None:
    with pytest.raises(ValueError, match="no source"):
        make_sourced("x", {"value": "1"})
    with pytest.raises(ValueError, match="no source"):
        make_sourced("x", {"value": "1", "source": "nobody"})
    with pytest.raises(ValueError, match="no way of knowing"):
        make_sourced("x", {"value": "1", "source": "proposed", "known": "surely"})


def test_every_source_says_how_it_is_known() -> None:
    assert all(source.known in KNOWN and source.text for source in sources().values())


@pytest.mark.parametrize("path", sorted(defaults()))
def test_every_default_parses_and_lies_in_its_range(path: str) -> None:
    row = defaults()[path]
    if row.dimension == "text" or row.value in ("as placed", "never"):
        return

    def number(text: str) -> float:
        dimension = "number" if row.dimension == "count" else row.dimension
        raw: object = float(text) if dimension in ("number", "share") and "%" not in text else text
        return parse_quantity(raw, dimension)  # type: ignore[arg-type]

    value = number(row.value)
    if row.low and row.low != "as placed":
        assert number(row.low) <= value
    if row.high and row.high != "as placed":
        assert value <= number(row.high)


def test_values_from_the_table_of_ground() -> None:
    # IBC Table 1806.2 (read): sand 96 kPa.
    assert parse_quantity(ground_class("sand").value, "stress") == 96.0
    # Clay has a cohesion of 6.2 kPa there, no friction: worth 6.2/72 of the weight at the full allowable bearing,
    # no more.
    assert ground_class("clay").extra["friction"] <= 6.2 / 72.0


def test_criteria_sets_hold_the_same_checks() -> None:
    names = [set(criteria_set(name)) for name in criteria_sets()]
    assert len(names) == 6 and all(name == names[0] for name in names)
    assert all(float(row.value) >= 1.0 for name in criteria_sets() for row in criteria_set(name).values())


def test_fixed_numbers_have_their_source_and_are_read_as_they_stand() -> None:
    assert all(row.known in KNOWN and row.note and row.source.text for row in fixed_values().values())
    assert fixed("physics.water_density") == 1000.0
    assert fixed("fill.friction_angle") == pytest.approx(math.pi / 6, rel=1e-15)
    assert fixed("drying.temperate") == 0.0015  # 1.5 mm in a day
    assert fixed_pairs("fill.early_strength", "ages", "shares") == ((0.0, 0.3), (7.0, 0.5), (28.0, 1.0))
    with pytest.raises(KeyError):
        fixed("no.such")


def test_the_checker_holds_the_same_fixed_numbers() -> None:
    # the checker shares no code with the program: what it states by itself is held to the table here
    assert float(moisture.DRY) == fixed("fill.dry_below") and float(moisture.WET) == fixed("fill.wet_from")
    early = tuple((float(age), float(share)) for age, share in moisture.EARLY)
    assert early == fixed_pairs("fill.early_strength", "ages", "shares")
    for name, (diffusivity, evaporation, balance) in moisture.CLIMATES.items():
        row = fixed_values()[f"drying.{name.replace(' ', '_')}"]
        assert float(evaporation) == fixed(row.key)
        assert (float(diffusivity), float(balance)) == (row.extra["diffusivity"], row.extra["balance"])


def test_the_checker_knows_the_same_favourable_ends() -> None:
    declared = {path: row.extra["better"] for path, row in defaults().items() if "better" in row.extra}
    assert {path for path, end in declared.items() if end == "more"} == set(doubts.MORE_IS_BETTER)
    assert {path for path, end in declared.items() if end == "less"} == set(doubts.LESS_IS_BETTER)
    assert {path for path, end in declared.items() if end == "either"} == set(doubts.EITHER_IS_BETTER)
    assert {path for path, row in defaults().items() if row.extra.get("decided")} == set(doubts.DECIDED)
