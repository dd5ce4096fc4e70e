"""What the study of joined domes and straight walls found, as data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from shellcheck_earth.geometry.layout import Point
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.studies.joined.ask import Held, held_to
from shellcheck_earth.studies.joined.given import Pair, WallGiven

__all__ = ["LEANT_ON", "Answer", "Body", "Drawn", "Question", "State", "Told", "Written"]

Body = Literal[
    "joined",
    "first dome",
    "second dome",
    "passage",
    "first dome, leant on",
    "second dome, leant on",
    "wall",
    "lengths",
]
"""What is asked. A dome and a passage of that name stand alone, their neighbours absent; a dome that is leant on stands
alone too, and the passage presses on it with all it has; lengths: a straight wall of which no length hands anything to
the next."""

LEANT_ON: tuple[Body, Body] = ("first dome, leant on", "second dome, leant on")

Question = Literal["dead", "wind", "earthquake"]


State = Literal["service", "placed", "saturated", "service, snow", "placed, snow"]
"""Of moisture, and whether snow lies all around."""


@dataclass(frozen=True)
class Answer:
    """One question to one body. way: towards what a load from one side pushes: the front or the back of a wall, the
    first or the second dome, the left or the right of whoever looks at the second from the first ("" for the dead
    load); state: of moisture, the one that decides; load: the variant that decides, by its name."""

    body: Body
    question: Question
    way: str
    state: State
    load: str
    held: Held


@dataclass(frozen=True)
class Drawn:
    """The blocks of a picture at rest, what each is, and which body it belongs to; the motions of what moves first,
    (n, 6) as rows, () where nothing does."""

    corners: tuple[tuple[Point, ...], ...]
    labels: tuple[str, ...]
    motions: tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class Written:
    """A problem to be written as an open file, and what is said of it."""

    name: str
    about: str
    problem: BlockProblem
    labels: tuple[str, ...]
    width: float


@dataclass(frozen=True)
class Told:
    """answers: of every body, question and way the deciding one; on_the_ground: whether the dead load is held with no
    more on the ground than it bears, divided as required (None: not decided); blocks: of the coarser and finer cut of
    the whole; drawn: of the answer that decides; beyond: how a dome's openings lie beyond the range in which its blocks
    were compared with anything; "" within it."""

    given: Pair | WallGiven
    answers: tuple[Answer, ...]
    on_the_ground: bool | None
    blocks: tuple[int, int]
    drawn: Drawn
    written: tuple[Written, ...]
    beyond: str = ""

    def of(self, body: Body) -> Iterator[Answer]:
        """The answers of one body, in the order in which they were asked."""
        return (one for one in self.answers if one.body == body)

    @property
    def counted(self) -> tuple[Answer, ...]:
        """Those that the whole rests on: of two domes every one, with the neighbour pressing and with it absent; of a
        wall those of the wall as it is built."""
        return tuple(one for one in self.answers if one.body != "lengths")

    @property
    def reaches(self) -> bool | None:
        """Whether every answer reaches what is required; None where that is not established."""
        enough = self.decides.held.enough
        return None if enough and self.beyond else enough

    @property
    def decides(self) -> Answer:
        """The one that leaves the least of what is required."""
        return min(self.counted, key=lambda one: held_to(one.held))
