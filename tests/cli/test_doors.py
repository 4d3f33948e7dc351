"""The terminal's doors: odd arguments, odd names, outputs that cannot be written, and the last one.

Each case ends in one sentence and an exit code; none in a traceback, and none half done.
"""

import json
import os
import shlex
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec import structs

from gridjig.cli import command, main
from gridjig.cli.plain import escaped, one_line, plainly
from gridjig.files.jobs.job_file import write_job
from gridjig.files.storage.locations import state_dir
from tests.cli.conftest import Command, Said
from tests.workshop import EMPTY, RACK, TABLE, laid, pin, plate

LINUX = pytest.mark.skipif(sys.platform == "win32", reason="no such devices there")
NASTY = "=cmd|'/c calc'!A1\x1b[2J\nrow\u202e"
ENV = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}


def run(*words: str | bytes, out: object = subprocess.PIPE, **more: object) -> tuple[int, str, str]:
    done = subprocess.run(
        # -B: one that may write small files only would leave half a module of bytecode for others.
        [sys.executable, "-B", "-m", "gridjig", *words],
        stdout=out,
        stderr=subprocess.PIPE,
        env=ENV,
        timeout=60,
        check=False,
        **more,  # type: ignore[call-overload]
    )
    return done.returncode, (done.stdout or b"").decode(), done.stderr.decode()


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ("", "The name of the job is empty"),
        ("   ", "The name of the job is empty"),
        (".", ". is a folder"),
        ("/", "/ is a folder"),
        ("x" * 300, "its name is too long"),
        ("a\0b", "file names cannot have"),
        ("no\nsuch\x1b[31m", "There is no file no\\u000asuch\\u001b[31m"),
    ],
)
def test_odd_names_of_jobs_are_refused(refused: Callable[..., str], given: str, says: str) -> None:
    assert says in refused(given)
    assert refused("pull", given)


@LINUX
@pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may enter anything")
def test_a_folder_without_permission(refused: Callable[..., str], tmp_path: Path) -> None:
    (tmp_path / "shut").mkdir(mode=0o000)
    assert "you have no permission" in refused(str(tmp_path / "shut" / "a.gridjig"))


def test_a_folder_that_may_not_be_entered(
    refused: Callable[..., str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def shut(self: Path) -> os.stat_result:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "stat", shut)
    assert "you have no permission for it" in refused("shut.gridjig")


# -- names ---------------------------------------------------------------------------------------


def test_signs_that_move_the_cursor_are_written_out() -> None:
    assert escaped("plain, é, 日本, \u00a0, \u200d") == "plain, é, 日本, \u00a0, \u200d"
    assert escaped("a\x1b[2Jb\tc\u202ed\x9b") == "a\\u001b[2Jb\\u0009c\\u202ed\\u009b"
    assert escaped("two\nlines") == "two\nlines"
    assert one_line("two\nlines") == "two\\u000alines"
    odd = "\U000e0041 \udcff"
    assert json.loads('"' + escaped(odd, keep="") + '"') == odd
    assert one_line("x" * 60) == "x" * 60
    assert one_line("x" * 61) == "x" * 59 + "…"


@pytest.mark.parametrize("verb", ["pull", "cuts", "gaps"])
def test_tables_keep_their_rows_whatever_things_are_called(
    gridjig: Command, tmp_path: Path, verb: str
) -> None:
    said: list[Said] = []
    for name in ("Plain", NASTY, "x" * 120):
        rack = structs.replace(
            RACK, name=name, pieces=tuple(structs.replace(p, name=name) for p in RACK.pieces)
        )
        table = structs.replace(TABLE, name=name)
        parts = tuple(structs.replace(plate(f"w{n}", 100.0 * n, 0), name=name) for n in range(9))
        job = laid(pin("a", 1, 1), pin("b", 3, 3), *parts)
        job = structs.replace(job, name=name, rack=rack, table=table)
        path = tmp_path / f"{len(said)}.gridjig"
        path.write_bytes(write_job(job))
        said.append(gridjig(verb, str(path)))
    assert {one.code for one in said} == {0}
    assert len({one.out.count("\n") for one in said}) == 1
    assert said[0].out.count("\n") > 2
    assert "\x1b" not in said[1].out
    assert "\\u001b[2J\\u000arow\\u202e" in said[1].out
    assert "x" * 60 not in said[2].out
    assert "x" * 59 + "…" in said[2].out


@pytest.mark.source("library", "Python 3.11 json", "reading back")
def test_json_keeps_names_as_they_are(gridjig: Command, tmp_path: Path) -> None:
    path = tmp_path / "a.gridjig"
    path.write_bytes(write_job(structs.replace(laid(pin("a", 1, 1)), name=NASTY)))
    said = gridjig("pull", str(path), "--json")
    assert json.loads(said.out)["job"] == NASTY
    assert "\u202e" not in said.out


def test_what_has_plain_names_is_left_as_it_is() -> None:
    assert plainly(RACK) is RACK
    assert plainly(EMPTY) is EMPTY
    assert plainly(structs.replace(EMPTY, notes="a\nb")).notes == "a\\u000ab"


# -- outputs -------------------------------------------------------------------------------------

CHART = ("chart", "--table", "48x48-5/8", "--base", "0", "12")


@pytest.mark.parametrize("suffix", [".csv", ".pdf"])
def test_a_chart_is_not_written_over_another_by_accident(
    refused: Callable[..., str], gridjig: Command, tmp_path: Path, suffix: str
) -> None:
    out = tmp_path / f"angles{suffix}"
    out.write_bytes(b"mine")
    assert "already exists; give another name, or --force" in refused(*CHART, str(out))
    assert out.read_bytes() == b"mine"
    assert gridjig(*CHART, str(out), "--force").code == 0
    assert len(out.read_bytes()) > 1000
    assert list(tmp_path.iterdir()) == [out]


@LINUX
@pytest.mark.parametrize("suffix", [".csv", ".pdf"])
def test_a_disk_that_is_full_leaves_the_old_chart_whole(tmp_path: Path, suffix: str) -> None:
    """It once told of 181 angles and left 2,048 bytes where the old file was."""
    out = tmp_path / f"angles{suffix}"
    out.write_bytes(b"mine")
    code, said, err = run(*CHART, str(out), "--force", preexec_fn=_small_files)
    assert (code, said) == (2, "")
    assert err.count("\n") == 1
    assert "was not written: its disk cannot hold a file that large; choose another location" in err
    assert out.read_bytes() == b"mine"
    assert list(tmp_path.iterdir()) == [out]


def _small_files() -> None:
    import resource

    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1024, 1024))


@LINUX
def test_a_chart_is_not_put_into_a_pipe(refused: Callable[..., str], tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.csv"
    os.mkfifo(pipe)
    assert "it is not an ordinary file" in refused(*CHART, str(pipe), "--force")


@LINUX
def test_names_that_are_no_utf_8_get_their_file(tmp_path: Path) -> None:
    for name in (b"caf\xe9.csv", b"caf\xe9.pdf"):
        out = os.fsencode(tmp_path) + b"/" + name
        code, said, err = run(*CHART, out)
        assert (code, err) == (0, "")
        assert "caf\\udce9" in said
        assert os.path.getsize(out) > 1000  # noqa: PTH202 - a name of bytes


@LINUX
@pytest.mark.parametrize("verb", [("schema",), ("--help",), ("pull", "JOB")])
def test_an_answer_that_cannot_be_printed_is_one_sentence(
    tmp_path: Path, verb: tuple[str, ...]
) -> None:
    job = tmp_path / "a.gridjig"
    job.write_bytes(write_job(laid(pin("a", 1, 1))))
    words = [str(job) if word == "JOB" else word for word in verb]
    with Path("/dev/full").open("wb") as full:
        code, _, err = run(*words, out=full)
    assert (code, err) == (2, "gridjig: The answer cannot be printed: its disk is full.\n")


@LINUX
def test_a_closed_standard_output_is_said_before_anything_is_done(tmp_path: Path) -> None:
    out = tmp_path / "angles.csv"
    done = subprocess.run(
        ["sh", "-c", f"exec {shlex.join((sys.executable, '-m', 'gridjig', *CHART, str(out)))} >&-"],
        stderr=subprocess.PIPE,
        env=ENV,
        timeout=60,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr.decode() == (
        "gridjig: There is nowhere to print the answer: standard output is closed.\n"
    )
    assert not out.exists()


# -- the report of a fault -----------------------------------------------------------------------


def test_a_fault_of_the_program_is_reported_and_said(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], own_state: Path
) -> None:
    def broken(given: list[str]) -> int:
        raise RuntimeError("the inside of\nthe program")

    monkeypatch.setattr(command, "act", broken)
    assert main(["pull", "a b.gridjig"]) == 70
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert "`gridjig pull 'a b.gridjig'`; nothing was changed" in said.err
    assert "the inside" not in said.err
    (report,) = state_dir().glob("report-*.txt")
    assert str(report) in said.err
    assert "RuntimeError: the inside of" in report.read_text(encoding="utf-8")
    (own_state / "file").touch()
    monkeypatch.setenv("GRIDJIG_STATE", str(own_state / "file" / "below"))
    assert main(["pull"]) == 70
    assert "No report could be written." in capsys.readouterr().err


@LINUX
@pytest.mark.parametrize("after", [0.02, 0.06, 0.1, 0.16, 0.25])
def test_ctrl_c_while_modules_load_leaves_no_traceback(after: float) -> None:
    code = (
        "import sys, time; from gridjig.cli import main; print('ready', flush=True);"
        "sys.exit(main(['remainders', 'nowhere.gridjig']))"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=ENV
    ) as process:
        assert process.stdout
        assert process.stdout.readline() == b"ready\n"
        time.sleep(after)
        process.send_signal(signal.SIGINT)
        said = process.communicate(timeout=30)[1].decode()
    assert process.returncode in (130, 2, -signal.SIGINT)  # ended by the signal itself: also 130
    assert "Traceback" not in said


def test_ctrl_c_that_a_loading_library_turns_into_its_own_fault_is_no_fault(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def loading(_: object) -> int:
        try:
            raise KeyboardInterrupt
        except KeyboardInterrupt as stop:
            raise ImportError("half loaded") from stop

    monkeypatch.setattr(command, "act", loading)
    assert command.main(["pull", "x"]) == 130
    assert capsys.readouterr().err == ""
