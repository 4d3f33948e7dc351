"""Changing one of the program's own files while no other window does: a short guard."""

import contextlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from gridjig.files.format.faults import SaveFault, words_for

from .locations import make_private


@contextmanager
def file_guard(file: Path, otherwise: str) -> Iterator[None]:
    """Hold the guard of a file, creating its folder if needed.

    Raise SaveFault that ends with `otherwise`, which says what is unchanged.
    """
    try:
        make_private(file.parent)
        import filelock  # noqa: PLC0415 - a start that only reads does not need it

        guard = filelock.FileLock(file.with_name(file.name + ".lock"), timeout=3)
        guard.acquire()
    except OSError as fault:
        raise SaveFault(file, words_for(fault), otherwise) from fault
    try:
        yield
    finally:
        with contextlib.suppress(OSError):
            guard.release()
