"""Which of the system's libraries Qt needs on Linux, which are missing, and how to get them."""

import ctypes
import os
import shutil
import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path

ALWAYS = (
    ("libGL.so.1", "libgl1"),
    ("libEGL.so.1", "libegl1"),
    ("libfontconfig.so.1", "libfontconfig1"),
    ("libfreetype.so.6", "libfreetype6"),
    ("libdbus-1.so.3", "libdbus-1-3"),
    ("libglib-2.0.so.0", "libglib2.0-0"),
    ("libxkbcommon.so.0", "libxkbcommon0"),
)
ON_A_SCREEN = (
    ("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
    ("libX11-xcb.so.1", "libx11-xcb1"),
    ("libxcb-cursor.so.0", "libxcb-cursor0"),
    ("libxcb-icccm.so.4", "libxcb-icccm4"),
    ("libxcb-image.so.0", "libxcb-image0"),
    ("libxcb-keysyms.so.1", "libxcb-keysyms1"),
    ("libxcb-randr.so.0", "libxcb-randr0"),
    ("libxcb-render.so.0", "libxcb-render0"),
    ("libxcb-render-util.so.0", "libxcb-render-util0"),
    ("libxcb-shape.so.0", "libxcb-shape0"),
    ("libxcb-shm.so.0", "libxcb-shm0"),
    ("libxcb-sync.so.1", "libxcb-sync1"),
    ("libxcb-util.so.1", "libxcb-util1"),
    ("libxcb-xfixes.so.0", "libxcb-xfixes0"),
    ("libxcb-xkb.so.1", "libxcb-xkb1"),
)


def loads(library: str) -> bool:
    """True if the system's loader finds that shared library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def missing(on_a_screen: bool, has: Callable[[str], bool] = loads) -> list[tuple[str, str]]:
    """Return the (library, Debian package) pairs that this machine lacks; `on_a_screen`
    adds X11's.
    """
    wanted = ALWAYS + (ON_A_SCREEN if on_a_screen else ())
    return [pair for pair in wanted if not has(pair[0])]


def install_command(packages: Sequence[str]) -> list[str]:
    """Return the apt-get command that installs those packages and no suggestions."""
    return ["apt-get", "install", "-y", "--no-install-recommends", *packages]


def is_debian(os_release: Path = Path("/etc/os-release")) -> bool:
    """True on Debian, Ubuntu and their derivatives."""
    try:
        lines = os_release.read_text(encoding="utf-8").splitlines()
    except OSError:
        return False
    words = {
        word
        for line in lines
        if line.startswith(("ID=", "ID_LIKE="))
        for word in line.partition("=")[2].strip("\"'").split()
    }
    return bool(words & {"debian", "ubuntu"})


def is_root() -> bool:
    """True if this process may install system packages."""
    return hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get") is not None


def apt_install(packages: Sequence[str]) -> bool:
    """Install packages as root, after updating outdated package lists.  True if that worked."""
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    command = install_command(packages)
    for lead in ((), (["apt-get", "update"],)):
        for step in (*lead, command):
            done = subprocess.run(
                step,
                env=environment,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                check=False,
            )
        if done.returncode == 0:
            return True
    return False


def advice(lacking: Sequence[tuple[str, str]]) -> str:
    """Return a sentence that says what to do about missing libraries where there is no apt-get."""
    names = ", ".join(library for library, _ in lacking)
    return f"Qt needs these system libraries, so install them with your package manager: {names}"
