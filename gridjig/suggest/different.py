"""When two set-ups are different ones: where a shop would see a difference."""

from collections.abc import Sequence

from .scene import Scene
from .site import Atom
from .values import Alternative

Ranked = tuple[Alternative, Scene]


def with_another(best: Sequence[Ranked], one: Alternative, scene: Scene) -> list[Ranked]:
    """The alternatives with another one, the cheapest first; of two that are alike the better."""
    kept: list[Ranked] = []
    for other in sorted([*best, (one, scene)], key=lambda pair: pair[0].score):
        if all(distinct(other[0], before) for before, _ in kept):
            kept.append(other)
    return kept


PieceSort = tuple[str, str, int, str]
"""The part that a piece is for, what it does, at which side, and which piece it is."""


def sort_of(atom: Atom) -> PieceSort:
    """What a piece does; the same in another hole is the same."""
    return (atom.part, atom.kind, atom.side, atom.placement.piece)


def others(pieces: int) -> int:
    """How many of its pieces must differ for a set-up to count as another one."""
    return max(min(pieces, max(2, pieces // 5)), 1)


def distinct(one: Alternative, other: Alternative) -> bool:
    """True if two set-ups differ in a way that a shop cares about.

    The work lies elsewhere, or enough parts are held by other pieces or at other faces; the same
    pieces a hole further along are the same set-up.
    """
    if _lying(one) != _lying(other):
        return True
    mine, theirs = set(one.sorts), set(other.sorts)
    return len(mine - theirs) >= others(len(mine)) or len(theirs - mine) >= others(len(theirs))


def _lying(one: Alternative) -> tuple[object, ...]:
    return (one.shift, one.turn, one.face_down, one.moves)
