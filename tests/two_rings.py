"""Two rings of twelve blocks made by hand, as a proof for the checker: changed, tied together, loaded from one side."""

from __future__ import annotations

import copy
from collections.abc import Callable
from dataclasses import replace
from math import cos, pi, sin
from typing import Any

from shellcheck_earth.mechanics.proof.block_loads import Load
from shellcheck_earth.mechanics.proof.block_places import FORCE, FRICTION, LENGTH, STRENGTH, Layer, Wall
from shellcheck_earth.mechanics.proof.blocks import FORMAT, check_block_proof

__all__ = ["QUAKE", "WALL", "WEIGHT", "N", "W", "at", "bedded", "changed", "loaded", "proven", "rings", "tied"]

N = 12
WEIGHT = 12.0
"""Of a radian of a course [kN]: a block of a twelfth weighs 2 pi."""
WALL = Wall(
    (
        Layer(0.0, 0.2, 1.0, 1.4, 1.02, 1.38, WEIGHT, 0.5, 500.0, 2.0),
        Layer(0.2, 0.4, 1.0, 1.4, 1.02, 1.38, WEIGHT, 0.5, 500.0, 2.0),
    ),
    (),
    0.0,
)
W = round(WEIGHT * pi / 6 * FORCE / 8) * 8


def at(bearing: float, radius: float, z: float) -> list[int]:
    """Bearings run from north (y) to east (x)."""
    return [round(v * LENGTH) for v in (radius * sin(bearing), radius * cos(bearing), z)]


def rings() -> dict[str, Any]:
    """Each block on the one below and on the ground, four points 0.1 m around its centre, its weight in equal parts."""
    blocks, patches, forces = [], [], []
    for course in (0, 1):
        for i in range(N):
            bearing = 2 * pi * i / N
            centre = at(bearing, 1.2, 0.2 * course + 0.1)
            blocks.append([course, 0, *centre, W])
            out, along = (
                [round(0.1 * v * LENGTH) for v in way]
                for way in ((sin(bearing), cos(bearing), 0.0), (cos(bearing), -sin(bearing), 0.0))
            )
            points = []
            for side in (-1, 1):
                for way in (-1, 1):
                    points += [centre[j] + way * out[j] + side * along[j] for j in (0, 1)]
                    points.append(round(0.2 * course * LENGTH))
            me = len(blocks) - 1
            patches.append([me, me - N if course else -1, *points, FRICTION // 2, 500 * STRENGTH])
            forces.append([0, 0, (2 - course) * W // 4] * 4)
    return {
        "kind": FORMAT, "case": "by hand", "reserve": FRICTION, "factor": 0, "blocks": blocks,
        "live": [[0] * 6 for _ in blocks], "patches": patches, "ties": [], "forces": forces, "tensions": [],
    }  # fmt: skip


def proven(data: dict[str, Any], wall: Wall = WALL) -> str:
    finding = check_block_proof(data, wall)
    assert (finding.proven is None) == bool(finding.why)
    return finding.why


def changed(change: Callable[[dict[str, Any]], object]) -> dict[str, Any]:
    data = copy.deepcopy(rings())
    change(data)
    return data


def bedded(**layer: Any) -> Wall:
    return replace(WALL, layers=(WALL.layers[0], replace(WALL.layers[1], **layer)))


def tied(**given: Any) -> dict[str, Any]:
    """One tie between the first two blocks of the upper course, in its bed, square to the joint at 15 degrees, or
    turned by so much from that; its place somewhere along it."""
    bearing, aside = pi / N, given.get("turned", 0.0)

    def change(data: dict[str, Any]) -> None:
        place = at(bearing, given.get("radius", 1.2), given.get("z", 0.2))
        pull = [
            round(v * given.get("pull", 1.0) * FRICTION) for v in (cos(bearing + aside), -sin(bearing + aside), 0.0)
        ]
        place = [
            v + round(given.get("along", 0.0) * way * LENGTH / FRICTION) for v, way in zip(place, pull, strict=True)
        ]
        tie = [given.get("upper", N + 1), given.get("lower", N), *place, *pull, round(given.get("most", 2.0) * FORCE)]
        tie[7] = given.get("up", 0)
        data["ties"] += [list(tie)] * given.get("times", 1)
        data["tensions"] += [round(given.get("tension", 0.0) * FORCE)] * given.get("times", 1)
        data["reserve"] = round(given.get("q", 1.0) * FRICTION)

    return changed(change)


QUAKE = Load("earthquake", pi / 2, 0.2, vertical=0.06)


def loaded(**given: Any) -> dict[str, Any]:
    """A push of `east` and `north` and an upward one of `up` on every block, as shares of its weight."""

    def change(data: dict[str, Any]) -> None:
        data["reserve"], data["factor"] = (round(given.get(key, 1.0) * FRICTION) for key in ("reserve", "factor"))
        for row in data["live"]:
            row[:3] = [round(given.get(way, 0.0) * W) for way in ("east", "north", "up")]
        if "weak" in given:
            data["live"][3][0] = round(given["weak"] * W)
        if "turning" in given:
            data["live"][3][4] = round(given["turning"] * W * LENGTH)

    return changed(change)
