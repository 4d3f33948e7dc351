"""Keeps what was found: a file that repeats it, and a note of what went wrong."""

import threading
from collections import Counter
from pathlib import Path

from .watch import Found


class Finds:
    """The finds of one run, in a folder.  Cases with the same fault share one file."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._lock = threading.Lock()
        self._notes: dict[tuple[str, str], Path] = {}
        self.count: Counter[tuple[str, str]] = Counter()

    def take(self, found: Found) -> None:
        """Record a find and print it."""
        key = (found.kind.name, found.mark)
        with self._lock:
            self.count[key] += 1
            again = command(found)
            note = self._notes.get(key)
            if note is not None:
                with note.open("a", encoding="utf-8") as file:
                    file.write(f"also: {again}\n")
                return
            self._folder.mkdir(parents=True, exist_ok=True)
            stem = f"{found.kind.name.replace(':', '-')}-{found.seed}-{found.case}"
            case = self._folder / f"{stem}{found.kind.suffix}"
            case.write_bytes(found.data)
            note = self._folder / f"{stem}.find.txt"
            words = f"{found.what}: {found.mark}\n\n{found.words}\n\n"
            note.write_text(
                f"{words}again: {again}\nsmall: {small(found, case)}\n", encoding="utf-8"
            )
            self._notes[key] = note
        last = found.words.strip().splitlines()[-1] if found.what == "fault" else found.mark
        print(f"FIND {found.kind.name}: {found.what}: {last}\n  {again}\n  {note}", flush=True)


def command(found: Found) -> str:
    """Return the command that makes and tries that case again."""
    return f"python scripts/fuzz.py {found.kind.name} --seed {found.seed} --case {found.case}"


def small(found: Found, case: Path) -> str:
    """Return the command that tries the file kept for a find."""
    return f"python scripts/fuzz.py {found.kind.name} --file {case}"
