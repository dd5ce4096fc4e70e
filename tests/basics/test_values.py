"""No value without a source, and every value readable as what it claims to be."""

from __future__ import annotations

import pytest

from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import (
    KNOWN,
    criteria_set,
    criteria_sets,
    defaults,
    ground_class,
    make_sourced,
    sources,
)


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
    if row.dimension == "text" or row.value == "as placed":
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
    assert len(names) == 2 and names[0] == names[1]
    assert all(float(row.value) >= 1.0 for name in criteria_sets() for row in criteria_set(name).values())
