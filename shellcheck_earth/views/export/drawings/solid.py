"""The dome as a body to print or to place in a model: STL (binary) and 3MF, every piece closed.

Every course is one ring, or the pieces that its openings leave; lintels, bags over a head and buttresses are bodies of
their own, whose faces touch. A 3MF keeps each body's own corners. An STL knows bare triangles: who reads it finds the
corners by their places, and two bodies with corners in one place become edges of four triangles, which no closed body
has. There every body is therefore larger by `OVERLAP`, so that each stays closed. Plaster is left out.
"""

from __future__ import annotations

import io
import itertools
import math
import re
import uuid
import zipfile
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import trimesh
from numpy.typing import NDArray

from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.layout import Block
from shellcheck_earth.views.export.drawings.plan import between_openings
from shellcheck_earth.views.export.gltf import body

__all__ = ["Piece", "bodies", "dome_3mf", "dome_stl", "pieces_of"]

Floats = NDArray[np.float64]
Mesh = tuple[Floats, NDArray[np.int64]]
FACET = math.radians(3.0)
OVERLAP = 2e-5
"""By how much bodies of an STL reach into one another [m], at full size: no corner of two is in one place, and it is 20
times what the format rounds off 10 m by (24 bits)."""
_STAMP = (1980, 1, 1, 0, 0, 0)
"""The earliest time that a zip file can say: the same dome gives the same bytes."""


def _closed_ring(course: Course) -> Mesh:
    """A whole ring: (4 n, 3) corners [m], (8 n, 3) triangles."""
    steps = math.ceil(2 * math.pi / FACET)
    turn = 2 * math.pi * np.arange(steps) / steps
    profile = [
        (course.inner_radius, course.z_bottom), (course.outer_radius, course.z_bottom),
        (course.outer_radius, course.z_top), (course.inner_radius, course.z_top),
    ]  # fmt: skip
    corners = np.concatenate([np.stack([r * np.sin(turn), r * np.cos(turn), np.full(steps, z)], 1) for r, z in profile])
    here = np.arange(steps)
    following = (here + 1) % steps
    triangles = []
    for k in range(4):
        near, far = k * steps, ((k + 1) % 4) * steps
        triangles += [np.stack([near + here, far + here, far + following], 1)]
        triangles += [np.stack([near + here, far + following, near + following], 1)]
    faces = np.concatenate(triangles)
    a, b, c = (corners[faces[:, k]] for k in range(3))
    inward = float(np.einsum("ij,ij->", a, np.cross(b, c))) < 0
    return corners, faces[:, ::-1] if inward else faces


@dataclass(frozen=True)
class Piece:
    """A closed body, turned outward: corners (k, 3) [m] and triangles (l, 3); `course`: the index of its course."""

    kind: Literal["course", "head", "buttress", "lintel"]
    course: int
    name: str
    mesh: Mesh


def pieces_of(dome: Dome) -> list[Piece]:
    """Every piece of the dome: courses from the lowest up, then what carries openings, and buttresses."""
    out: list[Piece] = []
    for index, course in enumerate(dome.courses):
        pieces = between_openings(dome, course)
        for number, (start, end) in enumerate(pieces, 1):
            if pieces == [(0.0, 2 * math.pi)]:
                out.append(Piece("course", index, f"course {course.label}", _closed_ring(course)))
                continue
            piece = Block(index, "wall", start, end, (), closed=False)
            out.append(Piece("course", index, f"course {course.label}, piece {number}", body(dome, piece)))
    number = 0
    for block in cut_blocks(dome).blocks:
        if block.kind != "wall" and block.kind != "footing":
            number += 1
            out.append(Piece(block.kind, block.course, f"{block.kind} {number}", body(dome, block)))
    return out


def bodies(dome: Dome) -> list[tuple[str, Mesh]]:
    """(name, (corners (k, 3) [m], triangles (l, 3))) of every piece; each closed and turned outward."""
    return [(piece.name, piece.mesh) for piece in pieces_of(dome)]


def _larger(corners: Floats) -> Floats:
    """Corners (k, 3) moved away from the middle of their body, by `OVERLAP` up or down and by as much on plan.

    Of two bodies side by side a corner that they share goes two ways, for their middles lie on either side of it."""
    aside = corners[:, :2] - corners[:, :2].mean(axis=0)
    upright = np.sign(corners[:, 2:] - (corners[:, 2].max() + corners[:, 2].min()) / 2)
    length = np.linalg.norm(aside, axis=1, keepdims=True)
    return corners + OVERLAP * np.concatenate([aside / np.maximum(length, OVERLAP), upright], axis=1)


def _scene(dome: Dome, scale: float, *, apart: bool = False) -> Any:
    """All bodies as one scene, millimetres at 1 to `scale`; `apart`: no two have a corner in one place."""
    scene = trimesh.Scene()
    for name, (exact, triangles) in bodies(dome):
        corners = _larger(exact) if apart else exact
        mesh = trimesh.Trimesh(corners * (1000.0 / scale), triangles, process=False)
        scene.add_geometry(mesh, node_name=name, geom_name=name)
    scene.units = "mm"
    return scene


def dome_stl(dome: Dome, scale: float) -> bytes:
    """Binary STL in millimetres at 1 to `scale`; the head of the file carries the design's digest."""
    data = bytes(trimesh.exchange.stl.export_stl(_scene(dome, scale, apart=True).to_mesh()))
    head = f"dome 1:{scale:g}, mm, design_sha256 {design_sha256(dome.design)}"[:80].encode()
    return head.ljust(80, b"\0") + data[80:]


def _named_anew(content: bytes) -> bytes:
    """The library draws its identifiers at random; here each is the digest of its place."""
    count = itertools.count()

    def name(found: re.Match[bytes]) -> bytes:
        return found[1] + str(uuid.uuid5(uuid.NAMESPACE_OID, f"part {next(count)}")).encode() + b'"'

    return re.sub(rb'(UUID=")[0-9a-fA-F-]{36}"', name, content)


def dome_3mf(dome: Dome, scale: float) -> bytes:
    """3MF in millimetres at 1 to `scale`, its zip written again with one time for all so that the bytes stay."""
    write: Any = trimesh.exchange.threemf.export_3MF
    made = io.BytesIO(write(_scene(dome, scale)))
    out = io.BytesIO()
    with zipfile.ZipFile(made) as found, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as kept:
        for name in sorted(found.namelist()):
            kept.writestr(zipfile.ZipInfo(name, _STAMP), _named_anew(found.read(name)), zipfile.ZIP_DEFLATED)
        kept.comment = f"design_sha256 {design_sha256(dome.design)}".encode()
    return out.getvalue()
