"""A pytest plugin that checks source marks and, if asked, writes down all marks.

Used by the tests' own conftest, and by register.py.
"""

import json
from collections.abc import Iterable
from pathlib import Path

import pytest

from sourcekinds import fault_of


def pytest_addoption(parser: pytest.Parser) -> None:
    """Where to write the marks."""
    parser.addoption("--register", type=Path, help="file to write the marks of the tests to")


def require_well_formed(items: Iterable[pytest.Item]) -> None:
    """Refuse source marks of an unknown kind, or that lack what their kind must state."""
    faults = {
        f"{item.nodeid.partition('[')[0]}: {fault}"
        for item in items
        for mark in item.iter_markers("source")
        if (fault := fault_of(mark.args))
    }
    if faults:
        raise pytest.UsageError("\n".join(sorted(faults)))


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
