"""The drawings of the glossary, from the geometry they show: python reports/guide/pictures.py writes them anew."""

from __future__ import annotations

from math import cos, hypot, radians, sin, sqrt
from pathlib import Path

FOLDER = Path(__file__).parent / "pictures"
INK, CLAY, WATER, PALE = "#2b2622", "#e7d8c3", "#7fa3b5", "#f6f1e9"

D, T, H = 3.0, 0.40, 0.20
"""Inside diameter, wall and course of the drawn dome [m]: courses thicker than real ones, so that they can be seen."""

E = T
A, R = D / 2 + E, D + E
"""Centre of the fixed compass beyond the axis, and its length [m]: the pivot on the outer face."""

SCALE, LEFT, FOOT = 90.0, 235.0, 300.0


def x(metres: float) -> float:
    return LEFT + SCALE * metres


def y(metres: float) -> float:
    return FOOT - SCALE * metres


def inner(z: float) -> float:
    """The inner face as the fixed compass draws it [m]."""
    return sqrt(R * R - z * z) - A


def courses() -> list[tuple[float, float]]:
    """(inner radius, level of the bottom) of each course, lowest first [m]."""
    out, z = [], 0.0
    while inner(z + H / 2) > 0.2:
        out.append((inner(z + H / 2), z))
        z += H
    return out


def line(x1: float, y1: float, x2: float, y2: float, width: float = 1.2, dash: str = "", color: str = INK) -> str:
    stroke = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{color}" stroke-width="{width}"{stroke}/>'


def text(at_x: float, at_y: float, words: str, anchor: str = "start") -> str:
    return f'<text x="{at_x:.1f}" y="{at_y:.1f}" text-anchor="{anchor}">{words}</text>'


def box(left: float, top: float, width: float, height: float, fill: str = CLAY) -> str:
    return (
        f'<rect x="{left:.1f}" y="{top:.1f}" width="{width:.1f}" height="{height:.1f}" rx="5" fill="{fill}"'
        f' stroke="{INK}" stroke-width="0.9"/>'
    )


def arrow(x1: float, y1: float, x2: float, y2: float, color: str = INK) -> str:
    long = hypot(x2 - x1, y2 - y1)
    ux, uy = (x2 - x1) / long, (y2 - y1) / long
    back = (x2 - 9 * ux, y2 - 9 * uy)
    points = (
        f"{x2:.1f},{y2:.1f} {back[0] - 4 * uy:.1f},{back[1] + 4 * ux:.1f} {back[0] + 4 * uy:.1f},{back[1] - 4 * ux:.1f}"
    )
    return line(x1, y1, *back, 1.6, color=color) + f'<polygon points="{points}" fill="{color}"/>'


def path(points: list[tuple[float, float]], width: float = 1.4, dash: str = "", color: str = INK) -> str:
    said = " ".join(f"{px:.1f},{py:.1f}" for px, py in points)
    stroke = f' stroke-dasharray="{dash}"' if dash else ""
    return f'<polyline points="{said}" fill="none" stroke="{color}" stroke-width="{width}"{stroke}/>'


def course(radius: float, bottom: float, side: int = 1, fill: str = CLAY) -> str:
    left = x(radius) if side > 0 else x(-radius - T)
    return box(left, y(bottom + H), SCALE * T, SCALE * H, fill)


def dome(fill: str = CLAY) -> list[str]:
    return [course(r, z, side, fill) for r, z in courses() for side in (-1, 1)]


def ground() -> str:
    return line(10, y(0), 470, y(0), 1.6)


def course_and_bed() -> list[str]:
    out = dome()
    r, z = courses()[6]
    below = courses()[5][0]
    out += [course(r, z, 1, "#c9a97c"), line(x(below), y(z), x(r + T), y(z), 4.0)]
    out += [
        line(x(r + T), y(z + H / 2), 400, 120),
        text(404, 118, "a course: one ring"),
        text(404, 133, "of filled tube"),
    ]
    out += [line(x(below + 0.1), y(z), 404, 180), text(408, 178, "its bed: what it"), text(408, 193, "rests on")]
    return [*out, ground()]


def planes() -> list[str]:
    out = dome()
    out += [box(x(side * D / 2 - (T if side < 0 else 0)), y(-0.2 * (k + 1) + 0.2), SCALE * T, SCALE * H)
            for side in (-1, 1) for k in (0, 1)]  # fmt: skip
    for level, words, dash in (
        (0.0, "springing", ""),
        (-0.2, "floor", "6 3"),
        (-0.4, "ground", "2 3"),
    ):
        out += [line(10, y(level), 515, y(level), 1.2, dash), text(415, y(level) - 3, words)]
    return out


def compasses() -> list[str]:
    out = [course(r, z) for r, z in courses()]
    r, z = courses()[7]
    mid = z + H / 2
    out += [path([(x(inner(k * 0.02)), y(k * 0.02)) for k in range(round(courses()[-1][1] / 0.02))], 1.0, "3 3")]
    out += [line(x(-A), y(0), x(r), y(mid), 1.6), line(x(0), y(0), x(r), y(mid), 2.4)]
    out += [f'<circle cx="{x(at):.1f}" cy="{y(0):.1f}" r="4" fill="{INK}"/>' for at in (-A, 0)]
    out += [text(x(-A) - 8, y(0) + 18, "fixed pivot"), text(x(0), y(0) + 18, "centre pivot", "middle")]
    out += [text(x(-1.6), y(1.05), "fixed compass:"), text(x(-1.6), y(1.05) + 15, "one length for all")]
    out += [text(x(0.05), y(1.9), "centre compass:", "end"), text(x(0.05), y(1.9) + 15, "set anew each course", "end")]
    return [*out, ground()]


def step_in() -> list[str]:
    out = [box(120, 190, 200, 60), box(80, 130, 200, 60), box(20, 70, 200, 60)]
    out += [line(20, 60, 20, 40), line(80, 60, 80, 40), arrow(45, 50, 21, 50), arrow(55, 50, 79, 50)]
    return [*out, text(90, 54, "step-in"), line(80, 190, 280, 190, 4), text(330, 185, "bed: the overlap"),
            text(335, 225, "outside", "start"), text(20, 225, "inside", "start")]  # fmt: skip


def thrust_line() -> list[str]:
    out, found = dome(PALE), courses()[::-1]
    for side in (-1, 1):
        points = [(x(side * (r + T * (0.62 - 0.20 * cos(3 * k / len(found))))), y(z)) for k, (r, z) in enumerate(found)]
        out.append(path(points, 3.0))
    out += [arrow(x(1.72), y(0), x(1.80), y(-0.42)), text(x(1.60), y(-0.40), "its push on the ground", "end")]
    return [*out, text(x(0), y(1.2), "thrust line: how the weight", "middle"), text(x(0), y(1.2) + 16, "finds its way down", "middle"), ground()]  # fmt: skip


def rings() -> list[str]:
    out = [
        f'<circle cx="160" cy="160" r="{radius}" fill="{fill}" stroke="{INK}"/>'
        for radius, fill in ((120, CLAY), (75, "white"))
    ]
    for k in range(8):
        c, s = cos(radians(45 * k)), sin(radians(45 * k))
        out.append(arrow(160 + 70 * c, 160 + 70 * s, 160 + 40 * c, 160 + 40 * s, WATER))
    out += [arrow(160 + 98 * cos(radians(a)), 160 - 98 * sin(radians(a)), 160 + 98 * cos(radians(a - s)), 160 - 98 * sin(radians(a - s)))
            for a, s in ((125, 30), (55, -30))]  # fmt: skip
    return [*out, text(295, 120, "hoop: a closed ring presses"), text(295, 136, "in itself and cannot fall in"),
            text(295, 176, "an open ring holds nothing")]  # fmt: skip


def lune() -> list[str]:
    out = [
        f'<circle cx="160" cy="160" r="{radius}" fill="{fill}" stroke="{INK}"/>'
        for radius, fill in ((130, PALE), (85, "white"))
    ]
    b = radians(28.65)
    corners = [(160 + 130 * cos(b), 160 - 130 * sin(b)), (160 + 130 * cos(b), 160 + 130 * sin(b))]
    out.append(
        f'<path d="M160 160 L{corners[0][0]:.1f} {corners[0][1]:.1f} A130 130 0 0 1 {corners[1][0]:.1f} {corners[1][1]:.1f} Z"'
        f' fill="{CLAY}" stroke="{INK}" stroke-width="1.4"/>'
    )
    return [*out, text(300, 150, "lune: one radian of the"), text(300, 166, "dome, seen from above")]


def hinge() -> list[str]:
    out = [box(150, 190, 90, 50), box(150, 140, 90, 50)]
    out.append(
        f'<g transform="rotate(-14 150 140)">{box(150, 90, 90, 50, "#c9a97c")}{box(150, 40, 90, 50, "#c9a97c")}</g>'
    )
    out.append(f'<circle cx="150" cy="140" r="7" fill="white" stroke="{INK}" stroke-width="2.4"/>')
    return [*out, line(158, 140, 290, 140, 1, "3 3"), text(295, 137, "hinge: the bed opens,"), text(295, 153, "all rests on one edge"),
            text(40, 100, "inside")]  # fmt: skip


def wire() -> list[str]:
    out = [box(60, 146, 260, 70), box(40, 74, 260, 70)]
    for at in (120, 220):
        out += [f'<circle cx="{at}" cy="145" r="5" fill="{INK}"/>']
        out += [line(at - 9, 145 - 9, at + 9, 145 + 9, 1.2), line(at - 9, 145 + 9, at + 9, 145 - 9, 1.2)]
    return [*out, text(330, 140, "two strands of barbed"), text(330, 156, "wire in the bed")]


def tube() -> list[str]:
    half, high = 110.0, 60.0
    flat = half * 2 - high + 3.14159 * high / 2
    out = [line(40, 70, 40 + flat, 70, 4), text(40, 55, "flat width: the empty tube, one layer wide")]
    out.append(
        f'<rect x="40" y="130" width="{2 * half}" height="{high}" rx="{high / 2}" fill="{CLAY}" stroke="{INK}" stroke-width="1.4"/>'
    )
    out += [
        line(40, 205, 260, 205),
        line(40, 200, 40, 210),
        line(260, 200, 260, 210),
        text(150, 222, "filled width", "middle"),
    ]
    return [*out, line(285, 130, 285, 190), line(280, 130, 290, 130), line(280, 190, 290, 190), text(296, 164, "course height")]  # fmt: skip


def tipping() -> list[str]:
    out = [box(150, 190, 140, 45), box(110, 145, 140, 45)]
    out.append(f'<g transform="rotate(-9 110 145)">{box(20, 98, 140, 45, "#c9a97c")}</g>')
    out += [
        f'<circle cx="90" cy="118" r="4" fill="{INK}"/>',
        arrow(90, 118, 90, 180),
        text(130, 205, "weight past the edge", "end"),
    ]
    return [*out, text(270, 110, "a short open piece tips in:"), text(270, 126, "too short to stand by itself")]


PICTURES = {
    "course": (course_and_bed, "A dome in section: one course is darker, its bed drawn heavy"),
    "planes": (planes, "A dome in section with three levels: springing, floor and ground"),
    "compasses": (compasses, "Half a section with both compasses, from their pivots to one course"),
    "step-in": (step_in, "Three courses, each standing in over the one below"),
    "thrust-line": (thrust_line, "A section with a line inside both walls from the crown to the ground"),
    "hoop": (rings, "A ring from above: pressed from outside, it presses in itself"),
    "lune": (lune, "A ring from above with a slice of one radian"),
    "hinge": (hinge, "A wall that opens at one bed and turns about its inner edge"),
    "wire": (wire, "Two courses with two strands of wire between them"),
    "tube": (tube, "An empty tube laid flat, and the same tube filled, in section"),
    "tipping": (tipping, "An open piece whose weight lies past the edge it rests on"),
}


def svg(name: str) -> str:
    draw, said = PICTURES[name]
    body = "\n".join(draw())
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 520 345" width="520" height="345" role="img"'
        f' aria-label="{said}" font-family="sans-serif" font-size="13" fill="{INK}">\n<title>{said}</title>\n'
        f'<rect width="520" height="345" fill="white"/>\n{body}\n</svg>\n'
    )


if __name__ == "__main__":
    for each in PICTURES:
        (FOLDER / f"{each}.svg").write_text(svg(each), encoding="utf-8")
