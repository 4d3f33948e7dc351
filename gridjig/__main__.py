"""Lets `python -m gridjig` do what the command `gridjig` does."""

import sys

from gridjig.cli import main

if __name__ == "__main__":
    sys.exit(main())
