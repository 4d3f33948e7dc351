"""What of the state folder cannot be used, said once when the window stands.

The program opens all the same, with its usual settings; only what it would keep there is not kept.
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
    """What cannot be used, and what that costs, in sentences; "" if all is well."""
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
    found += [f"{file.name} is no ordinary file" for file in files if is_odd(file)]
    if is_odd(autosave_dir(), folder=True):
        found.append(f"{autosave_dir().name} is no folder, so that no copies are kept: save often")
    if not found:
        return ""
    return f"Passed over in {clip(str(folder), 80)}: {'; '.join(found)}."


def _try_to_write(folder: Path) -> None:
    """Make a file there and take it away: rights alone do not tell.  Raises OSError."""
    from .saving import own_name_beside  # noqa: PLC0415 - the first picture comes without

    probe = own_name_beside(folder / "probe")
    os.close(os.open(probe, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
    probe.unlink()


def is_odd(path: Path, folder: bool = False) -> bool:
    """True if something is there that is no ordinary file, or no folder."""
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError):
        return False
    return not (stat.S_ISDIR(mode) if folder else stat.S_ISREG(mode))
