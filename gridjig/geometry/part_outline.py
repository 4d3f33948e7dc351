"""Where a part of the weldment lies: its plan corners and sides on the table."""

from gridjig.model import Member, Part
from gridjig.rack import Point

from .pose import Pose


def part_ring(part: Part) -> tuple[Point, ...]:
    """Corners of a part on the table in mm, not closed; counter-clockwise if its own are."""
    return Pose(part.x, part.y, part.turn).points(part.corners)


def part_edge(part: Part, index: int) -> tuple[Point, Point]:
    """The two ends of a part's side on the table, in mm: corner `index` and the next.

    Raises ValueError, with a sentence, if the part has no such side.
    """
    ring = part_ring(part)
    if not 0 <= index < len(ring):
        raise ValueError(f"{part.name or part.id} has {len(ring)} sides and no side {index + 1}")
    return ring[index], ring[(index + 1) % len(ring)]


def mill_faces(part: Part) -> tuple[int, ...]:
    """The mill faces of a part: the two long faces of a member, every side of a plate."""
    return part.mill_edges if isinstance(part, Member) else tuple(range(len(part.corners)))
