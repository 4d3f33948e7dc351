"""A pytest plugin that writes down the marks of the tests it was given.  Used by register.py."""

import json
from pathlib import Path

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    """Where to write them."""
    parser.addoption("--register", type=Path, help="file to write the marks of the tests to")


def pytest_collection_finish(session: pytest.Session) -> None:
    """Write (test, mark, arguments) of every source and expectation mark."""
    marks = [
        (item.nodeid, mark.name, mark.args)
        for item in session.items
        for mark in item.iter_markers()
        if mark.name in ("source", "expectation")
    ]
    session.config.option.register.write_text(json.dumps(marks), encoding="utf-8")
