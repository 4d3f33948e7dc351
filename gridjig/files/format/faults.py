"""The faults when a file cannot be read or saved: a sentence with what, where and what to do.

Every module of this package turns errors into one of these; no other exception leaves it.
"""

import errno
from pathlib import Path

_WORDS = {
    errno.ENOENT: "there is no such file",
    errno.ENOTDIR: "a part of its path is not a folder",
    errno.EISDIR: "it is a folder",
    errno.EEXIST: "a file has that name already",
    errno.EACCES: "you have no permission for it",
    errno.EPERM: "you have no permission for it",
    errno.EROFS: "its disk is read-only",
    errno.ENOSPC: "its disk is full",
    errno.EDQUOT: "your share of its disk is full",
    errno.EFBIG: "its disk cannot hold a file that large",
    errno.ENAMETOOLONG: "its name is too long",
    errno.ELOOP: "its links form a loop",
    errno.EIO: "its disk or share is not responding correctly",
    errno.ESTALE: "its network share is gone",
    errno.EHOSTDOWN: "its network share is gone",
    errno.ENOTCONN: "its network share is gone",
    errno.ETIMEDOUT: "its network share is not responding",
    errno.EBUSY: "another program is using it",
    errno.ETXTBSY: "another program is using it",
    errno.EMFILE: "too many files are open",
}


class ReadFault(Exception):  # noqa: N818  (the fault is the file's)
    """A file that cannot be read: `path`, `where` in it, `why`, and what to `do`.

    `path` is None for what was never a file, and a string if only a name is known.
    `line` and `column` count from 1, and are 0 where the fault has no place in the text.
    """

    def __init__(
        self,
        path: Path | str | None,
        where: str,
        why: str,
        do: str,
        line: int = 0,
        column: int = 0,
    ) -> None:
        super().__init__(path, where, why, do, line, column)
        self.path = path
        self.where = where
        self.why = why
        self.do = do
        self.line = line
        self.column = column

    def __str__(self) -> str:
        name = "The file" if self.path is None else clip(Path(self.path).name or str(self.path), 80)
        spots = [f"line {self.line}, column {self.column}"] if self.line else []
        spots += [clip(self.where, 160)] if self.where else []
        place = f" at {' ('.join(spots)}{')' * (len(spots) - 1)}" if spots else ""
        return f"{name} cannot be read{place}: {self.why}; {self.do}."


class SaveFault(Exception):  # noqa: N818
    """A file that could not be saved: `path`, `why`, and what to `do`.  The old file is intact."""

    def __init__(self, path: Path, why: str, do: str) -> None:
        super().__init__(path, why, do)
        self.path = path
        self.why = why
        self.do = do

    def __str__(self) -> str:
        return f"{clip(self.path.name or str(self.path), 80)} was not saved: {self.why}; {self.do}."


def words_for(fault: Exception) -> str:
    """Return what an operating system error means, in plain words."""
    if isinstance(fault, OSError) and fault.errno in _WORDS:
        return _WORDS[fault.errno]
    if isinstance(fault, TimeoutError):
        return "another program is using it"
    if isinstance(fault, OSError) and fault.strerror:
        return f"the system says {fault.strerror!r}"
    return "its name has a character that file names cannot have"


def clip(text: str, most: int) -> str:
    """Return the text, cut to a length that fits a sentence, without unprintable characters."""
    text = "".join(sign if sign.isprintable() else "�" for sign in text[: most + 1])
    return text if len(text) <= most else text[: most - 1] + "…"
