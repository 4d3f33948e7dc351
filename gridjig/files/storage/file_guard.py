"""Changing a file of the program's own while no other window changes it: a guard for a moment."""

import contextlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from gridjig.files.format.faults import SaveFault, words_for

from .locations import make_private


@contextmanager
def file_guard(file: Path, otherwise: str) -> Iterator[None]:
    """Hold the guard of a file, its folder made if need be.

    Raises SaveFault that ends with `otherwise`: what stays as it was.
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
