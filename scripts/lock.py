"""Renews the locks in scripts/requirements from pyproject.toml; run it from .venv.

    .venv/bin/python scripts/lock.py

Each lock names the exact version and the hashes of every library, for every system and every Python
from 3.11 up at once.  Needs the tool uv (https://docs.astral.sh/uv/), which nothing else here does.
"""

import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
HEADER = "# Made by scripts/lock.py from pyproject.toml: change that, then run this again.\n"
GROUPS = {"run": "build", "check": "check"}


def command(name: str, uv: str) -> list[str]:
    """The command that makes a lock; the second keeps the versions of the first."""
    options = ["--universal", "--python-version", "3.11", "--generate-hashes", "--no-header"]
    keep = ["--constraints", "scripts/requirements/run.txt"] if name == "check" else []
    target = ["--group", GROUPS[name], *keep, "--output-file", f"scripts/requirements/{name}.txt"]
    return [uv, "pip", "compile", "--quiet", "pyproject.toml", *options, *target, *sys.argv[1:]]


def main() -> int:
    """Make both locks; 0, or 2 if that does not work."""
    uv = shutil.which("uv")
    if uv is None:
        print("The tool uv is not here: install it with `pip install uv`.", file=sys.stderr)
        return 2
    for name in GROUPS:
        if subprocess.run(command(name, uv), cwd=ROOT, check=False).returncode:
            return 2
        path = ROOT / "scripts" / "requirements" / f"{name}.txt"
        text = path.read_text(encoding="utf-8")
        path.write_text(HEADER + text.removeprefix(HEADER), encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
