"""What the program is built with: versions and licences, read from the installed packages.

The texts of the licences are the packages' own; those of Qt, which its packages lack, ship with the
program in `assets/licences`.
"""

import platform
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

from msgspec import Struct

from gridjig import __version__

from .assets import assets_dir

USED: tuple[tuple[str, str], ...] = (
    ("PySide6-Essentials", "Qt and Qt for Python: window, plan, PDF"),
    ("shiboken6", "what Qt for Python is bound with"),
    ("shapely", "geometry of polygons"),
    ("numpy", "arithmetic on tables of numbers"),
    ("msgspec", "files and values"),
    ("platformdirs", "where settings are kept"),
    ("ezdxf", "reading DXF drawings"),
    ("fonttools", "used by ezdxf"),
    ("pyparsing", "used by ezdxf"),
    ("typing_extensions", "used by ezdxf"),
    ("pypdf", "reading the job out of a PDF"),
    ("highspy", "HiGHS, a solver of linear programs"),
)
"""The packages that are installed with the program, and what each is for."""

_QT_TEXTS = ("LGPL-3.0.txt", "GPL-3.0.txt")
_QT = ("PySide6-Essentials", "shiboken6")


class UsedPackage(Struct, frozen=True):
    """An installed package: what it is for, its version, the name of its licence, and its texts."""

    name: str
    purpose: str
    version: str
    licence: str
    texts: tuple[Path, ...]


def used_packages() -> tuple[UsedPackage, ...]:
    """Return the packages that are installed, in the order of USED; Python comes first."""
    python = UsedPackage(
        "Python", "the language it is written in", platform.python_version(), "PSF-2.0", ()
    )
    found = [python]
    for name, purpose in USED:
        try:
            there = distribution(name)
        except PackageNotFoundError:
            continue
        found.append(
            UsedPackage(name, purpose, there.version, _licence(there), _texts(name, there))
        )
    return tuple(found)


def licence_texts(name: str) -> str:
    """Return the texts of a package's licences.  Raise KeyError if it is unknown or has none."""
    package = next((one for one in used_packages() if one.name == name), None)
    if package is None or not package.texts:
        raise KeyError(name)
    parts = []
    for path in package.texts:
        parts += [f"{name}: {path.name}", path.read_text(encoding="utf-8", errors="replace")]
    return "\n\n".join(parts)


def about_text(page: str) -> str:
    """Return the page about the program, in which {version}, {built}, {place} and {geos} stand."""
    import shapely  # noqa: PLC0415 - only for the page about the program

    known = used_packages()
    place = next((_place(one.name) for one in known if one.name in _QT), "")
    return (
        page.replace("{version}", __version__)
        .replace("{built}", "\n".join(map(_line, known)))
        .replace("{place}", f"`{place}`")
        .replace("{geos}", shapely.geos_version_string)
    )


def _line(one: UsedPackage) -> str:
    text = f" ([text](text:{one.name}))" if one.texts else ""
    return f"- {one.name} {one.version}, {one.purpose}; {one.licence}{text}"


def _place(name: str) -> str:
    return str(distribution(name).locate_file(""))


def _licence(there: Distribution) -> str:
    """The name of a package's licence: as an expression, as a word, or as a classifier."""
    known = there.metadata
    classes = (c for c in known.get_all("Classifier") or () if "License" in c)
    named = (
        *(known.get_all("License-Expression") or ()),
        *(known.get_all("License") or ()),
        *(c.rsplit(" :: ", 1)[-1] for c in classes),
    )
    return next((name.split("\n", 1)[0] for name in named if name.strip()), "see its text")


def _texts(name: str, there: Distribution) -> tuple[Path, ...]:
    if name in _QT:
        return tuple(assets_dir() / "licences" / text for text in _QT_TEXTS)
    words = ("licen", "copying", "notice")
    files = [f for f in there.files or () if ".dist-info" in str(f) or f.parent.name == ""]
    named = [f for f in files if any(word in f.name.lower() for word in words)]
    return tuple(path for f in sorted(named) if (path := Path(str(f.locate()))).is_file())
