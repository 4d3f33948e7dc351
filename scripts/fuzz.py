"""Feeds the program input that nobody would write, and watches what it does with it.

    python scripts/fuzz.py KIND ... [--count N | --minutes M | --long] [--seed S] [--workers W]
    python scripts/fuzz.py KIND --seed S --case N      # one case again, as a find says
    python scripts/fuzz.py KIND --file PATH            # the case in a file

A find is a traceback, a hang, a crash, memory beyond a limit, or a job lost; each is kept in .fuzz
with its seed and a small file that repeats it.  It needs the environment that check.py makes.
"""

import sys

from fuzzing.command import main

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
