"""The command line: verbs from their own files, the window without one, plain refusals."""

import argparse
import errno
import os
import subprocess
import sys
from collections.abc import Callable
from io import StringIO
from pathlib import Path
from types import ModuleType

import pytest

from gridjig import __version__
from gridjig.cli import Refusal, command, main, schema, window
from gridjig.cli.output_files import require_free, write_out
from gridjig.cli.verb import unknown


def test_every_verb_is_a_module_of_its_own_name() -> None:
    names = [verb.name for verb in command.all_verbs()]
    assert names == sorted(names)
    assert {"poses", "pull", "schema"} <= set(names)
    assert all(command.find_verb(name) for name in names)
    assert command.find_verb("command") is None
    assert command.find_verb("no/such") is None


def test_help_names_every_verb(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        main(["--help"])
    assert end.value.code == 0
    printed = capsys.readouterr().out
    assert all(verb.name in printed for verb in command.all_verbs())


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        main(["--version"])
    assert end.value.code == 0
    assert capsys.readouterr().out == f"GridJig {__version__}\n"


def test_what_no_verb_takes_is_refused(refused: Callable[..., str]) -> None:
    assert "There is no verb dance; the verbs are: " in refused("dance", "now")
    assert "`gridjig --help` shows its arguments" in refused("--dance")
    assert "`gridjig poses --help`" in refused("poses")
    assert "more words" in refused("schema", "more", "words")


def test_a_reader_that_goes_away_is_no_fault() -> None:
    code = "import sys; from gridjig.cli import main; sys.exit(main(['schema']))"
    with subprocess.Popen(
        [sys.executable, "-c", code],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    ) as process:
        assert process.stdout
        assert process.stderr
        process.stdout.close()
        assert process.stderr.read() == b""
    assert process.returncode == 0


def test_ctrl_c_ends_with_130(monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(given: list[str]) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(command, "act", stop)
    assert main(["schema"]) == 130


def test_a_broken_pipe_inside_the_process(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def gone(given: list[str]) -> int:
        raise BrokenPipeError

    monkeypatch.setattr(command, "act", gone)
    with (tmp_path / "reader").open("w", encoding="utf-8") as reader:
        monkeypatch.setattr(sys, "stdout", reader)
        assert main(["schema"]) == 0
        reader.write("what is still to come")
    assert (tmp_path / "reader").read_text(encoding="utf-8") == ""


def test_a_stream_of_another_kind_will_do(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = StringIO()
    monkeypatch.setattr(sys, "stdout", stream)
    assert main(["schema"]) == 0
    assert '"$defs"' in stream.getvalue()


def test_without_arguments_those_of_the_process_count(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["gridjig", "schema"])
    assert main() == 0
    assert '"$defs"' in capsys.readouterr().out


def test_the_window_is_left_to_its_own_package(monkeypatch: pytest.MonkeyPatch) -> None:
    app = ModuleType("gridjig.qt.startup.app")
    app.run = lambda path: 7 if path == "x" else 0  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "gridjig.qt.startup.app", app)
    assert window.open_qt("x") == 7


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[str | None]:
    """The windows that would be opened."""
    calls: list[str | None] = []

    def run(path: str | None) -> int:
        calls.append(path)
        return 0

    monkeypatch.setattr(window, "open_qt", run)
    return calls


@pytest.mark.expectation(52)
def test_the_window_opens_with_a_job_or_without(opened: list[str | None], tmp_path: Path) -> None:
    job = tmp_path / "my job.gridjig"
    job.touch()
    assert main([]) == 0
    assert main([str(job)]) == 0
    assert opened == [None, str(job)]


def test_what_cannot_be_opened_is_refused(
    opened: list[str | None], tmp_path: Path, refused: Callable[..., str]
) -> None:
    assert "is a folder" in refused(str(tmp_path))
    assert refused("nowhere.gridjig").startswith("There is no file nowhere.gridjig")
    assert opened == []


def test_unknown_names_are_answered_with_near_ones_or_all() -> None:
    many = [f"stop-{letter}{letter}" for letter in "abcdefghijklmnop"]
    near = str(unknown("piece", "STOP-aa", many, "here"))
    assert near.startswith("There is no piece STOP-aa here; the nearest are: stop-aa")
    assert str(unknown("piece", "zzz", ["b", "c"], "here")).endswith("choose from: b, c.")
    assert "the first of 16 are: stop-aa, " in str(unknown("piece", "xyz", many, "here"))
    assert isinstance(unknown("piece", "x", [], "here"), Refusal)


def test_the_schema_is_the_job_files_unless_a_verb_is_named() -> None:
    parser = argparse.ArgumentParser()
    schema.arguments(parser)
    assert vars(parser.parse_args([])) == {"of": None}
    assert vars(parser.parse_args(["--of", "pull"])) == {"of": "pull"}


class FullDisk(StringIO):
    """A file on a disk that is full."""

    def write(self, text: str) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")


def test_an_answer_that_cannot_be_printed_is_refused(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for stream, why in (
        (FullDisk(), "its disk is full"),
        (StringIO(), "standard output is closed"),
    ):
        if why.endswith("closed"):
            stream.close()
        with monkeypatch.context() as patched:
            patched.setattr(sys, "stdout", stream)
            assert main(["schema"]) == 2
        assert capsys.readouterr().err == f"gridjig: The answer cannot be printed: {why}.\n"


def test_where_there_is_no_output_at_all_that_is_said(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with monkeypatch.context() as patched:
        patched.setattr(sys, "stdout", None)
        assert main(["schema"]) == 2
    assert "nowhere to print the answer" in capsys.readouterr().err


def test_an_output_that_no_file_can_be_is_refused(tmp_path: Path) -> None:
    out = tmp_path / ("x" * 300)
    too_long = "its name is too long; choose another "
    with pytest.raises(Refusal, match=too_long):
        write_out(out, b"")
    if sys.version_info < (3, 14):  # later ones say of such a name only that it is not there
        with pytest.raises(Refusal, match=too_long):
            require_free(out, force=True)
    (tmp_path / "there.csv").touch()
    require_free(tmp_path / "there.csv", force=True)
    with pytest.raises(Refusal, match="give another name, or --force"):
        require_free(tmp_path / "there.csv", force=False)
