"""Assessments shared by the tests of the views: computing one costs about a second."""

from __future__ import annotations

import pytest
from samples import classroom

from shellcheck_earth.safety.check import assess
from shellcheck_earth.safety.result import Assessment

HOSTILE = "Dome #let x = 1 $y$ *b* _i_ `c` \\ [z] <b>&\"'@ref // <!-- é ]]>"
"""A name with everything that means something to a typesetter or to XML."""


@pytest.fixture(scope="session")
def whole() -> Assessment:
    """With proofs, ranges and the calendar of the work."""
    return assess(classroom())


@pytest.fixture(scope="session")
def hostile() -> Assessment:
    return assess(classroom(name=HOSTILE), prove_cases=False, explore=False)


@pytest.fixture(scope="session")
def hostile_name() -> str:
    return HOSTILE
