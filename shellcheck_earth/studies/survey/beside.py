"""The plan as it goes on, checked by a second process while the first checks what stands.

The crew waits for both, and neither needs the other. Whatever goes wrong with the second, it is checked here.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from typing import TypeVar

from shellcheck_earth.basics.second import Second, processors, serve_one, started
from shellcheck_earth.design.design import Design
from shellcheck_earth.loads.model import needs_more_than_crew
from shellcheck_earth.safety.result import Result

__all__ = ["Checker", "checker_beside", "meanwhile", "serve"]

T = TypeVar("T")

BESIDE = "beside"
"""Name of the threads: the command ends without them where nobody waits for them any more (`__main__`)."""

START = "import sys; sys.path[:] = {path!r}; from shellcheck_earth.studies.survey.beside import serve; serve()"


class Checker:
    """Checks one design, in the other process where there is one that answers."""

    def __init__(self, second: Second | None = None) -> None:
        self.second = second
        self.asked: tuple[Design, bool] | None = None

    def begin(self, design: Design, *, blocks: bool) -> None:
        """The design that `result` will be asked for."""
        if self.second is not None and self.second.ask((design, blocks)):
            self.asked = design, blocks

    def result(self, design: Design, *, blocks: bool) -> Result:
        """As `safety.check.check` without its searches."""
        found: Result | None = None
        if self.second is not None and self.asked == (design, blocks):
            found = self.second.answer()
        return _checked((design, blocks)) if found is None else found


@contextmanager
def checker_beside(design: Design) -> Iterator[Checker]:
    """A checker for the plan of this design. Alone where there is one processor, and where blocks take them all."""
    second = started(START) if processors() > 1 and not needs_more_than_crew(design) else None
    try:
        yield Checker(second)
    finally:
        if second is not None:
            second.end()


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


def _checked(asked: tuple[Design, bool]) -> Result:
    from shellcheck_earth.safety.check import check

    return check(asked[0], blocks=asked[1], explore=False)


def serve() -> None:
    """The second process."""
    from shellcheck_earth.safety import check as _check  # noqa: F401, loaded before the question comes

    serve_one(_checked)
