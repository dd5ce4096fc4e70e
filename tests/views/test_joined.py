"""Pages, picture and screen of joined domes and straight walls: words, both languages, both systems of units."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from layouts import assert_words_lie_free
from spanish import assert_spanish, changed, listening, said_in

from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.studies.joined.ask import Cut, Held
from shellcheck_earth.studies.joined.given import Pair, WallGiven, digest_of, read_given
from shellcheck_earth.studies.joined.joining import _drawn
from shellcheck_earth.studies.joined.posed import posed_pair
from shellcheck_earth.studies.joined.standing import stand_wall
from shellcheck_earth.studies.joined.told import LEANT_ON, Answer, Body, Told
from shellcheck_earth.views.export.joined import joined_files, joined_json
from shellcheck_earth.views.figures.joined import joined_svg
from shellcheck_earth.views.pages.joined import joined_document
from shellcheck_earth.views.report.layout import Print
from shellcheck_earth.views.text.joined import (
    along_words,
    headline,
    joining_words,
    left_out_words,
    moving_words,
    screen_words,
)
from shellcheck_earth.views.text.language import REVIEW, speaking, words

PAIR = Path(__file__).parents[2] / "reports" / "orchard-pair"


@cache
def wall() -> Told:
    given = read_given(PAIR / "garden-wall.toml")
    assert isinstance(given, WallGiven)
    return stand_wall(replace(given, length=2.4, earthquake=0.1))


def held(relied: float | None, required: float = 1.25, *, why: str = "", at_least: bool = False) -> Held:
    known = 0.0 if relied is None else relied
    return Held(relied, required, known * 1.1, known * 1.05, (Cut(900, known * 1.1, known * 1.2),), at_least, why, None)


@cache
def pair() -> Told:
    """Of the orchard's pair, numbers made up so that every sentence is said: nothing is solved."""
    given = read_given(PAIR / "joined.toml")
    assert isinstance(given, Pair)
    bodies: list[Body] = ["joined", "first dome", "second dome", "passage", *LEANT_ON]
    dead = [
        Answer(b, "dead", "", "saturated", "", held(r))
        for b, r in zip(bodies, (1.1, 1.6, 1.7, 1.5, 1.4, 1.3), strict=True)
    ]
    wind = [
        Answer(b, "wind", "second", "service", "even", held(r, 1.5))
        for b, r in zip(bodies[:4], (3.0, 3.1, 2.9, 2.0), strict=True)
    ]
    across = [
        Answer(b, "wind", "left", "placed", "even", held(r, 1.5))
        for b, r in zip(bodies[:4], (2.0, 3.1, 2.9, 2.0), strict=True)
    ]
    wind[1] = replace(wind[1], held=held(3.1, 1.5, at_least=True))
    posed = posed_pair(given, "the file")
    count = len(posed.pose("joined", "service")(0, _whole()).centre)
    motions = np.zeros((count, 6))
    motions[:, 2] = np.linspace(-1.0, 0.0, count)
    drawn = _drawn(posed, replace(dead[0], held=replace(dead[0].held, motions=motions)))
    return Told(given, (*dead, *wind, *across), False, (count, 2 * count), drawn, ())


def _whole():  # type: ignore[no-untyped-def]
    from shellcheck_earth.mechanics.blocks.faces import Shares

    return Shares()


@pytest.mark.parametrize("told", [wall, pair], ids=["wall", "pair"])
def test_the_words_of_the_picture_lie_free(told) -> None:  # type: ignore[no-untyped-def]
    assert_words_lie_free(joined_svg(told()))
    with speaking(listening()):
        assert_words_lie_free(joined_svg(told()))


@pytest.mark.parametrize("told", [wall, pair], ids=["wall", "pair"])
def test_everything_is_said_in_spanish(told) -> None:  # type: ignore[no-untyped-def]
    heard = listening()
    with speaking(heard):
        said = [*said_in(joined_document(told())), *(text for part in screen_words(told()) for text in part)]
    given = told().given
    names = [given.name, *(d.name for d in (given.designs if isinstance(given, Pair) else ()))]
    assert_spanish(heard, said, [*names, "EN 1991-1-4", "check"])


def test_cautions_come_first_and_no_verdict_is_given() -> None:
    for told in (wall(), pair()):
        before, table, after = screen_words(told)
        assert before[0].startswith("Caution.") and "engineer" in before[0]
        assert "gives no verdict" in before[1] and "nothing of it is proven" in before[1]
        assert not re.search(r"\bsafe\b", " ".join((*before, *table, *after, left_out_words(told, OVERSTATED))))
        assert f"{100 * OVERSTATED:.0f} %" in left_out_words(told, OVERSTATED)
        assert max(map(len, table)) <= 80


def test_a_pair_says_what_joining_takes_away_and_what_gives_only() -> None:
    dead, along, across = joining_words(pair())
    assert "takes away, 1.1 for 1.5 apart" in dead
    assert "gives, 3 for 2 apart; do not count on it" in along
    assert "changes little" in across
    assert headline(pair()).startswith(
        "Falls short: dead load"
    ) and "joined, as one (soaked through): 1.1 for" in headline(pair())
    assert "first dome" in moving_words(pair())


def test_what_was_not_established_comes_before_what_reaches_it() -> None:
    found = pair()
    silent = replace(found.answers[1], held=held(None, why="the solver decided neither way"))
    less = replace(found, answers=(silent, found.answers[2]))
    assert headline(less).startswith("Cannot say: dead load")
    assert headline(replace(found, answers=found.answers[1:])).startswith("Every question reaches what is required")
    assert "?" in screen_words(less)[1][1]


def test_beyond_the_range_of_blocks_nothing_reaches_what_is_required() -> None:
    over = "opening 1: its top over the dome's height is 0.9, and blocks were compared up to 0.8 only"
    beyond = f"beyond the range of validation: Orchard seed dome: {over}"
    found = replace(pair(), answers=pair().answers[1:3], beyond=beyond)
    assert replace(found, beyond="").reaches and found.reaches is None
    assert headline(found).startswith("Cannot say: beyond the range of validation: Orchard seed dome: opening 1")
    heard = listening()
    with speaking(heard):
        assert_spanish(heard, [headline(found), *(text for part in screen_words(found) for text in part), REVIEW_ES], [
            "Orchard pair", "Orchard meeting dome", "Orchard seed dome", "check"])  # fmt: skip
    short = replace(found, answers=pair().answers[:1])
    assert short.reaches is False and headline(short).startswith("Falls short")


REVIEW_ES = words("es")(REVIEW)


def test_the_files_carry_the_digest_and_the_same_numbers() -> None:
    told = wall()
    files = joined_files(told, Print())
    assert files == joined_files(told, Print())
    data = json.loads(files["joined.json"])
    assert data["design_sha256"] == digest_of(told.given) and data["design_sha256"] in files["joined.svg"].decode()
    by_hand = {(one.body, one.question, one.way): one.held.relied for one in told.answers}
    for one in data["answers"]:
        assert one["relied_on"] == pytest.approx(by_hand[one["of"], one["question"], one["towards"]], rel=1e-5)
    spanish = joined_files(told, Print(language="es"))
    assert changed(files, spanish) == {"joined.svg", "joined.pdf"}
    assert joined_json(told).startswith('{\\n "format"'.replace("\\\\n", "\\n").encode().decode("unicode_escape"))


def test_a_wall_that_rests_on_its_courses_says_so() -> None:
    told = wall()
    assert along_words(told) == "" or "By lengths it falls short" in along_words(told)
    answers = tuple(
        replace(one, held=held(1.2 if one.body == "lengths" and one.question == "wind" else 2.0, 1.5))
        for one in told.answers
    )
    resting = replace(told, answers=answers)
    assert "unbroken" in along_words(resting) and "towards the front, 1.2 for the 1.5 required" in along_words(resting)
    assert along_words(replace(told, answers=tuple(one for one in answers if one.body == "wall"))) == ""
    short = tuple(replace(one, held=held(1.0, 1.5)) for one in answers)
    assert along_words(replace(told, answers=short)) == ""


def test_a_wall_in_feet_is_said_in_feet() -> None:
    told = replace(wall(), given=replace(wall().given, unit_system="imperial"))
    document = joined_document(told)
    assert document.paper == "us-letter"
    assert any("7.87 ft (2.40 m)" in text for text in screen_words(told)[0])
    assert "3 ft (0.914 m)" in joined_svg(told)
