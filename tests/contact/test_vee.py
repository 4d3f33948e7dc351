"""A V comes to posts of any number of sides, and to a corner, until both of its faces touch."""

import math

import pytest
from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.contact.touching import ways_to_touch
from gridjig.contact.values import Contact
from gridjig.model import FaceOf, Hole, Job, Placement, Plate
from gridjig.rack import Rack, StraightSlot
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import PIECES, lay
from tests.contact.test_by_hand import V
from tests.driver import Driver
from tests.tools.touch.kit import hand
from tests.workshop import BORE, TABLE, put, seat

AT = TABLE.at(Hole(11, 9))
SLOTTED = structs.replace(
    V,
    id="v-slot",
    mounts=(StraightSlot("s", (0.0, -25.0), (0.0, -95.0), BORE),),
    solids=(
        *V.solids,
        structs.replace(
            V.solids[0], outline=((-20.0, -110.0), (20.0, -110.0), (20.0, -30.0), (-20.0, -30.0))
        ),
    ),
)
RACK = Rack(name="v", pieces=(*PIECES, SLOTTED))


def post(sides: int, turn: float, y: float = 62.0, x: float = 0.0) -> Plate:
    corners = tuple(
        (25.0 * math.cos(math.radians(a)), 25.0 * math.sin(math.radians(a)))
        for a in (360.0 * k / sides for k in range(sides))
    )
    return Plate(
        id="post", name="post", corners=corners, x=AT[0] + x, y=AT[1] + y, turn=turn, z_high=40.0
    )


def touching(job: Job, made: Placement) -> list[Contact]:
    after = structs.replace(job, placements=(made,))
    return list(contacts(after, PlacedPieces().of(after)).pieces[made.id].touching)


def root_of(made: Placement) -> tuple[float, float]:
    """The root of the V, 10 mm in front of the middle of its slotted frame, on the table."""
    there = PlacedPieces().of(structs.replace(lay(rack=RACK), placements=(made,)))[made.id]
    return there.poses[0].point((0.0, -10.0))


@pytest.mark.source("method", "symmetry: a post with a corner or a side to the front, and turned")
@pytest.mark.parametrize(
    ("sides", "turn"),
    [(3, 90.0), (4, 10.0), (4, 30.0), (4, 45.0), (5, 90.0), (6, 0.0), (6, 30.0), (7, 90.0),
     (8, 0.0), (8, 22.5), (12, 0.0), (12, 45.0), (36, 22.5)],
)  # fmt: skip
def test_a_v_is_placed_so_that_both_faces_touch(sides: int, turn: float) -> None:
    job = lay(post(sides, turn, 57.0 if sides == 3 else 62.0), rack=RACK)
    d: Driver = hand("v-slot", job).hover(AT).expect_hint("touches post").key("enter")
    made = d.job.placements[-1]
    found = contacts(d.job, PlacedPieces().of(d.job)).pieces[made.id].touching
    assert {c.feature for c in found} == {"left", "right"}
    for contact in found:
        assert contact.gap == pytest.approx(0.0, abs=1e-6)


@pytest.mark.source("method", "plane geometry: the support of a polygon along the normals of the V")
@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8, 36])
@pytest.mark.parametrize("turn", [0.0, 7.0, 31.0])
@pytest.mark.untraced
def test_held_by_one_pin_a_v_turns_and_slides_until_it_lies_on_both_faces(
    sides: int, turn: float
) -> None:
    part = post(sides, turn, 50.0, 9.0)
    job = lay(part, rack=RACK)
    start = put("v", "v-slot", seat("s", 11, 9), slide=20.0, turn=0.0)
    best = ways_to_touch(job, start, FaceOf("post", 0), facing=True)[0]
    assert best.touches
    made = best.placement
    found = touching(job, made)
    assert {c.feature for c in found} == {"left", "right"}
    rx, ry = root_of(made)
    corners = [
        (part.x + x * math.cos(math.radians(turn)) - y * math.sin(math.radians(turn)),
         part.y + x * math.sin(math.radians(turn)) + y * math.cos(math.radians(turn)))
        for x, y in part.corners
    ]  # fmt: skip
    for side in (
        45.0,
        135.0,
    ):  # the faces of the V look to 45 and 135 degrees when it is not turned
        a = math.radians(side + made.turn)
        reach = min((x - rx) * math.cos(a) + (y - ry) * math.sin(a) for x, y in corners)
        assert reach == pytest.approx(0.0, abs=1e-5)


def test_a_v_without_room_says_so_and_never_stands_in_the_post() -> None:
    """Off the middle by 9 mm with two pins, no slide brings both faces to the post."""
    job = lay(post(6, 10.0, 62.0, 9.0), rack=RACK)
    start = put("v", "v-slot", seat("s", 11, 9), seat("s", 11, 8), slide=0.0)
    found = ways_to_touch(job, start, FaceOf("post", 0))
    assert found
    for one in found:
        if one.touches:
            assert {c.feature for c in touching(job, one.placement)} != {"left", "right"}
