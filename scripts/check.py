"""Checks the whole project: format, types, layers, sizes, the wheel, the tests and their coverage.

    python3 scripts/check.py [--fast] [--deep] [--seed N] [--raise-floor] [STEP ...]

Needs nothing but Python 3.11 or newer: it makes the environment with the test tools itself.  Every
step runs even if an earlier one failed; the exit code is 1 if any did.
"""

import sys

import oldpython

if __name__ == "__main__":
    oldpython.refuse()
    from checking import main

    sys.exit(main(sys.argv[1:]))
