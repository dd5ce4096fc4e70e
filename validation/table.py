"""One comparison with the outside world, and how it is judged."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["Check"]


@dataclass(frozen=True)
class Check:
    """`printed` is what the source says (None: the source states no number), `recomputed` a second method of ours that
    shares nothing with the tool, `computed` what the tool says. `known`: how the source is known. The tool must lie
    within `tolerance` of the printed value, or of the recomputed one where nothing is printed. `differs`: what a row
    says that is known not to agree; it stays, and is shown as not agreeing."""

    id: str
    source: str
    known: str
    printed: float | None
    computed: float | None
    tolerance: float
    why: str
    recomputed: float | None = None
    differs: str = ""

    @property
    def passed(self) -> bool:
        reference = self.printed if self.printed is not None else self.recomputed
        if reference is None or self.computed is None or not math.isfinite(self.computed):
            return False
        return abs(self.computed - reference) <= self.tolerance

    @property
    def expected(self) -> bool:
        """It agrees and nothing else was said of it, or it does not and that is explained."""
        return self.passed != bool(self.differs)
