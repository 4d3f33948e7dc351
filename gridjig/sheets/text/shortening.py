"""Shortening a name to the words that tell it apart from others."""

from collections.abc import Iterable, Sequence
from itertools import takewhile


def distinct_end(name: str, others: Iterable[str]) -> str:
    """Return the name without the words that it begins with as another name does, after "… ".

    Return it whole if no other begins with the same word.  Of `Long stop, 5-1/2" long` beside
    `Long stop, 9-1/2" long` it is `… 5-1/2" long` that tells which one it is.
    """
    words = name.split()
    shared = max((_shared(words, other.split()) for other in others if other != name), default=0)
    shared = min(shared, len(words) - 1)
    return f"… {' '.join(words[shared:])}" if shared > 0 else name


def _shared(one: Sequence[str], two: Sequence[str]) -> int:
    """Return with how many equal words two names begin."""
    pairs = takewhile(lambda pair: pair[0] == pair[1], zip(one, two, strict=False))
    return sum(1 for _ in pairs)
