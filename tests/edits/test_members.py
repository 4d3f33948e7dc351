import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from gridjig.edits import members as edits
from gridjig.edits.members import FixedPoint, Hold, Over
from gridjig.geometry.part_outline import part_edge, part_ring
from gridjig.model import EndCut, Job, Member, require_whole
from gridjig.rack import Point
from tests.stock import ANGLE, CHANNEL, FLAT, OBLONG, SQUARE, bar
from tests.workshop import EMPTY, laid, pin, plate

MM = st.floats(-3000, 3000).map(lambda v: round(v, 3))
PLACE = st.tuples(MM, MM)
HOLDS: tuple[Hold, ...] = ("left", "centre", "right")


def placed(**more: object) -> Job:
    return edits.add(EMPTY, bar(**{"x": 100.0, "y": 200.0, "turn": 30.0, **more}))  # type: ignore[arg-type]


def the_bar(job: Job) -> Member:
    return edits.member_of(job, "bar")


@given(PLACE, PLACE, st.sampled_from(HOLDS))
def test_a_member_by_two_points_and_a_side(a: Point, b: Point, lies: Hold) -> None:
    assume(math.dist(a, b) > 1)
    made = edits.between("m", "m", SQUARE, a, b, lies=lies)
    ring = part_ring(made)
    right, left = (ring[0], ring[1]), (ring[3], ring[2])
    middle = tuple(((p[0] + q[0]) / 2, (p[1] + q[1]) / 2) for p, q in zip(right, left, strict=True))
    on_line = {"left": right, "centre": middle, "right": left}[lies]
    assert on_line[0] == pytest.approx(a, abs=1e-6)
    assert on_line[1] == pytest.approx(b, abs=1e-6)
    assert made.length == pytest.approx(math.dist(a, b))


def test_quarter_turns_are_exact() -> None:
    for b, turn in (((5, 0), 0), ((0, 5), 90), ((-5, 0), 180), ((0, -5), -90), ((5, 5), 45)):
        assert edits.between("m", "m", SQUARE, (0, 0), b).turn == turn


def test_a_member_needs_two_points_and_a_section_without_hand_is_not_mirrored() -> None:
    with pytest.raises(ValueError, match="two different points"):
        edits.between("m", "m", SQUARE, (1, 2), (1, 2))
    assert not edits.between("m", "m", SQUARE, (0, 0), (9, 0), mirrored=True).mirrored
    made = edits.between("m", "m", ANGLE, (0, 0), (9, 0), mirrored=True, way_up=90, z_low=6)
    assert (made.mirrored, made.way_up, made.z_low) == (True, 90, 6)
    assert not edits.between("m", "m", ANGLE, (0, 0), (9, 0)).mirrored


def test_adding_keeps_the_job_whole() -> None:
    job = edits.add(laid(pin("p", 2, 2)), bar())
    require_whole(job)
    with pytest.raises(ValueError, match="already"):
        edits.add(job, bar())


def test_a_plate_is_no_member() -> None:
    job = laid(plate("rib", 0, 0), pin("p", 2, 2))
    with pytest.raises(ValueError, match="rib is a plate, not a member"):
        edits.set_length(job, "rib", 100)
    for gone in ("p", "nothing"):
        with pytest.raises(KeyError):
            edits.member_of(job, gone)


@given(
    st.sampled_from(["start", "end", "middle"]),
    st.sampled_from(["centre line", "long point", "short point"]),
    st.floats(200, 4000).map(lambda v: round(v, 3)),
)
def test_setting_a_length_keeps_the_named_end(keep: FixedPoint, over: Over, length: float) -> None:
    job = placed(start=EndCut("mitre", 45), end=EndCut("mitre", -10))
    old, new = the_bar(job), the_bar(edits.set_length(job, "bar", length, keep, over))
    had = {
        "centre line": new.length,
        "long point": new.long_point,
        "short point": new.short_point,
    }
    assert had[over] == pytest.approx(length, abs=1e-6)

    def ends(m: Member) -> dict[str, Point]:
        c, s = math.cos(math.radians(m.turn)), math.sin(math.radians(m.turn))
        along = {"start": 0.0, "middle": m.length / 2, "end": m.length}
        return {k: (m.x + c * at, m.y + s * at) for k, at in along.items()}

    assert ends(new)[keep] == pytest.approx(ends(old)[keep], abs=1e-6)
    assert (new.start, new.end, new.turn) == (old.start, old.end, old.turn)


def test_a_length_that_leaves_nothing_is_refused() -> None:
    job = placed(end=EndCut("mitre", 45))
    with pytest.raises(ValueError, match="greater than 0"):
        edits.set_length(job, "bar", -1)
    with pytest.raises(ValueError, match="greater than 0"):
        edits.set_length(job, "bar", 20, over="long point")
    with pytest.raises(ValueError, match="too short"):
        edits.set_length(job, "bar", 10)


def face(job: Job, hold: Hold) -> tuple[Point, Point]:
    made = the_bar(job)
    a, b = part_edge(made, made.mill_edges[0 if hold == "right" else 1])
    return (a, b) if hold == "right" else (b, a)


@pytest.mark.parametrize("hold", ["left", "right"])
def test_making_it_wider_keeps_the_named_face(hold: Hold) -> None:
    job = placed()
    for changed in (
        edits.set_section(job, "bar", OBLONG, hold),
        edits.set_measured(job, "bar", 49.4, 50.3, hold),
        edits.set_way_up(edits.set_section(job, "bar", OBLONG, hold), "bar", 90, hold=hold),
    ):
        assert the_bar(changed).width != 50 or the_bar(changed).section is OBLONG
        for was, now in zip(face(job, hold), face(changed, hold), strict=True):
            assert now == pytest.approx(was, abs=1e-9)


def test_the_centre_line_stays_by_default() -> None:
    job = edits.set_section(placed(), "bar", OBLONG)
    assert (the_bar(job).x, the_bar(job).y) == (100, 200)


def test_another_bar_forgets_what_was_measured_and_a_hand_it_has_not() -> None:
    job = placed(section=ANGLE, mirrored=True, measured=(59.0, 0.0))
    assert the_bar(edits.set_section(job, "bar", ANGLE)).measured == (59, 0)
    other = the_bar(edits.set_section(job, "bar", FLAT))
    assert (other.measured, other.mirrored) == ((0, 0), False)
    for hand in (True, False):
        as_it_was = edits.set_section(placed(section=CHANNEL, mirrored=hand), "bar", ANGLE)
        assert the_bar(as_it_was).mirrored == hand
    assert the_bar(edits.set_way_up(job, "bar", 90)).mirrored
    assert not the_bar(edits.set_way_up(job, "bar", 90, mirrored=False)).mirrored
    assert not the_bar(edits.set_way_up(placed(), "bar", 90, mirrored=True)).mirrored


def test_height_and_cuts() -> None:
    job = edits.set_z(placed(), "bar", 12.5)
    assert (the_bar(job).z_low, the_bar(job).z_high) == (12.5, 62.5)
    job = edits.set_cut(job, "bar", "start", EndCut("mitre", 30))
    job = edits.set_cut(job, "bar", "end", EndCut("mitre", -15))
    assert (the_bar(job).start.angle, the_bar(job).end.angle) == (30, -15)
    assert edits.cut_of(the_bar(job), "start").angle == 30
    assert edits.set_z(job, "bar", 12.5) is job


def test_a_notch() -> None:
    job = edits.notch(placed(), "bar", "end", "right", 30, 20)
    assert the_bar(job).end == EndCut("notch", 0.0, 0.0, 30, 20, "right")
    job = edits.notch(job, "bar", "end", "left", 10, 20)
    assert the_bar(job).end.side == "left"
    with pytest.raises(ValueError, match="longer than the member"):
        edits.notch(job, "bar", "end", "left", 500, 20)
    with pytest.raises(ValueError, match="wider than the member"):
        edits.notch(job, "bar", "end", "left", 10, 50)
    mitred = edits.set_cut(job, "bar", "end", EndCut("mitre", 45))
    with pytest.raises(ValueError, match="cut the end square first"):
        edits.notch(mitred, "bar", "end", "left", 10, 20)
