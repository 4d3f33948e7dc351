"""The locks agree with what the project asks for, on every Python and system it is meant for."""

import importlib.metadata
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from packaging.markers import default_environment
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import environment

ROOT = environment.ROOT
PROJECT: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
PYTHONS = ("3.11", "3.12", "3.13", "3.14")
SYSTEMS = {"linux": "Linux", "win32": "Windows", "darwin": "Darwin"}


def asked(group: str) -> Iterator[Requirement]:
    """What the project and one of its groups ask for."""
    yield from map(Requirement, PROJECT["project"]["dependencies"])
    for entry in PROJECT["dependency-groups"][group]:
        if isinstance(entry, str):
            yield Requirement(entry)
        else:
            yield from asked(entry["include-group"])


def locked(kind: environment.Kind) -> list[Requirement]:
    """The lines of a lock, without their hashes."""
    lines = environment.lock_file(kind, ROOT).read_text(encoding="utf-8").splitlines()
    return [Requirement(line.rstrip("\\ ")) for line in lines if line[:1].isalnum()]


def place(python: str, system: str) -> dict[str, str]:
    """The markers' values on a Python of a system."""
    return {
        **{key: str(value) for key, value in default_environment().items()},
        "python_version": python,
        "python_full_version": f"{python}.1",
        "sys_platform": system,
        "platform_system": SYSTEMS[system],
    }


def versions(kind: environment.Kind, python: str, system: str) -> dict[str, str]:
    """The versions that a lock gives on a Python of a system; each library once."""
    where = place(python, system)
    found: dict[str, str] = {}
    for line in locked(kind):
        if line.marker is None or line.marker.evaluate(where):
            name = canonicalize_name(line.name)
            assert name not in found
            found[name] = next(iter(line.specifier)).version
    return found


@pytest.mark.source("library", "packaging 26", "markers and specifiers of PEP 508")
@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("python", PYTHONS)
@pytest.mark.parametrize(("kind", "group"), [("run", "build"), ("check", "check")])
def test_the_lock_gives_what_the_project_asks_for(
    kind: environment.Kind, group: str, python: str, system: str
) -> None:
    found = versions(kind, python, system)
    where = place(python, system)
    here = [w for w in asked(group) if w.marker is None or w.marker.evaluate(where)]
    assert {"shapely", "numpy", "msgspec"} <= {canonicalize_name(w.name) for w in here}
    assert len(here) >= 7  # what the program itself imports
    for wanted in here:
        assert found[canonicalize_name(wanted.name)] in wanted.specifier


@pytest.mark.parametrize("python", PYTHONS)
def test_qt_is_one_that_this_python_can_bear(python: str) -> None:
    qt = versions("run", python, "linux")["pyside6-essentials"]
    assert qt.startswith("6.11.") == (python == "3.11")


@pytest.mark.parametrize("python", PYTHONS)
def test_the_tests_run_on_what_the_program_runs_on(python: str) -> None:
    run, check = versions("run", python, "linux"), versions("check", python, "linux")
    assert run.items() <= check.items()


@pytest.mark.source("library", "packaging 26", "markers and specifiers of PEP 508")
@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("python", PYTHONS)
@pytest.mark.parametrize("kind", ["run", "check"])
def test_the_lock_has_all_that_its_libraries_ask_for(
    kind: environment.Kind, python: str, system: str
) -> None:
    """They are installed without resolving; read from those that are installed here."""
    found = versions(kind, python, system)
    here = {str(canonicalize_name(one.name)): one for one in importlib.metadata.distributions()}
    asking = [(name, "") for name in found]
    read = set()
    for name, extra in asking:
        if name not in here or here[name].version != found[name]:
            continue  # of another version: another Python's
        read.add(name)
        for text in here[name].requires or ():
            wanted = Requirement(text)
            where = {**place(python, system), "extra": extra}
            if wanted.marker is None or wanted.marker.evaluate(where):
                other = canonicalize_name(wanted.name)
                assert other in found, f"{name} asks for {other}"
                assert found[other] in wanted.specifier, f"{name} asks for {wanted}"
                asking += [(other, one) for one in wanted.extras if (other, one) not in asking]
    assert len(read) > len(found) * 0.6


def test_every_line_has_its_hashes_and_no_host() -> None:
    for kind in ("run", "check"):
        text = environment.lock_file(kind, ROOT).read_text(encoding="utf-8")
        assert text.count("==") <= text.count(" \\\n")
        assert text.count("--hash=sha256:") > text.count("==")
        assert "://" not in text
