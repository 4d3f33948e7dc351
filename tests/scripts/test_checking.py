"""The check: every step runs, the result is said plainly, and the floor of coverage holds."""

import os
import sys
from pathlib import Path

import pytest

import checking
import environment
import vacuous
from installing import Setback


@pytest.fixture
def steps(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The steps that ran; `types` finds something."""
    ran: list[str] = []

    def fake(name: str) -> object:
        def step(run: checking.Run) -> bool:
            ran.append(name)
            run.closing = "3 passed in 1.0s" if name == "tests" else run.closing
            return name != "types"

        return step

    monkeypatch.setattr(checking, "STEPS", {name: fake(name) for name in checking.STEPS})
    monkeypatch.setattr(checking, "EARLY", {})
    monkeypatch.setattr(environment, "prepare", lambda kind, **more: Path("python"))
    return ran


def test_every_step_runs_after_a_fault(
    steps: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert checking.main([]) == 1
    assert steps == list(checking.STEPS)
    lines = capsys.readouterr().out.splitlines()
    assert lines[-1] == "3 passed in 1.0s"
    assert lines[-2].endswith("not well: types")


def test_what_is_started_early_is_waited_for_in_its_step(
    steps: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    slow = ("-c", "import time; time.sleep(0.2); print('2 faults'); raise SystemExit(1)")
    never = ("-c", "import time; time.sleep(600)")
    monkeypatch.setattr(checking, "EARLY", {"types": slow, "lint": never})
    monkeypatch.setattr(environment, "prepare", lambda kind, **more: Path(sys.executable))
    monkeypatch.setattr(checking, "tool_variables", lambda: dict(os.environ))  # no .venv is made
    monkeypatch.setitem(checking.STEPS, "types", lambda run: run.tool(*slow)[0])
    assert checking.main(["lint", "types"]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert "2 faults" in lines
    assert lines[-1].endswith("not well: types")
    assert steps == ["lint"]  # what it started was stopped at the end


def test_what_only_prepares_a_step_is_waited_for_in_silence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(checking, "tool_variables", lambda: dict(os.environ))  # no .venv is made
    made = tmp_path / "made"
    work = f"import pathlib, time; time.sleep(0.2); print(1); pathlib.Path({str(made)!r}).touch()"
    run = checking.Run(Path(sys.executable), coverage=False)
    run.start("-c", work)
    run.finish("-c", work)
    assert made.exists()
    assert run.early == {}
    run.finish("-c", work)  # it was not started again
    assert capfd.readouterr().out == ""


@pytest.mark.parametrize(
    ("table", "total"),
    [
        ("Name  Stmts  Miss Branch BrPart  Cover\nTOTAL  56 9 20 2 98.03%\n\n9 skipped", 98.03),
        ("TOTAL 1 0 0 0 100.00%", 100.0),
        ("No data to report.", None),
    ],
)
def test_the_total_is_read_from_the_report(table: str, total: float | None) -> None:
    assert checking.total_of(table) == total


def test_some_steps_alone(steps: list[str]) -> None:
    assert checking.main(["lint", "format"]) == 0
    assert steps == ["format", "lint"]


def test_an_unknown_step_is_refused(steps: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        checking.main(["dance"])
    assert end.value.code == 2
    assert "there is no step dance; the steps are format, lint" in capsys.readouterr().err
    assert steps == []


def test_a_setback_ends_with_2(
    steps: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def setback(kind: str, **more: bool) -> Path:
        raise Setback("The disk is full.")

    monkeypatch.setattr(environment, "prepare", setback)
    assert checking.main([]) == 2
    assert capsys.readouterr().err == "The disk is full.\n"


def test_pytest_keeps_its_last_word() -> None:
    output = "1 passed earlier\n===== 1 failed, 11 passed in 2.0s =====\n\n"
    assert checking.closing_line(output) == "===== 1 failed, 11 passed in 2.0s ====="
    assert checking.closing_line("killed") == "the tests gave no result"


def test_the_floor_holds() -> None:
    assert checking.floor_verdict(97.5, 97.5) == ""
    assert "97.49 %, below the floor of 97.50 %" in checking.floor_verdict(97.49, 97.5)


def test_the_floor_in_the_file_is_a_percentage() -> None:
    assert 50 <= float(checking.FLOOR.read_text(encoding="utf-8")) <= 100


def test_a_vacuous_test_is_printed_and_so_is_how_many_were_looked_at(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run = checking.Run(Path("python"), coverage=False)
    for faults, well in (((), True), (("tests/a.py:3: test_x",), False)):
        tally = vacuous.Tally(9, list(faults))
        monkeypatch.setattr(vacuous, "vacuous_tests", lambda root, tally=tally: tally)
        assert checking.check_vacuous(run) is well
        last = f"9 tests looked at, {len(faults)} of them vacuous"
        assert capsys.readouterr().out.splitlines() == [*faults, last]


def test_a_gate_that_finds_no_tests_is_not_well(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(vacuous, "vacuous_tests", lambda root: vacuous.Tally(0, []))
    assert not checking.check_vacuous(checking.Run(Path("python"), coverage=False))


def test_the_order_is_random_unless_a_seed_repeats_it() -> None:
    run = checking.Run(Path("python"), coverage=False)
    assert checking.pytest_options(run, 1, 7) == ["--randomly-seed=7"]
    run = checking.Run(Path("python"), coverage=True, deep=True, seed=7)
    options = checking.pytest_options(run, 2, 7)
    assert {"--randomly-seed=7", "--hypothesis-seed=7", "--hypothesis-profile=deep"} <= set(options)
    assert options[1:3] == ["-n", "2"]
    assert "--cov" in options


def test_a_failure_says_how_to_repeat_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said: list[tuple[object, ...]] = []

    def tool(run: checking.Run, *command: object, hung: float) -> tuple[bool, str]:
        said.append((*command, hung))
        return False, "1 failed in 1s"

    monkeypatch.setattr(checking.Run, "tool", tool)
    assert not checking.check_tests(checking.Run(Path("python"), coverage=False, deep=True, seed=3))
    assert "check.py --deep --seed 3 tests" in capsys.readouterr().out
    assert said[0][-1] == checking.DEEP_HUNG
    assert not checking.check_tests(checking.Run(Path("python"), coverage=False))
    seed = next(str(word) for word in said[1] if str(word).startswith("--randomly-seed="))
    assert f"seed {seed.split('=')[1]}\n" in capsys.readouterr().out


def test_a_tool_is_stopped_when_it_has_been_silent_for_long(
    capsys: pytest.CaptureFixture[str],
) -> None:
    run = checking.Run(Path(sys.executable), coverage=False)
    waiting = "import time; print('begun', flush=True); time.sleep(600)"
    assert run.tool("-c", waiting, hung=2.0) == (False, "begun\n")
    assert "Stopped, since nothing more came for 2 s." in capsys.readouterr().out


def test_a_tool_that_goes_on_is_not_stopped(capsys: pytest.CaptureFixture[str]) -> None:
    run = checking.Run(Path(sys.executable), coverage=False)
    slow = "import time\nfor k in range(25): print(k, flush=True); time.sleep(0.1)"
    passed, output = run.tool("-c", slow, hung=2.0)
    assert passed
    assert output.split() == [str(k) for k in range(25)]
    assert "Stopped" not in capsys.readouterr().out
