"""What a command prints when called in this process, and whether that is fit for a user."""

import io
import os
import re
import unicodedata
from collections.abc import Callable, Sequence
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import NamedTuple

from .kind import Find, is_ours

_LONGEST = 2000
_SAYS_NO = ("check", "suggest")  # verbs that answer with 1: something to fix, no such jig


class Said(NamedTuple):
    """What a command printed, and its exit code."""

    code: int
    out: str
    err: str


def said(main: Callable[[Sequence[str]], int], words: Sequence[str]) -> Said:
    """Call a command.  `--help` and `--version` exit the program: that counts as an answer too."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        try:
            code = main(list(words))
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else 0 if end.code is None else 1
    return Said(code, out.getvalue(), err.getvalue())


def require_answer(words: Sequence[str], answer: Said) -> None:
    """Raise Find unless a command printed an answer, or one sentence that says why not."""
    called = " ".join(repr(word)[:80] for word in words)
    if answer.code == 0 or (answer.code == 1 and words[0] in _SAYS_NO and not answer.err):
        if not answer.out.strip():
            raise Find(f"nothing is printed: gridjig {called}")
        return
    if answer.code != 2:
        report = reported()
        place = re.findall(r'File "([^"]+)", line \d+, in (\S+)', report)
        at = next((f" in {Path(f).name} {name}" for f, name in place[::-1] if is_ours(f)), "")
        said = f"{answer.err[-_LONGEST:]}\n{report}"
        raise Find(f"exit code {answer.code}{at}: gridjig {called}: {said}")
    lines = answer.err.splitlines()
    if answer.out or len(lines) != 1 or len(answer.err) > _LONGEST:
        raise Find(f"a refusal is not one sentence: gridjig {called}: {answer.err[:_LONGEST]!r}")
    if not lines[0].startswith("gridjig: ") or not lines[0].endswith((".", ".”")):
        raise Find(f"a refusal is no sentence: gridjig {called}: {answer.err!r}")
    if not all(map(is_visible, answer.err.rstrip("\n"))):
        raise Find(f"a refusal has signs that are not printed: gridjig {called}: {answer.err!r}")


def is_visible(sign: str) -> bool:
    """True for a character that a terminal shows, or that joins such characters within a word."""
    return sign.isprintable() or sign in "\u200c\u200d" or unicodedata.category(sign) == "Zs"


def reported() -> str:
    """Return the newest fault report in the state folder, if there is one."""
    files = list(Path(os.environ.get("GRIDJIG_STATE", ".")).glob("*.txt"))
    newest = max(files, key=lambda file: file.stat().st_mtime_ns, default=None)
    return "" if newest is None else newest.read_text(encoding="utf-8", errors="replace")
