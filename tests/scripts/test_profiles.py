"""The deep profile tries more of everything, also where a test names its own number of examples."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

import environment

COUNTED = """
from hypothesis import given, settings, strategies as st

own, usual = [], []

@settings(max_examples=3)
@given(st.floats())
def test_own(x):
    own.append(x)

@given(st.floats())
def test_usual(x):
    usual.append(x)

def test_they_were_as_many():
    assert (len(own), len(usual)) == ({own}, {usual})
"""


@pytest.mark.parametrize(
    ("options", "own", "usual"), [([], 3, 25), (["--hypothesis-profile=deep"], 240, 2000)]
)
def test_how_many_examples_are_tried(
    tmp_path: Path, options: list[str], own: int, usual: int
) -> None:
    (tmp_path / "test_counted.py").write_text(COUNTED.format(own=own, usual=usual), "utf-8")
    root, scripts = str(environment.ROOT), str(environment.ROOT / "scripts")
    (tmp_path / "conftest.py").write_text(
        (environment.ROOT / "tests" / "conftest.py").read_text("utf-8"), "utf-8"
    )
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:randomly", *options, "test_counted.py"],
        cwd=tmp_path,
        env={
            **os.environ,
            "PYTHONPATH": os.pathsep.join((root, scripts)),
            "CI": "",
        },
        capture_output=True,
        text=True,
        check=False,
    )
    assert "3 passed" in done.stdout, done.stdout + done.stderr
