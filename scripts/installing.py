"""Installs into an environment exactly what a lock names, and says in one sentence why it cannot.

Nothing is left for pip to decide.  It takes no library that the lock does not name (`--no-deps`),
only files whose hashes are in the lock, and builds none; the project itself is built with the
locked tools, without an index.  So a newer version on the index changes nothing.

Standard library only, because it runs before anything is installed.
"""

import os
import platform
import re
import subprocess
import sys
import sysconfig
from importlib.metadata import distributions
from pathlib import Path


class Setback(Exception):  # noqa: N818 - it is for the user to fix, not a fault of the program
    """Why the environment cannot be made: one sentence for the user."""


# What the user's settings may tell pip: where libraries come from and how to fetch them.
PIP_KEEPS = {
    "CACHE_DIR",
    "CERT",
    "CLIENT_CERT",
    "CONFIG_FILE",
    "DEFAULT_TIMEOUT",
    "EXTRA_INDEX_URL",
    "FIND_LINKS",
    "INDEX_URL",
    "KEYRING_PROVIDER",
    "NO_CACHE_DIR",
    "NO_INDEX",
    "PROXY",
    "RETRIES",
    "TIMEOUT",
    "TRUSTED_HOST",
    "USE_DEPRECATED",
    "USE_FEATURE",
}
OWN = {"gridjig", "pip", "setuptools"}  # in every environment, but not in the lock


def python_in(home: Path) -> Path:
    """Return the Python of an environment."""
    return home / "Scripts" / "python.exe" if os.name == "nt" else home / "bin" / "python"


def command_in(home: Path, name: str) -> Path:
    """Return the path of a command in an environment."""
    return home / "Scripts" / f"{name}.exe" if os.name == "nt" else home / "bin" / name


def libraries_in(home: Path) -> Path:
    """Return the library folder of an environment made by this Python."""
    base = str(home)
    return Path(sysconfig.get_path("purelib", "venv", {"base": base, "platbase": base}))


def clean_variables() -> dict[str, str]:
    """Return this process's environment variables without those that would mislead
    Python or pip.
    """
    return {
        key: value
        for key, value in os.environ.items()
        if key not in ("PYTHONPATH", "PYTHONHOME")
        and (not key.startswith("PIP_") or key.removeprefix("PIP_") in PIP_KEEPS)
    }


# -- what is installed -----------------------------------------------------------------------------


def canonical(name: str) -> str:
    """Return the canonical spelling of a library's name."""
    return re.sub(r"[-_.]+", "-", name).lower()


def names_in(lock: Path) -> set[str]:
    """Return the libraries that a lock names, for any system."""
    lines = lock.read_text(encoding="utf-8").splitlines()
    return {canonical(line.split("==")[0].strip()) for line in lines if line[:1].isalnum()}


def strangers(home: Path, lock: Path) -> list[str]:
    """Return installed libraries that are not in the lock: from an earlier lock, or
    added by hand.
    """
    found = {
        canonical(one.metadata["Name"]) for one in distributions(path=[str(libraries_in(home))])
    }
    return sorted(found - names_in(lock) - OWN)


def install(home: Path, lock: Path, root: Path) -> None:
    """Bring an environment in line with the lock, plus the project itself.  Raise Setback if that
    fails.
    """
    exact = ["--no-deps", "--require-hashes", "--only-binary", ":all:"]
    run_pip(home, ["install", "--no-user", *exact, "-r", str(lock)])
    others = strangers(home, lock)
    if others:
        print(f"  removing what is not in the lock: {', '.join(others)}", flush=True)
        run_pip(home, ["uninstall", "--yes", *others])
    built_here = ["--no-deps", "--no-index", "--no-build-isolation"]
    run_pip(home, ["install", "--no-user", *built_here, "--editable", str(root)])
    run_pip(home, ["check"])


# -- pip -------------------------------------------------------------------------------------------


def pip_told(line: str) -> str | None:
    """Return what to show of a line of pip's output: large downloads and the installation."""
    words = line.split()
    if words[:1] == ["Downloading"] and "MB)" in line:
        return f"  getting {words[1].split('/')[-1]} {' '.join(words[2:])}"
    if line.startswith("Installing collected packages") and "," in line:
        return f"  installing {line.count(',') + 1} libraries ..."
    return None


NO_NETWORK = (
    "NewConnectionError",
    "NameResolutionError",
    "ConnectTimeout",
    "ReadTimeout",
    "ProxyError",
    "Network is unreachable",
    "Connection refused",
    "Temporary failure in name resolution",
    "getaddrinfo",
)
# What pip prints, and what it means for the user.
FAULTS = (
    (
        ("No space left", "Errno 28"),
        "The disk is full: about 700 MB are needed, so make room and run this again.",
    ),
    (
        NO_NETWORK,
        "The libraries cannot be fetched, because the package index cannot be reached from here:"
        " connect this machine to the network and run this again.",
    ),
    (
        ("DO NOT MATCH THE HASHES",),
        "A fetched library differs from the one named in the lock, so it was not installed: try"
        " another network, and tell the maintainers if it happens again.",
    ),
    (
        ("Permission denied",),
        "Some files in .venv may not be written: check who owns them and run this again.",
    ),
)
ABSENT = re.compile(r"No matching distribution found for ([^\s;(]+)")
UNFIT = re.compile(r"^\S+ \S+ (?:requires|has requirement|is not supported) .*", re.MULTILINE)


def pip_fault(output: str) -> str:
    """Return one sentence that says why pip did not finish, from what it printed."""
    for signs, words in FAULTS:
        if any(sign in output for sign in signs):
            return words
    if absent := ABSENT.search(output):
        version = f"{sys.version_info.major}.{sys.version_info.minor}"
        return (
            f"The package index has no ready-built {absent[1].replace('==', ' ')} for Python"
            f" {version} on {platform.platform()}: if pip is set up to use an index of your own,"
            " see that it has what https://pypi.org has."
        )
    if unfit := UNFIT.search(output):
        return (
            f"The installed libraries do not fit together ({unfit[0].strip().rstrip('.')}), which"
            " is a fault of the lock: tell the maintainers, who renew it with scripts/lock.py."
        )
    told = [line.strip() for line in output.splitlines() if "error:" in line.lower()]
    return f"The libraries could not be installed; pip says: {(told or ['nothing'])[-1]}"


def run_pip(home: Path, arguments: list[str]) -> None:
    """Run pip in an environment and show only what matters of its output.  Raise Setback if it
    fails.
    """
    command = [str(python_in(home)), "-m", "pip", "--disable-pip-version-check", "--no-input"]
    with subprocess.Popen(
        [*command, *arguments],
        env={**clean_variables(), "PYTHONUTF8": "1", "NO_COLOR": "1"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
    ) as process:
        output = ""
        for line in process.stdout or ():
            output += line
            shown = pip_told(line)
            if shown:
                print(shown, flush=True)
    if process.returncode:
        raise Setback(pip_fault(output))
