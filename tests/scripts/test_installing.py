"""What pip is told and what it says become sentences; what it installs is test_index's."""

import sys
from pathlib import Path

import pytest

import installing
from installing import Setback


@pytest.mark.parametrize(
    ("output", "words"),
    [
        ("ERROR: [Errno 28] No space left on device", "disk is full"),
        ("Retrying ... NewConnectionError('x')\nERROR: No matching distribution", "network"),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM", "differs from the one"),
        ("ERROR: No matching distribution found for numpy==2.4.6", "no ready-built numpy 2.4.6"),
        ("a 1.0 requires b, which is not installed.", "together (a 1.0 requires b, which is not"),
        ("a 1.0 has requirement b>=2, but you have b 1.0.", "fault of the lock"),
        ("ERROR: Could not install: [Errno 13] Permission denied: 'x'", "may not be written"),
        ("a\nERROR: something else\n", "pip says: ERROR: something else"),
        ("", "pip says: nothing"),
    ],
)
def test_what_pip_says_becomes_one_sentence(output: str, words: str) -> None:
    said = installing.pip_fault(output)
    assert words in said
    assert "\n" not in said


def test_of_pip_only_the_large_downloads_and_the_installing_are_shown() -> None:
    told = installing.pip_told
    assert (
        told("  Downloading https://x/y/big-1.0.whl (80.3 MB)") == "  getting big-1.0.whl (80.3 MB)"
    )
    assert told("  Downloading small-1.0.whl (80 kB)") is None
    assert told("Installing collected packages: a, b, c") == "  installing 3 libraries ..."
    assert told("Requirement already satisfied: a") is None


def test_pip_is_run_away_from_other_libraries(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PYTHONPATH", "elsewhere")
    assert "PYTHONPATH" not in installing.clean_variables()


def test_pip_that_ends_badly_is_a_setback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(installing, "python_in", lambda home: Path(sys.executable))
    with pytest.raises(Setback, match="pip says: ERROR: unknown command"):
        installing.run_pip(Path("anywhere"), ["dance"])
    installing.run_pip(Path("anywhere"), ["--version"])


def test_settings_that_say_where_libraries_come_from_are_kept_and_no_others(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("PIP_INDEX_URL", "https://mirror/simple")
    for name in ("CONSTRAINT", "TARGET", "USER", "PRE", "NO_BINARY", "REQUIRE_VIRTUALENV"):
        monkeypatch.setenv(f"PIP_{name}", "1")
    kept = {name for name in installing.clean_variables() if name.startswith("PIP_")}
    assert "PIP_INDEX_URL" in kept
    assert kept <= {f"PIP_{name}" for name in installing.PIP_KEEPS}
