"""The tests of the window run without being traced, which would take a third more time.

The floor of the coverage is for what has no window, and so is each rule: it has a test without one.
"""

import sys
from collections.abc import Iterator

import pytest


@pytest.fixture(scope="module", autouse=True)
def untraced() -> Iterator[None]:
    """Coverage, if it is measured, goes on after the tests of a module."""
    coverage = sys.modules.get("coverage")
    measured = coverage.Coverage.current() if coverage else None
    if measured:
        measured.stop()
    yield
    if measured:
        measured.start()
