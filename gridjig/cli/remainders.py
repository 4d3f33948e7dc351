"""The old name of the verb `gaps`; it answers the same, and says the new name on standard error."""

import argparse
import sys

from msgspec import structs

from . import gaps


def run(chosen: argparse.Namespace) -> None:
    """Print the gaps."""
    gaps.run(chosen)
    print("gridjig: remainders is now called gaps.", file=sys.stderr)


VERB = structs.replace(gaps.VERB, name="remainders", run=run, now="gaps")
