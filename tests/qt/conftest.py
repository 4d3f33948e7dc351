"""The tests of the window run without the tracing of coverage, which takes time.

The floor is for what has no window; each of its rules has a test without one.
"""

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication

from tests import conftest


@pytest.fixture(scope="module", autouse=True)
def untraced() -> Iterator[None]:
    """Measure the coverage again after the tests of a module."""
    with conftest.untraced():
        yield


@pytest.fixture(autouse=True)
def letters_of_the_start(application: QApplication) -> Iterator[None]:
    """Give the next test letters of the size that the program started with."""
    before = application.font()
    yield
    if application.font() != before:
        application.setFont(before)
