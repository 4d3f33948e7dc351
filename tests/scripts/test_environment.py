"""The environment: when it is made, when it is kept, and what is said when it cannot be."""

import json
import os
import sys
import venv
from pathlib import Path

import pytest

import environment
import qtlibraries
from environment import Stamp
from installing import Setback, python_in

LOCK_LINE = "numpy==2.4.6 \\\n"


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    (tmp_path / "scripts" / "requirements").mkdir(parents=True)
    (tmp_path / "scripts" / "requirements" / "run.txt").write_text(LOCK_LINE, encoding="utf-8")
    (tmp_path / "scripts" / "requirements" / "check.txt").write_text(
        LOCK_LINE * 2, encoding="utf-8"
    )
    (tmp_path / "pyproject.toml").write_text('[project]\nname = "x"\n', encoding="utf-8")
    return tmp_path


@pytest.fixture
def steps(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What `prepare` does, without doing it."""
    done: list[str] = []

    def make_empty(home: Path) -> None:
        done.append("make")
        python = python_in(home)
        python.parent.mkdir(parents=True, exist_ok=True)
        python.touch()

    monkeypatch.setattr(environment, "make_empty", make_empty)
    monkeypatch.setattr(environment, "require_system", lambda on_a_screen, venv_too: None)
    monkeypatch.setattr(environment, "this_machine_fault", lambda root: "")
    monkeypatch.setattr(environment, "install", lambda home, lock, root: done.append(lock.name))
    return done


def test_first_run_makes_it_and_second_does_nothing(checkout: Path, steps: list[str]) -> None:
    python = environment.prepare("run", checkout)
    assert python == python_in(checkout / ".venv")
    assert steps == ["make", "run.txt"]
    steps.clear()
    assert environment.prepare("run", checkout) == python
    assert steps == []


def test_test_tools_are_added_and_not_lost(checkout: Path, steps: list[str]) -> None:
    environment.prepare("run", checkout)
    environment.prepare("check", checkout)
    assert steps.count("make") == 1
    steps.clear()
    environment.prepare("run", checkout)
    environment.prepare("check", checkout)
    assert steps == []


def test_another_lock_is_installed_over_the_old_one(checkout: Path, steps: list[str]) -> None:
    environment.prepare("run", checkout)
    for kind in ("run", "check"):
        steps.clear()
        environment.lock_file("run", checkout).write_text(f"# for {kind}\n", encoding="utf-8")
        environment.prepare("run", checkout)
        # Test tools that are there are kept in step with what the program gets.
        assert steps == [f"{kind}.txt"]
        stamp, wanted = (
            environment.read_stamp(checkout / ".venv"),
            environment.wanted_stamp(checkout),
        )
        assert stamp == (wanted if kind == "check" else wanted._replace(check=""))
        environment.prepare("check", checkout)


def test_tool_settings_in_the_project_file_change_nothing(checkout: Path, steps: list[str]) -> None:
    environment.prepare("run", checkout)
    steps.clear()
    with (checkout / "pyproject.toml").open("a", encoding="utf-8") as file:
        file.write("[tool.ruff]\nline-length = 90\n")
    environment.prepare("run", checkout)
    assert steps == []


def test_a_half_made_one_is_made_again(checkout: Path, steps: list[str]) -> None:
    environment.prepare("run", checkout)
    (checkout / ".venv" / environment.STAMP).unlink()
    environment.prepare("run", checkout)
    assert steps.count("make") == 2


def test_an_interrupted_install_leaves_no_stamp(
    checkout: Path, steps: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    environment.prepare("run", checkout)

    def interrupted(home: Path, lock: Path, root: Path) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(environment, "install", interrupted)
    with pytest.raises(KeyboardInterrupt):
        environment.prepare("check", checkout)
    assert environment.read_stamp(checkout / ".venv") is None


@pytest.mark.parametrize("key", ["python", "root"])
def test_one_of_another_python_or_place_is_made_again(
    checkout: Path, steps: list[str], key: str
) -> None:
    environment.prepare("run", checkout)
    path = checkout / ".venv" / environment.STAMP
    values = json.loads(path.read_text(encoding="utf-8"))
    path.write_text(json.dumps({**values, key: "another"}), encoding="utf-8")
    environment.prepare("run", checkout)
    assert steps.count("make") == 2


def test_why_it_is_made_again_is_said() -> None:
    wanted = Stamp("CPython 3.11", "/here", "1", "2")
    assert "unfinished" in environment.misfit(None, wanted)
    assert "another folder" in environment.misfit(wanted._replace(root="/there"), wanted)
    assert "another Python" in environment.misfit(wanted._replace(python="PyPy"), wanted)


def test_one_whose_python_is_gone_is_made_again(checkout: Path, steps: list[str]) -> None:
    python_in(checkout / ".venv")
    environment.prepare("run", checkout)
    python_in(checkout / ".venv").unlink()
    environment.prepare("run", checkout)
    assert steps.count("make") == 2


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"python": 1', "null"])
def test_a_stamp_that_cannot_be_read_is_none(tmp_path: Path, text: str) -> None:
    (tmp_path / environment.STAMP).write_text(text, encoding="utf-8")
    assert environment.read_stamp(tmp_path) is None


def test_a_stamp_comes_back_as_written(tmp_path: Path) -> None:
    stamp = Stamp("CPython 3.11", "/a place/here", "1", "2")
    environment.write_stamp(tmp_path, stamp)
    assert environment.read_stamp(tmp_path) == stamp


@pytest.mark.source("memory", "Windows: MAX_PATH is 260 characters with the closing zero")
def test_a_long_path_is_named_on_windows_only() -> None:
    long = "C:\\" + "x" * 90
    assert "93 characters" in environment.path_fault(long, windows=True, long_paths=False)
    assert environment.path_fault(long, windows=True, long_paths=True) == ""
    assert environment.path_fault(long, windows=False, long_paths=False) == ""
    most = "C:\\" + "x" * (environment.WINDOWS_LIMIT - environment.LONGEST_INSIDE - 3)
    assert environment.path_fault(most, windows=True, long_paths=False) == ""


def test_the_longest_path_of_the_libraries_is_allowed_for() -> None:
    site = Path(environment.ROOT, ".venv")
    if not (site / "pyvenv.cfg").exists():
        pytest.skip("the tests run in another environment")
    folders = [each for each in site.iterdir() if each.is_dir() and each.name != "bytecode"]
    longest = max(
        len(folder) + 1 + max(map(len, files)) - len(f"{site}/")
        for inside in folders
        for folder, _, files in os.walk(inside)
        if files
    )
    windows_is_longer_by = len("Lib/site-packages") - len("lib/python3.11/site-packages")
    assert longest + windows_is_longer_by + len("/.venv/") <= environment.LONGEST_INSIDE


@pytest.mark.parametrize(
    ("implementation", "bits", "free_threaded", "libc", "word"),
    [
        ("PyPy", 64, False, "", "PyPy"),
        ("CPython", 32, False, "", "32-bit"),
        ("CPython", 64, True, "", "free-threaded"),
        ("CPython", 64, False, "musl", "musl"),
    ],
)
def test_pythons_that_qt_is_not_made_for_are_named(
    implementation: str, bits: int, free_threaded: bool, libc: str, word: str
) -> None:
    assert word in environment.machine_fault(implementation, bits, free_threaded, libc)


@pytest.mark.parametrize(
    ("system", "machine", "version", "minor", "words"),
    [
        ("Linux", "x86_64", "2.34", 11, ""),
        ("Linux", "x86_64", "", 11, ""),
        ("Linux", "x86_64", "2.31", 11, "glibc 2.34 or newer and this one has 2.31: use a newer"),
        ("Linux", "aarch64", "2.38", 12, "glibc 2.39 or newer"),
        ("Linux", "riscv64", "2.40", 13, "not made for Linux on riscv64"),
        ("Darwin", "arm64", "14.0", 13, ""),
        ("Darwin", "arm64", "14", 13, ""),
        ("Darwin", "arm64", "13.6.1", 11, ""),
        ("Darwin", "arm64", "13.6.1", 12, "use Python 3.11"),
        ("Darwin", "x86_64", "12.7", 11, "macOS 13.0 or newer and this is 12.7"),
        ("Windows", "AMD64", "", 13, ""),
    ],
)
def test_systems_that_qt_is_not_made_for_are_named(
    system: str, machine: str, version: str, minor: int, words: str
) -> None:
    said = environment.system_fault(system, machine, version, (3, minor))
    assert words in said
    assert bool(words) == bool(said)


def test_a_python_too_new_for_the_lock_is_told_which_one_to_use() -> None:
    fault = environment.new_python_fault
    assert fault(15, 15, []) == ""
    assert "3.11 to 3.15 and this is Python 3.16: this machine has python3.13" in fault(
        16, 15, ["python3.16", "python3.13", "python3.12"]
    )
    assert "get Python 3.15 from https://" in fault(16, 15, ["python3.16"])


def test_the_locks_say_for_which_pythons_they_are() -> None:
    for kind in ("run", "check"):
        lock = environment.lock_file(kind, environment.ROOT).read_text(encoding="utf-8")
        assert 13 <= environment.newest_python(lock) < 40


def test_such_a_python_is_refused_before_anything_is_made(
    checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (checkout / "scripts" / "requirements" / "check.txt").write_text(
        "# Ready-built for Python 3.11 to 3.10.\n", encoding="utf-8"
    )
    monkeypatch.setattr(environment, "require_system", lambda on_a_screen, venv_too: None)
    monkeypatch.setattr(environment, "make_empty", lambda home: pytest.fail("not needed"))
    with pytest.raises(Setback, match=r"ready-built for Python 3\.11 to 3\.10 and this is"):
        environment.prepare("run", checkout)


def test_this_python_will_do() -> None:
    assert environment.this_machine_fault() == ""
    assert environment.machine_fault("CPython", 64, False, "") == ""


def test_a_folder_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(Setback, match=r"cannot be written to .*: check that you may write there"):
        environment.make_empty(tmp_path / "file" / ".venv")


def test_what_stands_in_the_way_is_cleared(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[Path] = []

    class Builder:
        def __init__(self, **options: bool) -> None:
            assert options["with_pip"]

        def create(self, home: Path) -> None:
            assert not home.exists()
            made.append(home)

    monkeypatch.setattr(venv, "EnvBuilder", Builder)
    (tmp_path / "file").touch()
    (tmp_path / "folder" / "in it").mkdir(parents=True)
    for name in ("file", "folder", "new"):
        environment.make_empty(tmp_path / name)
    assert [home.name for home in made] == ["file", "folder", "new"]


@pytest.fixture
def bare_debian(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """A Debian that has neither venv nor EGL; gives what was installed on it."""
    installed: list[list[str]] = []

    def install(packages: list[str]) -> bool:
        installed.append(packages)
        return True

    monkeypatch.setattr(environment, "find_spec", lambda name: None)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(qtlibraries, "missing", lambda on_a_screen: [("libEGL.so.1", "libegl1")])
    monkeypatch.setattr(qtlibraries, "is_debian", lambda: True)
    monkeypatch.setattr(qtlibraries, "is_root", lambda: False)
    monkeypatch.setattr(qtlibraries, "apt_install", install)
    return installed


VENV = f"python3.{sys.version_info.minor}-venv"


def test_one_command_gets_all_that_the_system_lacks(bare_debian: list[list[str]]) -> None:
    command = f"sudo apt-get install -y --no-install-recommends {VENV} libegl1"
    with pytest.raises(Setback, match=f"are missing; run: {command}$"):
        environment.require_system(on_a_screen=False, venv_too=True)
    with pytest.raises(Setback, match=r"recommends libegl1$"):
        environment.require_system(on_a_screen=False, venv_too=False)


def test_root_gets_it_at_once(
    bare_debian: list[list[str]],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(qtlibraries, "is_root", lambda: True)
    environment.require_system(on_a_screen=False, venv_too=True)
    assert bare_debian == [[VENV, "libegl1"]]
    assert f"Installing 2 system packages: {VENV} libegl1" in capsys.readouterr().out
    monkeypatch.setattr(qtlibraries, "apt_install", lambda packages: False)
    with pytest.raises(Setback, match="could not be installed; run: apt-get"):
        environment.require_system(on_a_screen=False, venv_too=True)


def test_other_systems_are_told_the_names(
    bare_debian: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(qtlibraries, "is_debian", lambda: False)
    with pytest.raises(Setback, match="no venv and ensurepip"):
        environment.require_system(on_a_screen=False, venv_too=True)
    with pytest.raises(Setback, match=r"libEGL\.so\.1"):
        environment.require_system(on_a_screen=False, venv_too=False)
    monkeypatch.setattr(sys, "platform", "win32")
    environment.require_system(on_a_screen=True, venv_too=False)


def test_a_machine_that_has_all_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    installed: list[list[str]] = []
    monkeypatch.setattr(qtlibraries, "missing", lambda on_a_screen: [])
    monkeypatch.setattr(qtlibraries, "apt_install", installed.append)
    environment.require_system(on_a_screen=True, venv_too=True)
    assert installed == []
