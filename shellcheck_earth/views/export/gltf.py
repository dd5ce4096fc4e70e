"""The mechanism of a dome as a rotatable three-dimensional picture: one binary glTF 2.0 file (.glb).

Every block is a body of its own; the file carries one animation in which the blocks move from rest into the mechanism
and back. Plain own writer, so that the same answer gives the same bytes. glTF has y up: (x, y, z) here is (x, z, -y)
there.
"""

from __future__ import annotations

import json
import math
import struct
from typing import Any

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.layout import Block, Layout, at

__all__ = ["LARGEST_MOTION", "blocks_glb", "body"]

Floats = NDArray[np.float64]

LARGEST_MOTION = 0.30
"""The largest motion is drawn this large [m]; a mechanism has no size of its own."""

FACET = math.radians(6.0)
"""Arcs are drawn as chords no longer than this angle."""

TIMES = (0.0, 2.0, 4.0)
"""Rest, moved, rest [s]."""

FLOAT, SHORT, TO_VERTICES, TO_INDICES = 5126, 5123, 34962, 34963

COLOURS = {
    "wall": (0.76, 0.62, 0.45),
    "moving": (0.80, 0.36, 0.22),
    "lintel": (0.45, 0.33, 0.22),
    "head": (0.88, 0.76, 0.50),
    "buttress": (0.60, 0.55, 0.48),
    "footing": (0.55, 0.54, 0.52),
}
"""Linear red, green, blue by what a block is; a wall block that moves has its own."""

MOVES = 0.4
"""A wall block is coloured as moving from this share of the largest motion, as in the mechanism's words."""


def _prism(first: Floats, second: Floats) -> tuple[Floats, NDArray[np.int64]]:
    """Two polygons of n corners joined into a body: (2 n, 3) corners and triangles."""
    n = len(first)
    triangles = [(0, k + 1, k) for k in range(1, n - 1)] + [(n, n + k, n + k + 1) for k in range(1, n - 1)]
    for k in range(n):
        j = (k + 1) % n
        triangles += [(k, j, n + j), (k, n + j, n + k)]
    return np.concatenate([first, second]), np.array(triangles)


def _swept(dome: Dome, block: Block) -> tuple[Floats, NDArray[np.int64]]:
    """A piece of a ring, its arcs as chords."""
    course = dome.courses[block.course]
    steps = max(math.ceil((block.end - block.start) / FACET - 1e-9), 1)
    section = (
        (course.inner_radius, course.z_bottom),
        (course.outer_radius, course.z_bottom),
        (course.outer_radius, course.z_top),
        (course.inner_radius, course.z_top),
    )
    corners, triangles = [], [(0, 2, 1), (0, 3, 2)]
    for step in range(steps + 1):
        bearing = block.start + (block.end - block.start) * step / steps
        corners += [at(radius, bearing, z) for radius, z in section]
        for k in range(4 if step else 0):
            a, b, c, d = 4 * (step - 1) + k, 4 * (step - 1) + (k + 1) % 4, 4 * step + (k + 1) % 4, 4 * step + k
            triangles += [(a, b, c), (a, c, d)]
    last = 4 * steps
    triangles += [(last, last + 1, last + 2), (last, last + 2, last + 3)]
    return np.array(corners), np.array(triangles)


def body(dome: Dome, block: Block) -> tuple[Floats, NDArray[np.int64]]:
    """Corners (k, 3) [m] and triangles (l, 3) of a block, turned outward (its volume is positive)."""
    if block.kind in ("wall", "lintel"):
        corners, triangles = _swept(dome, block)
    else:
        half = len(block.corners) // 2
        corners, triangles = _prism(np.array(block.corners[:half]), np.array(block.corners[half:]))
    a, b, c = (corners[triangles[:, k]] - corners[0] for k in range(3))
    if float(np.einsum("ij,ij->", a, np.cross(b, c))) < 0:
        triangles = triangles[:, ::-1]
    return corners, triangles


def _turned(vector: Floats) -> Floats:
    """(x, y, z) with z up to glTF's y up."""
    return np.stack([vector[..., 0], vector[..., 2], -vector[..., 1]], axis=-1)


def _quaternion(rotation: Floats) -> tuple[float, float, float, float]:
    """Of a rotation vector [rad], as glTF orders it: x, y, z, w."""
    angle = float(np.linalg.norm(rotation))
    if angle < 1e-12:
        return 0.0, 0.0, 0.0, 1.0
    x, y, z = (float(v) for v in math.sin(angle / 2) * rotation / angle)
    return x, y, z, math.cos(angle / 2)


class _Buffer:
    """The binary part: pieces aligned to four bytes, each with its view and accessor."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict[str, int]] = []
        self.accessors: list[dict[str, Any]] = []

    def add(self, array: NDArray[Any], kind: str, target: int | None = None) -> int:
        """Index of the accessor of an array of float32 or uint16, shape (n,) or (n, k)."""
        raw = np.ascontiguousarray(array).tobytes()
        view = {"buffer": 0, "byteOffset": len(self.data), "byteLength": len(raw)}
        if target is not None:
            view["target"] = target
        self.views.append(view)
        self.data += raw + b"\0" * (-len(raw) % 4)
        flat = array.reshape(len(array), -1)
        self.accessors.append(
            {
                "bufferView": len(self.views) - 1,
                "componentType": FLOAT if array.dtype == np.float32 else SHORT,
                "count": len(array),
                "type": kind,
                "min": flat.min(axis=0).tolist(),
                "max": flat.max(axis=0).tolist(),
            }
        )
        return len(self.accessors) - 1


def _materials() -> list[dict[str, Any]]:
    return [
        {
            "name": name,
            "doubleSided": True,
            "pbrMetallicRoughness": {"baseColorFactor": [*colour, 1.0], "metallicFactor": 0.0, "roughnessFactor": 0.9},
        }
        for name, colour in COLOURS.items()
    ]


class _Scene:
    """Bodies, their places and their motions, as they go into the file."""

    def __init__(self) -> None:
        self.buffer = _Buffer()
        self.times = self.buffer.add(np.array(TIMES, dtype=np.float32), "SCALAR")
        self.nodes: list[dict[str, Any]] = []
        self.meshes: list[dict[str, Any]] = []
        self.samplers: list[dict[str, Any]] = []
        self.channels: list[dict[str, Any]] = []

    def add_body(self, corners: Floats, triangles: NDArray[np.int64], material: str) -> None:
        """One mesh; corners about the body's own centre [m]."""
        positions = self.buffer.add(_turned(corners).astype(np.float32), "VEC3", TO_VERTICES)
        indices = self.buffer.add(triangles.ravel().astype(np.uint16), "SCALAR", TO_INDICES)
        look = {"attributes": {"POSITION": positions}, "indices": indices, "material": list(COLOURS).index(material)}
        self.meshes.append({"primitives": [look]})

    def add_node(self, name: str, centre: Floats, motion: Floats) -> None:
        """The place of the body that was added last, and its way from rest into the mechanism and back."""
        place, index = _turned(centre), len(self.nodes)
        self.nodes.append({"mesh": index, "name": name, "translation": [round(float(v), 6) for v in place]})
        moved, turn = place + _turned(motion[:3]), _quaternion(_turned(motion[3:]))
        for path, kind, keys in (
            ("translation", "VEC3", [place, moved, place]),
            ("rotation", "VEC4", [(0.0, 0.0, 0.0, 1.0), turn, (0.0, 0.0, 0.0, 1.0)]),
        ):
            output = self.buffer.add(np.array(keys, dtype=np.float32), kind)
            self.channels.append({"sampler": len(self.samplers), "target": {"node": index, "path": path}})
            self.samplers.append({"input": self.times, "interpolation": "LINEAR", "output": output})


def _scene(dome: Dome, layout: Layout, centre: Floats, motions: Floats) -> _Scene:
    """Every block as a body of its own."""
    size = np.linalg.norm(motions[:, :3], axis=1)
    largest = float(size.max(initial=0.0))
    scale = LARGEST_MOTION / largest if largest > 0 else 0.0
    scene = _Scene()
    for k, block in enumerate(layout.blocks):
        corners, triangles = body(dome, block)
        moves = block.kind == "wall" and size[k] >= MOVES * largest > 0
        scene.add_body(corners - centre[k], triangles, "moving" if moves else block.kind)
        scene.add_node(f"{block.kind}, course {dome.courses[block.course].label}", centre[k], motions[k] * scale)
    return scene


def blocks_glb(dome: Dome, layout: Layout, centre: Floats, motions: Floats, title: str) -> bytes:
    """The .glb file of a mechanism: `centre` (n, 3) [m]; `motions` (n, 6), translations and rotations in any common
    size.

    ValueError when centres or motions do not belong to the layout.
    """
    n = len(layout.blocks)
    if centre.shape != (n, 3) or motions.shape != (n, 6):
        raise ValueError(f"{n} blocks, but centres of shape {centre.shape} and motions of shape {motions.shape}")
    scene = _scene(dome, layout, centre, motions)
    buffer = scene.buffer
    document = {
        "asset": {
            "version": "2.0",
            "generator": "shellcheck_earth",
            "extras": {"design": dome.design.name, "design_sha256": design_sha256(dome.design)},
        },
        "scene": 0,
        "scenes": [{"name": title, "nodes": list(range(n))}],
        "nodes": scene.nodes,
        "meshes": scene.meshes,
        "materials": _materials(),
        "animations": [{"name": "mechanism", "channels": scene.channels, "samplers": scene.samplers}],
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    return _container(document, bytes(buffer.data))


def _container(document: dict[str, Any], data: bytes) -> bytes:
    """The binary container: header, JSON chunk padded with spaces, binary chunk padded with zeros."""
    text = json.dumps(document, separators=(",", ":")).encode("utf-8")
    text += b" " * (-len(text) % 4)
    data += b"\0" * (-len(data) % 4)
    chunks = struct.pack("<I4s", len(text), b"JSON") + text + struct.pack("<I4s", len(data), b"BIN\0") + data
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks
