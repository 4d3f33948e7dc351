"""Makes the environment `.venv` in which GridJig runs and is checked.

Standard library only, because it runs before anything is installed.  There is one environment:
the test tools are added to it when they are first wanted, so that the tests run on the very
libraries that the program uses.  A stamp inside it says what it was made from; without a fitting
stamp it is made again.
"""

import hashlib
import json
import os
import platform
import shutil
import subprocess
import sys
import sysconfig
import tomllib
import venv
from importlib.util import find_spec
from pathlib import Path
from typing import Literal, NamedTuple

import qtlibraries

ROOT = Path(__file__).resolve().parent.parent
Kind = Literal["run", "check"]
STAMP = "gridjig-stamp.json"
LONGEST_INSIDE = 180  # the longest path below .venv that the locked libraries make, with room
WINDOWS_LIMIT = 259


class Setback(Exception):  # noqa: N818 - it is the person's, not a fault of the program
    """Why the environment cannot be made: one sentence for the person at the keyboard."""


class Stamp(NamedTuple):
    """What an environment was made from; an empty digest means that set was never installed."""

    python: str
    root: str
    run: str
    check: str

    def has(self, kind: Kind, wanted: "Stamp") -> bool:
        """True if the set `kind` is installed as `wanted`."""
        return bool(self.check == wanted.check if kind == "check" else self.run == wanted.run)


def lock_file(kind: Kind, root: Path) -> Path:
    """The list of exact versions and hashes of that set of libraries."""
    return root / "scripts" / "requirements" / f"{kind}.txt"


def digest(kind: Kind, root: Path) -> str:
    """Digest of all that decides what is installed: the lock and the project's own entries."""
    with (root / "pyproject.toml").open("rb") as file:
        project = tomllib.load(file)
    own = {key: project.get(key) for key in ("project", "build-system")}
    text = json.dumps(own, sort_keys=True) + lock_file(kind, root).read_text(encoding="utf-8")
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def python_identity() -> str:
    """The running Python as far as installed libraries depend on it."""
    version = f"{sys.version_info.major}.{sys.version_info.minor}"
    return f"{platform.python_implementation()} {version} {platform.machine()} {sys.base_prefix}"


def wanted_stamp(root: Path) -> Stamp:
    """The stamp of an environment that fits this checkout and this Python."""
    return Stamp(python_identity(), str(root), digest("run", root), digest("check", root))


def read_stamp(home: Path) -> Stamp | None:
    """The stamp in an environment, or None if it has none that can be read."""
    try:
        values = json.loads((home / STAMP).read_text(encoding="utf-8"))
        return Stamp(**{key: str(values[key]) for key in Stamp._fields})
    except (OSError, ValueError, KeyError, TypeError):
        return None


def write_stamp(home: Path, stamp: Stamp) -> None:
    """Put the stamp down; done last, so that an interrupted run leaves none."""
    (home / STAMP).write_text(json.dumps(stamp._asdict(), indent=1) + "\n", encoding="utf-8")


def clean_variables() -> dict[str, str]:
    """The variables of this process without those that would lead a Python astray."""
    return {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "PYTHONHOME")}


def python_in(home: Path) -> Path:
    """The Python of an environment."""
    return home / "Scripts" / "python.exe" if os.name == "nt" else home / "bin" / "python"


def command_in(home: Path, name: str) -> Path:
    """A command installed in an environment."""
    return home / "Scripts" / f"{name}.exe" if os.name == "nt" else home / "bin" / name


def machine_fault(implementation: str, bits: int, free_threaded: bool, libc: str) -> str:
    """Why no ready-built Qt exists for this Python, or an empty text."""
    advice = "use the usual 64-bit one from https://www.python.org/downloads/"
    if implementation != "CPython":
        return f"Qt is not made for {implementation}: {advice}."
    if bits < 64:
        return f"Qt is not made for a {bits}-bit Python: {advice}."
    if free_threaded:
        return f"Qt is not made for the free-threaded Python: {advice}."
    if libc == "musl":
        return "Qt is not made for Linux with musl: use a system with glibc, such as Debian."
    return ""


def this_machine_fault() -> str:
    """`machine_fault` of the running Python."""
    return machine_fault(
        platform.python_implementation(),
        64 if sys.maxsize > 2**32 else 32,
        bool(sysconfig.get_config_var("Py_GIL_DISABLED")),
        "musl" if "musl" in (sysconfig.get_config_var("HOST_GNU_TYPE") or "") else "",
    )


def path_fault(root: str, windows: bool, long_paths: bool) -> str:
    """Why files below this folder would get too long a path, or an empty text."""
    if not windows or long_paths or len(root) + LONGEST_INSIDE <= WINDOWS_LIMIT:
        return ""
    return (
        f"The path of this folder is {len(root)} characters long and Windows allows"
        f" {WINDOWS_LIMIT - LONGEST_INSIDE} here: move it to a shorter one, such as C:\\gridjig."
    )


def long_paths_allowed() -> bool:
    """True where the system takes paths of any length; on Windows that is a setting."""
    if sys.platform != "win32":
        return True
    import winreg  # noqa: PLC0415 - only Windows has it

    try:
        key = r"SYSTEM\CurrentControlSet\Control\FileSystem"
        with winreg.OpenKey(winreg.HKEY_LOCAL_MACHINE, key) as opened:
            return bool(winreg.QueryValueEx(opened, "LongPathsEnabled")[0])
    except OSError:
        return False


def venv_package() -> str:
    """Debian's separate package of `venv` for this Python if it is missing, or an empty text."""
    if find_spec("venv") and find_spec("ensurepip"):
        return ""
    return f"python{sys.version_info.major}.{sys.version_info.minor}-venv"


def require_system(on_a_screen: bool, venv_too: bool) -> None:
    """Get what the system must have, or say with which command.  Raises Setback.

    That is Qt's libraries on Linux (`on_a_screen` adds X11's) and, for a new environment, `venv`.
    """
    lacking = qtlibraries.missing(on_a_screen) if sys.platform.startswith("linux") else []
    needed = venv_package() if venv_too else ""
    packages = [*([needed] if needed else []), *(package for _, package in lacking)]
    if not packages:
        return
    if not qtlibraries.is_debian():
        if needed:
            raise Setback(
                "This Python has no venv and ensurepip, with which an environment is made: install"
                " them with your package manager, or use one from https://www.python.org/downloads/"
            )
        raise Setback(qtlibraries.advice(lacking))
    command = qtlibraries.install_command(packages)
    if qtlibraries.is_root():
        print(f"Installing {len(packages)} system packages: {' '.join(packages)} ...", flush=True)
        if qtlibraries.apt_install(packages):
            return
        raise Setback(f"The system packages could not be installed; run: {' '.join(command)}")
    raise Setback(f"Some system packages are missing; run: sudo {' '.join(command)}")


def pip_told(line: str) -> str | None:
    """What to show of a line of pip's output: the big downloads and the installing."""
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


def pip_fault(output: str) -> str:
    """One sentence that says why pip did not finish, from what it printed."""
    python = f"Python {sys.version_info.major}.{sys.version_info.minor} on {platform.platform()}"
    if "No space left" in output or "Errno 28" in output:
        return "The disk is full: about 700 MB are needed, so make room and run this again."
    if any(sign in output for sign in NO_NETWORK):
        return (
            "The libraries cannot be fetched, because the package index cannot be reached from"
            " here: connect this machine to the network and run this again."
        )
    if "DO NOT MATCH THE HASHES" in output:
        return (
            "A fetched library differs from the one named in the lock, so it was not installed:"
            " try another network, and tell the maintainers if it happens again."
        )
    for line in output.splitlines():
        if "No matching distribution found for" in line:
            name = line.split("No matching distribution found for", 1)[1].split("==")[0].strip()
            return f"There is no ready-built {name} for {python}: use Python 3.11, 3.12 or 3.13."
    if "Permission denied" in output:
        return "Some files in .venv may not be written: check who owns them and run this again."
    told = [line.strip() for line in output.splitlines() if "error:" in line.lower()]
    return f"The libraries could not be installed; pip says: {(told or ['nothing'])[-1]}"


def run_pip(home: Path, arguments: list[str]) -> None:
    """Run pip in an environment and show only what matters of its output.  Raises Setback."""
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


def make_empty(home: Path) -> None:
    """Make a fresh environment in place of what is there.  Raises Setback."""
    try:
        if home.is_symlink() or home.is_file():
            home.unlink()
        elif home.exists():
            shutil.rmtree(home)
        venv.EnvBuilder(with_pip=True, symlinks=os.name != "nt").create(home)
    except OSError as fault:
        raise Setback(
            f"The environment cannot be written to {home} ({fault.strerror}): check that you may"
            " write there, that the disk has room and that no other program is using it."
        ) from fault
    except subprocess.CalledProcessError as fault:
        raise Setback(
            "This Python cannot set up pip in an environment: install it again from"
            " https://www.python.org/downloads/ and run this again with it."
        ) from fault


def misfit(stamp: Stamp | None, wanted: Stamp) -> str:
    """Why an environment that is there cannot be used."""
    if stamp is None:
        return "the one there is unfinished"
    if stamp.root != wanted.root:
        return "the one there was made for another folder"
    return "the one there belongs to another Python"


def prepare(kind: Kind, root: Path = ROOT, on_a_screen: bool = False) -> Path:
    """Make the environment or bring it up to date, and return its Python.  Raises Setback."""
    home = root / ".venv"
    wanted = wanted_stamp(root)
    stamp = read_stamp(home)
    usable = (
        stamp is not None and stamp[:2] == wanted[:2] and python_in(home).exists()
    )  # a link to a Python that is gone does not exist
    require_system(on_a_screen, venv_too=not usable)
    if stamp and usable and stamp.has(kind, wanted):
        return python_in(home)
    fault = this_machine_fault() or path_fault(str(root), os.name == "nt", long_paths_allowed())
    if fault:
        raise Setback(fault)
    if not usable:
        again = f" again: {misfit(stamp, wanted)}" if home.exists() else ""
        print(f"Making the environment .venv{again} ...", flush=True)
        make_empty(home)
        stamp = Stamp(wanted.python, wanted.root, "", "")
    what = "GridJig's libraries" if kind == "run" else "GridJig's libraries and the test tools"
    print(f"Installing {what}; the first time this takes a minute or two ...", flush=True)
    (home / STAMP).unlink(missing_ok=True)
    lock = str(lock_file(kind, root))
    run_pip(home, ["install", "--require-hashes", "--only-binary", ":all:", "-r", lock])
    run_pip(home, ["install", "--no-deps", "--no-build-isolation", "--editable", str(root)])
    write_stamp(
        home,
        wanted if kind == "check" else wanted._replace(check=stamp.check if stamp else ""),
    )
    return python_in(home)
