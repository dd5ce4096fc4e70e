"""The dome in three dimensions: rings are those of the courses, bodies those of the blocks, and what moves is told."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.page.preview import Shown, preview
from shellcheck_earth.views.page.solid import CUTS, of_blocks, solid

DOOR = Opening("door", 0.0, 0.0, 0.8, 1.9, "pointed")


def test_a_round_dome_is_its_rings() -> None:
    shown = preview(classroom(), Shown())
    found = solid(shown)
    assert [ring["number"] for ring in found["rings"]] == [c.number for c in shown.dome.courses[::-1]]
    for ring, course in zip(found["rings"], shown.dome.courses[::-1], strict=True):
        assert ring["section"][0] == pytest.approx([course.inner_radius, course.z_bottom], abs=1e-4)
        assert ring["gone"] is None
    assert found["title"] == ""
    json.dumps(found, allow_nan=False)


def test_only_what_stands_is_there() -> None:
    found = solid(preview(classroom(), Shown(stage=6)))
    assert max(ring["number"] for ring in found["rings"]) == 6


def test_what_moves_is_told_from_what_stays() -> None:
    shown = preview(classroom(beds=replace(classroom().beds, friction=0.15, friction_wet=0.1)), Shown())
    found = solid(shown)
    going = [ring["number"] for ring in found["rings"] if ring["gone"]]
    assert going and len(going) < len(found["rings"]) and found["title"] == shown.case.title
    assert shown.collapse is not None
    most = max(math.dist(a, b) for ring in found["rings"] if ring["gone"]
               for a, b in zip(ring["section"], ring["gone"], strict=True))  # fmt: skip
    assert 0.05 < most < 1.0  # drawn large enough to be seen, and no larger than the dome


def test_openings_are_cut_out() -> None:
    shown = preview(classroom(openings=(DOOR,)), Shown())
    found = solid(shown)
    layout = cut_blocks(shown.dome, CUTS, len(shown.dome.courses))
    assert len(found["bodies"]) == len(layout.blocks)
    for body in found["bodies"]:
        points, triangles = np.array(body["points"]), np.array(body["triangles"])
        assert triangles.min() == 0 and triangles.max() == len(points) - 1
    floor = [body for body in found["bodies"] if body["kind"] == "wall" and max(p[2] for p in body["points"]) < 1.0]
    ahead = [p for body in floor for p in body["points"] if abs(p[0]) < 0.1 and p[1] > 0 and p[2] > 0.05]
    assert not ahead  # nothing stands in the doorway


def test_no_blocks_asked_nothing_to_show(whole: Result) -> None:
    assert of_blocks(whole) is None
