"""What in the state folder cannot be used, reported once when the window is open.

The program still opens, with default settings; only what it would store there is not kept.
"""

import os
import stat
from pathlib import Path

from gridjig.files.format.faults import clip, words_for

from .locations import (
    autosave_dir,
    make_private,
    recent_file,
    settings_file,
    state_dir,
    user_library_file,
)
from .settings import settings_fault

LOG_NAME = "gridjig.log"
CRASH_NAME = "crash.log"


def state_trouble() -> str:
    """Return what cannot be used, and the consequences, in sentences; "" if all is well."""
    folder = state_dir()
    try:
        make_private(folder)
        _try_to_write(folder)
    except (OSError, ValueError) as fault:
        return (
            f"Settings and copies of unsaved work cannot be kept in {clip(str(folder), 80)}:"
            f" {words_for(fault)}. Save often."
        )
    found = []
    if settings_fault():
        found.append(f"{settings_file().name} {settings_fault()}")
    files = (user_library_file(), recent_file(), folder / LOG_NAME, folder / CRASH_NAME)
    found += [f"{file.name} is not an ordinary file" for file in files if is_odd(file)]
    if is_odd(autosave_dir(), folder=True):
        found.append(f"{autosave_dir().name} is not a folder, so no copies are kept: save often")
    if not found:
        return ""
    return f"Skipped in {clip(str(folder), 80)}: {'; '.join(found)}."


def _try_to_write(folder: Path) -> None:
    """Create a file there and remove it, as permissions alone do not tell.  Raise OSError."""
    from .saving import own_name_beside  # noqa: PLC0415 - not needed for the first picture

    probe = own_name_beside(folder / "probe")
    os.close(os.open(probe, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
    probe.unlink()


def is_odd(path: Path, folder: bool = False) -> bool:
    """Return True if there is something that is not a regular file, or not a folder."""
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError):
        return False
    return not (stat.S_ISDIR(mode) if folder else stat.S_ISREG(mode))
