"""Opens the window, with or without a job.  The only module of this package that needs Qt."""

import gc
from pathlib import Path
from stat import S_ISDIR

from gridjig.files.format.faults import words_for

from .plain import one_line
from .verb import Refusal


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


def open_qt(path: str | None) -> int:
    """Hand over to the window's package, imported only here: the verbs must not wait for it.

    Nearly all objects created while it loads stay alive, so garbage collection meanwhile is useless
    and takes a tenth of a second; the window collects it once it is ready.
    """
    gc.disable()
    try:
        from gridjig.qt.startup.app import run  # noqa: PLC0415

        return run(path)
    finally:
        gc.enable()


def open_window(path: str | None) -> int:
    """Open the window and run until it is closed; return its exit code.  Raise Refusal if there is
    no job to open.
    """
    if path is not None:
        require_file(path)
    return open_qt(path)
