"""A bed that is wet in part, line by line: how deep the rain went, what of the bed is wet, what both parts hold."""

from __future__ import annotations

import math

from shellcheck_earth.safety.findings import BedWorking, Rained, WetBed
from shellcheck_earth.views.text.arithmetic import digits, put_in, worked_out
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.worksheet import BLOCK, SHAPE, Sheet

__all__ = ["two_blocks", "wet_lines"]

GREEN_AMPT = mark("Green & Ampt 1911, as in Chow, Maidment & Mays 1988 (memory)")
BAND = mark("how deep rain goes (derived)")
BY_AREA = mark("wet and dry counted by area (proposed)")


def wet_lines(sheet: Sheet, bed: BedWorking, wet: WetBed) -> None:
    """From the rain to the radius from which the bed is wet, then its friction mu and cohesion c."""
    if wet.rained is None:
        sheet.give(r_w=bed.wet_from)
    else:
        _rain(sheet, wet.rained)
    sheet.give(m_d=wet.friction[0], m_w=wet.friction[1], c_d=wet.cohesion[0], c_w=wet.cohesion[1])
    sheet.line(_("Dry part of the bed"), "A_d = (r_w^2 - a^2)/2", "({r_w}^2 - {a}^2)/2", "A_d", "m2", SHAPE)
    sheet.line(_("Wet part of the bed"), "A_w = (b^2 - r_w^2)/2", "({b}^2 - {r_w}^2)/2", "A_w", "m2", SHAPE)
    by_friction, by_cohesion, _strength = wet.divided
    sheet.give(y_f=by_friction, y_c=by_cohesion)
    less, of = ("/gamma_f", "/{y_f}") if by_friction != 1.0 else ("", "")
    if math.isfinite(wet.friction[0]):
        template = f"({{m_d}} x {{A_d}} + {{m_w}} x {{A_w}})/({{A_d}} + {{A_w}}){of}"
        formula = f"mu = (mu_d A_d + mu_w A_w)/(A_d + A_w){less}"
        sheet.line(_("Friction of the bed"), formula, template, "mu", "", BY_AREA)
    else:
        sheet.give(mu=bed.friction)
    less, of = ("/gamma_c", "/{y_c}") if by_cohesion != 1.0 else ("", "")
    template = f"({{c_d}} x {{A_d}} + {{c_w}} x {{A_w}}){of}"
    sheet.line(_("Cohesion of the bed"), f"c = (c_d A_d + c_w A_w){less}", template, "c", "kN", BY_AREA)


def _rain(sheet: Sheet, rain: Rained) -> None:
    """How deep the rain goes into the course that it wets the more, and from which radius on the bed is wet then."""
    sheet.give(r_c=rain.outer_radius, t_c=rain.width, h_c=rain.height, l=rain.ledge)
    if rain.in_ground:
        what = _("The course lies in ground that the rain soaks: the whole bed is wet")
        sheet.line(what, "w_b = t", "{t_c}", "w_b", "m", BAND)
    elif math.isfinite(rain.taken_in):
        _taken_in(sheet, rain)
        sheet.give(S_w=rain.wet, e=rain.already)
        what, formula = _("Depth that counts as wet"), "L_w = F/(n_p (S_w - S_0)) + what was wet before"
        sheet.line(what, formula, "{F}/({n_p} x ({S_w} - {S_0})) + {e}", "L_w", "m", BAND)
        through = sheet.value("L_w") >= sheet.value("h_c")
        what = _("Width of the bed that is wet, not yet reached through the ledge")
        if through:
            what = _("Width of the bed that is wet, through the ledge too")
        ledge, more = (" + l", " + {l}") if through else ("", "")
        sheet.line(what, f"w_b = min(L_w{ledge}, t)", f"min({{L_w}}{more}, {{t_c}})", "w_b", "m", BAND)
    else:
        what = _("The fill is as wet already as counts as wet: the whole bed is")
        sheet.line(what, "w_b = t", "{t_c}", "w_b", "m", BAND)
    what = _("Radius from which the bed is wet, by course {course}", course=rain.number)
    sheet.line(what, "r_w = min(max(r_o - w_b, a), b)", "min(max({r_c} - {w_b}, {a}), {b})", "r_w", "m", BAND)


def _taken_in(sheet: Sheet, rain: Rained) -> None:
    """F, the water taken in: all of the rain until water stands, then as Green & Ampt have it."""
    sheet.give(i_r=rain.intensity, k_w=rain.wind_share, K_h=rain.conductivity, psi=rain.suction)
    sheet.give(n_p=rain.porosity, S_0=rain.start, T_r=rain.hours)
    what = _("Rain that course {course} catches on its faces", course=rain.number)
    sheet.line(
        what, "i_c = i (l + k_w h)/(l + h)", "{i_r} x ({l} + {k_w} x {h_c})/({l} + {h_c})", "i_c", "m/h", BAND
    )  # fmt: skip
    what = _("Suction times the voids that water fills")
    sheet.line(what, "s_v = psi n_p (1 - S_0)", "{psi} x {n_p} x (1 - {S_0})", "s_v", "m", GREEN_AMPT)
    if sheet.value("i_c") > sheet.value("K_h"):
        what, formula = _("Hours until water stands on the face"), "t_p = K s_v/(i_c (i_c - K))"
        sheet.line(what, formula, "{K_h} x {s_v}/({i_c} x ({i_c} - {K_h}))", "t_p", "h", GREEN_AMPT)
    if sheet.value("i_c") <= sheet.value("K_h") or rain.hours <= sheet.value("t_p"):
        sheet.line(_("Water taken in: all that falls"), "F = i_c T", "{i_c} x {T_r}", "F", "m", GREEN_AMPT)
        return
    sheet.line(_("Water taken in until then"), "F_p = i_c t_p", "{i_c} x {t_p}", "F_p", "m", GREEN_AMPT)
    template = "{F_p} + {K_h} x ({T_r} - {t_p}) + {s_v} x ln(({s_v} + {F})/({s_v} + {F_p}))"
    sheet.known["F"] = _by_trial(template, sheet.known, rain.taken_in)
    formula = "F = F_p + K (T - t_p) + s_v ln((s_v + F)/(s_v + F_p))"
    what = _("Water taken in, found by trial: put in, it comes out again")
    sheet.line(what, formula, template, "F", "m", GREEN_AMPT)


MOST_TRIALS = 200


def _by_trial(template: str, known: dict[str, str], first: float) -> str:
    """The digits that come out again when they are put in. Each trial is nearer: the slope s/(s + F) is under 1."""
    said = digits(first)
    for _trial in range(MOST_TRIALS):
        found = digits(worked_out(put_in(template, known | {"F": said})))
        if found == said:
            break
        said = found
    return said


def two_blocks(sheet: Sheet, bed: BedWorking, wet: WetBed) -> None:
    """Stress blocks of a bed of two strengths, from its inner and from its outer end; none where it is crushed
    whatever the line does, or has no limit."""
    if not all(map(math.isfinite, wet.strength)):
        return
    _strengths(sheet, bed, wet)
    if bed.divides_width:
        what = _("Where the wet part of the narrowed bed begins")
        sheet.line(what, "r_w = min(max(r_w, a), b)", "min(max({r_w}, {a}), {b})", "r_w", "m", SHAPE)
    sheet.line(
        _("What the dry part bears"), "V_d = f_d (r_w^2 - a^2)/2", "{f_d} x ({r_w}^2 - {a}^2)/2", "V_d", "kN", BLOCK
    )
    sheet.line(
        _("What the wet part bears"), "V_w = f_w (b^2 - r_w^2)/2", "{f_w} x ({b}^2 - {r_w}^2)/2", "V_w", "kN", BLOCK
    )
    sheet.line(
        _("What the whole bed bears: under V it is crushed"), "V_r = V_d + V_w", "{V_d} + {V_w}", "V_r", "kN", BLOCK
    )
    V, dry, wetted = (sheet.value(name) for name in ("V", "V_d", "V_w"))
    if dry + wetted < V:
        return
    _from_inside(sheet, dry >= V)
    _from_outside(sheet, wetted >= V)


def _strengths(sheet: Sheet, bed: BedWorking, wet: WetBed) -> None:
    """f_d and f_w of the dry and the wet part, divided by what is asked."""
    sheet.give(f_d=wet.strength[0], f_w=wet.strength[1], y_s=wet.divided[2])
    by = (["/{y_s}"] if wet.divided[2] != 1.0 else []) + (["/{q}"] if bed.divides_strength else [])
    said = "".join(by).replace("{y_s}", "gamma_m").replace("{q}", "q")
    for name, what in (("f_d", _("Strength of the dry part")), ("f_w", _("Strength of the wet part"))):
        if by:
            sheet.line(what, f"{name} = {name}{said}", f"{{{name}}}{''.join(by)}", name, "kPa", BLOCK)


def _from_inside(sheet: Sheet, alone: bool) -> None:
    """`alone`: the dry part bears all."""
    what, least = _("Stress block from the inner end"), _("Least radius of the resultant")
    if alone:
        sheet.line(what, "c_i = sqrt(a^2 + 2 V/f_d)", "sqrt({a}^2 + 2 x {V}/{f_d})", "c_i", "m", BLOCK)
        template = "(2/3) x ({c_i}^2 + {c_i} x {a} + {a}^2)/({c_i} + {a})"
        sheet.line(least, "x_1 = (2/3)(c_i^2 + c_i a + a^2)/(c_i + a)", template, "x_1", "m", BLOCK)
        return
    formula, template = "c_i = sqrt(r_w^2 + 2 (V - V_d)/f_w)", "sqrt({r_w}^2 + 2 x ({V} - {V_d})/{f_w})"
    sheet.line(what, formula, template, "c_i", "m", BLOCK)
    _both(sheet, "c_i", ("d", "({r_w}^3 - {a}^3)", "(r_w^3 - a^3)"), (least, "x_1"))


def _from_outside(sheet: Sheet, alone: bool) -> None:
    """`alone`: the wet part bears all."""
    what, most = _("Stress block from the outer end"), _("Greatest radius of the resultant")
    if alone:
        sheet.line(what, "c_o = sqrt(b^2 - 2 V/f_w)", "sqrt({b}^2 - 2 x {V}/{f_w})", "c_o", "m", BLOCK)
        template = "(2/3) x ({b}^2 + {b} x {c_o} + {c_o}^2)/({b} + {c_o})"
        sheet.line(most, "x_2 = (2/3)(b^2 + b c_o + c_o^2)/(b + c_o)", template, "x_2", "m", BLOCK)
        return
    formula, template = "c_o = sqrt(r_w^2 - 2 (V - V_w)/f_d)", "sqrt({r_w}^2 - 2 x ({V} - {V_w})/{f_d})"
    sheet.line(what, formula, template, "c_o", "m", BLOCK)
    _both(sheet, "c_o", ("w", "({b}^3 - {r_w}^3)", "(b^3 - r_w^3)"), (most, "x_2"))


def _both(sheet: Sheet, end: str, whole: tuple[str, str, str], result: tuple[str, str]) -> None:
    """The part that is used whole, then of the other as much as is left of V, at its middle: two lines, for the
    difference of two cubes that are nearly alike would have lost the digits.

    whole: letter of that part, its cubes with numbers and as letters; result: what it is, its name."""
    part, cubes, letters = whole
    template = f"(2/3) x ({{{end}}}^2 + {{{end}}} x {{r_w}} + {{r_w}}^2)/({{{end}}} + {{r_w}})"
    formula = f"x_b = (2/3)({end}^2 + {end} r_w + r_w^2)/({end} + r_w)"
    sheet.line(_("Middle of what the other part has to bear"), formula, template, "x_b", "m", BLOCK)
    what, name = result
    template = f"({{f_{part}}} x {cubes}/3 + ({{V}} - {{V_{part}}}) x {{x_b}})/{{V}}"
    formula = f"{name} = (f_{part} {letters}/3 + (V - V_{part}) x_b)/V"
    sheet.line(what, formula, template, name, "m", BLOCK)
