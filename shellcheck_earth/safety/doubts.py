"""What stands between a design that falls short of nothing and a "meets": silence, ranges, what is not computed."""

from __future__ import annotations

from collections import Counter

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import criteria_set, defaults
from shellcheck_earth.design.criteria import GROUND, usual_factor
from shellcheck_earth.design.design import Design, group_path, strengths_tested
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.openings import head_rise
from shellcheck_earth.loads.combinations import combinations, on_the_side, set_rows
from shellcheck_earth.loads.model import needs_blocks, needs_more_than_crew
from shellcheck_earth.safety.assumptions import beyond_range
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.safety.shortfalls import meets_all
from shellcheck_earth.safety.untested import blocks_rest_on, unfavourable_trials, with_number

__all__ = [
    "doubts_of",
    "grounds_not_asked",
    "loads_no_row_has",
    "lowered_criteria",
    "overturned",
    "too_little_stabiliser",
]


def lowered_criteria(design: Design) -> tuple[tuple[str, float, float], ...]:
    """(check, required by the design, required by the set that it names) for every criterion below its set, or below
    the set of a file."""
    out, own = [], design.criteria.own_set
    for check, row in criteria_set(design.criteria.set_name).items():
        tested = design.strengths_tested(building=check == "strength while building")
        least = usual_factor(row, tested=tested, level=design.level_of(check))
        least = max((least, *(one.value for one in (own.required if own else ()) if one.check == check)))
        asked = design.criteria.required.get(check, least)
        if asked < least:
            out.append((check, asked, least))
    asked_rows = {row.name: row for row in combinations(design.criteria)}
    for theirs in (*set_rows(design.criteria.set_name), *(own.rows if own else ())):
        mine = asked_rows[theirs.name]
        out += [(f"{theirs.name}: {key}", getattr(mine, key), getattr(theirs, key)) for key in mine.below(theirs)]
    return tuple({name: (name, asked, least) for name, asked, least in out}.values())


def loads_no_row_has(design: Design) -> tuple[str, ...]:
    """Loads that a design states and no row of factors has, where it names a set of a file: a set that forgets one is
    none that a code has written. Keys of the design file."""
    if design.criteria.own_set is None or not design.criteria.own_set.rows:
        return ()
    site, rows = design.site, combinations(design.criteria)
    stated = {"snow": site.snow, "wind_pressure": site.wind_pressure, "earthquake": site.earthquake}
    loads = {f"site.{key}": key.partition("_")[0] for key, value in stated.items() if value > 0}
    loads |= {"building.worker": "worker"} if design.building.worker > 0 else {}
    return tuple(path for path, kind in loads.items() if not any(on_the_side(row, site, kind) > 0 for row in rows))


def grounds_not_asked(design: Design) -> tuple[str, ...]:
    """Rows of the design's own that divide what the ground holds, where no blocks are asked by them: rings are asked
    the ground by the criteria alone."""
    if needs_more_than_crew(design):
        return ()
    own = design.criteria.own_set
    rows = (*(own.rows if own else ()), *design.criteria.rows)
    return tuple(row.name for row in rows if any(getattr(row, key) > 0 for key in GROUND))


def doubts_of(dome: Dome) -> tuple[Doubt, ...]:
    """Every reason in the design itself, before any case is looked at; most important first."""
    design = dome.design
    out = [Doubt("load not stated", f"site.{name}") for name in design.loads_not_stated]
    out += [Doubt("past its range", one.path, one.value, one.end) for one in beyond_range(design)]
    out += [
        Doubt("criteria lowered", check, f"{asked:g}", f"{least:g}") for check, asked, least in lowered_criteria(design)
    ]
    out += [Doubt("load without a row", path) for path in loads_no_row_has(design)]
    out += [Doubt("ground of a row", name) for name in grounds_not_asked(design)]
    out += too_little_stabiliser(design)
    out += _of_earth(design)
    if needs_blocks(dome):
        out += [Doubt("blocks rest on it", *one) for one in blocks_rest_on(dome)]
    return tuple(out)


def _of_earth(design: Design) -> list[Doubt]:
    """What of the earth against the wall is not computed: water in it, its shaking, and what carries an opening."""
    earth, laid = design.earth, design.dome.floor_above_ground < 0.0 or not design.building.unfinished
    if earth is None or not laid:  # none is laid against a wall that is not finished
        return []
    out = [] if earth.drained else [Doubt("water against the wall", "backfill.drained")]
    if design.site.earthquake > 0:
        out.append(Doubt("earth shaken", "site.earthquake"))
    for number, opening in enumerate(design.openings, 1):
        head = opening.sill + opening.height - head_rise(opening) - design.wall.course_height
        off = earth.beside(opening.bearing, opening.width, design.dome.inside_diameter / 2)
        if earth.height - design.dome.floor_above_ground > head and not off:
            out.append(Doubt("earth over an opening", f"opening[{number}].height"))
    return out


def too_little_stabiliser(design: Design) -> list[Doubt]:
    """Fill, of the wall or of a group of courses, that is called stabilised with less than its assumed strengths take,
    where not all of its strengths were measured: the word alone hardens nothing."""
    least = parse_quantity(defaults()["fill.stabiliser_share"].extra["least"], "share")
    out = []
    for group, fill in enumerate((design.fill, *(one.fill for one in design.groups))):
        tested = strengths_tested(design.bases, [fill.stabiliser != "none"], building=False, group=group)
        if fill.stabiliser != "none" and fill.stabiliser_share < least and not tested:
            shown = (f"{100 * share:g} %" for share in (fill.stabiliser_share, least))
            out.append(Doubt("stabiliser not stated", group_path(group, "fill.stabiliser_share"), *shown))
    return out


def overturned(design: Design, *, first: bool = False, suspect: str = "") -> tuple[Doubt, ...]:
    """Inputs that were not measured and whose range, at its unfavourable end, leaves the design short: one at a time.

    `first`: one is enough; then the path `suspect` is asked before the others. All ends together are asked first: where
    the design meets even so, none overturns it alone.
    """
    trials = sorted(unfavourable_trials(design), key=lambda trial: trial[0] != suspect)
    twice = {path for path, count in Counter(path for path, *_ in trials).items() if count > 1}
    # A value that may help either way is tried at both its ends, and cannot stand at both of them at once.
    if _meets_together(design, [(path, value) for path, value, _, _ in trials if path not in twice]):
        trials = [trial for trial in trials if trial[0] in twice]
    out = []
    for path, _, trial, shown in trials:
        if not meets_all(trial):
            out.append(Doubt("its range overturns", path, shown))
            if first:
                break
    return tuple(out)


def _meets_together(design: Design, ends: list[tuple[str, float]]) -> bool:
    try:
        for path, value in ends:
            design = with_number(design, path, value)
    except InputError:
        return False  # together they contradict each other: each has to be asked alone
    return meets_all(design)
