"""Builds the wheel, installs it by itself, and runs it, as a user who installs GridJig would.

The environment it is installed in sees the libraries of `.venv` but not the checkout, so that a
file missing from the wheel is noticed here, not by the user.
"""

import os
import subprocess
import sys
import tempfile
import venv
from pathlib import Path

from environment import ROOT
from installing import clean_variables, command_in, python_in

PROBE = """
from pathlib import Path
import gridjig
from gridjig.files.library import assets
home = Path(gridjig.__file__).parent
assert {folder!r} in str(home), f"gridjig was taken from {{home}}"
assert (home / "assets").is_dir(), "the wheel holds no assets"
for name in ("starter_racks", "ready_tables", "samples"):
    assert getattr(assets, name)(), f"{{name}} finds nothing in the wheel"
assert list((assets.assets_dir() / "icons").glob("*.svg")), "the wheel holds no icons"
"""


def run(command: list[str | Path], folder: Path, show: bool = True) -> bool:
    """Run a command outside the checkout; True if it succeeded."""
    done = subprocess.run(
        command,
        cwd=folder,
        env={**clean_variables(), "GRIDJIG_STATE": str(folder / "state")},
        stdout=None if show else subprocess.DEVNULL,
        check=False,
    )
    return done.returncode == 0


def libraries(python: Path) -> str:
    """Return the library folder of an environment."""
    code = "import sysconfig; print(sysconfig.get_path('purelib'))"
    return subprocess.run(
        [python, "-c", code], check=True, capture_output=True, text=True
    ).stdout.strip()


def try_wheel(python: Path, root: Path = ROOT) -> bool:
    """Build, install and run the wheel in a temporary folder; True if all went well."""
    with tempfile.TemporaryDirectory(prefix="gridjig-wheel-") as name:
        folder = Path(name)
        pip: list[str | Path] = [python, "-m", "pip", "--disable-pip-version-check", "-q"]
        alone: list[str | Path] = ["--no-deps", "--no-index"]
        if not run([*pip, "wheel", *alone, "--no-build-isolation", "-w", folder, root], folder):
            return False
        wheel = next(folder.glob("gridjig-*.whl"))
        print(f"built {wheel.name}, {wheel.stat().st_size // 1024} KiB", flush=True)
        home = folder / "home"
        venv.EnvBuilder(with_pip=False, symlinks=os.name != "nt").create(home)
        inner = python_in(home)
        # A plain path in a .pth file: the .pth files in that folder, such as the checkout's, are
        # not read.
        (Path(libraries(inner)) / "libraries.pth").write_text(libraries(python), encoding="utf-8")
        install: list[str | Path] = ["--python", inner, "install", *alone, wheel]
        return (
            run([*pip, *install], folder)
            and run([inner, "-c", PROBE.format(folder=str(folder.resolve()))], folder)
            and run([command_in(home, "gridjig"), "schema"], folder, show=False)
            and command_in(home, "gridjig-window").exists()
        )


if __name__ == "__main__":
    sys.exit(0 if try_wheel(Path(sys.executable)) else 1)
