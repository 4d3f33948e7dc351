"""Updates the output of the commands shown in the README, and shows what changed.

    .venv/bin/python scripts/showing.py

tests/test_readme.py fails until this has been run; review the difference.  A command whose output
is shortened by a line of three dots is left as it is.
"""

import difflib
import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
SHOWN = re.compile(
    r"^    \$ gridjig (?P<command>.+)\n(?P<output>(?:    (?!\$).*\n|\n(?=    ))*)", re.M
)


def words_of(command: str) -> list[str]:
    """Return the words of a command, with full paths for the project's files, to run it
    anywhere.
    """
    words = shlex.split(command)
    return [str(ROOT / word) if (ROOT / word).is_file() else word for word in words]


def printed(command: str, folder: str) -> str:
    """Return what a command of the README prints, including a refusal.

    `folder` is for the files that it writes, and has those that earlier commands wrote.
    """
    words = [sys.executable, "-m", "gridjig", *words_of(command)]
    done = subprocess.run(
        words,
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    if done.returncode < 0:
        raise RuntimeError(f"gridjig {command} was ended by signal {-done.returncode}")
    return (done.stdout + done.stderr).strip("\n")


def renewed(text: str) -> str:
    """Return the README with up-to-date outputs."""

    def renew(match: re.Match[str], folder: str) -> str:
        if "\n    ...\n" in match[0]:
            return match[0]
        lines = "".join(
            f"    {line}".rstrip() + "\n" for line in printed(match["command"], folder).splitlines()
        )
        blank = re.search(r"\n*\Z", match["output"].removesuffix("\n"))
        return f"    $ gridjig {match['command']}\n{lines}{blank[0] if blank else ''}"

    with tempfile.TemporaryDirectory() as folder:
        return SHOWN.sub(lambda match: renew(match, folder), text)


if __name__ == "__main__":
    readme = ROOT / "README.md"
    before = readme.read_text(encoding="utf-8")
    after = renewed(before)
    readme.write_text(after, encoding="utf-8", newline="\n")
    for line in difflib.unified_diff(before.splitlines(), after.splitlines(), lineterm="", n=0):
        print(line)
