"""Makes GridJig's environment if there is none yet, and opens the window.

    python3 scripts/start.py [JOB]

Needs nothing but Python 3.11 or newer.  Written so that older ones can read it and say so.
"""

import sys

import oldpython

if __name__ == "__main__":
    oldpython.refuse()
    from starting import main

    sys.exit(main(sys.argv[1:]))
