"""Assessments shared by the tests of the views: computing one costs about a second."""

from __future__ import annotations

import pytest
from samples import classroom

from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Result

HOSTILE = "Dome #let x = 1 $y$ *b* _i_ `c` \\ [z] <b>&\"'@ref // <!-- é ]]>"
"""A name with everything that means something to a typesetter or to XML."""


@pytest.fixture(scope="session")
def whole() -> Result:
    """With proofs, ranges and the calendar of the work."""
    return check(classroom())


@pytest.fixture(scope="session")
def hostile() -> Result:
    return check(classroom(name=HOSTILE), proofs=False, explore=False)


@pytest.fixture(scope="session")
def hostile_name() -> str:
    return HOSTILE
