"""The files opened last, newest first.  Missing ones stay until the user removes them.

Only `exists_soon` checks whether files exist, in workers that may be abandoned, as a dead share
would block the window.
"""

import os
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path

from msgspec import Struct

from gridjig.files.format import file_format
from gridjig.files.format.faults import ReadFault
from gridjig.files.format.file_format import FileFormat

from .guard import file_guard
from .locations import recent_file
from .saving import save
from .timeout import with_timeout

MOST = 15


class Recent(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The list on disk."""

    files: tuple[str, ...] = ()


_FORM: FileFormat[Recent] = FileFormat(
    kind="recent files",
    key="gridjig recent",
    version=1,
    wanted=Recent,
    one_a_line=frozenset({"files"}),
    limit=1024 * 1024,
)


def load(file: Path | None = None) -> tuple[Path, ...]:
    """Return the recent files, newest first; none if the list is missing or damaged."""
    try:
        return tuple(Path(name) for name in file_format.load(_FORM, file or recent_file()).files)
    except ReadFault:
        return ()


def add(path: Path, file: Path | None = None) -> tuple[Path, ...]:
    """Put a file first in the list and return the new list.  Raise SaveFault."""
    return _change(lambda files: (_whole(path), *_without(files, path)), file)


def remove(path: Path, file: Path | None = None) -> tuple[Path, ...]:
    """Take a file off the list and return the new list.  Raise SaveFault."""
    return _change(lambda files: _without(files, path), file)


def exists_soon(paths: Iterable[Path], timeout: float = 0.5) -> dict[Path, bool | None]:
    """Return whether each file exists: True, False, or None if there was no answer in time.

    Folders are checked in parallel, each in its own worker; one that never responds is abandoned
    and does not keep the program from exiting.
    """
    folders: dict[Path, list[Path]] = {}
    for path in paths:
        folders.setdefault(path.parent, []).append(path)
    groups = list(folders.values())
    answers = with_timeout([partial(_ask, group) for group in groups], timeout)
    found: dict[Path, bool | None] = {}
    for group, answer in zip(groups, answers, strict=True):
        found |= answer or dict.fromkeys(group)
    return found


def _ask(paths: list[Path]) -> dict[Path, bool]:
    """Whether each file exists; os.path accepts odd names without raising."""
    return {path: os.path.isfile(path) for path in paths}  # noqa: PTH113


def _change(
    edit: Callable[[tuple[Path, ...]], tuple[Path, ...]], file: Path | None
) -> tuple[Path, ...]:
    """Change the list as it is on disk now, as another window may have changed it."""
    file = file or recent_file()
    with file_guard(file, "the list of recent files stays as it was"):
        files = edit(load(file))[:MOST]
        save(file, file_format.write(_FORM, Recent(files=tuple(str(path) for path in files))))
    return files


def _whole(path: Path) -> Path:
    """The full path, without accessing the disk."""
    return Path(os.path.abspath(path))  # noqa: PTH100


def _without(files: tuple[Path, ...], path: Path) -> tuple[Path, ...]:
    gone = os.path.normcase(_whole(path))
    return tuple(other for other in files if os.path.normcase(other) != gone)
