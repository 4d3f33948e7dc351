"""A corner bracket in millimetres with a brace at 3 : 4, laid out as a hand lays it out.

Every stop stands in holes where its face falls on the work without packing; the brace lies on two
risers against two pins.
"""

import math
from functools import cache

from gridjig.contact.touching import to_touch
from gridjig.edits.lookup import new_id
from gridjig.edits.starters import STARTERS, build, put_starter
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.files.library.sections import find_section
from gridjig.model import Display, Hole, Job, Placement, Seat, Section
from gridjig.rack import Point
from tests.proof.layouts import long_face
from tests.trials.layout import put

UPRIGHT, ARM, BRACE = "upright-1", "arm-1", "brace-1"


def _section(name: str) -> Section:
    found = find_section(name)
    assert found is not None
    return found


def _touching(
    job: Job, name: str, piece: str, seats: tuple[Seat, ...], turn: float, face: tuple[str, Point]
) -> Job:
    here = Placement(
        id=new_id(job, name.lower().replace(" ", "-")),
        piece=piece,
        name=name,
        seats=seats,
        turn=turn,
    )
    return put(job, to_touch(job, here, long_face(job, *face)).placement)


def alone(
    job: Job, name: str, piece: str, feature: str, hole: Hole, to: Point | None = None
) -> Job:
    """A piece in one hole; a clamp with its tip over a point."""
    x, y = job.table.at(hole)
    turn = 0.0 if to is None else math.degrees(math.atan2(to[1] - y, to[0] - x))
    reach = 0.0 if to is None else math.dist(to, (x, y))
    return put(
        job,
        Placement(
            id=new_id(job, name.lower().replace(" ", "-")),
            piece=piece,
            name=name,
            seats=(Seat(feature, hole),),
            turn=turn,
            reach=reach,
        ),
    )


@cache
def bracket() -> Job:
    """600 high and 700 wide over all, its outer corner at 300, 300."""
    table = ready_tables()["1200x1200-50"]
    job = Job(
        name="Bracket", table=table, rack=rack_for(table), display=Display(unit="millimetres")
    )
    starter = next(one for one in STARTERS if one.key == "bracket")
    sizes = {"upright": 600.0, "arm": 700.0, "up": 300.0, "out": 400.0}
    stock = {"frame": _section("50x50x3"), "brace": _section("40x40x3")}
    job, _ = put_starter(job, build(starter, stock, sizes), (300.0, 300.0))
    left, front, back, right = (-1.0, 0.0), (0.0, -1.0), (0.0, 1.0), (1.0, 0.0)
    fixed, slots = ("front", "back"), ("slot", "slot")
    for name, col, row, behind, turn, part, way in (
        ("U low", 5, 7, (-1, 0), -90.0, UPRIGHT, left),
        ("U high", 5, 15, (-1, 0), -90.0, UPRIGHT, left),
        ("A left", 9, 5, (0, -1), 0.0, ARM, front),
        ("A right", 17, 5, (0, -1), 0.0, ARM, front),
        ("U end", 6, 18, (0, 1), 180.0, UPRIGHT, back),
        ("A end", 20, 6, (1, 0), 90.0, ARM, right),
    ):
        piece, features = ("stop-adjustable", slots) if "end" in name else ("stop-fixed", fixed)
        holes = (Hole(col, row), Hole(col + behind[0], row + behind[1]))
        seats = tuple(Seat(one, hole) for one, hole in zip(features, holes, strict=True))
        job = _touching(job, name, piece, seats, turn, (part, way))
    for name, hole in (("Pin 1", Hole(8, 13)), ("Pin 2", Hole(12, 10))):
        job = _touching(job, name, "pin-25", (Seat("shank", hole),), 0.0, (BRACE, (0.6, 0.8)))
    job = alone(job, "Riser 1", "riser-5", "centre", Hole(8, 11))
    job = alone(job, "Riser 2", "riser-5", "centre", Hole(12, 8))
    job = alone(job, "Clamp U", "clamp-down-low", "post", Hole(4, 11), (325.0, 575.0))
    job = alone(job, "Clamp A", "clamp-down-low", "post", Hole(14, 3), (725.0, 325.0))
    return alone(job, "Clamp B", "clamp-down-low", "post", Hole(7, 9), (440.0, 582.5))
