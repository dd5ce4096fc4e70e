"""The plan as it goes on, checked by a second process while the first checks what stands.

The crew waits for both, and neither needs the other: the second begins with the rings of the plan and what is asked of
a "meets", and ends once it is handed what the block model, asked here, has found. Whatever goes wrong with the second,
all of it is done here.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from typing import TYPE_CHECKING, TypeVar

from shellcheck_earth.basics.progress import quiet
from shellcheck_earth.basics.second import Second, processors, serve_one, started

if TYPE_CHECKING:  # the second process is started before anything else is loaded
    from shellcheck_earth.design.design import Design
    from shellcheck_earth.safety.blocks.result import BlockResult
    from shellcheck_earth.safety.check import Begun
    from shellcheck_earth.safety.result import Result

__all__ = ["Checker", "checker_beside", "meanwhile", "serve"]

T = TypeVar("T")

BESIDE = "beside"
"""Name of the threads: the command ends without them where nobody waits for them any more (`__main__`)."""

START = "import sys; sys.path[:] = {path!r}; from shellcheck_earth.studies.survey.beside import serve; serve()"


class Checker:
    """Checks one design, for the most part in the other process where there is one that answers."""

    def __init__(self, second: Second | None = None) -> None:
        self.second = second
        self.begun: Design | None = None
        self.asked_blocks: bool | None = None
        self.found: tuple[BlockResult, ...] | None = None
        self.elsewhere = False
        """Whether the other process has it in hand, and all that it needs."""

    def begin(self, design: Design) -> None:
        """The design that `result` will be asked for. It is checked here alone where blocks take all processors."""
        from shellcheck_earth.loads.model import needs_more_than_crew

        if self.second is not None and (needs_more_than_crew(design) or not self.second.tell(design)):
            self.second.end()
            self.second = None
        self.begun = design if self.second is not None else None

    def ask(self, *, blocks: bool) -> None:
        """Ask the block model, where it is wanted, and hand over what it found."""
        if self.begun is None or self.second is None:
            return
        self.asked_blocks = blocks
        from shellcheck_earth.geometry.courses import build_dome
        from shellcheck_earth.loads.model import needs_blocks

        dome = build_dome(self.begun)
        if blocks and needs_blocks(dome):
            from shellcheck_earth.safety.blocks.solve import block_cases

            self.found = block_cases(dome, quiet, None, processors())
        self.elsewhere = self.second.ask((self.begun, self.found or (), blocks))

    def result(self, design: Design, *, blocks: bool) -> Result:
        """As `safety.check.check` without its searches."""
        asked = self.begun == design and self.asked_blocks == blocks
        if self.second is not None and self.elsewhere and asked:
            answer: Result | None = self.second.answer()
            if answer is not None:
                return answer
        from shellcheck_earth.safety.check import begin_check, check, end_check

        if self.found is None or not asked:
            return check(design, blocks=blocks, explore=False)
        return end_check(begin_check(design), self.found, blocks=blocks)


@contextmanager
def checker_beside() -> Iterator[Checker]:
    """A checker for the plan, begun at once; alone where there is one processor."""
    checker = Checker(started(START) if processors() > 1 else None)
    try:
        yield checker
    finally:
        if checker.second is not None:
            checker.second.end()


def meanwhile(call: Callable[[], T]) -> Future[T]:
    """What a call gives, made in a thread while the first waits for the second process; whoever leaves need not wait
    for it."""
    found: Future[T] = Future()

    def made() -> None:
        try:
            found.set_result(call())
        except BaseException as fault:  # raised where the result is asked for
            found.set_exception(fault)

    threading.Thread(target=made, name=BESIDE, daemon=True).start()
    return found


class _Served:
    """What the second process does: the rings before blocks have answered, the rest after."""

    def __init__(self) -> None:
        self.begun: Begun | None = None

    def load(self, _: Design) -> bool:
        """Nothing is to be told of a design that was only handed over."""
        return True

    def begin(self, design: Design) -> None:
        from shellcheck_earth.safety.check import begin_check

        self.begun = begin_check(design)
        self.begun.look_ahead()

    def end(self, asked: tuple[Design, tuple[BlockResult, ...], bool]) -> Result:
        from shellcheck_earth.safety.check import begin_check, end_check

        design, found, blocks = asked
        return end_check(self.begun or begin_check(design), found, blocks=blocks)


def serve() -> None:
    """The second process."""
    from shellcheck_earth.safety import check as _check  # noqa: F401, loaded before the design comes

    served = _Served()
    serve_one(served.end, (served.load, served.begin))
