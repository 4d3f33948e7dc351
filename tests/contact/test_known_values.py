"""Contacts compared with angles, gaps and shims computed elsewhere."""

import math

import pytest
from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.contact.touching import to_touch
from gridjig.model import FaceOf, Hole, Job, Placement, Plate, Seat, Table
from gridjig.model.labels import find_hole
from gridjig.rack import Piece, Rack, Round, RoundHole, Shank, Solid, StraightSlot
from gridjig.rack.piece import Face
from gridjig.solve.placed.cache import PlacedPieces
from tests.stock import FLAT, bar
from tests.trials.keyed import KEYED, part_named
from tests.trials.layout import INCH, TURN, empty, load, with_stop
from tests.workshop import BOLT, BORE, LOCK, TABLE, box, disc, laid


def round_pin(name: str, radius: float) -> Piece:
    return Piece(
        id=name, name=name, kind="pin", solids=(Solid(disc(radius), 0, 40),),
        mounts=(Shank("p", (0, 0), BOLT),), rounds=(Round("r", (0, 0), radius, 0, 40),), owned=4,
    )  # fmt: skip


@pytest.mark.source(
    "method", "trigonometry: asin((8 - 5) / 100) and asin((8 + 5) / 100), worked by hand"
)
@pytest.mark.parametrize(("crossing", "angle"), [(False, 1.719131), (True, 7.469592)])
def test_an_edge_on_two_pins_of_different_size(crossing: bool, angle: float) -> None:
    """Pins of 8 and 5 mm radius, 100 mm apart: their common tangent on one side, or across."""
    rack = Rack(name="r", pieces=(round_pin("big", 8.0), round_pin("small", 5.0)))
    a, b = TABLE.at(Hole(9, 9)), TABLE.at(Hole(11, 9))
    assert math.dist(a, b) == 100.0
    turn = -angle
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    above = Plate(
        id="w", name="w", corners=box(-50, 0, 180, 20), turn=turn,
        x=a[0] - 8 * s, y=a[1] + 8 * c, z_low=0.0, z_high=30.0,
    )  # fmt: skip
    job = structs.replace(
        laid(
            Placement(id="a", piece="big", seats=(Seat("p", Hole(9, 9)),)),
            Placement(id="b", piece="small", seats=(Seat("p", Hole(11, 9)),)),
        ),
        rack=rack,
    )
    if not crossing:
        found = contacts(structs.replace(job, parts=(above,)), PlacedPieces().of(job))
        assert [c.gap for c in found.every()] == pytest.approx([0.0, 0.0], abs=1e-6)
        assert [c.means for c in found.every()] == ["touches", "touches"]
        return
    # The line that passes above the first pin and below the second: a thin strip on each side.
    thin = structs.replace(above, corners=box(-50, 0, 60, 1))
    below = structs.replace(above, id="v", corners=box(60, -1, 180, 0))
    found = contacts(structs.replace(job, parts=(thin, below)), PlacedPieces().of(job))
    gaps = {(c.piece, c.part): c.gap for c in found.every()}
    assert gaps["a", "w"] == pytest.approx(0.0, abs=1e-6)
    assert gaps["b", "v"] == pytest.approx(0.0, abs=1e-6)


OFFSET = Piece(
    id="offset",
    name="offset arm",
    kind="arm",
    solids=(Solid(box(-20, -30, 320, 30), 0, 20),),
    mounts=(RoundHole("pivot", (0, 0), BORE), StraightSlot("slot", (100, 10), (300, 10), BORE)),
    faces=(Face("f", (320, 30), (-20, 30), 0, 20),),
    takes=("bolt",),
    owned=1,
)


@pytest.mark.source(
    "method", "trigonometry: atan2(4, 3) - asin(10 / 250) = 50.837660 degrees, by hand"
)
def test_an_arm_with_an_offset_slot_lies_on_a_face_at_its_angle() -> None:
    angle = 50.837660
    seats = (Seat("pivot", Hole(5, 5)), Seat("slot", Hole(8, 9)))
    at = TABLE.at(Hole(5, 5))
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    part = bar(
        FLAT, 250, id="w", turn=angle, x=at[0] + 20 * c - 55 * s, y=at[1] + 20 * s + 55 * c
    )  # 50 mm wide, its right face 30 mm to the left of the pivot
    arm = Placement(id="a", piece="offset", seats=seats, turn=angle)
    job = structs.replace(laid(arm, part), rack=Rack(name="r", pieces=(OFFSET, LOCK)), table=TABLE)
    (contact,) = contacts(job, PlacedPieces().of(job)).pieces["a"].contacts
    assert (contact.kind, contact.means) == ("face on face", "touches")
    assert contact.gap == pytest.approx(0.0, abs=2e-4)  # the angle is given to six places
    assert contact.length == pytest.approx(250.0, abs=1e-3)
    assert PlacedPieces().of(job)["a"].slide == pytest.approx(249.799920 - 100.0, abs=1e-5)


@pytest.mark.source("method", "trials, reckoned by hand: the contact of every stop")
@pytest.mark.parametrize("trial", ["T01", "T02", "T04", "T06", "T08"])
def test_every_stop_of_a_trial_touches_where_the_calculation_says(trial: str) -> None:
    data = load(trial)
    job = KEYED[trial]()
    for stop in data["stops"]:
        job = with_stop(job, stop)
    found = contacts(job, PlacedPieces().of(job))
    assert len(found.pieces) == len(data["stops"])
    for placement, stop in zip(job.placements, data["stops"], strict=True):
        touching = [
            c for c in found.pieces[placement.id].contacts if c.means in ("touches", "radius")
        ]
        where = (stop["contact"][0] * INCH, stop["contact"][1] * INCH)
        assert touching, stop["what"]
        turn = TURN[stop["side"]]
        out = (math.sin(math.radians(turn)), -math.cos(math.radians(turn)))
        for contact in touching:
            assert contact.normal[:2] == pytest.approx(out, abs=1e-9)
            (ax, ay), (bx, by) = contact.points[0], contact.points[-1]
            x, y = where
            off = abs((x - ax) * out[0] + (y - ay) * out[1])
            assert off == pytest.approx(0.0, abs=0.02)
            assert min(ax, bx) - 0.1 <= x <= max(ax, bx) + 0.1
            assert min(ay, by) - 0.1 <= y <= max(ay, by) + 0.1
    assert found.part_overlaps == ()


def at_pins(trial: str, edge: dict[str, object], member: str) -> tuple[Job, FaceOf, list[str]]:
    """The keyed trial and two round pins in the holes of one of its pairs."""
    data = load(trial)
    job = KEYED[trial]()
    pins = []
    for k in ("h1", "h2"):
        hole = find_hole(empty(data).table, str(edge[k]))
        pins.append(Placement(id=k, piece="pin-1", seats=(Seat("shank", hole),), turn=0.0))
    return (
        structs.replace(job, placements=tuple(pins)),
        FaceOf(part_named(job, member), 0),
        [p.id for p in pins],
    )


@pytest.mark.source("method", "trial T06, reckoned by hand: shims of .5390 and .6489 at L8 and P11")
@pytest.mark.parametrize("which", [0, 1])
@pytest.mark.parametrize("pair", ["least_shim_pair", "best_equal_pin_pair"])
def test_the_gaps_of_pin_pairs_beside_the_strut(which: int, pair: str) -> None:
    """A pin of 1 in has its face 1/2 in from its hole, as in the calculation."""
    data = load("T06")["checks"]["edges"][which]
    edge = data[pair]
    gaps = [edge.get(f"shim{k}", edge.get(f"gap{k}")) for k in (1, 2)]
    job, _, ids = at_pins("T06", edge, "S strut")
    strut = part_named(job, "S strut")
    found = contacts(job, PlacedPieces().of(job), 2 * INCH)
    told = []
    for k in ids:
        near = [c for c in found.pieces[k].contacts if c.part == strut]
        assert near, k
        told.append(min(c.gap for c in near) / INCH)
    assert told == pytest.approx(gaps, abs=2e-4)
    spread = edge["shim_difference"] if "shim_difference" in edge else abs(gaps[1] - gaps[0])
    assert abs(told[1] - told[0]) == pytest.approx(spread, abs=2e-4)


@pytest.mark.source(
    "method", "trigonometry: p (m sin T - n cos T) = 2 (4 sin 37.5 - 3 cos 37.5) = .110 in"
)
def test_the_shim_that_turns_4_to_3_into_37_and_a_half_degrees() -> None:
    job, _, ids = at_pins("T06", {"h1": "L8", "h2": "P11"}, "S strut")
    found = contacts(job, PlacedPieces().of(job), 2 * INCH)
    strut = part_named(job, "S strut")
    low, high = (min(c.gap for c in found.pieces[k].contacts if c.part == strut) for k in ids)
    sine, cosine = math.sin(math.radians(37.5)), math.cos(math.radians(37.5))
    assert high - low == pytest.approx(2 * INCH * (4 * sine - 3 * cosine), abs=1e-6)
    assert (high - low) / INCH == pytest.approx(0.110, abs=5e-4)


@pytest.mark.source("method", "trial T06, reckoned by hand: the rack builds .5390 down to .53125")
def test_the_shims_of_that_pair_are_rounded_down() -> None:
    job, face, _ = at_pins("T06", {"h1": "L8", "h2": "P11"}, "S strut")
    made = to_touch(job, job.placements[0], face)
    assert made.packing.total / INCH == pytest.approx(17 / 32)
    assert made.gap / INCH == pytest.approx(0.5390 - 17 / 32, abs=2e-4)
    assert made.gap > 0.0


@pytest.mark.source(
    "method", "trial T06's cut plate, reckoned by hand: its corners from the hole M7"
)
def test_a_cut_plate_lies_along_the_strut() -> None:
    corners = (
        (-5.0946, 0.9350),
        (4.4257, 8.2402),
        (5.9257, 8.2402),
        (5.9257, -1.0),
        (-5.0946, -1.0),
    )
    own = tuple((x * INCH, y * INCH) for x, y in reversed(corners))
    face = Face("f", own[4], own[3], 0.0, 1.5 * INCH)
    plate = Piece(
        id="plate", name="cut plate", kind="other", solids=(Solid(own, 0.0, 1.5 * INCH),),
        mounts=(RoundHole("left", (0, 0), 0.75 * INCH),
                RoundHole("right", (4 * INCH, 0), 0.75 * INCH)),
        faces=(structs.replace(face, a=own[3], b=own[4]),), takes=("lock-pin",), owned=1,
    )  # fmt: skip
    job = KEYED["T06"]()
    table: Table = job.table
    seats = (Seat("left", find_hole(table, "M7")), Seat("right", find_hole(table, "O7")))
    there = Placement(id="plate", piece="plate", seats=seats)
    job = structs.replace(job, rack=job.rack.with_piece(plate), placements=(there,))
    found = contacts(job, PlacedPieces().of(job)).pieces["plate"].contacts
    strut = [c for c in found if c.part == part_named(job, "S strut")]
    assert strut
    assert min(abs(c.gap) for c in strut) < 0.002 * INCH
