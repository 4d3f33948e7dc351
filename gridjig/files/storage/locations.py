"""Where the program keeps its own records, and the names of files beside a job.

The state folder is the user's own, and by default never on a share; GRIDJIG_STATE moves it.
"""

import os
import re
import stat
from pathlib import Path

import platformdirs

_FORBIDDEN = re.compile(r'[<>:"/\\|?*\x00-\x1f\x7f]+')
_RESERVED = re.compile(r"(?i)(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\..*)?")
_MOST_BYTES = 255  # of a name, on nearly every system
_LONGEST = 100  # characters; at most four bytes each, with room for what is added to the name
_MOST_EXPORTS = 99


def state_dir() -> Path:
    """Return the folder for autosaves, recent files and settings; it is not created here."""
    given = os.environ.get("GRIDJIG_STATE", "")
    return Path(given) if given else platformdirs.user_state_path("gridjig", appauthor=False)


def autosave_dir() -> Path:
    """Return the folder for autosaved copies."""
    return state_dir() / "autosave"


def recent_file() -> Path:
    """Return the path of the recent files list."""
    return state_dir() / "recent.json"


def settings_file() -> Path:
    """Return the path of the user's settings."""
    return state_dir() / "settings.json"


def user_library_file() -> Path:
    """Return the path of the user's own tables and racks."""
    return state_dir() / "own.json"


def read_own(path: Path, most: int = 1024 * 1024) -> bytes:
    """Return the bytes of one of the program's own small files.  Raise OSError if it is not one.

    Reading a pipe would block, and a device has no end.
    """
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with open(handle, "rb") as file:  # noqa: PTH123  (an open handle, not a path)
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError("it is not an ordinary file")
        data = file.read(most + 1)
    if len(data) > most:
        raise OSError("it is too large")
    return data


def make_private(folder: Path) -> None:
    """Create a folder that only its owner can read.  Raise OSError."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)


def backup_of(path: Path) -> Path:
    """Return the path of a file's one backup: the file before the last save, visible beside it.

    Another name is used if that one is too long, or is a folder.
    """
    plain = path.with_name(_cut(path.name, ".bak"))
    if os.path.isdir(plain):  # noqa: PTH112  (accepts odd names without raising)
        return path.with_name(_cut(path.name, ".backup.bak"))
    return plain


def _cut(name: str, suffix: str) -> str:
    """A name with a suffix; if too long, the name is cut and made unique by a checksum."""
    if len(os.fsencode(name + suffix)) <= _MOST_BYTES:
        return name + suffix
    from hashlib import sha256  # noqa: PLC0415 - dear, and names are hardly ever so long

    total = sha256(os.fsencode(name)).hexdigest()[:12]
    room = _MOST_BYTES - len(suffix) - len(total) - 1
    while len(os.fsencode(name)) > room:
        name = name[:-1]
    return f"{name}~{total}{suffix}"


def proposed_name(job_name: str, suffix: str = ".gridjig") -> str:
    """Return a file name for a job that every system accepts, including Windows and shares."""
    name = _FORBIDDEN.sub(" ", job_name)
    name = " ".join(name.split()).strip(". ")[:_LONGEST].strip(". ")
    if not name or name.encode("utf-8", "ignore").decode("utf-8") != name:
        name = "job"
    if _RESERVED.fullmatch(name):
        name = f"job {name}"
    return name + suffix


def proposed_path(folder: str, name: str, suffix: str) -> Path:
    """Return where an exported file is proposed to go: in a folder, and over no file there.

    Beside an earlier export it is called NAME 2, NAME 3 and so on, up to `_MOST_EXPORTS`; whoever
    wants to replace the earlier one picks it from the list.
    """
    first = Path(folder) / proposed_name(name, suffix)
    more = (first.with_name(f"{first.stem} {k}{suffix}") for k in range(2, _MOST_EXPORTS + 1))
    return next((path for path in (first, *more) if not _is_there(path)), first)


def _is_there(path: Path) -> bool:
    """True if there is such a file; a folder that cannot be read has none."""
    try:
        return path.exists()
    except OSError:
        return False
