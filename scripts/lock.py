"""Renews the locks in scripts/requirements from pyproject.toml; run it from .venv.

    .venv/bin/python scripts/lock.py [--upgrade]

Each lock names the exact version and the hashes of every library, for every system and every Python
from 3.11 up, including indirect dependencies: nothing is resolved at install time.  The index is
asked which Pythons have wheels, and the answer is recorded, so that a newer Python is refused
before anything is downloaded.  Needs the tool uv (https://docs.astral.sh/uv/), which nothing else
here does.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from environment import GLIBC, MACOS, MACOS_311

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "scripts" / "requirements"
HEADER = "# Made by scripts/lock.py from pyproject.toml: change that, then run this again.\n"
GROUPS = {"run": "build", "check": "check"}
PROMISED = (11, 12, 13)  # minor versions on which the project is checked
SYSTEMS = (
    *(f"{machine}-manylinux_{glibc.replace('.', '_')}" for machine, glibc in GLIBC.items()),
    "x86_64-pc-windows-msvc",
    "aarch64-pc-windows-msvc",
    "x86_64-apple-darwin",
    "aarch64-apple-darwin",
)


def command(name: str, uv: str) -> list[str]:
    """Return the command that makes a lock; the second keeps the versions of the first."""
    options = ["--universal", "--python-version", "3.11", "--generate-hashes", "--no-header"]
    keep = ["--constraints", "scripts/requirements/run.txt"] if name == "check" else []
    target = ["--group", GROUPS[name], *keep, "--output-file", f"scripts/requirements/{name}.txt"]
    return [uv, "pip", "compile", "--quiet", "pyproject.toml", *options, *target, *sys.argv[1:]]


def lacks(uv: str, lock: Path, minor: int) -> str:
    """Return the first library without a wheel for that Python 3 on some system, or an empty
    string.
    """
    for system in SYSTEMS:
        options = ["--python-version", f"3.{minor}", "--python-platform", system, "--dry-run"]
        exact = ["--no-deps", "--require-hashes", "--only-binary", ":all:", "-r", str(lock)]
        with tempfile.TemporaryDirectory() as nowhere:
            done = subprocess.run(
                [uv, "pip", "install", "--quiet", "--target", nowhere, *options, *exact],
                env={**os.environ, "MACOSX_DEPLOYMENT_TARGET": MACOS_311 if minor == 11 else MACOS},
                capture_output=True,
                text=True,
                check=False,
            )
        if done.returncode:
            return f"Python 3.{minor} on {system}: {done.stderr.strip()}"
    return ""


def newest(uv: str, lock: Path) -> int:
    """Return the newest minor version of Python 3 with wheels for the whole lock on all systems."""
    later = range(PROMISED[-1] + 1, 100)
    return next((minor - 1 for minor in later if lacks(uv, lock, minor)), later[-1])


def main() -> int:
    """Make both locks; return 0, or 2 if that fails."""
    uv = shutil.which("uv")
    if uv is None:
        print("The tool uv is not here: install it with `pip install uv`.", file=sys.stderr)
        return 2
    locks = {name: FOLDER / f"{name}.txt" for name in GROUPS}
    for name in GROUPS:
        if subprocess.run(command(name, uv), cwd=ROOT, check=False).returncode:
            return 2
    for lock in locks.values():
        for minor in PROMISED:
            if fault := lacks(uv, lock, minor):
                print(f"{lock.name} cannot be installed everywhere; {fault}", file=sys.stderr)
                return 2
    last = min(newest(uv, lock) for lock in locks.values())
    for lock in locks.values():
        lines = lock.read_text(encoding="utf-8").splitlines(keepends=True)
        head = [HEADER, f"# Ready-built for Python 3.11 to 3.{last}.\n"]
        body = [line for line in lines if not line.startswith("#")]
        lock.write_text("".join([*head, *body]), encoding="utf-8", newline="\n")
    print(f"Both locks are ready-built for Python 3.11 to 3.{last}.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
