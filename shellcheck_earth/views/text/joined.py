"""Sentences on joined domes and straight walls: cautions, what each question found, what joining gives or takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.studies.joined.ask import Held, held_to
from shellcheck_earth.studies.joined.given import Pair, WallGiven
from shellcheck_earth.studies.joined.told import LEANT_ON, Answer, Body, Question, Told
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.cautions import ENGINEER, UNSTABILISED
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import factor_words, listed, lower, required_words

__all__ = [
    "NO_VERDICT",
    "along_words",
    "answer_name",
    "body_name",
    "bounds_words",
    "cautions",
    "ground_words",
    "headline",
    "joining_words",
    "left_out_words",
    "moving_words",
    "relied_words",
    "said_of",
    "screen_words",
    "state_name",
    "what_words",
]

NO_VERDICT = mark(
    "This is a study and gives no verdict: unlike an answer of check nothing of it is proven, no stage of building is"
    " asked, and how tubes of two parts bond where they meet is known to nobody here. A licensed structural"
    " engineer has to judge the whole; check every dome of it by itself as well."
)

WALL_ENGINEER = mark(
    "This is a calculation, not a permit. Before anyone builds this wall or sits in its lee, have a licensed structural"
    " engineer check it and ask the local building authority."
)

LEFT_OUT_PAIR = mark(
    "The passage, of the first dome's fill: courses of one tube from end to end, arches side by side on them, no wire;"
    " all of it cut to the domes"
    " and touching the widest course at its level only. Each number is the least of dry, damp and, where nothing keeps"
    " the rain out, soaked; of two cuts; and with friction without dilation, of which {share:.0f} % is relied on under"
    " a load from one side. Alone: the neighbours absent, the passage with square ends. Leant on: the bags of the vault"
    " that are cut to the dome hang on its face, and all that the load pushes of the passage towards it arrives there."
    " Left out: stages, forms, every capacity divided at once under loads from one side, snow or water in"
    " one half, a worker, the weight of the passage's plaster, wind that finds one dome in the lee of the other,"
    " settlement of one against the other, rain that runs into the valley between them (keep it out)."
)

LEFT_OUT_WALL = mark(
    "Blocks in line from joint to joint, no wire, no bond between wall and buttress: they press and neither pull nor"
    " rub. Wind by EN 1991-1-4, 7.4.1, Table 7.9 (recalled, to be confirmed by the engineer), the coefficients of a"
    " long wall without return corners; the earthquake with its vertical share. Each number is the least of dry, damp"
    " and, where no plaster is said, soaked; of two cuts; and with friction without dilation, of which {share:.0f} % is"
    " relied on under a load from one side. Left out: stages, loads along the wall, earth or water against it, the"
    " weight of its plaster, wind on the buttresses, the bending of a lintel."
)

WAYS: Mapping[str, str] = {
    "front": mark("towards the front"),
    "back": mark("towards the back"),
    "first": mark("along the passage, towards the first dome"),
    "second": mark("along the passage, towards the second dome"),
    "left": mark("across the passage, to the left seen from the first dome"),
    "right": mark("across the passage, to the right seen from the first dome"),
}

QUESTIONS: Mapping[Question, str] = {
    "dead": mark("Dead load, overall reserve"),
    "wind": mark("Wind"),
    "earthquake": mark("Earthquake"),
}

STATES: Mapping[str, str] = {
    "service": mark("dry"),
    "placed": mark("as damp as placed"),
    "saturated": mark("soaked through"),
    "service, snow": mark("dry, snow all around"),
    "placed, snow": mark("as damp as placed, snow all around"),
}


def body_name(told: Told, body: Body) -> str:
    """What is asked, by the names of the designs."""
    if not isinstance(told.given, Pair):
        return _("the wall as it is built") if body == "wall" else _("each length of it by itself")
    first, second = (design.name for design in told.given.designs)
    return {
        "joined": _("joined, as one"),
        "first dome": _("first dome alone ({name})", name=first),
        "second dome": _("second dome alone ({name})", name=second),
        "passage": _("passage alone"),
        LEANT_ON[0]: _("first dome, leant on"),
        LEANT_ON[1]: _("second dome, leant on"),
    }[body]


def state_name(answer: Answer) -> str:
    """The state of moisture that decides."""
    return _(STATES[answer.state])


def answer_name(answer: Answer) -> str:
    """The question, and which way the load pushes."""
    question = _(QUESTIONS[answer.question])
    return f"{question} {_(WAYS[answer.way])}" if answer.way else question


def relied_words(held: Held) -> str:
    """What is relied on."""
    if held.relied is None:
        return _("cannot say")
    said = factor_words(held.relied, held.required)
    return _("at least {number}", number=said) if held.at_least else said


def said_of(held: Held) -> str:
    """In a word."""
    if held.relied is None:
        return _("cannot say")
    return _("reaches it") if held.enough else _("falls short")


def _asked(told: Told) -> Iterator[list[Answer]]:
    """Answers by question and way, in their order."""
    for key in dict.fromkeys((one.question, one.way) for one in told.answers):
        yield [one for one in told.answers if (one.question, one.way) == key]


def screen_table(told: Told) -> list[str]:
    """What is relied on, a line a question: lines of one width, without a heading where only one body was asked."""
    bodies: list[Body] = list(dict.fromkeys(one.body for one in told.answers))
    heads = [_(HEADS[body]) for body in bodies]
    rows = []
    for answers in _asked(told):
        of = {one.body: one.held for one in answers}
        needed = max(one.held.required for one in answers)
        cells = [_cell(of[body]) if body in of else "" for body in bodies]
        rows.append([_short_name(answers[0]), *cells, required_words(needed)])
    head = ["", *heads, _("required")]
    wide = [max(len(row[k]) for row in (head, *rows)) for k in range(len(head))]
    return [
        "  ".join([row[0].ljust(wide[0]), *(cell.rjust(w) for cell, w in zip(row[1:], wide[1:], strict=True))]).rstrip()
        for row in (head, *rows)
    ]


def _cell(held: Held) -> str:
    """What is relied on, as short as it can be said."""
    if held.relied is None:
        return "?"
    said = factor_words(held.relied, held.required)
    return f"{said}+" if held.at_least else said


def _short_name(answer: Answer) -> str:
    if not answer.way:
        return _("Dead load")
    return f"{_(QUESTIONS[answer.question])} {_(SHORT[answer.way])}"


HEADS: Mapping[Body, str] = {
    "joined": mark("joined"),
    "first dome": mark("first"),
    "second dome": mark("second"),
    "passage": mark("passage"),
    LEANT_ON[0]: mark("first*"),
    LEANT_ON[1]: mark("second*"),
    "wall": mark("wall"),
    "lengths": mark("by lengths"),
}
"""Of the columns on the screen; a star: with the passage leaning on it."""

SHORT: Mapping[str, str] = {
    "front": mark("to the front"),
    "back": mark("to the back"),
    "first": mark("to the first"),
    "second": mark("to the second"),
    "left": mark("across, left"),
    "right": mark("across, right"),
}

KEY_PAIR = mark(
    "Columns: joined as one; each dome and the passage alone; * a dome with the passage leaning on it. +: at least."
    " ?: cannot say. What is relied on, of the stated load or of every capacity under the dead load."
)

KEY_WALL = mark(
    "Columns: the wall as it is built; by lengths, of which none hands anything to the next. +: at least. ?: cannot"
    " say. What is relied on, of the stated load or of every capacity under the dead load."
)


def headline(told: Told) -> str:
    """The one answer that decides."""
    one = told.decides
    of = {"body": body_name(told, one.body), "question": lower(answer_name(one)), "state": state_name(one)}
    if one.held.relied is None:
        why = said_below(one.held.why)
        return _("Cannot say: {question}, {body} ({state}) could not be established: {why}.", why=why, **of)
    if told.reaches is None:
        return _("Cannot say: {why}.", why=said_below(told.beyond))
    shown = {"relied": relied_words(one.held), "needed": required_words(one.held.required)}
    if one.held.enough:
        return _(
            "Every question reaches what is required; the least is that of {question}, {body} ({state}): {relied} for"
            " the {needed} required. No verdict.",
            **of,
            **shown,
        )
    return _("Falls short: {question}, {body} ({state}): {relied} for the {needed} required.", **of, **shown)


def bounds_words(told: Told) -> str:
    """Both bounds of what decides, with ordinary friction."""
    held = told.decides.held
    if held.ordinary is None:
        return ""
    below, above = factor_words(held.ordinary), None if held.above is None else factor_words(held.above)
    blocks = max((cut.blocks for cut in held.cuts), default=0)
    if above is None:
        return _(
            "With ordinary friction forces that hold {below} of it were found ({blocks} blocks), and no mechanism as"
            " far as was looked.",
            below=below,
            blocks=blocks,
        )
    return _(
        "With ordinary friction forces that hold {below} of it were found, and a mechanism at {above} ({blocks}"
        " blocks).",
        below=below,
        above=above,
        blocks=blocks,
    )


def _joining(answers: list[Answer]) -> str:
    """What joining gives or takes away, of one question; empty where it was not established."""
    of = {one.body: one for one in answers}
    alone = [of[body] for body in ("first dome", "second dome", "passage") if body in of]
    whole = of.get("joined")
    if whole is None or whole.held.relied is None or any(one.held.relied is None for one in alone):
        return ""
    least = min(alone, key=lambda one: held_to(one.held))
    apart, joined = least.held.relied or 0.0, whole.held.relied
    said = {
        "question": _short_name(whole),
        "joined": relied_words(whole.held),
        "apart": relied_words(least.held),
    }
    if abs(joined - apart) <= 0.02 * max(joined, apart):
        return _("{question}: joining changes little, {joined} for {apart} apart.", **said)
    if joined > apart:
        return _("{question}: joining gives, {joined} for {apart} apart; do not count on it.", **said)
    return _("{question}: joining takes away, {joined} for {apart} apart.", **said)


def along_words(told: Told) -> str:
    """Of a wall that reaches what is required only by what its courses hand along it; "" where it does not."""
    alone = list(told.of("lengths"))
    if isinstance(told.given, Pair) or not told.reaches or not alone:
        return ""
    least = min(alone, key=lambda one: held_to(one.held))
    if least.held.enough:
        return ""
    return _(
        "That rests on what the courses hand along the wall by pressing and rubbing alone: lay them unbroken from"
        " buttress to buttress. By lengths it falls short: {question}, {relied} for the {needed} required.",
        question=lower(answer_name(least)),
        relied=relied_words(least.held),
        needed=required_words(least.held.required),
    )


def joining_words(told: Told) -> list[str]:
    """What joining gives or takes away, question by question; [] for a wall."""
    if not isinstance(told.given, Pair):
        return []
    return [text for one in _asked(told) if (text := _joining(one))]


def moving_words(told: Told) -> str:
    """Which blocks move first in the answer that decides; empty where nothing does."""
    drawn = told.drawn
    if not drawn.motions:
        return ""
    sizes = [sum(v * v for v in row[:3]) ** 0.5 for row in drawn.motions]
    most = max(sizes, default=0.0)
    if most <= 0.0:
        return ""
    moving: dict[str, int] = {}
    for size, label in zip(sizes, drawn.labels, strict=True):
        if size >= MOVES * most:
            kind = _kind(label)
            moving[kind] = moving.get(kind, 0) + 1
    ranked = sorted(moving.items(), key=lambda pair: (-pair[1], pair[0]))[:3]
    parts = [_("{what} ({count} blocks)", what=_(what), count=count) for what, count in ranked]
    return _("What moves first: {parts}.", parts=listed(parts))


MOVES = 0.4
"""A block counts as moving from this share of the largest motion."""

KINDS = {
    "first dome": mark("the first dome"),
    "second dome": mark("the second dome"),
    "vault": mark("the vault of the passage"),
    "passage wall": mark("the walls of the passage"),
    "buttress": mark("buttresses"),
    "lintel": mark("lintels"),
    "wall": mark("the wall"),
}


def _kind(label: str) -> str:
    return next(said for start, said in KINDS.items() if label.startswith(start))


def ground_words(told: Told) -> str:
    """What the dead load asks of the ground, of each part alone."""
    if told.on_the_ground is None:
        return _("Whether the ground holds and bears the dead load with what is required could not be established.")
    if told.on_the_ground:
        return _("The ground holds and bears the dead load with what is required of it.")
    return _("The ground does not hold and bear the dead load with all that is required of it, as far as it is known.")


def left_out_words(told: Told, share: float) -> str:
    """How it was asked, and what was not. share: of the number without dilation that is relied on."""
    return _(LEFT_OUT_PAIR if isinstance(told.given, Pair) else LEFT_OUT_WALL, share=100 * share)


def cautions(told: Told) -> list[str]:
    """What comes before any number."""
    found = [_(ENGINEER if isinstance(told.given, Pair) else WALL_ENGINEER), _(NO_VERDICT)]
    if any(design.fill.stabiliser == "none" for design in _designs(told)):
        found.append(_(UNSTABILISED))
    return found


def _designs(told: Told) -> tuple[Design, ...]:
    return told.given.designs if isinstance(told.given, Pair) else (told.given.design,)


def what_words(told: Told) -> str:
    """What was asked about, with its sizes."""
    given, system = told.given, told.given.unit_system
    if isinstance(given, WallGiven):
        said = _(
            "{name}: a straight wall {length} long, {height} high and {width} wide.",
            name=given.name,
            length=both(given.length, "length", system),
            height=both(given.height, "length", system),
            width=both(given.filled_width, "length", system),
        )
        if given.buttress is None:
            return said
        more = _(
            "Buttresses of {projection} at no more than {spacing}.",
            projection=both(given.buttress.projection, "length", system),
            spacing=both(given.buttress.spacing, "length", system),
        )
        return f"{said} {more}"
    first, second = given.designs
    return _(
        "{name}: {first} and {second}, joined by a passage {width} wide; {blocks} blocks in the finer cut.",
        name=given.name,
        first=first.name,
        second=second.name,
        width=both(given.passage.width, "length", system),
        blocks=told.blocks[1],
    )


def screen_words(told: Told) -> tuple[list[str], list[str], list[str]]:
    """(paragraphs before the table, its lines, paragraphs after it), cautions first."""
    first, *rest = cautions(told)
    before = [f"{_('Caution.')} {first}", *rest, what_words(told), f"{headline(told)} {along_words(told)}".rstrip()]
    key = _(KEY_PAIR if isinstance(told.given, Pair) else KEY_WALL)
    found = [key, bounds_words(told), *joining_words(told), moving_words(told), ground_words(told)]
    return before, screen_table(told), [" ".join(text for text in found if text)]
