"""Qt's system libraries: which are missing, and the exact command that gets them."""

import subprocess
from pathlib import Path

import pytest

import qtlibraries


def test_what_loads_is_not_missing() -> None:
    assert qtlibraries.missing(on_a_screen=True, has=lambda library: True) == []
    lacking = qtlibraries.missing(on_a_screen=False, has=lambda library: "EGL" not in library)
    assert lacking == [("libEGL.so.1", "libegl1")]


def test_a_screen_needs_more() -> None:
    off = qtlibraries.missing(on_a_screen=False, has=lambda library: False)
    on = qtlibraries.missing(on_a_screen=True, has=lambda library: False)
    assert ("libxcb-cursor.so.0", "libxcb-cursor0") in set(on) - set(off)


def test_the_loader_is_asked() -> None:
    assert not qtlibraries.loads("libnosuchthing.so.9")


def test_the_command_is_said_whole() -> None:
    lacking = [("libEGL.so.1", "libegl1"), ("libGL.so.1", "libgl1")]
    assert "libEGL.so.1, libGL.so.1" in qtlibraries.advice(lacking)
    command = " ".join(qtlibraries.install_command([package for _, package in lacking]))
    assert command == "apt-get install -y --no-install-recommends libegl1 libgl1"


@pytest.mark.source("published", "man page os-release(5)", "fields ID and ID_LIKE")
@pytest.mark.parametrize(
    ("text", "debian"),
    [
        ("ID=debian\n", True),
        ('NAME="x"\nID=linuxmint\nID_LIKE="ubuntu debian"\n', True),
        ('ID="fedora"\nVARIANT_ID=debian\n', False),
        ("", False),
    ],
)
def test_debian_and_its_children_are_known(tmp_path: Path, text: str, debian: bool) -> None:
    path = tmp_path / "os-release"
    path.write_text(text, encoding="utf-8")
    assert qtlibraries.is_debian(path) is debian
    assert not qtlibraries.is_debian(tmp_path / "none")


@pytest.mark.parametrize(
    ("codes", "done", "ran"),
    [([0], True, "install"), ([1, 0, 0], True, "install update install"), ([1, 1, 1], False, None)],
)
def test_old_lists_are_renewed_once(
    monkeypatch: pytest.MonkeyPatch, codes: list[int], done: bool, ran: str | None
) -> None:
    commands: list[list[str]] = []

    def run(command: list[str], **options: object) -> subprocess.CompletedProcess[str]:
        commands.append(command)
        return subprocess.CompletedProcess(command, codes[len(commands) - 1])

    monkeypatch.setattr(subprocess, "run", run)
    assert qtlibraries.apt_install(["libegl1"]) is done
    if ran:
        assert [command[1] for command in commands] == ran.split()
