"""The input of the angle finder, as one value."""

import math

import pytest
from msgspec import structs

from gridjig.angle.question import (
    KEEP_OFF,
    ON_A_JOB,
    AngleQuestion,
    FaceRoom,
    along_room,
    bases_within,
    box_region,
    face_room,
    leg_of,
    limits_entered,
    middle_of,
    region_round,
    taken_holes,
    usual_leg,
)
from gridjig.model import EndCut, FaceOf, Hole, Member, Section
from gridjig.solve.angles.answers import AngleLimits
from gridjig.solve.angles.faults import AngleFault, AskedWrong, BasesSwapped, JointsTakeFace
from gridjig.units import Display
from tests.trials.layout import INCH, empty, load, with_members
from tests.workshop import EMPTY, laid, pin, plate, stop

MM = Display(unit="millimetres")


@pytest.mark.source("method", "plane geometry: complement and mirror of an angle")
def test_typed_angles_and_picked_ones_are_swapped_alike() -> None:
    typed = AngleQuestion(text="30").wanted("millimetres")
    assert (typed.angle_deg, typed.complement, typed.mirror) == pytest.approx((30, 60, 150))
    for complement, mirror, line in (
        (False, False, 30),
        (True, False, 60),
        (False, True, 150),
        (True, True, 120),
    ):
        for question in (
            AngleQuestion(text="30", complement=complement, mirror=mirror),
            AngleQuestion(edge=30.0, complement=complement, mirror=mirror),
            AngleQuestion(faces=(0.0, 30.0), complement=complement, mirror=mirror),
        ):
            assert question.wanted("millimetres").angle_deg == pytest.approx(line)
    assert AngleQuestion(faces=(20.0, 50.0), mirror=True).wanted("millimetres").angle_deg == (
        pytest.approx(170)
    )
    half = AngleQuestion(faces=(20.0, 50.0), share="included").wanted("millimetres")
    assert half.angle_deg == pytest.approx(35)  # the bisector of their angle
    assert (half.drawn, half.typed, half.halved) == (15, 30, True)
    assert (half.origin, half.base) == ("face", 20)
    assert AngleQuestion(edge=50.0, share="included").wanted("inch decimals").angle_deg == 25.0


def test_where_it_is_measured_from_is_passed_on() -> None:
    plumb = AngleQuestion(text="15", origin="table y").wanted("millimetres")
    assert plumb.angle_deg == pytest.approx(75)
    face = AngleQuestion(text="15", origin="face", face=30.0, share="included").wanted(
        "millimetres"
    )
    assert face.angle_deg == pytest.approx(37.5)
    with pytest.raises(AngleFault) as fault:
        AngleQuestion(text="much").wanted("millimetres")
    assert fault.value.field == "wanted"


def test_the_job_adds_what_is_taken_and_used() -> None:
    job = laid(pin("a", 2, 2), stop("s", 5, 5))
    limits = AngleQuestion(text="30", limits=AngleLimits(leg=500.0, angle_class="B")).limits_on(
        job, near=(1.0, 2.0)
    )
    assert limits.taken == {Hole(2, 2), Hole(5, 5), Hole(6, 5)} == taken_holes(job)
    assert dict(limits.used)["pin"] == 1
    assert dict(limits.used)["bolt"] == 2
    assert (limits.leg, limits.angle_class, limits.near) == (500.0, "B", (1.0, 2.0))
    assert isinstance(limits, AngleLimits)


@pytest.mark.expectation(30, 85)
def test_bases_the_wrong_way_round_are_refused_with_both_lengths() -> None:
    with pytest.raises(AngleFault) as fault:
        limits_entered(MM, base_from=300.0, base_to=200.0)
    assert fault.value.field == "base_to"
    assert fault.value.reason == BasesSwapped(300.0, 200.0)
    assert limits_entered(MM, base_from=300.0).base_to == math.inf


def test_the_leg_of_a_part_is_its_length() -> None:
    assert leg_of(plate("p", 10, 20, 300, 40)) == pytest.approx(300)
    tube = Section(name="SHS 50x3", kind="square tube", width=50, height=50, wall=3)
    assert leg_of(Member(id="m", name="m", section=tube, length=700)) == pytest.approx(700)
    assert middle_of(plate("p", 10, 20, 300, 40)) == pytest.approx((160, 40))
    assert box_region((0, 1), (2, 3)) == ((0, 1), (2, 1), (2, 3), (0, 3))


def room_of(part: str, side: int, clear: float) -> FaceRoom:
    """The room along a side of the strut bracket; all in inches except the points."""
    job = with_members(empty(load("T06")), load("T06"))
    of = next(p.id for p in job.parts if p.name == part)
    found = face_room(job.parts, FaceOf(of, side), (0.0, 0.0), (9.0, 0.0), clear * INCH)
    stretches = tuple((low / INCH, high / INCH) for low, high in found.stretches)
    return FaceRoom(found.a, found.b, stretches, found.joints, found.clear / INCH)


@pytest.mark.source(
    "method", "trial weldment T06, reckoned by hand: the strut's edges 20.9774 and 19.0226 in"
)
def test_along_a_strut_the_pins_keep_off_both_of_its_joints() -> None:
    for side, edge in ((1, 19.0226), (3, 20.9774)):
        for clear in (1.0, 4.5):
            found = room_of("S strut", side, clear)
            assert (found.joints, found.clear) == (2, clear)
            assert math.dist(found.a, found.b) / INCH == pytest.approx(edge, abs=1e-3)
            (stretch,) = found.stretches
            assert stretch == pytest.approx((clear, edge - clear), abs=1e-3)
    assert room_of("S strut", 1, 9.6).stretches == ()
    assert room_of("S strut", 0, 1.0).stretches == ()  # the seat itself


@pytest.mark.source(
    "method", "trial weldment T06, reckoned by hand: the seat at 4.768 to 7.232 of 28 in"
)
def test_a_face_with_a_joint_in_its_middle_leaves_two_stretches() -> None:
    back = room_of("B base", 2, 1.0)
    assert back.joints == 1
    left, right = back.stretches  # counted from the right end, where this side begins
    assert left == pytest.approx((0.0, 28 - 8.232), abs=1e-3)
    assert right == pytest.approx((28 - 3.768, 28.0), abs=1e-3)
    (left,) = room_of("B base", 2, 6.0).stretches
    assert left == pytest.approx((0.0, 14.768), abs=1e-3)
    front = room_of("B base", 0, 1.0)
    assert front.joints == 0
    (whole,) = front.stretches
    assert whole == pytest.approx((0.0, 28.0))


def test_the_room_follows_the_part_and_what_is_gone_keeps_its_place() -> None:
    one = plate("p", 10, 20, 300, 40)
    off = structs.replace(one, x=one.x + 5.0, y=one.y + 7.0)
    at = face_room((off,), FaceOf("p", 0), (10.0, 20.0), (310.0, 20.0), 25.0)
    assert (at.a, at.b) == ((15.0, 27.0), (315.0, 27.0))
    for of in (FaceOf("q", 0), None):
        lost = face_room((one,), of, (1.0, 2.0), (4.0, 6.0), 25.0)
        assert lost == FaceRoom((1.0, 2.0), (4.0, 6.0), ((0.0, 5.0),), 0, 25.0)
    assert KEEP_OFF == {True: 25.0, False: 25.4}


def test_what_is_left_open_is_as_it_usually_is() -> None:
    assert limits_entered(MM) == AngleLimits(leg=1000.0, display=MM)
    assert limits_entered(Display()).leg == 36 * 25.4 == usual_leg(Display())
    entered = limits_entered(MM, leg=400.0, shorter_leg=200.0, base_from=50.0, base_to=300.0)
    assert (entered.leg, entered.shorter_leg) == (400.0, 200.0)
    assert (entered.base_from, entered.base_to) == (50.0, 300.0)
    assert limits_entered(MM, leg=400.0, within_leg=True).base_to == 400.0
    assert structs.replace(ON_A_JOB, only_left=False) == AngleLimits()
    assert ON_A_JOB.only_left


@pytest.mark.parametrize(
    ("lengths", "field", "why"),
    [
        ({"base_to": 0.0}, "base_to", "no longest base"),
        ({"base_from": 0.0, "base_to": -5.0}, "base_to", "no longest base"),
        ({"base_from": -5.0}, "base_from", "shortest base below 0"),
        ({"leg": 0.0}, "leg", "no leg"),
        ({"leg": 0.0, "base_to": 0.0}, "leg", "no leg"),
        ({"shorter_leg": -1.0}, "shorter_leg", "no shorter leg"),
    ],
)
@pytest.mark.parametrize("within_leg", [True, False])
def test_impossible_limits_are_reported_at_their_field(
    lengths: dict[str, float], field: str, why: str, within_leg: bool
) -> None:
    with pytest.raises(AngleFault) as fault:
        limits_entered(MM, within_leg=within_leg, **lengths)
    assert fault.value.field == field
    assert isinstance(fault.value.reason, AskedWrong)
    assert fault.value.reason.what == why


def test_left_open_no_base_is_longer_than_the_leg() -> None:
    assert bases_within(math.inf, None, None) == (0.0, math.inf)
    assert bases_within(500.0, None, None) == (0.0, 500.0)
    assert bases_within(500.0, 900.0, None) == (900.0, 900.0)
    assert bases_within(500.0, 100.0, 800.0) == (100.0, 800.0)


def test_holes_are_searched_within_a_pitch_of_the_selection() -> None:
    assert region_round(EMPTY.table, [(100, 200), (300, 250)]) == box_region((50, 150), (350, 300))
    with pytest.raises(AngleFault) as caught:
        region_round(EMPTY.table, [])
    assert caught.value.field == "region"
    assert caught.value.reason == AskedWrong("nothing selected")


def test_pins_along_a_face_stand_on_what_its_joints_leave() -> None:
    room = FaceRoom((0, 0), (500, 0), ((50, 200),), 1, 25.0)
    along = along_room(EMPTY, room, "left", None)
    assert (along.side, along.least, along.most, along.stretches) == ("left", 0, 75, ((50, 200),))
    assert along_room(EMPTY, room, "left", 20.0).most == 20
    with pytest.raises(AngleFault) as caught:
        along_room(EMPTY, structs.replace(room, stretches=()), "left", None)
    assert caught.value.reason == JointsTakeFace(25.0)


@pytest.mark.source("method", "plane geometry: a bar of 50 mm, cut at 45 degrees at its end")
def test_the_room_of_a_bar_has_both_of_its_long_faces() -> None:
    section = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3)
    bar = Member(
        id="bar", name="bar", section=section, length=400.0, end=EndCut("mitre", 45.0), x=100.0
    )
    right, left = bar.mill_edges
    ends = ((100.0, -25.0), (475.0, -25.0))
    room = face_room((bar,), FaceOf("bar", right), *ends, 0.0)
    assert (room.a, room.b) == ends
    assert room.width == pytest.approx(50.0)
    [(low, high)] = room.beyond  # the other face is longer by twice half the width
    assert (low, high) == pytest.approx((0.0, 425.0))
    other = face_room((bar,), FaceOf("bar", left), *ends, 0.0)
    assert other.width == pytest.approx(50.0)
    assert [high - low for low, high in other.beyond] == [pytest.approx(375.0)]
    sawn = face_room((bar,), FaceOf("bar", 1 if right != 1 else 3), *ends, 0.0)
    assert sawn.beyond == ()
    block = plate("block", 0.0, 0.0)
    assert face_room((block,), FaceOf("block", 0), (0, 0), (1, 0), 0.0).beyond == ()
