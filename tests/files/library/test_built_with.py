"""The page about the program: what it is built with, and under which terms."""

import platform
import tomllib
from importlib.metadata import requires, version
from pathlib import Path

import pytest
import shapely

from gridjig import __version__
from gridjig.files.library.assets import assets_dir
from gridjig.files.library.built_with import USED, about_text, licence_texts, used_packages

ROOT = Path(__file__).parents[3]
PAGE = (assets_dir() / "help" / "about.md").read_text(encoding="utf-8")


def bare(requirement: str) -> str:
    return (
        requirement.split(";", maxsplit=1)[0]
        .split("<", maxsplit=1)[0]
        .split(">", maxsplit=1)[0]
        .split("=", maxsplit=1)[0]
        .strip()
    )


def test_every_package_that_is_installed_with_the_program_is_named() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = {bare(one) for one in project["dependencies"]}
    below = {
        bare(one).replace("-", "_").lower()
        for name in wanted
        for one in requires(name) or ()
        if "extra ==" not in one and "sys_platform" not in one
    }
    named = {name for name, _ in USED}
    assert len(wanted) >= 8
    assert wanted <= named
    assert below <= {name.replace("-", "_").lower() for name in named}


def test_versions_and_licences_are_those_of_the_installed_packages() -> None:
    known = {one.name: one for one in used_packages()}
    assert len(known) > 9
    for name, _ in USED:
        assert known[name].version == version(name)
        assert known[name].licence not in ("", "see its text"), name
    assert known["Python"].version == platform.python_version()
    assert known["shapely"].licence == "BSD-3-Clause"
    assert "LGPL-3.0" in known["PySide6-Essentials"].licence
    assert "MIT" in known["ezdxf"].licence


def test_the_texts_of_the_licences_are_there() -> None:
    for name, _ in USED:
        assert len(licence_texts(name)) > 500, name
    qt = licence_texts("PySide6-Essentials")
    assert "GNU LESSER GENERAL PUBLIC LICENSE" in qt
    assert "Version 3, 29 June 2007" in qt
    assert "GNU GENERAL PUBLIC LICENSE" in qt
    assert "GEOS" in licence_texts("shapely")
    with pytest.raises(KeyError):
        licence_texts("nothing")
    with pytest.raises(KeyError):
        licence_texts("Python")  # its package has no text of its own


def test_the_page_says_all_of_it_and_what_the_terms_of_qt_ask_for() -> None:
    text = about_text(PAGE)
    assert "{" not in text
    assert f"Version {__version__}." in text
    for one in used_packages():
        assert f"- {one.name} {one.version}, " in text
    assert "Lesser General Public License, version 3" in text
    assert "you may replace them" in text
    assert "https://code.qt.io" in text
    assert f"**GEOS** {shapely.geos_version_string}" in text
