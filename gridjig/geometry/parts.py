"""Where a part of the weldment lies: its plan corners on the table."""

from gridjig.model import Part
from gridjig.rack import Point

from .pose import Pose


def part_ring(part: Part) -> tuple[Point, ...]:
    """Corners of a part on the table in mm, counter-clockwise if its own are, not closed."""
    return Pose(part.x, part.y, part.turn).points(part.corners)
