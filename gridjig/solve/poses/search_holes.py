"""What a piece can do about one hole: every partner hole that suits it and can be used.

The search itself is in `spot_search`, loaded with the first question: its arrays cost a tenth of a
second.
"""

from gridjig.geometry import Pose
from gridjig.model import Hole, Table
from gridjig.rack import MountFeature, Piece

from .attainable import AttainablePoses, LeafLock, TakenHoles


def attainable_poses(
    table: Table,
    piece: Piece,
    pin_diameter: float,
    hole: Hole,
    taken: TakenHoles = frozenset(),
    flipped: bool | None = None,
    first: MountFeature | None = None,
) -> AttainablePoses:
    """Every spot of the piece with its first feature (or `first`) in the hole.

    `flipped` None asks for both ways up, where the piece works both.  A piece with a single
    feature has one spot, all round.
    """
    from .search import search_poses  # noqa: PLC0415  # late: numpy costs 0.1 s at the start

    return search_poses(table, piece, pin_diameter, hole, taken, flipped, first)


def leaf_locks(
    table: Table, piece: Piece, base: Pose, pin_diameter: float, taken: TakenHoles = frozenset()
) -> tuple[tuple[LeafLock, ...], tuple[tuple[Hole, str], ...]]:
    """Every hole that can lock the second body with the base where it is, and those left out.

    Only holes on the table are looked at, as an arm has no edge to point past.
    """
    from .search import search_leaf_locks  # noqa: PLC0415  # late, as above

    return search_leaf_locks(table, piece, base, pin_diameter, taken)
