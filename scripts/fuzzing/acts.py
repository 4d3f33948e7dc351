"""Random edits and uses of the tools without a window, as the test of random actions does them."""

from pathlib import Path
from random import Random

from tests.test_random_actions import START, Hand, run
from tests.workshop import EMPTY

from .kind import Parts

_ACTS = 200


class Acts:
    """Cases are the number that acts are drawn from."""

    def make(self, chance: Random) -> bytes:
        """A number."""
        return str(chance.randrange(10**9)).encode()

    def run(self, data: bytes) -> str:
        """Do the acts, undo them all, do them all again."""
        number = int(data)
        job, step = (START, Hand.hand) if number % 2 else (EMPTY, _either)
        run(job, number, _ACTS, step)
        return "held"

    def parts(self, data: bytes) -> Parts | None:
        """A number says all the acts at once."""
        return None


def _either(hand: Hand) -> None:
    (hand.edit if hand.chance.random() < 0.5 else hand.hand)()


def doing(folder: Path) -> Acts:
    """The cases of this kind."""
    return Acts()
