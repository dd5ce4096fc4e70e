"""The line that is drawn: admissible by the rows of the linear programme, at the edge it claims, and the same for
inputs that differ in their last bits."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.loads.model import Model, build_model
from shellcheck_earth.mechanics.rings.admissible import Scales
from shellcheck_earth.mechanics.rings.capacity import quantities
from shellcheck_earth.mechanics.rings.definite_line import DefiniteLine, Start, definite_line
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.mechanics.rings.programme import programme
from shellcheck_earth.safety.thrust_lines import thrust_lines

REPORTS = Path(__file__).parents[3] / "reports"
CLASSROOM = build_model(read_design(REPORTS / "garden-classroom" / "design.toml"))
SLENDER = build_model(read_design(REPORTS / "slender-hall" / "design.toml"))
STORE = build_model(read_design(REPORTS / "tool-store" / "design.toml"))


def overdrawn(lune: Lune, scales: Scales, line: DefiniteLine) -> float:
    """Largest violation of any row or bound of the programme, of which the line knows nothing; relative."""
    p = programme(lune, scales)
    x = np.concatenate([line.ring, line.ring_moment, line.wire])
    size = np.maximum(np.abs(p.b), 1e-3 * np.abs(p.A).max(axis=1))
    size[size == 0.0] = 1.0
    weight = float(lune.vertical[-1])
    return max(
        float(((p.A @ x - p.b) / size).max()),
        float((x - p.bounds[:, 1]).max()) / weight,
        float((p.bounds[:, 0] - x).max()) / weight,
        float(np.abs(p.sum_H @ x - line.H).max()) / weight,
        float(np.abs(p.sum_G @ x + p.dead_G - line.G).max()) / weight,
    )


@pytest.mark.parametrize("model", [CLASSROOM, SLENDER, STORE], ids=["classroom", "slender hall", "tool store"])
def test_every_line_is_admissible_and_at_the_edge_it_claims(model: Model) -> None:
    drawn = 0
    for case in model.cases[:: 1 if len(model.cases) < 60 else 5]:
        lune = cut_lune(model.dome, case)
        q = quantities(lune)
        if not q.admissible or q.base is None:
            assert definite_line(lune, "least", Scales()) is None
            continue
        near = Scales(contact=min((q.contact_share.value or 0.01) * (1 + 1e-6), 1.0))
        starts: tuple[tuple[Start, Scales], ...] = (("least", Scales()), ("greatest", Scales()), ("middle", near))
        lines = [definite_line(lune, start, scales) for start, scales in starts]
        for line, (start, scales) in zip(lines, starts, strict=True):
            assert line is not None, (case.id, start)
            assert overdrawn(lune, scales, line) < 1e-6, (case.id, start)
        least, greatest, middle = lines
        assert least is not None and greatest is not None and middle is not None
        reach = 3e-6 * (q.base.greatest - q.base.least) + 1e-9
        assert least.H[-1] == pytest.approx(q.base.least, abs=reach)
        assert greatest.H[-1] == pytest.approx(q.base.greatest, abs=reach)
        drawn += 3
    assert drawn >= 30


def test_inputs_that_differ_in_their_last_bits_draw_the_same_lines() -> None:
    """What a linear programme's optimum does not promise: there another corner of the same face may be handed out."""
    rng = np.random.default_rng(7)
    for case_id in ("finished-dry", "finished-damp", "base-soaked"):
        lune = cut_lune(CLASSROOM.dome, CLASSROOM.case(case_id))
        moved = replace(
            lune,
            weight=lune.weight * (1 + 1e-15 * rng.standard_normal(lune.size)),
            moment=lune.moment * (1 + 1e-15 * rng.standard_normal(lune.size)),
            friction=lune.friction * (1 + 1e-15 * rng.standard_normal(lune.size)),
        )
        for line, other in zip(
            thrust_lines(lune, quantities(lune)), thrust_lines(moved, quantities(moved)), strict=True
        ):
            assert line.kind == other.kind
            assert other.x == pytest.approx(line.x, abs=1e-6)
            assert pytest.approx(line.H, abs=1e-4) == other.H


def test_the_middlemost_line_begins_at_the_middle_where_it_can_and_pushes_no_more_than_it_must() -> None:
    lune = cut_lune(CLASSROOM.dome, CLASSROOM.case("finished-dry"))
    q = quantities(lune)
    share = (q.contact_share.value or 0.01) * (1 + 1e-6)
    line = definite_line(lune, "middle", Scales(contact=share))
    assert line is not None
    off = line.x - (lune.bed_inner + lune.bed_outer) / 2
    half = (lune.bed_outer - lune.bed_inner) / 2
    assert (np.abs(off) <= half * share * (1 + 1e-6)).all()
    least = definite_line(lune, "least", Scales(contact=share))
    assert least is not None and abs(off[-1]) <= abs((least.x - (lune.bed_inner + lune.bed_outer) / 2)[-1]) + 1e-9
    assert line.ring.min() >= 0.0 and line.wire.min() >= 0.0
