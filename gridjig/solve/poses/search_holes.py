"""All poses of a piece about one hole: every partner hole that suits it and can be used.

The search itself is in `search`, imported on first use because numpy takes a tenth of a second to
load.
"""

from gridjig.geometry import Pose
from gridjig.model import Hole, Table
from gridjig.rack import MountFeature, Piece

from .attainable import AttainablePoses, LeafLock, TakenHoles
from .faults import WhyUnusable


def attainable_poses(
    table: Table,
    piece: Piece,
    pin_diameter: float,
    hole: Hole,
    taken: TakenHoles = frozenset(),
    flipped: bool | None = None,
    first: MountFeature | None = None,
) -> AttainablePoses:
    """All attainable poses of the piece with its first feature (or `first`) in the hole.

    With `flipped` None, both ways up if the piece works turned over.  A piece with a single feature
    has one pose, free to turn all round.
    """
    from .search import search_poses  # noqa: PLC0415  # late: numpy costs 0.1 s at the start

    return search_poses(table, piece, pin_diameter, hole, taken, flipped, first)


def leaf_locks(
    table: Table, piece: Piece, base: Pose, pin_diameter: float, taken: TakenHoles = frozenset()
) -> tuple[tuple[LeafLock, ...], tuple[tuple[Hole, WhyUnusable], ...]]:
    """Every hole that can lock the second body with the base at `base`, and those left out.

    Only holes on the table are considered.
    """
    from .search import search_leaf_locks  # noqa: PLC0415  # late, as above

    return search_leaf_locks(table, piece, base, pin_diameter, taken)
