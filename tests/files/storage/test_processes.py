"""Telling a process that ended from a new one with its number: with real processes."""

import getpass
import os
import subprocess
import sys
import uuid
from pathlib import Path
from typing import Any

import pytest

from gridjig.files.storage import processes


def start() -> "subprocess.Popen[bytes]":
    """A process that runs until its input is closed."""
    return subprocess.Popen([sys.executable, "-Sc", "input()"], stdin=subprocess.PIPE)


def end(process: "subprocess.Popen[bytes]") -> None:
    process.kill()
    process.wait()
    assert process.stdin
    process.stdin.close()


def test_a_running_process_is_known_until_it_ends() -> None:
    process = start()
    mark = processes.birth(process.pid)
    assert mark
    assert processes.is_running(process.pid, mark)
    assert not processes.is_running(process.pid, "another life of that number")
    end(process)
    assert processes.birth(process.pid) is None
    assert not processes.is_running(process.pid, mark)


@pytest.mark.skipif(not Path("/proc").exists(), reason="no /proc here")
def test_a_process_that_ended_unnoticed_is_not_running() -> None:
    process = start()
    process.kill()
    os.waitid(os.P_PID, process.pid, os.WEXITED | os.WNOWAIT)
    assert processes.birth(process.pid) is None
    end(process)


def test_ourselves() -> None:
    assert processes.is_running(os.getpid(), processes.own_birth())
    assert processes.host()
    assert processes.birth(0) is None
    assert processes.birth(-1) is None


def test_marks_that_cannot_be_read(monkeypatch: Any, tmp_path: Path) -> None:
    (tmp_path / "self").mkdir()
    (tmp_path / "self" / "stat").write_text("odd")
    (tmp_path / "7").mkdir()
    (tmp_path / "7" / "stat").write_text("7 (a) R 1")
    monkeypatch.setattr(processes, "_PROC", tmp_path)
    assert processes.birth(7) is None
    processes._own_birth.cache_clear()
    assert processes.own_birth() == "unknown"
    processes._own_birth.cache_clear()


@pytest.mark.skipif(os.name == "nt", reason="no ps there")
def test_systems_without_proc_ask_ps(monkeypatch: Any, tmp_path: Path) -> None:
    monkeypatch.setattr(processes, "_PROC", tmp_path)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert processes.birth(1234) is None  # there is no ps at all
    ps = tmp_path / "ps"
    ps.write_text('#!/bin/sh\n[ "$4" = 1234 ] && echo "Tue Nov  3 07:00:00 2026"\n')
    ps.chmod(0o755)
    assert processes.birth(1234) == "Tue-Nov-3-07:00:00-2026"
    assert processes.birth(1235) is None


def test_a_person_without_an_entry(monkeypatch: Any) -> None:
    def refuse() -> str:
        raise KeyError("getpwuid(): uid not found: 4711")

    monkeypatch.setattr(getpass, "getuser", refuse)
    assert processes.user() == "someone"
    monkeypatch.setattr(getpass, "getuser", lambda: "kim")
    assert processes.user() == "kim"


def test_the_machine_is_told_by_its_id_or_its_network_address(monkeypatch: Any) -> None:
    processes.machine.cache_clear()
    assert processes.machine()
    for found in ("", None):
        processes.machine.cache_clear()

        def read(*_: object, found: str | None = found) -> str:
            if found is None:
                raise OSError
            return found

        monkeypatch.setattr(Path, "read_text", read)
        assert processes.machine() == f"{uuid.getnode():x}"
    processes.machine.cache_clear()
