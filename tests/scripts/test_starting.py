"""Opening the window: what is prepared, what is called, what is said without a screen."""

import subprocess
from pathlib import Path

import pytest

import environment
import starting
from installing import Setback


@pytest.mark.parametrize(
    ("platform", "variables", "lacks"),
    [
        ("linux", {}, True),
        ("linux", {"DISPLAY": ""}, True),
        ("linux", {"DISPLAY": ":0"}, False),
        ("linux", {"WAYLAND_DISPLAY": "wayland-0"}, False),
        ("linux", {"QT_QPA_PLATFORM": "offscreen"}, False),
        ("win32", {}, False),
        ("darwin", {}, False),
    ],
)
def test_a_screen_is_missed_on_linux_only(
    platform: str, variables: dict[str, str], lacks: bool
) -> None:
    assert starting.lacks_screen(platform, variables) is lacks


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """The commands that would be run."""
    commands: list[list[str]] = []

    def run(command: list[str], **options: object) -> subprocess.CompletedProcess[str]:
        commands.append([str(word) for word in command])
        return subprocess.CompletedProcess(command, 0)

    monkeypatch.setattr(subprocess, "run", run)
    monkeypatch.setattr(environment, "prepare", lambda kind, **more: Path("python"))
    return commands


def test_the_job_is_handed_on(started: list[list[str]]) -> None:
    assert starting.main(["my job.gridjig"]) == 0
    assert starting.main([]) == 0
    assert [command[4:] for command in started] == [["my job.gridjig"], []]


def test_without_a_screen_it_says_so_once(
    started: list[list[str]], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(starting, "lacks_screen", lambda platform, variables: True)
    assert starting.main([]) == 2
    said = capsys.readouterr().err
    assert "there is no screen here" in said
    assert said.count("\n") == 1
    assert started == []


def test_a_setback_ends_with_2_and_a_stop_with_130(
    started: list[list[str]], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def setback(kind: str, **more: bool) -> Path:
        raise Setback("The disk is full.")

    monkeypatch.setattr(environment, "prepare", setback)
    assert starting.main([]) == 2
    assert capsys.readouterr().err == "The disk is full.\n"

    def stop(kind: str, **more: bool) -> Path:
        raise KeyboardInterrupt

    monkeypatch.setattr(environment, "prepare", stop)
    assert starting.main([]) == 130
