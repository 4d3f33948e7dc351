"""Stops, packing and gaps, compared with the rule of the trade and brute force."""

import math
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.edits import weldment
from gridjig.files.library.assets import rack_for, ready_tables, starter_racks
from gridjig.model import FaceOf, Hole, HoleMark, Job, Placement, Seat
from gridjig.rack import ArcSlot, Face, Piece, Rack, RoundHole, StraightSlot
from gridjig.solve.layout.faults import LayoutFault, NotAStop
from gridjig.solve.layout.remainders import (
    Remainder,
    opposed,
    remainders,
    rest,
    same_side,
    stretches,
    the_stop,
)
from gridjig.solve.packing.pack import pack_down
from gridjig.solve.packing.stops import holes_of, stop_of, stops
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.tolerance import linear_limit
from gridjig.solve.weldment.faces import faces
from tests.solve.weldments import bar, frame, job_of
from tests.trials.keyed import KEYED
from tests.workshop import BORE, HINGE, RACK, TABLE

INCH = 25.4
EDGES = 8  # of a frame: an outer and an inner face on each of its four sides


@pytest.mark.source(
    "published", "ISO 13920:1996", "table 1, as a contract fabricator reproduces it"
)
@pytest.mark.parametrize(
    ("name", "length", "limit"),
    [
        ("A", 2.1, 1),
        ("D", 30, 1),
        ("A", 30.1, 1),
        ("B", 120, 2),
        ("B", 500, 3),
        ("B", 1500, 4),
        ("A", 400, 1),
        ("A", 401, 2),
        ("C", 3999, 11),
        ("D", 8000, 21),
        ("A", 20000, 8),
        ("A", 20001, 9),
        ("B", 1e6, 16),
        ("C", 25000, 27),
        ("D", 16000.5, 36),
    ],
)
def test_linear_classes(name: str, length: float, limit: float) -> None:
    assert linear_limit(name, length) == limit  # type: ignore[arg-type]


def test_the_shortest_lengths_have_no_limit() -> None:
    assert linear_limit("A", 2) is None


@pytest.mark.source(
    "method", "trade arithmetic: dimension and packing between opposed and like stops, 2 in"
)
@pytest.mark.parametrize(("inches", "left"), [("24", "1"), ("23", "0"), ("339/8", "5/8")])
def test_opposed_stops(inches: str, left: str) -> None:
    found = opposed(float(Fraction(inches)), 0.5, 0.5, 2.0)
    assert found == pytest.approx(float(Fraction(left)))


@pytest.mark.source(
    "method", "trade arithmetic: 30-5/8 leaves 3/8; 16-7/16 the same way 7/16; 144 mm leaves 6"
)
def test_further_dimensions() -> None:
    assert opposed(30.625, 0.5, 0.5, 2.0) == pytest.approx(0.375)
    assert same_side(16.4375, 0.0, 2.0) == pytest.approx(0.4375)
    assert opposed(144.0, 25.0, 25.0, 100.0) == pytest.approx(6.0)
    for apart in (50, 150, 250):
        assert opposed(apart, 25, 25, 100) == 0


@pytest.mark.source("method", "exact rationals")
@given(st.fractions(-50, 50, max_denominator=64), st.sampled_from([2, 50, 100]))
def test_rest_is_the_remainder(value: Fraction, pitch: int) -> None:
    exact = value % pitch
    assert rest(float(value), pitch) == pytest.approx(float(exact), abs=1e-9)
    assert rest(float(value) - 1e-9, pitch) < pitch - 1e-7
    with pytest.raises(ValueError, match="pitch"):
        rest(1.0, 0)


@pytest.mark.source("method", "brute force over all stacks of a small rack")
@given(st.floats(0, 40), st.integers(0, 3), st.integers(0, 2), st.integers(0, 2))
def test_packing_is_the_thickest_that_goes_in_with_the_fewest_pieces(
    wanted: float, ones: int, threes: int, tens: int
) -> None:
    kinds = (("s1", 1.0, ones), ("s3", 3.0, threes), ("s10", 10.0, tens))
    rack = Rack(
        name="r",
        pieces=tuple(Piece(id=i, name=i, kind="shim", thickness=t, owned=n) for i, t, n in kinds),
    )
    every = [
        (sum(n * t for n, (_, t, _) in zip(many, kinds, strict=True)), sum(many))
        for many in product(range(ones + 1), range(threes + 1), range(tens + 1))
        if sum(many) <= 4
    ]
    thickest = max(total for total, _ in every if total <= wanted + 1e-6)
    fewest = min(count for total, count in every if total == thickest)
    found = pack_down(rack, wanted)
    assert found.total == thickest
    assert found.residual >= 0.0
    assert found.count == fewest == len(found.ids)
    assert found.total + found.residual == pytest.approx(wanted, abs=1.001e-6)


def test_what_stands_elsewhere_is_not_packed_again() -> None:
    rack = Rack(
        name="r",
        pieces=tuple(
            Piece(id=f"s{t}", name="shim", kind="shim", thickness=t, owned=1) for t in (2, 3, 5)
        ),
    )
    assert pack_down(rack, 5).pieces == (("s5", 1),)
    assert pack_down(rack, 5, {"s5": 1}).pieces == (("s2", 1), ("s3", 1))
    assert pack_down(Rack(name="none"), 5).residual == 5


def test_the_stops_of_the_racks() -> None:
    racks = starter_racks()
    assert len(racks) == 4
    for rack in racks.values():
        found = {stop.piece: stop for stop in stops(rack)}
        assert stops(rack) is stops(rack)
        fixed, drawer = found["stop-fixed"], found["stop-adjustable"]
        assert fixed.face == drawer.face > 0
        assert fixed.slot == 0
        pitch = -fixed.other[0][0]
        assert drawer.travel(pitch) == pytest.approx(pitch)
        assert drawer.travel(1000) == drawer.slot
        assert the_stop(rack) == fixed
        assert the_stop(rack, "stop-adjustable") == drawer
        assert any(stop.half == stop.face for stop in found.values())  # round pins


@pytest.mark.source("method", "plane geometry: the same stop, drawn turned in its own frame")
@pytest.mark.parametrize("degrees", [30.0, 90.0, 143.0, 250.0])
def test_a_stop_is_the_same_however_it_is_drawn(degrees: float) -> None:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def turned(x: float, y: float) -> tuple[float, float]:
        return (c * x - s * y + 7, s * x + c * y - 3)

    plain = Piece(
        id="p",
        name="p",
        kind="fixed stop",
        mounts=(RoundHole("a", turned(0, 0), BORE), RoundHole("b", turned(-50, 20), BORE)),
        faces=(Face("f", turned(12, -30), turned(12, 40), 2, 25),),
    )
    stop = stop_of(plain)
    assert stop is not None
    assert (stop.face, stop.half, stop.slot) == pytest.approx((12, 35, 0))
    assert (stop.z_low, stop.z_high) == (2, 25)
    assert stop.other[0] == pytest.approx((-50, 20))
    drawer = structs.replace(
        plain,
        kind="adjustable stop",
        mounts=(StraightSlot("s", turned(-80, 5), turned(0, 5), BORE),),
    )
    stop = stop_of(drawer)
    assert stop is not None
    assert (stop.face, stop.slot) == pytest.approx((12, 80))
    assert stop.other == ()


def test_only_faces_that_apply_stylest_the_datum_are_opposed() -> None:
    job = weldment.move(job_of(*frame()), 7.3, 11.9)
    found = remainders(job)
    for axis, datum in (("y", found.datum.long), ("x", found.datum.end)):
        assert datum is not None
        for one in found.found:
            if one.line.axis == axis:
                assert one.opposed == (one.line.sign != datum.sign)
    assert {one.opposed for one in found.found} == {True, False}


def test_a_fixed_stop_is_never_drawn_out() -> None:
    kept = tuple(p for p in rack_for(TABLE).pieces if p.kind != "adjustable stop")
    job = structs.replace(
        job_of(bar("a", 125, 245, 400)), rack=structs.replace(rack_for(TABLE), pieces=kept)
    )
    found = remainders(job).found
    assert any(one.verdict == "on the grid" for one in found)
    assert {(one.adjustable, one.drawn) for one in found} == {(None, 0.0)}


@pytest.mark.source("method", "arithmetic: what a butted bar leaves free of the face that it meets")
def test_the_free_stretches_of_a_line() -> None:
    """A bar from x = 100 to 500, another butted against its back from 300 to 340."""
    job = job_of(bar("a", 100, 220, 400), bar("b", 320, 240, 200, 90))
    lines = {(one.line.axis, one.line.sign, one.line.at): one.line for one in remainders(job).found}
    (back,) = [line for (_, _, at), line in lines.items() if at == 240]
    assert sorted(stretches(back)) == [pytest.approx((100, 300)), pytest.approx((340, 500))]
    (front,) = [line for (_, _, at), line in lines.items() if at == 200]
    assert list(stretches(front)) == [pytest.approx((100, 500))]
    (side,) = [line for (axis, _, at), line in lines.items() if (axis, at) == ("x", 340)]
    assert list(stretches(side)) == [pytest.approx((240, 440))]


def test_what_is_no_stop() -> None:
    assert stop_of(HINGE) is None
    bare = Piece(id="x", name="x", kind="fixed stop")
    assert stop_of(bare) is None
    crooked = Piece(
        id="y",
        name="y",
        kind="adjustable stop",
        mounts=(StraightSlot("s", (0, 0), (50, 50), BORE),),
        faces=(Face("f", (10, 20), (-10, 20), 0, 20),),
    )
    assert stop_of(crooked) is None
    arc = structs.replace(crooked, mounts=(ArcSlot("a", (0, 0), 90, 0, 90, BORE),))
    assert stop_of(arc) is None
    away = structs.replace(crooked, mounts=(StraightSlot("s", (0, -90), (0, 0), BORE),))
    made = stop_of(away)
    assert made is not None
    assert (made.face, made.slot) == (20, 90)
    with pytest.raises(LayoutFault) as fault:
        the_stop(RACK, "hinge")
    assert fault.value.reason == NotAStop("hinge", RACK.name)
    with pytest.raises(LayoutFault) as fault:
        the_stop(Rack(name="empty"))
    assert fault.value.reason == NotAStop("", "empty")


@pytest.mark.source("method", "the solver of placements, built apart from what is tested")
@given(st.sampled_from([0, 90, 180, -90]), st.integers(4, 15), st.integers(4, 15))
def test_a_stop_in_the_holes_named_touches_the_face(turn: int, col: int, row: int) -> None:
    table = ready_tables()["48x48-3/4"]
    rack = rack_for(table)
    for name in ("stop-fixed", "stop-long-5.5"):
        piece = rack.piece(name)
        looks = {0: (0, 1), 90: (-1, 0), 180: (0, -1), -90: (1, 0)}[turn]
        holes = holes_of(table, the_stop(rack, name), Hole(col, row), looks)
        seats = tuple(Seat(m.id, h) for m, h in zip(piece.mounts, holes, strict=True))
        stood = solve_placement(table, rack, Placement(id="s", piece=name, seats=seats, turn=turn))
        assert stood.fault is None
        assert stood.off == ()
        (face,) = stood.faces
        assert face.normal == pytest.approx(looks, abs=1e-6)


def stand_before(job: Job, one: Remainder, hole: Hole) -> PlacedPiece:
    """The fixed stop in that front hole, packed by the gap."""
    looks = (-one.line.sign, 0) if one.line.axis == "x" else (0, -one.line.sign)
    turn = {(0, 1): 0.0, (-1, 0): 90.0, (0, -1): 180.0, (1, 0): -90.0}[looks]
    piece = job.rack.piece("stop-fixed")
    holes = holes_of(job.table, one.stop, hole, looks)
    seats = tuple(Seat(m.id, h) for m, h in zip(piece.mounts, holes, strict=True))
    return solve_placement(
        job.table,
        job.rack,
        Placement(id="s", piece=piece.id, seats=seats, turn=turn, packing=one.packing.ids),
    )


@given(st.floats(0, 50.8), st.floats(0, 50.8))
def test_a_packed_stop_touches_the_work(dx: float, dy: float) -> None:
    table = ready_tables()["48x48-3/4"]
    job = structs.replace(job_of(*frame()), table=table, rack=rack_for(table))
    job = weldment.move(job, 200 + dx, 100 + dy)
    found = remainders(job).found
    assert len(found) == EDGES
    for one in found:
        k = 0 if one.line.axis == "x" else 1
        stood = stand_before(job, one, one.holes[0])
        assert stood.fault is None
        (face,) = stood.faces
        off = (one.line.at - face.a[k]) * -one.line.sign
        assert off == pytest.approx(one.packing.residual if one.packing.count else one.left)


@given(st.integers(-3, 3), st.integers(-3, 3), st.floats(0, 50), st.floats(0, 50))
def test_a_whole_pitch_changes_no_remainder(i: int, j: int, dx: float, dy: float) -> None:
    job = weldment.move(job_of(*frame()), dx, dy)
    moved = weldment.move(job, i * TABLE.pitch_x, j * TABLE.pitch_y)
    before, after = remainders(job).found, remainders(moved).found
    assert len(before) == EDGES
    for old, new in zip(before, after, strict=True):
        assert min(abs(new.left - old.left), 50 - abs(new.left - old.left)) < 1e-6
        if abs(new.left - old.left) < 1e-6:
            step = i if old.line.axis == "x" else j
            assert new.hole_line - old.hole_line == step


def test_remainders_go_with_the_rule_of_opposed_and_like_stops() -> None:
    job = weldment.move(job_of(*frame()), 7.3, 11.9)
    found = remainders(job)
    compared = 0
    for axis in ("x", "y"):
        faces = [one for one in found.found if one.line.axis == axis]
        assert len(faces) == EDGES / 2
        datum = next(one for one in faces if one.dimension is None)
        for one in faces:
            if one is datum:
                continue
            assert one.dimension is not None
            f = found.stop.face
            if one.opposed:
                both = (datum.left + one.left) % 50
                wanted = opposed(one.dimension, f, f, 50) if one.line.outer else None
                if wanted is not None:
                    assert both == pytest.approx(wanted % 50)
                    compared += 1
    assert compared == 2  # the far side against the datum, along and across


def test_verdicts() -> None:
    job = structs.replace(job_of(bar("a", 125, 245, 400.5)), rack=rack_for(TABLE))
    (long,) = (one for one in remainders(job).found if one.dimension == 400.5)
    assert long.left == pytest.approx(49.5)
    assert long.short == pytest.approx(-0.5)
    assert (long.verdict, long.allowed) == ("skip", 1.0)
    strict = remainders(job, linear_class="A", share=0.1)
    (long,) = (one for one in strict.found if one.dimension == 400.5)
    assert long.verdict == "needed"
    assert dict(long.packing.pieces) == {"packing-25": 1, "packing-10": 2, "shim-3": 1}
    assert long.packing.residual == pytest.approx(1.5)  # two of 25 mm would stand in the work
    assert not long.packed_well
    assert {one.verdict for one in remainders(job).found if one.dimension is None} == {
        "on the grid"
    }


def test_holes_before_a_face_are_free_and_open() -> None:
    job = structs.replace(job_of(bar("a", 100, 220, 400)), rack=rack_for(TABLE))
    front = next(one for one in remainders(job).found if one.line.first.of == FaceOf("a", 0))
    cols = [hole.col for hole in front.holes]
    assert cols == list(range(1, 10))
    marks = (HoleMark(Hole(3, front.hole_line), "blocked"), HoleMark(Hole(5, 1), "damaged"))
    marked = structs.replace(job, table=structs.replace(job.table, marks=marks))
    front = next(one for one in remainders(marked).found if one.line.first.of == FaceOf("a", 0))
    assert {1, 2, 4} < {hole.col for hole in front.holes}
    assert 3 not in {hole.col for hole in front.holes}
    assert front.hole_line == 2
    assert 5 not in {hole.col for hole in front.holes}  # its second pin is in row 1


def test_faces_in_one_plane_are_one_line_and_slopes_are_apart() -> None:
    parts = (*frame(), bar("slope", 300, 300, 100, 30))
    job = structs.replace(job_of(*parts), critical=(FaceOf("front", 2),))
    found = remainders(job)
    at = [(one.line.axis, one.line.sign, one.line.at) for one in found.found]
    assert len(set(at)) == len(at)
    left = next(one for one in found.found if one.line.at == 100 and one.line.axis == "x")
    assert {f.of.part for f in left.line.faces} == {"front", "back", "left"}
    assert left.line.first.of.part == "left"
    assert [one.line.at for one in found.found if one.line.critical] == [240]
    assert {f.of.part for f in found.slanting} == {"slope"}
    nearly = (bar("a", 0, 20, 100), bar("b", 100, 20.004, 100), bar("c", 200, 20.008, 100))
    assert len([o for o in remainders(job_of(*nearly)).found if o.line.sign < 0]) <= 3


def test_an_adjustable_stop_that_does_not_reach_is_not_offered() -> None:
    none = Rack(name="r", pieces=tuple(p for p in RACK.pieces if p.id != "slider"))
    job = structs.replace(job_of(*frame()), rack=none)
    assert {one.adjustable for one in remainders(job, the_stop(none)).found} == {None}
    whole = rack_for(TABLE)
    lent = whole.with_piece(structs.replace(whole.piece("stop-adjustable"), owned=0))
    gone = remainders(structs.replace(job, rack=lent)).found
    assert {one.adjustable for one in gone} == {None}
    near = structs.replace(
        rack_for(TABLE).piece("stop-adjustable"),
        mounts=(StraightSlot("s", (0, 0), (0, -80), BORE),),
    )
    short = rack_for(TABLE).with_piece(near)
    found = remainders(weldment.move(structs.replace(job, rack=short), 3, 9)).found
    assert {one.adjustable is not None for one in found} == {True, False}
    assert all(one.drawn <= 30 for one in found)


@pytest.mark.source("method", "brute force: every hole of a column or row, one by one")
def test_the_holes_of_a_line_on_a_table_with_two_pitches() -> None:
    table = structs.replace(TABLE, pitch_y=40.0, first_x=35.0, first_y=62.0, rows=22)
    job = structs.replace(
        job_of(bar("a", 131, 220, 400), bar("b", 320, 240, 213, 90)),
        table=table,
        rack=Rack(name="r", pieces=tuple(p for p in RACK.pieces if p.id in ("pin", "bolt"))),
    )
    found = remainders(job).found
    assert len(found) == 2 * 4 - 1  # four faces a bar, of which the joint hides one
    for one in found:
        k = 1 if one.line.axis == "x" else 0
        count = table.rows if k else table.columns
        theirs = set()
        for n in range(count):
            front = Hole(one.hole_line, n) if k else Hole(n, one.hole_line)
            at = table.at(front)[k]
            if any(low - 1e-6 <= at <= high + 1e-6 for low, high in stretches(one.line)):
                theirs.add(front)
        assert set(one.holes) == theirs
        assert theirs


def test_a_mitre_that_is_joined_all_along_needs_no_angle() -> None:
    """Its cuts are inside the corner: no stop can stand before them."""
    frame_of_mitres = KEYED["T02"]()
    assert any(face.axis is None for face in faces(frame_of_mitres.parts))
    assert remainders(frame_of_mitres).slanting == ()
    strut = remainders(KEYED["T06"]()).slanting
    assert len(strut) >= 2
