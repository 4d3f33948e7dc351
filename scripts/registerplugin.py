"""A pytest plugin that checks source marks and, on request, writes all marks to a file.

Used by the tests' own conftest, and by register.py.
"""

import json
from pathlib import Path

import pytest

from sourcekinds import fault_of


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option that says where to write the marks."""
    parser.addoption("--register", type=Path, help="file to write the marks of the tests to")


def require_well_formed(item: pytest.Item) -> None:
    """Fail a test whose source marks are of an unknown kind or lack what their kind must state.

    The test fails, not the collection: an xdist worker cannot report a failed collection.
    """
    for mark in item.iter_markers("source"):
        if fault := fault_of(mark.args):
            pytest.fail(f"@pytest.mark.source: {fault}", pytrace=False)


def pytest_collection_finish(session: pytest.Session) -> None:
    """Write (test, mark, arguments) of every source and expectation mark."""
    path = session.config.getoption("--register")
    if path is None:
        return
    marks = [
        (item.nodeid, mark.name, mark.args)
        for item in session.items
        for mark in item.iter_markers()
        if mark.name in ("source", "expectation")
    ]
    path.write_text(json.dumps(marks), encoding="utf-8")
