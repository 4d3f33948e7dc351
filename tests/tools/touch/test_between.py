"""Between two faces a piece takes the one that nothing holds yet; nearer to one, that one."""

import pytest

from gridjig.model import Hole, Job, Placement
from gridjig.rack import Point
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.touch.between import NEAR
from gridjig.tools.touch.door import Wish, at_hole, nearest_face
from tests.contact.poses import FULL, lay, turned
from tests.tools.touch.kit import touching
from tests.workshop import TABLE, plate

X, Y = TABLE.at(Hole(5, 5))
WORK = plate("w", X + 12.0, Y + 12.0, 300.0, 250.0)
"""Its front left corner lies on the diagonal of the hole, 12 mm off each way: the stop reaches both
faces."""
FRONT, LEFT = 0, 3
ON_FRONT = turned("front", 9, 5, 0.0)
ON_LEFT = turned("left", 5, 8, -90.0)
OFF = NEAR * TABLE.pitch_x


def side(job: Job, pointer: Point = (X, Y)) -> int:
    """The side that a stop about to be put in the hole touches."""
    stands = PlacedPieces().of(job)
    piece, wish = job.rack.piece("turning"), Wish(0.0, False, False, True)
    one = at_hole(job, stands, piece, Hole(5, 5), pointer, wish, "new").best()
    assert one is not None
    assert one.touches
    assert one.face is not None
    # What the tool watches changes with the face, so that the ghost is worked out again.
    assert nearest_face(job, stands, piece, Hole(5, 5), pointer) == one.face.of
    return one.face.side


@pytest.mark.parametrize(("held", "taken"), [(ON_FRONT, LEFT), (ON_LEFT, FRONT)])
@pytest.mark.source("method", "symmetry: the hole is as far from the one face as from the other")
def test_at_an_outside_corner_the_face_that_is_not_held_is_taken(
    held: Placement, taken: int
) -> None:
    job = lay(held, WORK, rack=FULL)
    (contact,) = touching(job, held)
    assert contact.face.number == FRONT + LEFT - taken
    assert side(job) == taken


def test_where_both_are_held_or_none_is_the_first_is_taken() -> None:
    bare = side(lay(WORK, rack=FULL))
    assert side(lay(ON_FRONT, ON_LEFT, WORK, rack=FULL)) == bare


def test_a_pointer_beside_the_line_between_them_decides() -> None:
    job = lay(ON_FRONT, WORK, rack=FULL)
    near, beyond = 0.4 * OFF, 0.6 * OFF  # both ways: the gaps differ by twice as much
    assert side(job, (X + near, Y - near)) == LEFT
    assert side(job, (X + beyond, Y - beyond)) == FRONT
    assert side(job, (X - beyond, Y + beyond)) == LEFT


def test_a_piece_elsewhere_that_holds_nothing_changes_nothing() -> None:
    apart = turned("apart", 9, 4, 0.0)
    assert touching(lay(apart, WORK, rack=FULL), apart) == ()
    assert side(lay(apart, WORK, rack=FULL)) == side(lay(WORK, rack=FULL))
