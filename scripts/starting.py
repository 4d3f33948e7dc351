"""What `start.py` does once the Python is known to be new enough."""

import argparse
import os
import subprocess
import sys
from collections.abc import Mapping

import environment
from installing import Setback, command_in


def lacks_screen(platform: str, variables: Mapping[str, str]) -> bool:
    """True on Linux without a screen to open a window on; Qt's platform override counts as a
    screen.
    """
    names = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return platform.startswith("linux") and not any(variables.get(name) for name in names)


def main(arguments: list[str]) -> int:
    """Prepare and start; return the window's exit code, or 2 if it could not be opened."""
    parser = argparse.ArgumentParser(
        description="Make GridJig's environment if needed, and open its window."
    )
    parser.add_argument("job", nargs="?", metavar="JOB", help="a .gridjig file to open")
    job = parser.parse_args(arguments).job
    on_x11 = bool(os.environ.get("DISPLAY")) and not os.environ.get("QT_QPA_PLATFORM")
    try:
        python = environment.prepare("run", on_a_screen=on_x11)
        if lacks_screen(sys.platform, os.environ):
            gridjig = command_in(environment.ROOT / ".venv", "gridjig")
            raise Setback(
                "GridJig is ready, but there is no screen here to open its window on; the commands"
                f" that need none work, such as: {gridjig} pull JOB"
            )
        print("Opening GridJig ...", flush=True)
        command = [python, "-P", "-m", "gridjig", *([job] if job else [])]
        # Pass the path although the project is installed: on Windows, Python 3.12 and older cannot
        # read an installed path with non-ASCII letters.
        variables = {**os.environ, "PYTHONPATH": str(environment.ROOT)}
        code = subprocess.run(command, env=variables, check=False).returncode
        return code if code >= 0 else 128 - code  # ended by a signal; the shell's convention
    except Setback as setback:
        print(setback, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("Stopped; run this again to go on.", file=sys.stderr)
        return 130
