"""Plates designed for a job: fit and play, uprights, engraving, the piece on the table."""

import math

import pytest
import shapely
from msgspec import structs

from gridjig.angle.standing import answers_on
from gridjig.checks.conflicts import clashes
from gridjig.contact.book import contacts
from gridjig.cutplates import asked
from gridjig.cutplates.asked import (
    PlateOptions,
    edges_for,
    for_angle,
    for_answer,
    for_face,
    pin_for,
)
from gridjig.cutplates.design import designed
from gridjig.cutplates.engraving import UP
from gridjig.cutplates.outline import LocatingEdge
from gridjig.cutplates.standing import in_its_way, with_plate
from gridjig.cutplates.uprights import tab_of
from gridjig.cutplates.wanted import PlateWanted, Uprights
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.geometry.layered import flattened
from gridjig.geometry.stroke_letters import plain_letters, strokes, width, without_shape
from gridjig.model import FaceOf, Hole, Job, Member
from gridjig.rack import Rack
from gridjig.solve.angles.answers import AngleLimits
from gridjig.solve.angles.finder import find_angles
from gridjig.solve.angles.wanted import read_wanted
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.units import MILLIMETRES
from tests.stock import bar
from tests.trials.keyed import KEYED
from tests.workshop import EMPTY, PITCH, laid, pin, plate

INCH = 25.4
T06 = KEYED["T06"]()
STRUT = FaceOf("member-2", 0)
FREE = laid(bar(x=300.0, y=400.0, length=400.0))


def by_hand(job: Job = EMPTY, **more: object) -> PlateWanted:
    """A plate of easy sizes: holes 8 pitches apart, the edge 60 mm behind them."""
    a, b = Hole(3, 3), Hole(11, 3)
    (x1, y1), (x2, _) = job.table.at(a), job.table.at(b)
    made = PlateWanted(
        name="Plate",
        holes=(a, b),
        edges=(LocatingEdge((x2, y1 + 60.0), (x1, y1 + 60.0)),),
        pin=pin_for(job),
        pin_diameter=15.9,
        margin=25.0,
        land=25.0,
    )
    return structs.replace(made, **more)


@pytest.mark.source("method", "trial weldment T06: play of .010 in at each pin, 4 and 8 in apart")
def test_play_turns_it_less_the_farther_its_pins_are_apart() -> None:
    job = structs.replace(T06, table=structs.replace(T06.table, hole_diameter=0.755 * INCH))
    found = []
    for far in (2, 4):
        a, b = Hole(12, 6), Hole(12 + far, 6)
        (x1, y), (x2, _) = job.table.at(a), job.table.at(b)
        wanted = by_hand(
            T06,
            holes=(a, b),
            edges=(LocatingEdge((x2, y + 60.0), (x1, y + 60.0)),),
            pin_diameter=0.750 * INCH,
            over=0.005 * INCH,
            margin=INCH,
        )
        found.append(60.0 * designed(job, wanted).play)
    assert found == pytest.approx([8.6, 4.3], abs=0.05)


@pytest.mark.source("method", "arithmetic: a rectangle less two round holes, times 7.85")
def test_area_and_mass_are_those_of_the_shape() -> None:
    design = designed(EMPTY, by_hand())
    # 400 mm + 25 mm at each end, 60 mm + 25 mm deep.
    assert design.area == pytest.approx(450.0 * 85.0)
    lost = 2.0 * math.pi * (16.1 / 2) ** 2
    assert design.mass == pytest.approx((450.0 * 85.0 - lost) * 6.0 * 7.85e-6)
    assert design.base == pytest.approx(8 * PITCH)
    assert design.worth_saying == ()


def test_uprights_stand_in_slots_as_far_apart_as_they_can() -> None:
    design = designed(EMPTY, by_hand(uprights=Uprights(60.0)))
    one, other = design.stands
    assert math.dist(one.at, other.at) > 300.0
    steel = shapely.Polygon(design.ring)
    for stand, slot, flat in zip(design.stands, design.slots, design.flat, strict=True):
        # Its front edge is on the line, the slot in the steel, the tab a little smaller than it.
        assert stand.at[1] == pytest.approx(design.wanted.edge.a[1])
        hole = shapely.Polygon(slot.points)
        assert steel.buffer(-5.0).contains(hole)
        start, end = tab_of(stand, 6.0)
        assert hole.area == pytest.approx((end - start + 0.2) * 6.2)
        shape = shapely.Polygon(flattened(flat, 0.001))
        assert shape.is_valid
        x1, y1, x2, y2 = shape.bounds
        assert (x2 - x1, y2 - y1) == pytest.approx((stand.long, 60.0))
        assert x1 > max(x for x, _ in design.ring)
    plain = designed(EMPTY, by_hand())
    assert design.mass > plain.mass
    with pytest.raises(ValueError, match="no higher than the plate"):
        designed(EMPTY, by_hand(uprights=Uprights(5.0)))


def test_what_a_plate_cannot_be_is_said() -> None:
    near = by_hand(holes=(Hole(3, 3), Hole(3, 3)))
    with pytest.raises(ValueError, match="too near to each other"):
        designed(EMPTY, near)
    with pytest.raises(ValueError, match="too near to the edge"):
        designed(EMPTY, by_hand(margin=9.0))
    with pytest.raises(ValueError, match="beneath a part"):
        designed(EMPTY, by_hand(), shapely.box(0, 0, 1000, 1000))
    thick = designed(EMPTY, by_hand(thickness=25.0, margin=40.0))
    assert any("drill them" in line for line in thick.worth_saying)
    assert any("ISO 9013" in line for line in thick.worth_saying)
    tight = designed(EMPTY, by_hand(pin_diameter=17.0))
    assert any("does not fit" in line for line in tight.worth_saying)


@pytest.mark.source("method", "arithmetic: each side of a slot moves in by half the kerf")
def test_a_kerf_makes_the_slots_smaller_and_the_outline_larger() -> None:
    plain = designed(EMPTY, by_hand(uprights=Uprights(60.0)))
    kerfed = designed(EMPTY, by_hand(uprights=Uprights(60.0), kerf=0.4))
    for before, after in zip(plain.slots, kerfed.slots, strict=True):
        x1, y1, x2, y2 = shapely.Polygon(before.points).bounds
        u1, v1, u2, v2 = shapely.Polygon(after.points).bounds
        assert (u1 - x1, v1 - y1, x2 - u2, y2 - v2) == pytest.approx((0.2,) * 4)
    a, b = (shapely.Polygon(flattened(one.cut)).bounds for one in (plain, kerfed))
    assert [abs(p - q) for p, q in zip(a, b, strict=True)] == pytest.approx([0.2] * 4)
    assert kerfed.area == pytest.approx(plain.area), "the steel is nominal in either"
    with pytest.raises(ValueError, match="no wider than the kerf"):
        designed(EMPTY, by_hand(uprights=Uprights(60.0, 2.0), kerf=2.5))


def test_reliefs_that_eat_an_edge_and_an_edge_without_room_for_uprights_are_refused() -> None:
    x, y = EMPTY.table.at(Hole(3, 3))
    corner = (
        LocatingEdge((x, y + 120.0), (x, y + 60.0)),
        LocatingEdge((x, y + 60.0), (x - 60.0, y + 60.0)),
    )
    inside = designed(EMPTY, by_hand(edges=corner, relief=10.0, margin=60.0))
    assert sum(one.relief > 0.0 for one in inside.corners) == 1
    with pytest.raises(ValueError, match="make the relief smaller"):
        designed(EMPTY, by_hand(edges=corner, relief=80.0, margin=60.0))
    short = (LocatingEdge((x + 20.0, y + 60.0), (x, y + 60.0)),)
    assert designed(EMPTY, by_hand(edges=short)).stands == ()
    with pytest.raises(ValueError, match="no room for two uprights"):
        designed(EMPTY, by_hand(edges=short, uprights=Uprights(60.0)))


# -- engraving -------------------------------------------------------------------------------------


def test_the_engraving_is_in_the_steel_and_clear_of_the_holes() -> None:
    job = structs.replace(EMPTY, name="Gate 12", drawing="1042", revision="B")
    design = designed(job, by_hand(uprights=Uprights(60.0)))
    lines = [shapely.LineString(line) for line in design.engraving.lines]
    assert len(lines) > 40
    assert design.engraving.left_out == ()
    steel: shapely.geometry.base.BaseGeometry = shapely.Polygon(design.ring).buffer(-1.0)
    for pin_at in design.pins:
        steel = steel.difference(shapely.Point(pin_at).buffer(10.0))
    for slot in design.slots:
        steel = steel.difference(shapely.Polygon(slot.points))
    assert all(steel.contains(line) for line in lines)


@pytest.mark.parametrize("off", [0.0, 10.0, 90.0])
def test_the_same_plate_is_engraved_the_same_way_up_whichever_way_its_edge_runs(off: float) -> None:
    one, other = (
        [p for line in designed(EMPTY, by_hand(frame=frame)).engraving.lines for p in line]
        for frame in (off, off - 180.0)
    )
    assert len(one) > 40
    assert [x for x, _ in one] == pytest.approx([x for x, _ in other])
    assert [y for _, y in one] == pytest.approx([y for _, y in other])


def test_what_there_is_no_room_for_is_named_and_the_side_up_comes_first() -> None:
    small = by_hand(
        holes=(Hole(3, 3), Hole(4, 3)),
        edges=(LocatingEdge((200.0 + 12.0, 225.0), (200.0 - 12.0, 225.0)),),
        margin=18.0,
    )
    design = designed(structs.replace(EMPTY, name="A very long name of a job indeed"), small)
    assert "A very long name of a job indeed" in design.engraving.left_out
    told = " ".join(design.worth_saying)
    assert "There is no room to engrave" in told


def test_a_letter_without_a_shape_is_engraved_as_a_square_and_named() -> None:
    told = designed(structs.replace(EMPTY, name="門"), by_hand()).worth_saying
    assert told == ("These letters are engraved as squares: 門.",)
    assert designed(structs.replace(EMPTY, name="Gate"), by_hand()).worth_saying == ()


def test_letters_are_single_strokes_and_unknown_ones_squares() -> None:
    every = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
    shapes = {tuple(strokes(letter, 6.0)) for letter in every}
    assert len(shapes) == len(every), "all differ, O and 0 too"
    for letter in every:
        points = [p for line in strokes(letter, 6.0) for p in line]
        assert all(0 <= x <= 4 and 0 <= y <= 6 for x, y in points)
        assert max(y for _, y in points) - min(y for _, y in points) == 6
    assert plain_letters("Größe é–1") == "GROSSE E-1"
    assert without_shape("gate 漢") == "漢"
    assert width("AB", 6.0) == 10.0
    assert strokes(" ", 6.0) == ()
    assert UP.isupper()


# -- on the table ----------------------------------------------------------------------------------


def test_a_plate_for_a_member_touches_it_and_nothing_is_in_its_way() -> None:
    design = for_face(FREE, FaceOf("bar", 0), PlateOptions())
    assert in_its_way(FREE, design) == ""
    after, name = with_plate(FREE, design, "keep it dry")
    placed = PlacedPieces().of(after)
    assert placed[name].fault is None
    assert placed[name].placement.note == "keep it dry"
    assert clashes(placed.values()) == ()
    found = contacts(after, placed)
    [touch] = found.pieces[name].touching
    assert touch.part == "bar"
    assert touch.length > 300.0
    piece = after.rack.piece(placed[name].placement.piece)
    assert piece.mass == pytest.approx(design.mass, abs=1e-4)
    assert (piece.owned, piece.takes) == (1, ("bolt",))
    assert [after.table.at(hole) for hole in placed[name].holes] == list(design.pins)
    assert [mount.id for mount in piece.mounts] == ["left-pin-hole", "right-pin-hole"]
    left, right = design.pins
    assert left[0] < right[0]
    # Its holes are the farthest apart that are free beside the face.
    assert design.base >= 350.0
    again, second = with_plate(after, for_face(after, FaceOf("bar", 2), PlateOptions()))
    assert second != name
    names = [one.name for one in again.rack.pieces if one.id.startswith("cut-plate")]
    assert len(set(names)) == 2


def test_uprights_make_it_touch_higher_up() -> None:
    raised = laid(bar(x=300.0, y=400.0, length=400.0, z_low=50.0))
    low, name = with_plate(raised, for_face(raised, FaceOf("bar", 0), PlateOptions()))
    assert contacts(low, PlacedPieces().of(low)).pieces[name].touching == ()
    tall, name = with_plate(raised, for_face(raised, FaceOf("bar", 0), PlateOptions(upright=90.0)))
    touching = contacts(tall, PlacedPieces().of(tall)).pieces[name].touching
    assert len(touching) == 2
    assert {one.part for one in touching} == {"bar"}


@pytest.mark.parametrize("side", [0, 2])
@pytest.mark.parametrize("around", ["face and end", "end and both faces"])
def test_a_plate_goes_round_an_end_with_an_inside_corner(side: int, around: asked.WrapKind) -> None:
    edges, main, _ = edges_for(FREE, FaceOf("bar", side), around)
    assert len(edges) == (2 if around == "face and end" else 3)
    design = for_face(FREE, FaceOf("bar", side), PlateOptions(around=around, relief=7.0))
    inside = [corner for corner in design.corners if corner.relief]
    assert [corner.relief for corner in inside] == [7.0] * (len(edges) - 1)
    after, name = with_plate(FREE, design)
    touching = contacts(after, PlacedPieces().of(after)).pieces[name].touching
    sides = {one.face for one in touching}
    assert len(sides) == 2, "the face and the end; the second face has room"
    assert edges[main].clear == 0.0
    if around == "end and both faces":
        assert sorted(edge.clear for edge in edges) == [0.0, 0.0, 0.5]


def test_the_plate_of_the_strut_keeps_clear_of_the_base() -> None:
    for square in (False, True):
        design = for_face(T06, STRUT, PlateOptions(thickness=INCH / 4, square=square))
        assert in_its_way(T06, design) == ""
        ux, uy = design.wanted.edge.along
        assert abs(math.degrees(math.atan2(uy, ux))) % 180.0 == pytest.approx(142.5, abs=1e-6)


def test_holes_can_be_chosen_and_a_taken_one_is_said() -> None:
    holes = (Hole(6, 6), Hole(12, 6))
    chosen = PlateOptions(holes=holes)
    assert for_face(FREE, FaceOf("bar", 0), chosen).wanted.holes == holes
    taken = laid(pin("pin-1", 6, 6), job=FREE)
    design = for_face(taken, FaceOf("bar", 0), chosen)
    assert "is taken by" in in_its_way(taken, design)
    free = for_face(taken, FaceOf("bar", 0), PlateOptions())
    assert Hole(6, 6) not in free.wanted.holes


def test_faces_that_no_plate_can_hold_are_refused() -> None:
    with pytest.raises(ValueError, match="not straight"):
        for_face(FREE, FaceOf("bar", 9), PlateOptions())
    short = laid(bar(x=300.0, y=400.0, length=30.0))
    with pytest.raises(ValueError, match="too little of this face"):
        for_face(short, FaceOf("bar", 0), PlateOptions())
    with pytest.raises(ValueError, match="Both ends"):
        for_face(T06, STRUT, PlateOptions(around="face and end"))
    full = laid(
        bar(x=300.0, y=400.0, length=400.0),
        structs.replace(plate("sheet", 250, 150, 500, 215), z_high=20.0),
    )
    with pytest.raises(ValueError, match="beneath a part"):
        for_face(full, FaceOf("bar", 0), PlateOptions())


def test_an_answer_of_the_angle_finder_becomes_a_plate() -> None:
    limits = AngleLimits(ways=("plate",), base_to=400.0, leg=400.0)
    wanted = read_wanted("37.5", unit=MILLIMETRES.unit)
    answer = find_angles(EMPTY.table, EMPTY.rack, wanted, limits).ranked[0]
    design = for_answer(EMPTY, answer, PlateOptions())
    assert design.base == pytest.approx(answer.base_mm)
    assert 60.0 * design.play == pytest.approx(answer.play_arcmin, rel=1e-6)
    ux, uy = design.wanted.edge.along
    assert math.degrees(math.atan2(uy, ux)) % 180.0 == pytest.approx(37.5)
    moved = for_answer(
        EMPTY, answer, PlateOptions(), tuple(Hole(h.col + 1, h.row) for h in answer.holes)
    )
    assert moved.pins[0][0] == pytest.approx(design.pins[0][0] + PITCH)
    pins = find_angles(EMPTY.table, EMPTY.rack, wanted, structs.replace(limits, ways=("pins",)))
    with pytest.raises(ValueError, match="needs no plate"):
        for_answer(EMPTY, pins.ranked[0], PlateOptions())


@pytest.mark.parametrize("degrees", [37.5, 62.0])
def test_if_the_farthest_holes_clash_nearer_ones_are_tried(degrees: float) -> None:
    job = load_job(samples()["1-market-trestle"])
    wanted, limits = read_wanted(f"{degrees:g}"), AngleLimits(ways=("plate",), top=1)
    placed = PlacedPieces().of(job)
    assert (
        answers_on(job, placed, wanted, limits).ranked == ()
    )  # something is in its way everywhere
    design = for_angle(job, wanted, limits, PlateOptions())
    assert in_its_way(job, design) == ""
    base = math.dist(*(job.table.at(hole) for hole in design.wanted.holes))
    assert 300.0 < base < 900.0
    with pytest.raises(ValueError, match=r"No plate at this angle fits on the table: It would"):
        for_angle(job, wanted, structs.replace(limits, base_from=980.0), PlateOptions())


def test_a_rack_without_pins_still_has_a_plate() -> None:
    bare = structs.replace(FREE, rack=Rack(name="bare"))
    assert pin_for(bare) is None
    design = for_face(bare, FaceOf("bar", 0), PlateOptions(holes=(Hole(6, 6), Hole(12, 6))))
    assert design.wanted.pin_diameter == bare.table.hole_diameter
    assert isinstance(bare.parts[0], Member)
