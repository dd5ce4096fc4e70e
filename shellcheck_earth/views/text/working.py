"""The working of the governing beds, line by line."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from shellcheck_earth.safety.findings import Above, BedWorking
from shellcheck_earth.views.text.arithmetic import digits
from shellcheck_earth.views.text.bed_wetting import two_blocks, wet_lines
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.course_weights import PARTS, course_rows, course_total
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import lower
from shellcheck_earth.views.text.worksheet import BLOCK, SHAPE, STATICS, Sheet, Working, WorkingLine

__all__ = ["printed_workings", "working_of", "workings_of"]


def _shape(sheet: Sheet, bed: BedWorking) -> None:
    if bed.fixed_compass is None or bed.pivot_radius is None:
        sheet.give(r_i=bed.inner_radius)
    else:
        sheet.give(R=bed.fixed_compass, z_m=bed.z_mid, a_p=bed.pivot_radius)
        what, source = _("Inner radius at mid-height"), mark("circle drawn by the fixed compass (derived)")
        sheet.line(what, "r_i = sqrt(R^2 - z_m^2) - a_p", "sqrt({R}^2 - {z_m}^2) - {a_p}", "r_i", "m", source)
    sheet.give(r_b=bed.inner_below, rho=bed.edge_rounding, t=bed.width)
    what = _("Ends of the bed, on the course below")
    sheet.line(what, "a = max(r_i, r_b) + rho", "max({r_i}, {r_b}) + {rho}", "a", "m", SHAPE)
    sheet.line(what, "b = min(r_i, r_b) + t - rho", "min({r_i}, {r_b}) + {t} - {rho}", "b", "m", SHAPE)


def _weights(sheet: Sheet, bed: BedWorking) -> None:
    """What the course weighs, part by part, then the weights and moments of all courses down to the bed."""
    weights, moments = [], []
    own = bed.weighed[-1]
    for k, (kind, gamma, factor, height, inner, outer) in enumerate(own.parts, 1):
        sheet.give(g=gamma, k=factor, h=height, p=inner, q=outer)
        said = _("Part {number} of the course: {part}", number=k, part=_(PARTS[kind]))
        name, sector = f"W_{k}", mark("weight of a sector (derived)")
        sheet.line(said, "W = k gamma h (r_o^2 - r_i^2)/2", "{k} x {g} x {h} x ({q}^2 - {p}^2)/2", name, "kN", sector)
        sheet.line(
            _("Its moment about the axis"), "M = k gamma h (r_o^3 - r_i^3)/3", "{k} x {g} x {h} x ({q}^3 - {p}^3)/3",
            f"M_{k}", "kN m", mark("moment of a sector (derived)"),
        )  # fmt: skip
        weights.append(sheet.value(name))
        moments.append(sheet.value(f"M_{k}"))
    for row in course_rows(own)[len(own.parts) :]:
        weights.append(float(row.weight or 0))
        moments.append(float(row.moment or 0))
    sheet.total(_("Weight of the course"), _("sum of its parts and loads"), weights, "W", "kN", STATICS)
    sheet.total(_("Its moment"), _("sum of its parts and loads"), moments, "M_c", "kN m", STATICS)
    first, last = bed.above[0].number, bed.number
    above = [course_total(one) for one in bed.weighed[:-1]]
    weights, moments = [*(one[0] for one in above), sheet.value("W")], [*(one[1] for one in above), sheet.value("M_c")]
    on_bed = _("Weight on the bed: courses {first} down to {last}", first=first, last=last)
    sheet.total(on_bed, _("V = sum of W"), weights, "V", "kN", STATICS)
    about = _("Moment of the weights: courses {first} down to {last}", first=first, last=last)
    sheet.total(about, _("M = sum of M"), moments, "M", "kN m", STATICS)


def _capacities(sheet: Sheet, bed: BedWorking) -> None:
    """Where the resultant may cross the bed, and how much sideways force it holds, at the divided capacities."""
    q = bed.divided
    sheet.give(q=q, one=1.0)
    if bed.wet is None:
        sheet.give(mu=bed.friction, c=bed.cohesion)
    else:
        wet_lines(sheet, bed, bed.wet)
    if bed.divides_width:
        formula = "(a + b)/2 - (b - a)/(2 q)"
        a, b = sheet.known["a"], sheet.known["b"]
        sheet.known |= {"a0": a, "b0": b}
        mean, half = "({a0} + {b0})/2", "({b0} - {a0})/(2 x {q})"
        sheet.line(_("Bed narrowed about its middle"), f"a' = {formula}", f"{mean} - {half}", "a", "m", SHAPE)
        sheet.line(_("Its outer end"), "b' = (a + b)/2 + (b - a)/(2 q)", f"{mean} + {half}", "b", "m", SHAPE)
    share = "/{q}" if bed.divides_friction else ""
    formula = "mu V/q + c/q" if share else "mu V + c"
    if math.isfinite(bed.friction):
        what, source = _("Sideways force that the bed holds"), mark("dry friction (Coulomb, any statics text)")
        sheet.line(what, f"L = {formula}", f"{{mu}} x {{V}}{share} + {{c}}{share}", "L", "kN", source)
    _crushing(sheet, bed)


def _crushing(sheet: Sheet, bed: BedWorking) -> None:
    """Stress blocks from the inner and from the outer end; of a bed that is wet in part, one strength after the
    other."""
    if bed.wet is not None and bed.strength_in != bed.strength_out:
        two_blocks(sheet, bed, bed.wet)
        return
    if not math.isfinite(bed.strength_in) or bed.strength_in <= 0.0:
        return
    sheet.give(f=bed.strength_in)
    if bed.divides_strength:
        sheet.line(_("Strength, divided"), "f = f/q", "{f}/{q}", "f", "kPa", BLOCK)
    f, a, b, V = (sheet.value(name) for name in ("f", "a", "b", "V"))
    if b * b - 2 * V / f < a * a:
        return
    sheet.line(
        _("Stress block from the inner end"), "c_i = sqrt(a^2 + 2 V/f)", "sqrt({a}^2 + 2 x {V}/{f})", "c_i", "m", BLOCK
    )
    sheet.line(
        _("Stress block from the outer end"), "c_o = sqrt(b^2 - 2 V/f)", "sqrt({b}^2 - 2 x {V}/{f})", "c_o", "m", BLOCK
    )
    low = "(2/3) x ({c_i}^2 + {c_i} x {a} + {a}^2)/({c_i} + {a})"
    high = "(2/3) x ({b}^2 + {b} x {c_o} + {c_o}^2)/({b} + {c_o})"
    sheet.line(_("Least radius of the resultant"), "x_1 = (2/3)(c_i^2 + c_i a + a^2)/(c_i + a)", low, "x_1", "m", BLOCK)
    sheet.line(
        _("Greatest radius of the resultant"), "x_2 = (2/3)(b^2 + b c_o + c_o^2)/(b + c_o)", high, "x_2", "m", BLOCK
    )


def _state(sheet: Sheet, above: Sequence[Above], which: str) -> None:
    """H, G, x and |H|/V from ring compression and wire of every course down to the bed."""
    sheet.give(z=above[-1].z)
    sheet.total(
        _("{state}: ring compression", state=which), _("C = sum of C"), [one.ring for one in above], "C", "kN", STATICS
    )
    sheet.total(
        _("{state}: pull of the wire", state=which), _("T = sum of T"), [one.wire for one in above], "T", "kN", STATICS
    )
    what = _("{state}: thrust outward on the bed", state=which)
    if any(one.push for one in above):
        handed = _("{state}: thrust handed in", state=which)
        sheet.total(handed, _("P = sum of P"), [one.push for one in above], "P", "kN", STATICS)
        sheet.line(what, "H = P + C - T", "{P} + {C} - {T}", "H", "kN", STATICS)
    else:
        sheet.line(what, "H = C - T", "{C} - {T}", "H", "kN", STATICS)
    sheet.total(
        _("{state}: moment of the rings", state=which),
        _("K = sum of K"),
        [one.ring_moment for one in above],
        "K",
        "kN m",
        STATICS,
    )
    pulls = [f"{digits(one.z)} x {digits(one.wire)}" for one in above if one.wire]
    pulls = [f"({pull.replace(' x ', ') x ', 1)}" if pull.startswith("-") else pull for pull in pulls]
    sheet.line(
        _("{state}: moment of the wires", state=which),
        _("Z = sum of z T"),
        " + ".join(pulls) or "0",
        "Z",
        "kN m",
        STATICS,
    )
    sheet.line(_("{state}: moment on the bed", state=which), "G = M + K - Z", "{M} + {K} - {Z}", "G", "kN m", STATICS)
    what = _("{state}: radius where the resultant crosses the bed", state=which)
    sheet.line(what, "x = (G - z H)/V", "({G} - {z} x {H})/{V}", "x", "m", STATICS)
    sheet.line(_("{state}: friction it takes", state=which), "m = |H|/V", "abs({H})/{V}", "m", "", STATICS)


def _factor(sheet: Sheet, bed: BedWorking) -> None:
    """From the state at the edge, or from what is needed there, to the factor."""
    if bed.check == "bed friction" and bed.stands and math.isfinite(bed.friction):
        what, formula = _("Factor: what the bed holds over what the state takes"), "n = (mu V + c)/|H|"
        sheet.line(what, formula, "({mu} x {V} + {c})/abs({H})", "n", "", STATICS)
    elif bed.check == "geometric factor" and bed.stands:
        what, formula = _("Factor: half the bed over how far off its middle the line runs"), "n = (b - a)/|2 x - a - b|"
        sheet.line(what, formula, "({b} - {a})/abs(2 x {x} - {a} - {b})", "n", "", SHAPE)
    elif bed.check == "base sliding" and bed.stands:
        sheet.give(mu_g=bed.ground)
        sheet.line(_("Factor: friction of the ground over what is taken"), "n = mu_g/m", "{mu_g}/{m}", "n", "", STATICS)
    elif bed.check == "ground bearing" and bed.stands:
        _bearing(sheet, bed)
    elif bed.available is not None and bed.needed:
        sheet.give(A=bed.available, D=bed.needed)
        sheet.line(
            _("Factor: available over needed, which was found by halving"), "n = A/D", "{A}/{D}", "n", "", STATICS
        )
    elif bed.factor is not None:
        sheet.give(n=bed.factor)
    if "n" in sheet.known:
        sheet.give(r=bed.required)
        sheet.line(_("Over what is required"), "s = n/r", "{n}/{r}", "s", "", mark("the criteria"))


def _bearing(sheet: Sheet, bed: BedWorking) -> None:
    source = mark("linear stress on a strip at the middle radius, no tension (derived)")
    if not bed.needed:
        return
    sheet.give(p=bed.ground, D=bed.needed)
    sheet.line(
        _("Mean stress on the ground"),
        "p_m = V/((a + b)/2)/(b - a)",
        "{V}/(({a} + {b})/2)/({b} - {a})",
        "p_m",
        "kPa",
        source,
    )
    sheet.line(
        _("Factor: allowable over the stress at the edge in the middlemost line"), "n = p/D", "{p}/{D}", "n", "", source
    )


def working_of(bed: BedWorking) -> Working:
    """Every line of the working of one check, in the order it is done by hand."""
    sheet = Sheet()
    for step in (_shape, _weights, _capacities):
        step(sheet, bed)
    if bed.stands:
        _state(sheet, bed.above, _(STATES.get(bed.check, JUST_STANDS)))
    _factor(sheet, bed)
    if bed.middlemost:
        _state(sheet, bed.middlemost, _("Middlemost line"))
    check = said_below(bed.check) + (f", {bed.combination}" if bed.combination else "")
    where, case = bed.number, lower(said_below(bed.case_title))
    title = _("{check}: the bed under course {course}, {case}", check=check, course=where, case=case)
    return Working(title, bed.check, bed.number, tuple(sheet.lines))


STATES: Mapping[str, str] = {
    "bed friction": mark("State of least friction"),
    "base sliding": mark("State of least thrust"),
    "ground bearing": mark("Middlemost line"),
}
JUST_STANDS = mark("State that just stands")
"""How the state is called from which a factor is read."""


def _before(lines: Sequence[WorkingLine]) -> int:
    """How many of the first lines say the shape of a bed and what weighs on it."""
    return next((k for k, line in enumerate(lines, 1) if line.result.startswith("M = ")), 0)


def workings_of(beds: Sequence[BedWorking]) -> Iterator[Working]:
    """The working of every check."""
    return map(working_of, beds)


def printed_workings(beds: Sequence[BedWorking]) -> Iterator[Working]:
    """The working of every check as it is printed. The shape of a bed and what weighs on it stand once: where a
    later check has the same lines, one line says where they stand and what of them is used."""
    seen: dict[tuple[WorkingLine, ...], str] = {}
    for one in map(working_of, beds):
        count = _before(one.lines)
        first = one.lines[:count]
        if not count or seen.setdefault(first, one.title) == one.title:
            yield one
            continue
        used = {line.result.split(" = ")[0]: line.result for line in first}
        said = _("Bed and weights, line by line as under: {title}", title=seen[first])
        again = WorkingLine(said, "", "", ", ".join(used[name] for name in USED if name in used), _(SHAPE))
        yield replace(one, lines=(again, *one.lines[count:]))


USED = ("a", "b", "V", "M")
"""Of the shape and the weights of a bed, what later lines use."""
