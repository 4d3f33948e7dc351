"""Opens the window, with a job or without.  The only place of this package that asks for Qt."""

import gc
from pathlib import Path
from stat import S_ISDIR

from gridjig.files.format.faults import words_for
from gridjig.files.storage.locations import make_private, state_dir

from .plain import one_line
from .verb import Refusal

OPENED = "opened"


def require_file(path: str) -> None:
    """Raise Refusal if there is no job to open at that path."""
    if not path.strip():
        raise Refusal("The name of the job is empty; give its .gridjig file.")
    name = one_line(path, 200)
    try:
        found = Path(path).stat()
    except (FileNotFoundError, NotADirectoryError):
        missing = f"There is no file {name}, and no verb of that name; see `gridjig --help`."
        raise Refusal(missing) from None
    except (OSError, ValueError) as fault:
        raise Refusal(f"{name} cannot be opened: {words_for(fault)}.") from fault
    if S_ISDIR(found.st_mode):
        raise Refusal(f"{name} is a folder; give the .gridjig file in it.")


def first_time() -> bool:
    """True if this person never opened the window before; it is noted that now they have."""
    note = state_dir() / OPENED
    try:
        if note.exists():
            return False
        make_private(note.parent)
        note.write_text("The window was opened before.\n", encoding="utf-8")
    except OSError:
        return False  # where nothing can be noted, every start would be the first
    return True


def open_qt(path: str | None, first_time: bool) -> int:
    """Hand over to the window's own package, imported only here: the verbs must not wait for it.

    Nearly all that is made while it loads stays, so that looking for garbage meanwhile is in vain,
    and takes a tenth of a second; the window begins with it when it stands.
    """
    gc.disable()
    try:
        from gridjig.qt.startup.app import run  # noqa: PLC0415

        return run(path, first_time)
    finally:
        gc.enable()


def open_window(path: str | None) -> int:
    """Open the window and stay until it is closed; its exit code.  Raises Refusal."""
    if path is not None:
        require_file(path)
    return open_qt(path, first_time())
