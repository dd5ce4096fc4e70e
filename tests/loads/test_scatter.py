"""Distributions with their sources, and the domes drawn from them."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.drawn import WALL, Inputs, inputs_of
from shellcheck_earth.loads.materials import friction_at, strength_at
from shellcheck_earth.loads.sampled import dimensions, draw, ring_radii
from shellcheck_earth.loads.scatter import read_scatter, stated_scatter


def points(count: int, seed: int = 0) -> np.ndarray:
    return np.random.default_rng(seed).random((count, dimensions(stated(), len(build_dome(classroom()).courses))))


def stated() -> Inputs:
    return inputs_of(classroom(), stated_scatter())


def test_every_distribution_says_where_it_comes_from() -> None:
    for one in stated_scatter().values():
        assert one.source and one.known in ("read", "abstract", "memory", "common practice", "proposed")
        assert one.measured <= one.spread


def test_the_middle_of_the_cube_is_the_design_itself() -> None:
    design = classroom()
    stack = build_dome(design)
    drawn = draw(stack, stated(), np.full((1, dimensions(stated(), len(stack.courses))), 0.5))
    assert drawn.radii[0] == pytest.approx([c.inner_radius for c in stack.courses], rel=1e-9)  # a root undoes a square
    fill = design.fill
    assert drawn.states[0, 3] == pytest.approx(strength_at(fill, fill.service_moisture, hardened=True), rel=1e-12)
    assert drawn.states[0, 6] == pytest.approx(100.0, rel=1e-12)
    assert drawn.states[0, 0] == pytest.approx(1750 * 1.03 * 9.80665 / 1000, rel=1e-12)
    assert drawn.states[0, 13:] == pytest.approx([2 * 4.2 * 0.3, 0.385, 0.5], rel=1e-12)


@pytest.mark.parametrize("stabiliser", ["none", "cement"])
def test_strength_and_friction_of_arrays_are_those_of_one_design(stabiliser: str) -> None:
    base = classroom()
    design = replace(base, fill=replace(base.fill, stabiliser=stabiliser, strength_wet=20.0))
    stack = build_dome(design)
    u = points(40)
    drawn = draw(stack, stated(), u)
    for k in range(40):
        gamma = drawn.states[k, :3] * 1000 / 9.80665
        # Bulk densities of three moistures: rho (1 + w); the saturated one fills the voids, so rho/rho_s +
        # rho w/1000 = 1.
        rho = (gamma[2] - 1000.0) / (1 - 1000.0 / 2650.0)
        w, placing = gamma[0] / rho - 1, gamma[1] / rho - 1
        assert drawn.states[k, 3] > 0
        dry = drawn.states[k, 3] if w <= 0.04 else None
        if dry is None:
            continue
        fresh, wet = drawn.states[k, 6], drawn.states[k, 5]
        fill = replace(
            design.fill,
            dry_density=rho,
            placing_moisture=placing,
            service_moisture=w,
            strength_dry=dry,
            strength_as_placed=fresh,
            strength_wet=wet,
        )
        assert drawn.states[k, 4] == pytest.approx(strength_at(fill, placing, hardened=True), rel=1e-9)
        beds = replace(design.beds, friction=drawn.states[k, 7], friction_wet=drawn.states[k, 9])
        assert drawn.states[k, 8] == pytest.approx(friction_at(beds, fill, placing), rel=1e-9)


def test_what_cannot_be_together_is_brought_together() -> None:
    drawn = draw(build_dome(classroom()), inputs_of(classroom(), wide()), points(2000))
    states = drawn.states
    drier = (
        states[:, 0] <= states[:, 1]
    )  # in service no damper than placed: else its strength may well be the lesser one
    assert (states[:, 5] <= states[:, 6] * (1 + 1e-12)).all() and (
        states[drier, 6] <= states[drier, 3] * (1 + 1e-12)
    ).all()
    assert (states[:, 9] <= states[:, 7] * (1 + 1e-12)).all()
    assert (states[:, 1] <= states[:, 2] * (1 + 1e-12)).all()
    assert (states[:, 5] < states[:, 6]).any()


def wide() -> MappingProxyType:  # type: ignore[type-arg]
    changed = {key: replace(one, spread=0.9) for key, one in stated_scatter().items() if one.family == "lognormal"}
    return MappingProxyType({**stated_scatter(), **changed})


def test_the_spread_is_the_coefficient_of_variation() -> None:
    """Lognormal of median m and coefficient v: mean m sqrt(1 + v^2), standard deviation v times the mean (any
    statistics text).
    """
    u = points(20_000)
    u[:, WALL.index("wire")] = (np.arange(20_000) + 0.5) / 20_000
    wire = draw(build_dome(classroom()), stated(), u).states[:, 13]
    assert wire.mean() == pytest.approx(2.52 * math.sqrt(1 + 0.25**2), rel=1e-3)  # midpoint rule, tails cut at 1/40000
    assert wire.std() / wire.mean() == pytest.approx(0.25, rel=5e-3)


def test_an_error_of_the_compass_moves_the_ring_by_c_over_r() -> None:
    stack = build_dome(classroom())
    errors = np.full((1, len(stack.courses)), 1e-6)
    moved = ring_radii(stack, 0.0, errors, np.zeros_like(errors), 0.05)[0]
    top = stack.courses[-1]
    # Course 24 of the classroom: c = 3.18 m, r = 0.227 m, so 14 times the error.
    assert (moved[-1] - top.inner_radius) / 1e-6 == pytest.approx(top.compass / top.inner_radius, rel=1e-3)
    assert 13.5 < top.compass / top.inner_radius < 14.5


def test_a_ring_far_off_is_noticed_and_set_back() -> None:
    stack = build_dome(classroom())
    errors = np.full((1, len(stack.courses)), 0.1)
    moved = ring_radii(stack, 0.0, errors, np.zeros_like(errors), 0.05)[0]
    assert moved == pytest.approx([c.inner_radius + 0.05 for c in stack.courses], rel=1e-12)


def test_a_measured_value_scatters_less() -> None:
    design = replace(classroom(), bases=MappingProxyType({"fill.dry_density": "measured"}))
    table = inputs_of(design, stated_scatter()).spreads
    assert table["dry_density"].spread == 0.02 and table["friction"].spread == 0.12


def test_a_users_file_replaces_spreads(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('[dry_density]\nspread = "3 %"\n[compass_misread]\nlink = "30 mm"\n')
    table = read_scatter(path)
    assert table["dry_density"].spread == pytest.approx(0.03) and table["compass_misread"].link == pytest.approx(0.03)
    assert table["friction"] == stated_scatter()["friction"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[dry_densty]\nspread = 0.05\n", "nearest: dry_density"),
        ("[noticed]\nspread = 5\n", "a length"),
        ("[wire]\nspred = 0.1\n", "nearest: spread"),
        ("[wire]\nspread = 7\n", "a share"),
        ("wire = 0.1\n", "a table"),
        ("[wire\n", "a fault"),
    ],
)
def test_a_bad_file_is_refused_with_what_would_do(tmp_path: Path, text: str, says: str) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(text)
    with pytest.raises(InputError, match=says):
        read_scatter(path)
