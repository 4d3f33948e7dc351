"""A process takes no more memory than it is let, and says how much it has."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from gridjig.files.storage import process_memory
from gridjig.files.storage.process_memory import limit_memory, resident

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="another way there")
MB = 1024**2


@pytest.fixture
def limits(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[tuple[int, int]]:
    """The limits that are set; of a process that has 1000 pages and may have all there is."""
    import resource

    made: list[tuple[int, int]] = []
    status = tmp_path / "statm"
    status.write_text("1000 200 30 4 0 500 0\n", "ascii")
    monkeypatch.setattr(process_memory, "_STATUS", status)
    monkeypatch.setattr(resource, "getrlimit", lambda _: (resource.RLIM_INFINITY,) * 2)
    monkeypatch.setattr(resource, "setrlimit", lambda which, both: made.append(both))
    return made


def test_it_may_take_so_much_more_than_it_has(limits: list[tuple[int, int]]) -> None:
    import resource

    limit_memory(64 * MB)
    assert limits == [(1000 * resource.getpagesize() + 64 * MB, resource.RLIM_INFINITY)]


def test_a_limit_that_it_has_already_is_never_raised(
    limits: list[tuple[int, int]], monkeypatch: pytest.MonkeyPatch
) -> None:
    import resource

    monkeypatch.setattr(resource, "getrlimit", lambda _: (8 * MB, 16 * MB))
    limit_memory(64 * MB)
    assert limits == [(16 * MB, 16 * MB)]


def test_where_nothing_says_what_it_has_there_is_no_limit(
    limits: list[tuple[int, int]], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(process_memory, "_STATUS", tmp_path / "nowhere")
    limit_memory(64 * MB)
    assert limits == []


@pytest.mark.source("method", "arithmetic: ps tells kilobytes")
def test_the_memory_of_a_process_is_what_ps_says(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[list[str]] = []

    def run(command: list[str], **more: Any) -> subprocess.CompletedProcess[bytes]:
        asked.append(command)
        return subprocess.CompletedProcess(command, 0, b" 2048\n", b"")

    monkeypatch.setattr(subprocess, "run", run)
    assert resident(77) == 2 * MB
    assert asked[0][-2:] == ["-p", "77"]


@pytest.mark.parametrize("fault", [OSError("none"), subprocess.TimeoutExpired("ps", 5)])
def test_without_ps_it_is_unknown(fault: Exception, monkeypatch: pytest.MonkeyPatch) -> None:
    def run(command: list[str], **more: Any) -> object:
        raise fault

    monkeypatch.setattr(subprocess, "run", run)
    assert resident(os.getpid()) == 0
