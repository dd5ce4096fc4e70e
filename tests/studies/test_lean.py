"""A base that leans as one: by hand, against the second block programme, and what is said of it."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from samples import classroom, sturdy

from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.joint import PLAIN, ground_limits
from shellcheck_earth.mechanics.blocks.faces import NO_GROUND
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.safety.blocks import sideways
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.blocks.sideways import ROOM, Asked, Question
from shellcheck_earth.studies.settle import lean as module
from shellcheck_earth.studies.settle.lean import MOST_LEAN, Lean, lean_of_base, leaning
from shellcheck_earth.studies.settle.study import Settling, settle_design
from shellcheck_earth.views.cli.main import run
from shellcheck_earth.views.export.settle import settle_json
from shellcheck_earth.views.text.settle import settle_words
from validation.second_block_programme import as_case, as_design, pushed
from validation.second_blocks import Hole, Small

LOW = Small(2.0, 0.40, 0.20, 0.7, (Hole(0.0, 0.0, 0.5, 0.6, "lintel"),), 1.2)
"""A low ring dome with a small door, 1.2 m inside at the top; its fill never crushes."""


def small(friction: float = 0.7) -> tuple[Dome, Case]:
    design = as_design(replace(LOW, friction=friction))
    return build_dome(design), as_case(design)


def test_the_lean_of_a_base_by_hand() -> None:
    """Its lowest course is drawn with 2.4 m from 0.4 m beyond the wall's inner face, 0.1 m above the springing."""
    dome, _ = small()
    across = 2 * (math.sqrt(2.4**2 - 0.1**2) - 1.4 + 0.4)
    assert lean_of_base(dome, 0.070) == pytest.approx(math.asin(0.070 / across))


def test_it_is_a_push_of_so_much_of_the_weight(monkeypatch: pytest.MonkeyPatch) -> None:
    """The second programme's own blocks under a push of tan a of every weight, towards the door; on ground that is as
    rough as the beds, for it knows no other."""
    monkeypatch.setattr(sideways, "ground_limits", lambda *_, **__: NO_GROUND)
    dome, case = small(0.4)
    angle = lean_of_base(dome, 0.2)
    job = module._job(dome, case, angle, PLAIN)
    question = Question(dome, job, (12,), job.most(dome.design), ROOM)
    found = question.line(question.layouts[0], Asked(job.loads[0])).multiplier
    low, high = pushed(replace(LOW, friction=0.4), 15.0, math.tan(angle))  # of a share of the weight: of any earth
    assert found is not None and job.loads[0].bearing == 0.0
    assert 0 < low * (1 - 1e-6) <= found <= high * (1 + 1e-6)


def test_it_slides_on_ground_that_is_not() -> None:
    """Where nobody measured it: no push of more than the least friction that any ground has when wet holds."""
    dome, case = small()
    job = module._job(dome, case, lean_of_base(dome, 0.2), PLAIN)
    question = Question(dome, job, (12,), job.most(dome.design), ROOM)
    found = question.line(question.layouts[0], Asked(job.loads[0])).multiplier
    assert found is not None
    ground = ground_limits(dome.design, PLAIN, sideways=True)
    assert found * job.loads[0].amount == pytest.approx(ground.friction, rel=0.05)


def test_it_is_looked_for_up_to_the_largest_lean() -> None:
    """Of a multiple of the stated lean the share is relied on that is relied on of every load from one side."""
    dome, case = small()
    for way in (0.002, 0.05):
        job = module._job(dome, case, lean_of_base(dome, way), PLAIN)
        reached = OVERSTATED * job.most(dome.design) * job.loads[0].amount
        assert math.atan(reached) == pytest.approx(MOST_LEAN)


def test_more_friction_holds_no_smaller_lean_and_divided_capacities_no_larger_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(module, "CUTS", (12, 24))
    found = [leaning(*_one(friction), 0.2) for friction in (0.45, 0.7)]
    for one in found:
        assert one.meets_to is not None and one.stands_to is not None
        assert one.meets_to <= one.stands_to * (1 + 1e-6)
        assert one.stands == (one.stands_to >= one.angle * (1 - 1e-9)) and one.why == ""
    assert (found[0].stands_to or 0) < (found[1].stands_to or 0) * (1 + 1e-6)
    assert found[0].meets_to != found[1].meets_to


def _one(friction: float) -> tuple[Dome, tuple[Case, ...]]:
    dome, case = small(friction)
    return dome, (case,)


def result(relied: float | None, why: str = "") -> BlockResult:
    status = "cannot say" if relied is None else "solved"
    return BlockResult(
        "lean", "Lean", "combined factors", relied, relied, relied, 1.0, status, why, False, None, (), (),
        ((1.0, 2.0),), (), 1,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("found", "meets", "case"),
    [
        ((1.5, 1.2, 2.0), True, "finished-damp"),
        ((1.5, None, 2.0), None, "finished-damp"),
        ((0.9, None, 2.0), False, "finished-dry"),
    ],
)
def test_the_worst_state_decides_and_silence_hides_nothing(
    found: tuple[float | None, ...], meets: bool | None, case: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    dome, one = small()
    names = ("finished-dry", "finished-damp", "soaked-through")
    by_name = dict(zip(names, found, strict=True))
    monkeypatch.setattr(module, "sideways_case", lambda _dome, job, _cuts: result(by_name[job.case.id], "why not"))
    told = leaning(dome, tuple(replace(one, id=name) for name in names), 0.1)
    assert (told.meets, told.case_id) == (meets, case)
    assert (told.meets_to is None) == (meets is None)


def test_beyond_the_range_nothing_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    from shellcheck_earth.design.design import Opening

    wide = build_dome(classroom(openings=(Opening("door", 0.0, 0.0, 1.6, 1.5, "round"),)))
    _, case = small()
    monkeypatch.setattr(module, "sideways_case", lambda *_: pytest.fail("asked beyond the range"))
    told = leaning(wide, (case,), 0.05)
    assert told.meets is told.stands is told.meets_to is told.stands_to is None
    assert "beyond the range of validation" in told.why


@cache
def _settled() -> Settling:
    return settle_design(sturdy(openings=()))


def told(**changes: object) -> Settling:
    asked = _settled()
    known = Lean(
        0.04, math.radians(0.5), True, True, math.radians(3), MOST_LEAN, MOST_LEAN, math.pi / 2, "finished-dry", ""
    )
    return replace(asked, lean=replace(known, **changes))  # type: ignore[arg-type]


def test_what_is_said() -> None:
    one = told()
    said = " ".join(settle_words(one))
    assert "40.0 mm (1.57 in) below the other, a lean of 0.5 deg" in said
    assert "the overall reserve that is required is left. Margins are met up to 3 deg" in said
    assert "found up to at least 15 deg (finished-dry, low side towards 90 deg)" in said
    short = " ".join(settle_words(replace(one, lean=replace(one.lean, meets=False, meets_to=0.0))))  # type: ignore[type-var]
    assert "it falls short" in short and "met up to no lean at all" in short
    unknown = " ".join(settle_words(told(meets=None, why="friction without dilation did not settle")))
    assert "cannot say of the blocks, friction without dilation did not settle" in unknown
    data = json.loads(settle_json(one))["lean"]
    assert data["margins_met_up_to_rad"] == pytest.approx(math.radians(3), rel=1e-5)
    assert json.loads(settle_json(replace(one, lean=None)))["lean"] is None


@pytest.mark.parametrize("said", ["2 m", "40", "0 mm", "-3 mm"])
def test_what_cannot_be_is_refused(said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    design = Path(__file__).parents[2] / "reports" / "tool-store" / "design.toml"
    assert run(["settle", str(design), f"--sunk={said}", "--out", str(tmp_path / "out")]) == 2
    assert "--sunk" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
