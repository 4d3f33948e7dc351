"""Prints what the tests compare with, and which expectations they cover; runs no test.

python3 scripts/register.py [TESTS ...]
"""

import sys

import oldpython

if __name__ == "__main__":
    oldpython.refuse()
    from registering import main

    sys.exit(main(sys.argv[1:]))
