"""Makes the environment `.venv` in which GridJig runs and is checked.

Standard library only, because it runs before anything is installed.  There is one environment: the
test tools are added to it when first needed, and kept up to date from then on, so that the tests
run on the same libraries as the program.  A stamp inside it records what it was made from; without
a matching stamp it is made again.
"""

import hashlib
import json
import os
import platform
import re
import shutil
import subprocess
import sys
import sysconfig
import tomllib
import venv
from importlib.util import find_spec
from pathlib import Path
from typing import Literal, NamedTuple

import oldpython
import qtlibraries
from installing import Setback, install, python_in

ROOT = Path(__file__).resolve().parent.parent
Kind = Literal["run", "check"]
STAMP = "gridjig-stamp.json"
LONGEST_INSIDE = 180  # longest path below .venv that the locked libraries create, plus a margin
WINDOWS_LIMIT = 259
# The platforms with wheels of the locked libraries, above all Qt; `lock.py` checks the lock against
# it.
GLIBC = {"x86_64": "2.34", "aarch64": "2.39"}
MACOS, MACOS_311 = "14.0", "13.0"


class Stamp(NamedTuple):
    """What an environment was made from; an empty digest means that the set was never installed."""

    python: str
    root: str
    run: str
    check: str

    def has(self, kind: Kind, wanted: "Stamp") -> bool:
        """True if the set `kind` is installed as `wanted`."""
        return bool(self.check == wanted.check if kind == "check" else self.run == wanted.run)


def lock_file(kind: Kind, root: Path) -> Path:
    """Return the file with the exact versions and hashes of that set of libraries."""
    return root / "scripts" / "requirements" / f"{kind}.txt"


def digest(kind: Kind, root: Path) -> str:
    """Return a digest of everything that decides what is installed: the lock and the project's own
    entries.
    """
    with (root / "pyproject.toml").open("rb") as file:
        project = tomllib.load(file)
    own = {key: project.get(key) for key in ("project", "build-system")}
    text = json.dumps(own, sort_keys=True) + lock_file(kind, root).read_text(encoding="utf-8")
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def python_identity() -> str:
    """Return what identifies the running Python, as far as installed libraries depend on it."""
    version = f"{sys.version_info.major}.{sys.version_info.minor}"
    return f"{platform.python_implementation()} {version} {platform.machine()} {sys.base_prefix}"


def wanted_stamp(root: Path) -> Stamp:
    """Return the stamp of an environment that fits this checkout and this Python."""
    return Stamp(python_identity(), str(root), digest("run", root), digest("check", root))


def read_stamp(home: Path) -> Stamp | None:
    """Return the stamp in an environment, or None if there is none that can be read."""
    try:
        values = json.loads((home / STAMP).read_text(encoding="utf-8"))
        return Stamp(**{key: str(values[key]) for key in Stamp._fields})
    except (OSError, ValueError, KeyError, TypeError):
        return None


def write_stamp(home: Path, stamp: Stamp) -> None:
    """Write the stamp; this is done last, so that an interrupted run leaves none."""
    (home / STAMP).write_text(json.dumps(stamp._asdict(), indent=1) + "\n", encoding="utf-8")


def machine_fault(implementation: str, bits: int, free_threaded: bool, libc: str) -> str:
    """Return why no prebuilt Qt exists for this Python, or an empty string."""
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


def numbers(version: str) -> tuple[int, ...]:
    """Return a version as numbers to compare: (2, 34) for "2.34"; empty if it is not a version."""
    parts = version.split(".")
    return tuple(map(int, parts)) if all(part.isdecimal() for part in parts) else ()


def system_fault(system: str, machine: str, version: str, python: tuple[int, int]) -> str:
    """Return why the locked Qt does not run on this system, or an empty string.

    `version` is that of glibc on Linux, or of macOS; an empty one is unknown and is accepted.
    """
    found = (*numbers(version), 0) if numbers(version) else ()
    if system == "Linux" and machine not in GLIBC:
        return f"Qt is not made for Linux on {machine}: use a machine with x86_64 or aarch64."
    if system == "Linux" and found and found < numbers(GLIBC[machine]):
        return (
            f"Qt needs Linux with glibc {GLIBC[machine]} or newer and this one has {version}: use a"
            " newer system, such as Debian 13 or Ubuntu 24.04."
        )
    if system == "Darwin" and found and found < numbers(MACOS):
        if found < numbers(MACOS_311):
            return f"Qt needs macOS {MACOS_311} or newer and this is {version}: use a newer system."
        if python != (3, 11):
            return (
                f"The Qt for this Python needs macOS {MACOS} or newer and this is {version}: use"
                " Python 3.11, whose Qt runs here."
            )
    return ""


def newest_python(lock: str) -> int:
    """Return the minor version of the newest Python 3 for which everything in the lock
    has a wheel.
    """
    found = re.search(r"^# Ready-built for Python 3\.11 to 3\.(\d+)", lock, re.MULTILINE)
    return int(found[1]) if found else 10**6


def new_python_fault(minor: int, newest: int, others: list[str]) -> str:
    """Return why this Python 3 is too new for the locked libraries, or an empty string.

    `others` are names of Pythons on this machine, newest first.
    """
    if minor <= newest:
        return ""
    known = {f"python3.{each}" for each in range(11, newest + 1)}
    other = next((name for name in others if name in known), "")
    return (
        f"GridJig's libraries are ready-built for Python 3.11 to 3.{newest} and this is Python"
        f" 3.{minor}: "
        + (
            f"this machine has {other}, so run this again with it."
            if other
            else f"get Python 3.{newest} from https://www.python.org/downloads/ and run this again"
            " with it."
        )
    )


def this_machine_fault(root: Path = ROOT) -> str:
    """Return the first reason why the locked libraries do not suit this machine, or an empty
    string.
    """
    system, minor = platform.system(), sys.version_info.minor
    newest = newest_python(lock_file("check", root).read_text(encoding="utf-8"))
    version = platform.mac_ver()[0] if system == "Darwin" else platform.libc_ver()[1]
    return (
        machine_fault(
            platform.python_implementation(),
            64 if sys.maxsize > 2**32 else 32,
            bool(sysconfig.get_config_var("Py_GIL_DISABLED")),
            "musl" if "musl" in (sysconfig.get_config_var("HOST_GNU_TYPE") or "") else "",
        )
        or new_python_fault(minor, newest, oldpython.newer_pythons() if minor > newest else [])
        or system_fault(system, platform.machine(), version, (3, minor))
    )


def path_fault(root: str, windows: bool, long_paths: bool) -> str:
    """Return why paths below this folder would be too long, or an empty string."""
    if not windows or long_paths or len(root) + LONGEST_INSIDE <= WINDOWS_LIMIT:
        return ""
    return (
        f"The path of this folder is {len(root)} characters long and Windows allows"
        f" {WINDOWS_LIMIT - LONGEST_INSIDE} here: move it to a shorter one, such as C:\\gridjig."
    )


def long_paths_allowed() -> bool:
    """True if the system accepts paths of any length; on Windows that is a setting."""
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
    """Return Debian's separate `venv` package for this Python if it is missing, or an
    empty string.
    """
    if find_spec("venv") and find_spec("ensurepip"):
        return ""
    return f"python{sys.version_info.major}.{sys.version_info.minor}-venv"


def require_system(on_a_screen: bool, venv_too: bool) -> None:
    """Install what the system must have; if that is not possible, raise Setback with the command to
    use.

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


def make_empty(home: Path) -> None:
    """Make a fresh environment in place of what is there.  Raise Setback if that fails."""
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
    """Return why an existing environment cannot be used."""
    if stamp is None:
        return "the one there is unfinished"
    if stamp.root != wanted.root:
        return "the one there was made for another folder"
    return "the one there belongs to another Python"


def prepare(kind: Kind, root: Path = ROOT, on_a_screen: bool = False) -> Path:
    """Make the environment or bring it up to date, and return its Python.  Raise Setback if that
    fails.
    """
    home = root / ".venv"
    wanted = wanted_stamp(root)
    stamp = read_stamp(home)
    usable = (
        stamp is not None and stamp[:2] == wanted[:2] and python_in(home).exists()
    )  # a link to a deleted Python counts as missing
    require_system(on_a_screen, venv_too=not usable)
    if stamp and usable and stamp.has(kind, wanted):
        return python_in(home)
    fault = this_machine_fault(root) or path_fault(str(root), os.name == "nt", long_paths_allowed())
    if fault:
        raise Setback(fault)
    if not usable:
        again = f" again: {misfit(stamp, wanted)}" if home.exists() else ""
        print(f"Making the environment .venv{again} ...", flush=True)
        make_empty(home)
        stamp = Stamp(wanted.python, wanted.root, "", "")
    if stamp and stamp.check:
        kind = "check"  # installed test tools must match the program's libraries
    what = "GridJig's libraries" if kind == "run" else "GridJig's libraries and the test tools"
    print(f"Installing {what}; the first time this takes a minute or two ...", flush=True)
    (home / STAMP).unlink(missing_ok=True)
    install(home, lock_file(kind, root), root)
    write_stamp(home, wanted if kind == "check" else wanted._replace(check=""))
    return python_in(home)
