"""The study of uncertain inputs: its statistics by hand, and the same bits however it is run."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.parallel import Crew
from shellcheck_earth.design.design import CourseGroup
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.drawn import inputs_of
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.safety.check import quiet
from shellcheck_earth.studies.sample.statistics import BINS, Tally, add_tallies, indices, share_of
from shellcheck_earth.studies.sample.study import Chance, Study, make_study, run_study
from shellcheck_earth.views.pages.sample import chance_json


@pytest.fixture(scope="module")
def study() -> Study:
    base = classroom()
    strong = replace(base.fill, strength_dry=900.0, strength_as_placed=240.0, strength_wet=200.0)
    return make_study(replace(base, fill=strong), stated_scatter(), 300, 5)


@pytest.fixture(scope="module")
def alone(study: Study) -> Chance:
    return run_study(study, quiet)


def test_sizes_are_powers_of_two_in_sixteen_to_thirty_two_scramblings() -> None:
    for samples in (1, 15, 16, 100, 300, 5000):
        found = make_study(classroom(), stated_scatter(), samples, 1)
        assert found.samples >= samples and found.points & (found.points - 1) == 0
        assert found.scramblings <= 32 and (samples < 16 or found.scramblings >= 16)
        assert sum(job.size for job in found.jobs) == found.samples


@pytest.mark.parametrize(("samples", "seed"), [(0, 1), (10_000_001, 1), (10, -1)])
def test_absurd_sizes_are_refused(samples: int, seed: int) -> None:
    with pytest.raises(InputError):
        make_study(classroom(), stated_scatter(), samples, seed)


def test_two_workers_give_the_same_bits(study: Study, alone: Chance) -> None:
    assert chance_json(run_study(study, quiet, Crew(2))) == chance_json(alone)


def test_another_seed_gives_other_numbers(study: Study, alone: Chance) -> None:
    assert chance_json(run_study(replace(study, seed=6), quiet)) != chance_json(alone).replace('"seed": 5', '"seed": 6')


def test_a_dask_cluster_gives_the_same_bits(study: Study, alone: Chance) -> None:
    distributed = pytest.importorskip("dask.distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None, protocol="tcp"
    ) as cluster:
        found = run_study(study, quiet, Crew(cluster=cluster.scheduler_address))
    assert chance_json(found) == chance_json(alone)


def test_no_cluster_at_the_address_is_one_message(study: Study, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shellcheck_earth.basics.parallel.CONNECT_SECONDS", 1)
    with pytest.raises(InputError, match="--cluster"):
        run_study(study, quiet, Crew(cluster="tcp://127.0.0.1:9"))


class InterruptError(Exception):
    pass


def test_an_interrupted_study_carries_on(study: Study, alone: Chance, tmp_path: Path) -> None:
    def stop(what: str, done: int, of: int) -> None:
        del what, of
        if done == 3:
            raise InterruptError

    with pytest.raises(InterruptError):
        run_study(study, stop, keep_in=tmp_path)
    kept = sorted(tmp_path.glob("*.json"))
    assert len(kept) == 3
    kept[0].write_text(kept[0].read_text()[:40])  # a block cut off half way is computed again
    steps: list[int] = []
    found = run_study(study, lambda _what, done, _of: steps.append(done), keep_in=tmp_path)
    assert steps[0] == 2 and chance_json(found) == chance_json(alone)


def test_blocks_of_another_study_are_not_taken(study: Study, tmp_path: Path) -> None:
    run_study(study, quiet, keep_in=tmp_path)
    steps: list[int] = []
    run_study(replace(study, seed=99), lambda _what, done, _of: steps.append(done), keep_in=tmp_path)
    assert steps[0] == 0


def test_limits_of_a_share_by_hand() -> None:
    # None of 100: the upper limit is 1 - 0.025^(1/100) = 0.036217 (the beta distribution of one event, closed form).
    none = share_of([0.0] * 4, [25.0] * 4)
    assert (none.value, none.low) == (0.0, 0.0) and none.high == pytest.approx(1 - 0.025 ** (1 / 100), rel=1e-9)
    # 10 of 100, textbook Clopper-Pearson: 4.90 % to 17.62 %.
    ten = share_of([2.0, 3.0, 2.0, 3.0], [25.0] * 4)
    assert ten.low == pytest.approx(0.0490, abs=5e-5) and ten.high == pytest.approx(0.1762, abs=5e-5)
    # Means 0, 0, 0.2, 0.2: sd 0.11547, half-width 3.1824 sd/2 = 0.18374 (Student, 3 degrees of freedom): wider.
    wide = share_of([0.0, 0.0, 5.0, 5.0], [25.0] * 4)
    assert wide.limits_from == "spread of the scramblings" and wide.high == pytest.approx(0.1 + 0.18374, abs=1e-4)


def tally(u: np.ndarray, y: np.ndarray, again: np.ndarray) -> Tally:
    place = np.minimum((u * BINS).astype(int), BINS - 1)
    bins = np.stack([np.bincount(place[:, i], minlength=BINS) for i in range(u.shape[1])]).astype(float)
    sums = np.stack([np.bincount(place[:, i], weights=y, minlength=BINS) for i in range(u.shape[1])])
    zero = np.zeros(1)
    return Tally(
        np.array([len(y), 0, y.sum(), y.sum()]),
        zero,
        zero,
        zero,
        zero,
        bins,
        np.stack([sums, sums]),
        np.stack([(u * y[:, None]).sum(axis=0)] * 2),
        np.array([[len(y)] * 2, [(y + again).sum() / 2] * 2, [((y - again) ** 2).sum()] * 2]),
    )


def test_indices_of_a_made_up_outcome_have_their_known_values() -> None:
    """y = 1 where u0 > 0.75 or u2 > 0.5. P(y) = 0.625, V = 0.234375. Given u0: 1 or 0.5, variance 0.25 * 0.1875 =
    0.046875, index 0.2;
    given u2: 1 or 0.25, variance 0.75^2/4 = 0.140625, index 0.6; u1 plays no part. Bins end at the steps, so nothing
    is smeared."""
    rng = np.random.default_rng(2)
    runs = []
    for _ in range(16):
        u, other = rng.random((4000, 3)), rng.random(4000)
        y = ((u[:, 0] > 0.75) | (u[:, 2] > 0.5)).astype(float)
        again = ((other > 0.75) | (u[:, 2] > 0.5)).astype(float)  # all but the group, here u2, drawn anew
        runs.append(tally(u, y, again))
    found = {one.name: one for one in indices(runs, ("a", "b", "c"), "group", 1)}
    for name, value in {"a": 0.2, "b": 0.0, "c": 0.6, "group": 0.6}.items():
        assert found[name].error < 0.01
        assert found[name].value == pytest.approx(
            value, abs=4 * found[name].error
        )  # four standard errors: one in sixteen thousand
    # Correlation of u2 with y: cov = E[u2 y] - 0.5 * 0.625 = 0.40625 - 0.3125 = 0.09375; over sqrt(V/12): 0.6708.
    assert found["c"].rank == pytest.approx(0.6708, abs=0.01) and math.isnan(found["group"].rank)


def test_no_index_where_every_dome_has_the_same_answer() -> None:
    u = np.random.default_rng(0).random((64, 2))
    assert indices([tally(u, np.ones(64), np.ones(64))], ("a", "b"), "group", 0) == ()


def test_tallies_add_up() -> None:
    u = np.random.default_rng(0).random((64, 2))
    y = (u[:, 0] > 0.5).astype(float)
    whole, parts = tally(u, y, y), add_tallies([tally(u[:32], y[:32], y[:32]), tally(u[32:], y[32:], y[32:])])
    assert (whole.bin_sums == parts.bin_sums).all() and (whole.counts == parts.counts).all()


def test_margins_come_from_a_bounded_sample_of_their_own(alone: Chance) -> None:
    """300 asked: 16 points in 19 scramblings, so 4 base points in each; 12 inputs and two domes, fourteen a point."""
    margins = alone.margins
    assert (margins.points, margins.domes) == (4 * 19, 14 * 4 * 19)
    assert all(one.of == 2 * 4 * 19 for one in margins.spread.values())
    for samples in (10_000, 100_000, 10_000_000):
        large = make_study(classroom(), stated_scatter(), samples, 1)
        found = large.scramblings * large.margin_points
        assert 1024 <= found <= 2048 and sum(job.size for job in large.margin_jobs) == found


def test_orders_of_yes_and_no_are_of_those_that_the_margins_stand_for(alone: Chance) -> None:
    margins = alone.margins
    assert set(margins.orders) == {"reserve", "share", "no_line", "short"}
    for name, margin in (("no_line", "reserve"), ("short", "share")):
        one = margins.spread[margin]
        # 5 % or more, but not 95 %, lie under 1: then the yes or no has indices too
        assert not (one.low < 1.0 <= one.high) or margins.orders[name]
    named = {one.name for one in margins.orders["reserve"]}
    assert "compass errors" in named and "friction" in named and len(named) == 12


def crowned(study: Study, **own: float) -> Study:
    """The same study of a dome whose crown has a fill that differs in `own` alone."""
    fill = replace(study.design.fill, **own)
    return make_study(replace(study.design, groups=(CourseGroup(16, None, fill),)), stated_scatter(), 300, 5)


def test_a_group_that_takes_everything_over_changes_nothing(study: Study, alone: Chance) -> None:
    found = run_study(crowned(study), quiet)
    for name in ("shares", "checks", "first_in", "first_course", "indices", "margins", "scatter", "crown"):
        assert repr(getattr(found, name)) == repr(getattr(alone, name)), name


def test_what_is_a_groups_own_is_an_input_of_its_own(study: Study, alone: Chance) -> None:
    several = crowned(study, dry_density=1650.0, strength_as_placed=60.0, strength_wet=55.0)
    found = run_study(several, quiet)
    own = {f"wall.courses[1].{name}" for name in ("dry_density", "strength", "strength_own:placed", "strength_own:wet")}
    for orders in (found.margins.orders["reserve"], found.indices["short"]):
        assert {one.name for one in orders} == {one.name for one in alone.margins.orders["reserve"]} | own
    assert found.margins.domes == 18 * found.margins.points  # two, eleven and four inputs, the compass
    # fresh and weak, the crown decides what is left of the reserve
    assert found.margins.orders["reserve"][0].name == "wall.courses[1].strength"
    assert chance_json(run_study(several, quiet, Crew(2))) == chance_json(found)


def test_blocks_of_a_study_with_other_draws_are_not_taken(study: Study) -> None:
    """What is taken over or not is part of what a block depends on, also where all numbers are the same."""
    one = crowned(study)
    other = replace(one, inputs=inputs_of(one.design, stated_scatter(), [{"dry_density"}]))
    assert one.digest != other.digest != study.digest


def test_margins_of_half_the_strength_are_lower(study: Study, alone: Chance) -> None:
    fill = study.design.fill
    halved = {key: getattr(fill, key) / 2 for key in ("strength_dry", "strength_as_placed", "strength_wet")}
    weak = replace(fill, **halved)
    found = run_study(make_study(replace(study.design, fill=weak), stated_scatter(), 300, 5), quiet)
    for name in ("reserve", "share"):
        assert found.margins.spread[name].middle < alone.margins.spread[name].middle


def test_a_base_that_wet_ground_dissolves_leaves_no_dome_standing(study: Study) -> None:
    """Fill without any wet strength: `check` finds no line in that case, and so does every sampled dome."""
    fill = replace(study.design.fill, strength_wet=0.0)
    found = run_study(make_study(replace(study.design, fill=fill), stated_scatter(), 32, 5), quiet)
    assert found.shares["no_line"].count == found.samples == 32
    where = dict(found.first_in["strength"])
    assert sum(where.values()) == 32 and where["base-soaked"] > 16  # the others are short before they are soaked


def test_every_counted_dead_load_case_is_asked(alone: Chance, study: Study) -> None:
    """What is left out is said; of dead loads nothing is. Without strands there is no check without wire."""
    counted = {case.id for case in dead_cases(study.dome) if case.counts}
    assert set(study.plan.case_ids) == counted and {"base-soaked", "wire-gone"} <= counted
    assert alone.left_out.cases == () and "standing without wire" in alone.checks
    bare = make_study(replace(study.design, beds=replace(study.design.beds, wire_strands=0)), stated_scatter(), 16, 5)
    assert "standing without wire" not in run_study(bare, quiet).checks and not bare.plan.without_wire
