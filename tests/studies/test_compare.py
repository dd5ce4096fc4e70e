"""Worst margins against the assessment of `check`, and comparisons over files, ranges and what cannot be built."""

from __future__ import annotations

import math
import signal
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.parallel import FEW, Crew, in_processes, spread
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.file import read_document
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.geometry.reading import design_from_document
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.safety.worst import outcome
from shellcheck_earth.studies.compare import compare

REPORTS = Path(__file__).parents[2] / "reports"
CLASSROOM, STORE, HALL = (REPORTS / name / "design.toml" for name in ("garden-classroom", "tool-store", "slender-hall"))

SEARCH = 1e-6
"""Searches end within 1e-9 of their edge; cases that come out alike to that are one worst case."""


NOBODY = {"building__scaffold_above": "0 m"}
"""No crew stands on any ring: what rings say is all that is asked."""


def changed(file: Path, **settings: Any) -> Design:
    document = read_document(file)
    for path, value in settings.items():
        document = set_key(document, path.replace("__", "."), value)
    return design_from_document(document)


@pytest.mark.parametrize(
    "design",
    [
        changed(CLASSROOM),
        changed(STORE),
        changed(HALL),
        changed(CLASSROOM, beds__wire_strands=0),
        changed(CLASSROOM, building__cover_after="3 h"),
        changed(STORE, building__worker="0 kN", site__left_unprotected=True),
        changed(CLASSROOM, beds__friction=0.9, fill__strength_as_placed="0.4 MPa"),
    ],
    ids=["classroom", "store", "hall", "no wire", "covered", "no worker, bare", "strong"],
)
def test_the_worst_margins_are_those_of_check(design: Design) -> None:
    found = outcome(design)
    whole = check(design, proofs=False, explore=False, blocks=False)
    # Without proofs nothing meets; else the two, neither of which asks blocks, say the same.
    assert found.verdict == whole.verdict or (found.verdict, whole.verdict) == ("meets", "cannot say")
    for margin in found.margins:
        factors = [
            (m.factor if m.factor is not None else (math.inf if m.meets else 0.0))
            for case in whole.cases
            if case.counts
            for m in case.margins
            if m.check == margin.check
        ]
        assert margin.factor == pytest.approx(min(factors), rel=SEARCH), margin.check
    assert {m.check for m in found.margins} == {m.check for case in whole.cases if case.counts for m in case.margins}


def test_a_dome_that_needs_the_block_model_meets_nothing_here() -> None:
    assert outcome(changed(STORE), crew=True).verdict == "meets"
    assert outcome(changed(STORE)).doubts == (Doubt("blocks not asked"),)
    guessed = {"beds__friction_no_wire": {"value": 0.42, "source": "assumed"}}
    windy = outcome(changed(STORE, site__wind_pressure="0.5 kPa", **guessed))
    assert windy.verdict == "cannot say"
    assert {"blocks not asked", "blocks rest on it"} <= {doubt.kind for doubt in windy.doubts}
    unmeasured = outcome(changed(STORE, beds__friction={"value": 1.4, "source": "assumed"}))
    assert unmeasured.verdict == "cannot say" and "beds.friction" in {doubt.path for doubt in unmeasured.doubts}


def test_two_keys_make_every_combination_and_kinds_of_failure_stay_apart() -> None:
    vary = ["dome.crown_opening=0.3,9 m", "beds.wire_strands=0..2:3"]
    found = compare([changed(STORE, **NOBODY)], vary, workers=1)
    assert [point.chosen for point in found.points] == [(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2)]
    assert found.values(found.points[1]) == ("0.3 m", "1")
    assert [point.answer for point in found.points[3:]] == ["not buildable"] * 3
    assert all(not point.margins and "dome.crown_opening" in point.why for point in found.points[3:])
    assert sum(found.counts().values()) == 6
    # no wire: the same as setting it in the file
    bare = changed(STORE, dome__crown_opening="0.3 m", beds__wire_strands=0, **NOBODY)
    assert found.points[0].margins == outcome(bare).margins


def test_workers_change_no_bit() -> None:
    texts = ["fill.dry_density=1600..2000:4 kg/m3", "beds.friction=0.4,0.5,0.6"]
    assert compare([CLASSROOM], texts, workers=1) == compare([CLASSROOM], texts, workers=2)


@pytest.fixture
def cluster() -> Iterator[str]:
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None) as local:
        yield local.scheduler_address


@pytest.mark.filterwarnings("ignore")
def test_a_cluster_of_two_workers_gives_the_same_bits(cluster: str) -> None:
    texts = ["fill.dry_density=1600..2000:4 kg/m3", "beds.friction=0.4,0.5,0.6"]
    assert compare([CLASSROOM], texts, cluster=cluster) == compare([CLASSROOM], texts, workers=1)


def test_files_side_by_side_and_what_has_no_effect() -> None:
    quiet = [changed(file, **NOBODY) for file in (CLASSROOM, STORE)]
    found = compare(quiet, ["wall.fabric_strength=8,20 kN/m"], workers=1)
    assert found.designs == ("Garden classroom", "Orchard tool store")
    assert found.without_effect() == ("wall.fabric_strength",)
    assert compare([CLASSROOM, STORE], workers=1).points[1].answer == "meets"


def test_a_varied_width_takes_the_place_of_the_other() -> None:
    found = compare([CLASSROOM], ["wall.filled_width=385,500 mm"], workers=1)
    assert found.replaced == ("wall.flat_width",)
    assert [point.answer for point in found.points] == ["falls short", "falls short"]
    # 385 mm is what the file says
    assert found.points[0].margins == outcome(changed(CLASSROOM)).margins


@pytest.mark.parametrize(
    ("files", "vary", "says"),
    [
        ([CLASSROOM], ["beds.friction=0.1,0.2", "beds.friction=0.3,0.4"], "each key once"),
        ([CLASSROOM, CLASSROOM], [], "twice"),
        ([CLASSROOM], ["dome.crown_opening=8,9 m"], "at least one design that can be built"),
        ([CLASSROOM], ["fill.dry_density=1000..2000:200", "beds.friction=0.4..0.9:200"], "at most 20000"),
        ([CLASSROOM, STORE], ["fill.strength_dry=1..2:2"], "different ones"),
    ],
)
def test_what_cannot_be_compared_is_refused(files: list[Path], vary: list[str], says: str) -> None:
    with pytest.raises(InputError) as refused:
        compare(files, vary, workers=1)
    assert says in str(refused.value)


def test_a_cluster_that_is_not_there_is_refused() -> None:
    pytest.importorskip("distributed")
    with pytest.raises(InputError, match="--cluster"):
        compare([CLASSROOM], ["beds.friction=0.4,0.5"], cluster="nonsense://nowhere")


def test_workers_do_not_hear_ctrl_c() -> None:
    # A test run put in the background by a shell hears no Ctrl-C itself: give it ears first.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        assert all(spread(_deaf, list(range(FEW + 1)), Crew(2)))
        assert not _deaf(0)
    finally:
        signal.signal(signal.SIGINT, before)


def test_workers_started_from_another_thread_do_not_hear_ctrl_c_either() -> None:
    # They are kept, and used again for what the main thread asks; only the main thread may say what it hears.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        with ThreadPoolExecutor(1) as beside:
            assert all(beside.submit(spread, _deaf, list(range(FEW + 1)), Crew(3)).result())
            assert all(beside.submit(lambda: list(in_processes(_deaf, [(0,), (1,)], 3))).result())
    finally:
        signal.signal(signal.SIGINT, before)


def _deaf(_: int) -> bool:
    return signal.getsignal(signal.SIGINT) == signal.SIG_IGN
