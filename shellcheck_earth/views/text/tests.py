"""What to test first, and what to change, in the builder's words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shellcheck_earth.geometry.earth import in_wet_ground
from shellcheck_earth.loads.site_tests.fractile import FEWEST_TESTS
from shellcheck_earth.safety.result import CaseResult, Margin, Result
from shellcheck_earth.safety.to_test import Deciding, SiteTest
from shellcheck_earth.views.text.doubts import doubt_sentences
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import listed
from shellcheck_earth.views.text.verdict import deciding_line

__all__ = ["CREW", "TEST_ALT", "change_sentences", "how_much_was_tested", "value_named", "words_of_test"]

NAMED: Mapping[str, str] = {
    "beds.friction": mark("friction in the beds"),
    "beds.friction_wet": mark("friction in wet beds"),
    "beds.friction_no_wire": mark("friction without wire"),
    "fill.strength_dry": mark("strength of the dry fill"),
    "fill.strength_as_placed": mark("strength of the fill as placed"),
    "fill.strength_wet": mark("strength of the soaked fill"),
    "beds.wire_breaking_load": mark("breaking load of the wire"),
    "wall.filled_width": mark("width of the filled tube"),
    "fill.hydraulic_conductivity": mark("how fast water soaks in"),
    "fill.dry_density": mark("weight of the dry fill"),
    "fill.placing_moisture": mark("moisture of the fill as placed"),
    "site.ground_friction": mark("friction of the ground"),
    "site.ground_bearing": mark("what the ground carries"),
    "site.ground_friction_wet": mark("friction of the wet ground"),
    "site.ground_bearing_wet": mark("what the wet ground carries"),
}
"""Inputs in the builder's words."""

TITLES: Mapping[SiteTest, str] = {
    "tilt": mark("Tilt two courses"),
    "crush": mark("Crush samples"),
    "weigh": mark("Weigh a tamped box"),
    "dry": mark("Dry a handful"),
    "soak": mark("Time the water"),
    "tube": mark("Measure a filled tube"),
    "wire": mark("Hang weights on the wire"),
}
STEPS: Mapping[SiteTest, str] = {
    "tilt": mark(
        "One filled course on another{state}, the upper one loaded; tilt until it slips. Three times at one load, three"
        " at twice that load, rebuilt each time. Keep clear of the low side."
    ),
    "crush": mark(
        "At least {fewest} cylinders, cubes or whole tamped bags of this fill{state}, pressed until they fail. Write"
        " down the load and the sizes; nobody's hands between the plates."
    ),
    "weigh": mark(
        "Fill and tamp a box of known size as hard as the wall. Weigh it full and empty, and dry a spoonful of the same"
        " fill."
    ),
    "dry": mark("Weigh a handful of fill as it is laid, dry it in a pan until it loses no more, weigh it again."),
    "soak": mark(
        "Seal a ring onto a tamped face, keep water a few millimetres deep in it from a measure, and write down how"
        " much it takes in what time."
    ),
    "tube": mark("Fill and tamp two metres of tube, one course on another, and measure the lower one across."),
    "wire": mark(
        "Hang weights on a metre of one strand until it breaks, at least {fewest} times. Keep feet and faces away: it"
        " whips back."
    ),
}
STATES: Mapping[str, str] = {
    "beds.friction": mark(", as in the wall"),
    "beds.friction_wet": mark(", both soaked"),
    "beds.friction_no_wire": mark(", no wire between"),
    "fill.strength_dry": mark(", dried right through"),
    "fill.strength_as_placed": mark(", on the day they are tamped"),
    "fill.strength_wet": mark(", soaked for a day"),
}
STABILISED: Mapping[str, str] = {
    "fill.strength_as_placed": mark(" at three days"),
    "fill.strength_dry": mark(" at 28 days"),
}
TEST_ALT: Mapping[SiteTest, str] = {
    "tilt": mark("A loaded course on another, on a board that is tilted until the upper one slips"),
    "crush": mark("A sample of fill between two plates, pressed until it fails"),
    "weigh": mark("A tamped box of known size on a scale"),
    "dry": mark("A handful of damp fill on a scale, a pan over a fire, and the dried fill on the scale again"),
    "soak": mark("A ring sealed onto a tamped face, filled with water from a measure"),
    "tube": mark("Two filled courses, one on the other, the lower one measured across"),
    "wire": mark("A strand that hangs from a beam with a bucket of weights on it"),
}


def value_named(path: str) -> str:
    """One input in the builder's words."""
    return _(NAMED[path]) if path in NAMED else path


def how_much_was_tested(values: Sequence[Deciding], first: Sequence[Deciding]) -> str:
    """How many of the values that decide were tested, and which two to test first."""
    done = sum(one.tested for one in values)
    if done == len(values):
        return _("All {count} values that decide this answer were tested.", count=done)
    said = _(_how_many(done), done=done, count=len(values))
    if not first:
        names = listed([value_named(one.path) for one in values if not one.tested])
        left = _("What is left is for a ground engineer: {names}.", names=names)
        return f"{said} {left}"
    names = listed([value_named(one.path) for one in first])
    return f"{said} {_(FIRST[len(first)], names=names)}"


FIRST: Mapping[int, str] = {
    1: mark("Do this test first: {names}."),
    2: mark("Do these two tests first: {names}."),
    3: mark("Do these three tests first: {names}."),
}


def _how_many(done: int) -> str:
    if done == 0:
        return mark("None of the {count} values that decide this answer were tested.")
    if done == 1:
        return mark("{done} of the {count} values that decide this answer was tested.")
    return mark("{done} of the {count} values that decide this answer were tested.")


def words_of_test(one: Deciding, *, stabilised: bool) -> tuple[str, str]:
    """(title, what to do) of the site test that settles one input."""
    assert one.test is not None
    state = STATES.get(one.path, "")
    if stabilised and one.test == "crush":
        state = STABILISED.get(one.path, state)
    words = _(STEPS[one.test], state=_(state), fewest=FEWEST_TESTS)
    return f"{_(TITLES[one.test])}: {value_named(one.path)}.", words


CHANGES: Mapping[str, str] = {
    "bed friction": mark(
        "Friction: more strands of wire, rougher tube, a more pointed curve, or tests that show more."
    ),
    "geometric factor": mark("Wall: a wider tube, a smaller dome or a more pointed curve."),
    "strength": mark("Strength: tests that show more, a stabilised fill, a wider tube or a smaller dome."),
    "strength while building": mark(
        "Strength of fresh fill: tests that show more, drier or stabilised fill, fewer courses a day, a wider tube."
    ),
    "wire tension": mark("Wire: more strands, or a more pointed curve that needs less of it."),
    "standing without wire": mark("Without its wire: more friction in the beds, or a more pointed curve."),
    "combined factors": mark("All together: a wider tube, a stronger fill, a smaller dome or a more pointed curve."),
    "overall reserve": mark("All together: a wider tube, a stronger fill, a smaller dome or a more pointed curve."),
    "base sliding": mark("Sliding at the base: a rougher or deeper footing, or a ring that ties it; ask an engineer."),
    "ground bearing": mark("Pressure on the ground: a wider footing, or a test of the ground; ask an engineer."),
}
"""What bears on each check; how much is enough is another question."""

SOAKED = mark(
    "Keep the foot of the wall dry: stabilised courses in the ground and as high over it as splash reaches, a drain,"
    " a wide roof or plaster."
)
BLOCKS = mark(
    "Doors, windows or loads from one side: smaller or fewer openings, tied lintels, buttresses, a thicker wall."
)
BLOCKS_WHOLE = mark("Loads from one side: buttresses, a thicker wall.")
"""Of a dome without openings."""
CREW = mark(
    "One person on one side of a ring: a scaffold above the rings that hold one (building.scaffold_above;"
    ' "shellcheck-earth choose" with "--change scaffold" finds the highest of them), a wider crown opening, or tests'
    " that show more friction."
)
HOW_MUCH = mark(
    'The command "shellcheck-earth choose" tries such changes on this design and says how much of each is enough.'
)
UNCHANGED = mark(
    "Nothing, as long as it is built as it was checked: these sizes, this fill, this order, this cover in rain."
)
FIRST_ABOVE = mark("First what the answer above says.")
ONLY_ABOVE = mark("What the answer above says; nothing else stands before a verdict.")
MOST = 3
"""So many changes are named."""


def _of_its_foot(result: Result, case: CaseResult, margin: Margin) -> bool:
    """Whether what falls short hangs on the foot of the wall soaked: by the ground, or by rain on the ground."""
    if case.wetting != "rain" or margin.course is None or margin.check in ("base sliding", "ground bearing"):
        return case.wetting == "base"
    dome = result.model.dome
    return case.status == "admissible" and in_wet_ground(dome, dome.course(margin.course))


def _short(result: Result) -> list[str]:
    """What falls short, most of all first, each kind of change once."""
    short = [(case, margin) for case, margin in result.governing().values() if not margin.meets]
    failing = sorted((margin.share, margin.check) for _case, margin in short)
    said = [SOAKED] if any(_of_its_foot(result, case, margin) for case, margin in short) else []
    said += [CHANGES[check] for _, check in failing if check in CHANGES]
    blocks = [block.id for block in result.blocks if block.meets is False]
    if any("-worker" in name for name in blocks):
        said.insert(0, CREW)
    if not all("-worker" in name for name in blocks):
        said.insert(0, BLOCKS if result.design.openings else BLOCKS_WHOLE)
    return list(dict.fromkeys(said))[:MOST]


def change_sentences(result: Result) -> list[str]:
    """What to change, or what to add to the design file, in the order of what falls shortest."""
    short = _short(result)
    if short == [CREW]:  # which names the command already, and for which no other change is tried unasked
        return [_(CREW)]
    if short:
        return [_(one) for one in (*short, HOW_MUCH)]
    if result.verdict == "cannot say":
        return _but_for(doubt_sentences(result.doubts), deciding_line(result))
    return [_(UNCHANGED)]


def _but_for(doubts: Sequence[str], above: str) -> list[str]:
    """What is in doubt, without the sentence that stands above it as the answer."""
    more = [one for one in doubts if one != above]
    if len(more) == len(doubts):
        return more[:MOST]
    return [_(FIRST_ABOVE), *more[: MOST - 1]] if more else [_(ONLY_ABOVE)]
