"""Random edits and uses of the tools without a window, as in the test of random actions."""

from pathlib import Path
from random import Random

from tests.test_random_actions import START, Hand, run
from tests.workshop import EMPTY

from .kind import Parts

_ACTS = 200


class Acts:
    """Each case is the number that seeds the actions."""

    def make(self, chance: Random) -> bytes:
        """Return a number."""
        return str(chance.randrange(10**9)).encode()

    def run(self, data: bytes) -> str:
        """Do the actions, undo them all, redo them all."""
        number = int(data)
        job, step = (START, Hand.hand) if number % 2 else (EMPTY, _either)
        run(job, number, _ACTS, step)
        return "held"

    def parts(self, data: bytes) -> Parts | None:
        """Return None: a single number determines all the actions."""
        return None


def _either(hand: Hand) -> None:
    (hand.edit if hand.chance.random() < 0.5 else hand.hand)()


def doing(folder: Path) -> Acts:
    """Return the trial for this kind."""
    return Acts()
