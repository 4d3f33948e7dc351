"""What the verbs print as JSON, kept: other programs read it, so a change must be meant.

    python -m tests.cli.outputs

shows what differs from the files in `kept`, and writes them anew.
"""

import contextlib
import difflib
import io
import shlex
import tempfile
from pathlib import Path

from gridjig.cli import main

KEPT = Path(__file__).with_name("kept")
JOB = KEPT / "bracket.gridjig"
FRAME = KEPT / "frame.gridjig"
BEFORE = KEPT / "bracket-before.gridjig"
TWO = KEPT / "two-plates.gridjig"
BARS = KEPT / "bars-on-hand.gridjig"
COMMANDS = {
    "check": "check JOB",
    "contacts": "contacts JOB",
    "pull": "pull JOB",
    "cuts": "cuts JOB",
    "cuts-not-used": "cuts BARS",
    "welds": "welds JOB",
    "compare": "compare BEFORE JOB",
    "compare-same": "compare JOB JOB",
    "remainders": "gaps JOB --places 2",
    "remainders-of-a-pin": "gaps JOB --stop pin-1 --places 0",
    "angle-pins": "angle 20 --job JOB --length 300 --way pins --base 0 8 --top 3",
    "angle-all-ways": "angle 37.5 --table JOB --top 3",
    "angle-not-within": "angle 7 --table JOB --class A --within A1 C4 --way pins --length 100",
    "angle-face": "angle --job JOB --face Strut side:0 --top 3 --way shims --way astride",
    "angle-scale": "angle '12 included' --table JOB --way scale --way shims --top 3",
    "poses": "poses stop-fixed F6 --table JOB",
    "poses-of-two-holes": "poses square-three-hole F6 H6 --table JOB",
    "poses-of-an-arm": "poses arm-leaf-8 F6 --table JOB",
    "poses-none": "poses stop-fixed A1 X24 --table JOB",
    "suggest": "suggest FRAME OUT --alternatives 1 --time 600",
    "suggest-two": "suggest TWO OUT --alternatives 1 --time 600",
    "suggest-none": "suggest JOB OUT --keep --time 600",
    "reach": "reach stop-fixed A1 --table JOB",
    "reach-face": "reach arm-slot-12 --face 37.5 --through 10.3 10.1 --off .2 --near 1 --table JOB",
    "reach-scale": "reach arm-arc-8 --face 37.5 --through 10.3 10.1 --off .2 --near 1 --table JOB",
    "reach-none": "reach square-two-hole --face 37.5 --table JOB",
}


def printed(name: str) -> str:
    """What a command prints with `--json`."""
    out_file = Path(tempfile.mkdtemp()) / "out.gridjig"
    files = {"JOB": str(JOB), "BEFORE": str(BEFORE), "FRAME": str(FRAME), "OUT": str(out_file)}
    files["TWO"], files["BARS"] = str(TWO), str(BARS)
    words = [files.get(word, word) for word in shlex.split(COMMANDS[name])]
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        code = main([*words, "--json"])
    assert code in (0, 1) if name in ("check", "suggest-none") else code == 0, name
    return out.getvalue()


def kept(name: str) -> str:
    """What it printed when it was kept."""
    return (KEPT / f"{name}.json").read_text(encoding="utf-8")


def renew() -> None:
    """Show every difference, and keep what is printed now."""
    for name in COMMANDS:
        path, now = KEPT / f"{name}.json", printed(name)
        before = path.read_text(encoding="utf-8") if path.exists() else ""
        print("\n".join(difflib.unified_diff(before.split("\n"), now.split("\n"), name, "now")))
        path.write_text(now, encoding="utf-8")


if __name__ == "__main__":
    renew()
