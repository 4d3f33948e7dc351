"""The files that were opened last, newest first.  Missing ones stay until the person removes them.

Nothing here asks whether a file exists, for a dead share would hold the window; `exists_soon` does,
in workers that may be left behind.
"""

import os
import threading
import time
from collections.abc import Callable, Iterable
from pathlib import Path

from msgspec import Struct

from . import document
from .alone import alone
from .document import Form
from .faults import ReadFault
from .places import recent_file
from .store import save

MOST = 15


class Recent(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The list on disk."""

    files: tuple[str, ...] = ()


_FORM: Form[Recent] = Form(
    kind="recent files",
    key="gridjig recent",
    version=1,
    wanted=Recent,
    one_a_line=frozenset({"files"}),
    limit=1024 * 1024,
)


def load(file: Path | None = None) -> tuple[Path, ...]:
    """The recent files, newest first; none if the list is missing or damaged."""
    try:
        return tuple(Path(name) for name in document.load(_FORM, file or recent_file()).files)
    except ReadFault:
        return ()


def add(path: Path, file: Path | None = None) -> tuple[Path, ...]:
    """Put a file first in the list.  Gives the new list.  Raises SaveFault."""
    return _change(lambda files: (_whole(path), *_without(files, path)), file)


def remove(path: Path, file: Path | None = None) -> tuple[Path, ...]:
    """Take a file off the list.  Gives the new list.  Raises SaveFault."""
    return _change(lambda files: _without(files, path), file)


def exists_soon(paths: Iterable[Path], timeout: float = 0.5) -> dict[Path, bool | None]:
    """Whether each file is there: True, False, or None where no answer came within the time.

    Folders are asked side by side, each in its own worker; one that never answers is left behind
    and does not keep the program from ending.
    """
    found: dict[Path, bool | None] = dict.fromkeys(paths)
    folders: dict[Path, list[Path]] = {}
    for path in found:
        folders.setdefault(path.parent, []).append(path)
    answers: dict[Path, bool] = {}
    workers = [
        threading.Thread(target=_ask, args=(group, answers), daemon=True)
        for group in folders.values()
    ]
    for worker in workers:
        worker.start()
    until = time.monotonic() + timeout
    for worker in workers:
        worker.join(max(0.0, until - time.monotonic()))
    return {path: answers.get(path) for path in found}


def _ask(paths: list[Path], answers: dict[Path, bool]) -> None:
    for path in paths:
        answers[path] = os.path.isfile(path)  # noqa: PTH113  (it takes odd names without raising)


def _change(
    edit: Callable[[tuple[Path, ...]], tuple[Path, ...]], file: Path | None
) -> tuple[Path, ...]:
    """Change the list as it is on disk now: another window may have changed it meanwhile."""
    file = file or recent_file()
    with alone(file, "the list of recent files stays as it was"):
        files = edit(load(file))[:MOST]
        save(file, document.write(_FORM, Recent(files=tuple(str(path) for path in files))))
    return files


def _whole(path: Path) -> Path:
    """The full path, without asking the disk."""
    return Path(os.path.abspath(path))  # noqa: PTH100


def _without(files: tuple[Path, ...], path: Path) -> tuple[Path, ...]:
    gone = os.path.normcase(_whole(path))
    return tuple(other for other in files if os.path.normcase(other) != gone)
