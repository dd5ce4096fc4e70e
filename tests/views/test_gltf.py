"""The picture file against the format's own rules (glTF 2.0 specification) and against the dome's geometry."""

from __future__ import annotations

import json
import math
import struct
from typing import Any

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Buttress, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.views.export.gltf import LARGEST_MOTION, blocks_glb, body

DESIGN = classroom(
    openings=(Opening("door", 0.0, 0.0, 0.9, 1.9, "round"), Opening("window", math.pi, 1.0, 0.6, 0.6, "lintel")),
    buttresses=(Buttress(math.radians(60), 0.6, 0.45, 1.2),),
)
STACK = build_dome(DESIGN)
LAYOUT = cut_blocks(STACK, 12)
CENTRE = np.array([np.mean(block.corners, axis=0) for block in LAYOUT.blocks])


def read(glb: bytes) -> tuple[dict[str, Any], bytes]:
    magic, version, length = struct.unpack_from("<4sII", glb)
    assert (magic, version, length) == (b"glTF", 2, len(glb))
    size, kind = struct.unpack_from("<I4s", glb, 12)
    assert kind == b"JSON" and size % 4 == 0
    second, kind = struct.unpack_from("<I4s", glb, 20 + size)
    assert kind == b"BIN\0" and second % 4 == 0 and 28 + size + second == len(glb)
    return json.loads(glb[20 : 20 + size]), glb[28 + size :]


def array(document: dict[str, Any], data: bytes, index: int) -> np.ndarray:
    accessor = document["accessors"][index]
    view = document["bufferViews"][accessor["bufferView"]]
    assert view["byteOffset"] % 4 == 0
    width = {"SCALAR": 1, "VEC3": 3, "VEC4": 4}[accessor["type"]]
    kind = {5126: "<f4", 5123: "<u2"}[accessor["componentType"]]
    return np.frombuffer(data, kind, accessor["count"] * width, view["byteOffset"]).reshape(-1, width)


def one_block_moves() -> np.ndarray:
    motions = np.zeros((len(LAYOUT.blocks), 6))
    motions[-1] = [0.0, 0.0, -2.0, 0.0, 0.0, 3.0]
    return motions


def test_every_body_is_closed_and_turned_outward() -> None:
    for block in LAYOUT.blocks:
        corners, triangles = body(STACK, block)
        edges = {(int(t[k]), int(t[(k + 1) % 3])) for t in triangles for k in range(3)}
        assert len(edges) == 3 * len(triangles)
        assert all((b, a) in edges for a, b in edges)
        a, b, c = (corners[triangles[:, k]] for k in range(3))
        assert float(np.einsum("ij,ij->", a, np.cross(b, c))) > 0


def test_a_whole_ring_has_the_volume_of_its_circle_less_the_chords() -> None:
    top = [block for block in LAYOUT.blocks if block.course == len(STACK.courses) - 1]
    volume = 0.0
    for block in top:
        corners, triangles = body(STACK, block)
        a, b, c = (corners[triangles[:, k]] for k in range(3))
        volume += float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6
    course = STACK.courses[-1]
    # A block of angle a in n chords, none over 6 degrees, has n sin(a/n) of the angle a that its arc has.
    spans = [(block.end - block.start, math.ceil(math.degrees(block.end - block.start) / 6.0 - 1e-6)) for block in top]
    assert sum(angle for angle, _ in spans) == pytest.approx(2 * math.pi)
    chords = sum(n * math.sin(angle / n) for angle, n in spans) / (2 * math.pi)
    assert volume == pytest.approx(course.fill_volume * chords, rel=1e-9)  # floats only


def test_the_file_follows_the_format() -> None:
    document, data = read(blocks_glb(STACK, LAYOUT, CENTRE, one_block_moves(), "Worst of the wind"))
    assert document["asset"]["version"] == "2.0"
    assert len(document["nodes"]) == len(LAYOUT.blocks) == len(document["meshes"])
    assert document["buffers"][0]["byteLength"] <= len(data)
    for mesh in document["meshes"]:
        primitive = mesh["primitives"][0]
        positions = array(document, data, primitive["attributes"]["POSITION"])
        accessor = document["accessors"][primitive["attributes"]["POSITION"]]
        assert accessor["min"] == pytest.approx(
            positions.min(axis=0).tolist(), abs=0
        )  # the format asks for the exact bounds
        assert accessor["max"] == pytest.approx(positions.max(axis=0).tolist(), abs=0)
        assert array(document, data, primitive["indices"]).max() < len(positions)
        assert primitive["material"] < len(document["materials"])


def test_the_largest_motion_is_drawn_to_size_downward_and_everything_else_rests() -> None:
    document, data = read(blocks_glb(STACK, LAYOUT, CENTRE, one_block_moves(), "t"))
    animation = document["animations"][0]
    seen = set()
    for channel in animation["channels"]:
        keys = array(document, data, animation["samplers"][channel["sampler"]]["output"])
        assert keys[0] == pytest.approx(keys[2])
        node, path = channel["target"]["node"], channel["target"]["path"]
        moved = float(np.abs(keys[1] - keys[0]).max())
        if node != len(LAYOUT.blocks) - 1:
            assert moved == 0.0
        elif path == "translation":
            # glTF has y up; single precision.
            assert keys[1] - keys[0] == pytest.approx([0.0, -LARGEST_MOTION, 0.0], abs=1e-6)
        else:
            angle = 3.0 * LARGEST_MOTION / 2.0  # the rotation is scaled with the translation
            assert keys[1] == pytest.approx([0.0, math.sin(angle / 2), 0.0, math.cos(angle / 2)], abs=1e-6)
        seen.add((node, path))
    assert len(seen) == 2 * len(LAYOUT.blocks)


def test_the_same_answer_gives_the_same_bytes() -> None:
    assert blocks_glb(STACK, LAYOUT, CENTRE, one_block_moves(), "t") == blocks_glb(
        STACK, LAYOUT, CENTRE, one_block_moves(), "t"
    )


def test_motions_of_another_dome_are_refused() -> None:
    with pytest.raises(ValueError, match="blocks, but"):
        blocks_glb(STACK, LAYOUT, CENTRE, np.zeros((3, 6)), "t")
