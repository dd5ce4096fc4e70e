"""Cases crossed with combinations and checks, and the rows of factors that act together."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from shellcheck_earth.basics.units import format_quantity
from shellcheck_earth.design.design import Criteria, Design
from shellcheck_earth.loads.combinations import Combination, combinations, on_the_side
from shellcheck_earth.loads.joint import ALL_CAPACITIES, ON_THE_GROUND
from shellcheck_earth.safety.asked import rows_asked
from shellcheck_earth.safety.checks import LABELS
from shellcheck_earth.safety.crossed import AT_ONCE, Crossed, crossed
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.report.layout import Block, Column, heading, paragraph, table
from shellcheck_earth.views.report.sameness import told_once
from shellcheck_earth.views.text.below import said_below, source_named
from shellcheck_earth.views.text.factors import (
    ASKED_OF,
    CROSSED,
    EVERY_ROW,
    GROUPS,
    NOT_ASKED,
    OWN_ROWS,
    OWN_SET,
    ROWS_OF_FACTORS,
    SHORT,
    asked_words,
    stated_as,
)
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import factor_words

__all__ = ["factor_blocks", "own_set_words"]


def _share(line: Crossed | None) -> str:
    """The share of what is required, with its mark; a dash where it is not asked, a word where there is no answer."""
    if line is None:
        return "-"
    if line.share is None:
        return _("cannot say")
    mark = "**" if line.decides else "*" if line.governs else ""
    return f"{_('over 100') if math.isinf(line.share) or line.share > 100 else factor_words(line.share, 1.0)}{mark}"


def _least(lines: Iterable[Crossed]) -> Crossed | None:
    """The least of some lines; before all, one that was not established; of equal ones that which is marked."""
    return min(
        lines,
        key=lambda line: (line.share is not None, 0.0 if line.share is None else line.share, not line.governs),
        default=None,
    )


def _groups(lines: Sequence[Crossed]) -> list[tuple[str, list[Crossed]]]:
    """(name, lines) of every finished case, then of all stages and of all stages that were rained on."""
    out = []
    for case in dict.fromkeys(line.case for line in lines if line.kind == "finished"):
        of_case = [line for line in lines if line.case == case]
        out.append((said_below(of_case[0].title), of_case))
    for kind, name in GROUPS.items():
        of_kind = [line for line in lines if line.kind == kind]
        out += [(_(name, count=len({line.case for line in of_kind})), of_kind)] if of_kind else []
    return out


def _rings(lines: Sequence[Crossed]) -> list[Block]:
    checks = [check for check in LABELS if any(line.check == check for line in lines)]
    columns = [Column(_("Case"), right=False, share=3.0), *(Column(_(SHORT[check]), share=1.0) for check in checks)]
    rows = [
        [name, *(_share(_least([line for line in of if line.check == check])) for check in checks)]
        for name, of in _groups(lines)
    ]
    return told_once(columns, rows, _("Rings: the least factor over what is required, by case and check"))


def _by_combination(lines: Sequence[Crossed]) -> list[Block]:
    names = dict.fromkeys(line.combination for line in lines if line.combination)
    if not names:
        return []
    groups = _groups([line for line in lines if line.combination])
    columns = [Column(_("Combination"), right=False, share=2.0), *(Column(name, share=1.0) for name, _ in groups)]
    rows = [
        [name, *(_share(_least([line for line in of if line.combination == name])) for _, of in groups)]
        for name in names
    ]
    return told_once(columns, rows, _("Rings: all factors of a row at once, 1 is required"))


ASKED = {
    "": mark("as it is"),
    AT_ONCE: mark("all at once"),
    ALL_CAPACITIES: mark("all capacities"),
    ON_THE_GROUND: mark("of the ground"),
}
"""Rows that are none of a set, in words."""


def _row_named(name: str) -> str:
    return _(ASKED[name]) if name in ASKED else name


def _bearing(line: Crossed) -> str:
    return "-" if line.bearing is None else f"{math.degrees(line.bearing) % 360:.0f}"


def _blocks(lines: Sequence[Crossed]) -> list[Block]:
    """Every question of the blocks at its worst row, then of each that was asked at several all of them."""
    if not lines:
        return []
    questions: dict[str, list[Crossed]] = {}
    for line in lines:
        questions.setdefault(line.case, []).append(line)
    columns = [
        Column(_("Load at its worst direction and row"), right=False, share=3.0),
        Column(_("Row"), right=False, share=1.4),
        Column(_("Over required")),
    ]
    least = [found for found in map(_least, questions.values()) if found is not None]
    rows = [[said_below(line.title), _row_named(line.combination), _share(line)] for line in least]
    out = [table(columns, rows, _("Blocks: what is relied on over what is required"), 8)]
    several = [of for of in questions.values() if len(of) > 1]
    if several:
        out += [heading(_("Blocks: every row of factors"), 2), paragraph(_(EVERY_ROW))]
    return out + [_question(of) for of in several]


def _question(lines: Sequence[Crossed]) -> Block:
    """Of one question every row; of a dead load there is neither a bearing nor a number of loads."""
    caption = said_below(lines[0].question)
    name, over = Column(_("Combination"), right=False, share=2.0), Column(_("Over required"))
    if all(line.bearing is None for line in lines):
        return table([name, over], [[_row_named(line.combination), _share(line)] for line in lines], caption, 8)
    least = Column(_("Least held under"), right=False, share=3.4)
    columns = [name, least, Column(_("Bearing, deg")), Column(_("Loads asked")), over]
    rows = [
        [_row_named(line.combination), _load(line), _bearing(line), str(line.loads), _share(line)] for line in lines
    ]
    return table(columns, rows, caption, 8)


def _load(line: Crossed) -> str:
    """The load of a line without the row, which has a column of its own."""
    return "-" if line.bearing is None else said_below(line.title.replace(f", {line.combination}", "", 1))


LOADED = (
    mark("Weight"),
    mark("Crew"),
    mark("Snow"),
    mark("Water"),
    mark("Wind"),
    mark("Quake"),
    mark("Friction"),
)


def _factor(value: float) -> str:
    return "-" if value == 0 else f"{value:.3g}"


def own_set_words(criteria: Criteria) -> list[Block]:
    """Which set of a file stands beside the named one, and what it was taken from; nothing where none does."""
    own = criteria.own_set
    if own is None:
        return []
    said = {"name": own.name, "title": own.title, "edition": own.edition, "set": said_below(criteria.set_name)}
    return [paragraph(_(OWN_SET, **said))]


def _besides(row: Combination, design: Design) -> list[str]:
    """Factors of a row that have no column of their own."""
    out = []
    if row.ground_friction or row.ground_bearing:
        of = {"slides": _factor(row.ground_friction), "bears": _factor(row.ground_bearing)}
        out.append(_("Ground under blocks: {slides} on sliding, {bears} on bearing", **of))
    if row.crew_pressure:
        pressure = format_quantity(row.crew_pressure, "stress", design.unit_system)
        out.append(_("A crew weighs at least {pressure} on its ring", pressure=pressure))
    return out


def _rows_of_factors(design: Design) -> list[Block]:
    """The rows themselves: as the loads of this site are stated, and as its fill was tested."""
    rows = combinations(design.criteria)
    if not rows:
        return []
    columns = [
        Column(_("Combination"), right=False, share=1.8),
        *(Column(_(name)) for name in LOADED),
        Column(_("Fill, building")),
        Column(_("Wire")),
        Column(_("Where it stands, and how it is known"), right=False, share=3.0),
    ]
    body = []
    for row in rows:
        fill = "{:.3g}, {:.3g}".format(
            *(row.strength_factor(building=b, tested=design.strengths_tested(building=b)) for b in (False, True))
        )
        wind, quake = (on_the_side(row, design.site, kind) for kind in ("wind", "earthquake"))
        loads = (row.permanent, row.imposed, row.snow, row.water, wind, quake)
        said = ". ".join(part for part in (row.clause, source_named(row.source), *_besides(row, design)) if part)
        body.append([row.name, *map(_factor, loads), f"{row.friction:.3g}", fill, f"{row.wire:.3g}", f"{said}."])
    known = dict.fromkeys(row.capacities for row in rows if row.capacities != row.source)
    return [
        heading(_("Factors that act together"), 2),
        paragraph(_(ROWS_OF_FACTORS)),
        paragraph(stated_as(design)),
        *own_set_words(design.criteria),
        table(columns, body, _("Rows of {set}, and of the design file", set=design.criteria.set_name), 8),
        *(paragraph(_("Capacities: {how}.", how=one)) for one in known),
    ]


def _rows_asked(assessment: Result) -> list[Block]:
    """Of what each row is asked: drawn from the questions themselves."""
    asked = rows_asked(assessment.model)
    if not asked:
        return []
    known = [row.name for row in combinations(assessment.design.criteria)]
    names = dict.fromkeys([*known, *(one.row for one in asked)])
    columns = [
        Column(_("Row"), right=False, share=1.6),
        Column(_("Rings: stages, loads, moisture"), right=False, share=3.0),
        Column(_("Blocks: loads, bearings, stages, moisture"), right=False, share=4.0),
    ]
    alike: dict[tuple[str, str], list[str]] = {}
    for name in names:
        of = [one for one in asked if one.row == name]
        rings, blocks = (asked_words([one for one in of if one.model == model]) for model in ("rings", "blocks"))
        alike.setdefault((rings, blocks) if of else (_(NOT_ASKED), "-"), []).append(_row_named(name))
    rows = [["; ".join(named), *said] for said, named in alike.items()]
    own = [paragraph(_(OWN_ROWS))] if {ALL_CAPACITIES, ON_THE_GROUND} & set(names) else []
    caption = _("Stages, moisture and directions of each row")
    return [heading(_("Of what each row is asked"), 2), paragraph(_(ASKED_OF)), *own, table(columns, rows, caption, 8)]


def factor_blocks(assessment: Result) -> list[Block]:
    """Every case by check and by combination, what governs marked; then what the combinations are."""
    lines = crossed(assessment)
    rings = [line for line in lines if line.model == "rings"]
    return [
        heading(_("Cases, combinations and checks")),
        paragraph(_(CROSSED)),
        *_rings(rings),
        *_by_combination(rings),
        *_blocks([line for line in lines if line.model == "blocks"]),
        *_rows_of_factors(assessment.design),
        *_rows_asked(assessment),
    ]
