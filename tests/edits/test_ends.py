"""Ends with several cuts: a post pointed between two rafters, compared with plane geometry."""

import contextlib
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs
from shapely import Polygon

from gridjig.edits import joining
from gridjig.edits.ends import cuts_of, drop_cut, set_more
from gridjig.edits.joining import mitred
from gridjig.edits.joints import set_datum
from gridjig.edits.members import add, between, member_of, set_cut
from gridjig.geometry.part_mass import load
from gridjig.geometry.part_outline import part_edge, part_ring
from gridjig.model import Datum, EndCut, FaceOf, Job, Member, SawCut, Section
from gridjig.solve.weldment.joints import joints
from tests.stock import FLAT, ROUND, SQUARE
from tests.workshop import EMPTY

PITCH = math.degrees(math.atan2(4, 12))  # a roof of 4:12
SPAN, SEAT = 1200.0, 50.0


def truss(section: Section = FLAT, pitch: float = PITCH, at: float = SPAN / 2) -> Job:
    """A tie along x, two rafters mitred at the ridge, and a post drawn past them with square ends.

    The rafters' centre lines rise from (0, 50) and (1200, 50); the post stands at x = `at`.
    """
    rise = math.tan(math.radians(pitch))
    ridge = (SPAN / 2, SEAT + rise * SPAN / 2)
    left, right = mitred(
        between("l", "Left rafter", section, (0, SEAT), ridge),
        between("r", "Right rafter", section, (SPAN, SEAT), ridge),
    )
    post = between("p", "King post", section, (at, 25), (at, 60))
    tie = between("t", "Tie", section, (0, 0), (SPAN, 0))
    job = EMPTY
    for part in (tie, left, right, post):
        job = add(job, part)
    return job


def pointed(job: Job) -> Job:
    for rafter in ("l", "r"):
        job = joining.trim(job, "p", rafter, end="end")
    return job


def post_of(job: Job) -> Member:
    return member_of(job, "p")


def plan(member: Member) -> Polygon:
    return Polygon(part_ring(member))


@pytest.mark.source("method", "plane geometry of a roof of 4:12, by hand")
def test_a_post_trimmed_to_both_rafters_is_pointed_between_them() -> None:
    post = post_of(pointed(truss()))
    assert [round(abs(cut.angle), 4) for cut in cuts_of(post, "end")] == [18.4349, 18.4349]
    # The lower face of a rafter is 25 mm below its centre line, square to it: 25 / cos = 26.3523
    # lower at the post's centre line, where the ridge is 1200 / 2 * 4 / 12 = 200 above the seat.
    tip = SEAT + 200 - 25 / math.cos(math.radians(PITCH)) - 25
    assert post.length == pytest.approx(tip, abs=1e-5)
    assert post.long_point == pytest.approx(tip, abs=1e-5)
    assert post.short_point == pytest.approx(tip - 25 * 4 / 12, abs=1e-5)
    corners = [(round(x - tip, 4), round(y, 4)) for x, y in post.corners]
    assert corners == [
        (round(-tip, 4), -25.0),
        (-8.3333, -25.0),
        (0.0, 0.0),
        (-8.3333, 25.0),
        (round(-tip, 4), 25.0),
    ]


@pytest.mark.source("method", "area by hand: a rectangle and a triangle, 6 mm thick, 7850 kg/m3")
def test_the_mass_of_a_pointed_post_by_hand() -> None:
    post = post_of(pointed(truss()))
    short = post.short_point
    area = 50 * short + 50 * (25 * 4 / 12) / 2
    found = load(post)
    assert found.mass == pytest.approx(area * 6 * 7850e-9, rel=1e-9)
    along = (50 * short * short / 2 + 50 * (25 / 3) / 2 * (short + 25 / 9)) / area
    assert (found.x, found.y) == pytest.approx((SPAN / 2, 25 + along), abs=1e-6)


@pytest.mark.source("library", "shapely 2.1", "areas of intersections")
@given(st.floats(10, 50), st.floats(-40, 40), st.sampled_from([FLAT, SQUARE]))
def test_it_touches_both_and_overlaps_neither_wherever_it_stands(
    pitch: float, aside: float, section: Section
) -> None:
    job = truss(section, round(pitch, 3), SPAN / 2 + round(aside, 3))
    if abs(aside) < 20:
        job = pointed(job)
        assert len(cuts_of(post_of(job), "end")) == 2
    else:
        near, far = ("l", "r") if aside < 0 else ("r", "l")
        job = joining.trim(job, "p", near, end="end")
        if abs(aside) > 25:
            with pytest.raises(ValueError, match="does not reach"):
                joining.trim(job, "p", far, end="end")
        else:
            with contextlib.suppress(ValueError):
                job = joining.trim(job, "p", far, end="end")
    post = post_of(job)
    if abs(aside) < 20 or abs(aside) > 25:
        for rafter in ("l", "r"):
            assert plan(post).intersection(plan(member_of(job, rafter))).area < 1e-2
    touching = {joint.a for joint in joints(job.parts) if joint.b == "p" and joint.kind == "edge"}
    if abs(aside) < 20:
        assert touching - {"t"} == {"l", "r"}


def test_trimming_again_replaces_its_own_cut_and_keeps_the_other() -> None:
    job = pointed(truss())
    assert pointed(job).parts == job.parts
    raised = structs.replace(member_of(job, "l"), y=member_of(job, "l").y - 10)
    lower = structs.replace(job, parts=tuple(raised if p.id == "l" else p for p in job.parts))
    again = joining.trim(lower, "p", "l", end="end")
    post = post_of(again)
    assert len(cuts_of(post, "end")) == 2
    assert plan(post).intersection(plan(raised)).area < 1e-3
    assert plan(post).intersection(plan(member_of(again, "r"))).area < 1e-3
    assert joining.trim(again, "p", "l", end="end").parts == again.parts


def test_an_end_is_extended_to_a_face_beyond_what_it_lies_against() -> None:
    near = between("n", "near", SQUARE, (0, 200), (600, 200))
    far = between("f", "far", SQUARE, (0, 400), (600, 400))
    post = between("p", "post", SQUARE, (300, 0), (300, 100))
    job = EMPTY
    for part in (near, far, post):
        job = add(job, part)
    job = joining.trim(job, "p", "n", end="end")
    assert post_of(job).length == 175
    job = joining.trim(job, "p", "f", end="end")
    assert (post_of(job).length, len(cuts_of(post_of(job), "end"))) == (375, 1)


def test_a_cut_is_removed_and_the_end_is_what_the_others_leave() -> None:
    job = pointed(truss())
    first, second = cuts_of(post_of(job), "end")
    for index, left in ((0, second), (1, first)):
        made = post_of(drop_cut(job, "p", "end", index))
        assert cuts_of(made, "end") == (left,)
        assert len(made.corners) == 4
    with pytest.raises(ValueError, match="at least one cut"):
        drop_cut(drop_cut(job, "p", "end", 0), "p", "end", 0)


def test_the_start_is_pointed_like_the_end() -> None:
    job = truss()
    down = structs.replace(post_of(job), y=150, turn=-90)
    job = structs.replace(job, parts=(*job.parts[:3], down))
    for rafter in ("l", "r"):
        job = joining.trim(job, "p", rafter, end="start")
    post = post_of(job)
    up = post_of(pointed(truss()))
    assert [abs(cut.angle) for cut in cuts_of(post, "start")] == pytest.approx([PITCH, PITCH])
    tips = [max(y for _, y in part_ring(one)) for one in (post, up)]
    assert tips[0] == pytest.approx(tips[1], abs=1e-5)


def test_more_cuts_than_an_end_takes_and_cuts_that_take_nothing_are_refused() -> None:
    job = pointed(truss())
    for angle, past in ((60.0, 0.0), (-60.0, 0.0)):
        with_one = set_more(job, "p", "end", 1, angle, past)
        assert len(post_of(with_one).corners) > 4
    with pytest.raises(ValueError, match="takes nothing off"):
        set_more(job, "p", "end", 1, 0.0, 30.0)
    full = job
    for index, past in ((1, -2.0), (2, -12.0)):
        full = set_more(full, "p", "end", index, 0.0 if index == 1 else 45.0, past)
    with pytest.raises(ValueError, match="4 cuts at most"):
        set_more(full, "p", "end", 3, 70.0, -20.0)


def test_the_datum_stays_on_the_left_face_when_the_end_becomes_pointed() -> None:
    job = truss()
    left = post_of(job).mill_edges[1]
    job = set_datum(job, Datum(long=FaceOf("p", left), end=FaceOf("p", 0)))
    made = pointed(job)
    long, end = made.datum.long, made.datum.end
    assert long is not None
    assert end == FaceOf("p", 0)
    assert long.side == post_of(made).mill_edges[1] != left
    assert {x for x, _ in part_edge(post_of(made), long.side)} == {575.0}
    back = set_cut(made, "p", "end", EndCut()).datum.long
    assert back == FaceOf("p", left)


def test_a_coped_end_keeps_its_cope_when_it_is_trimmed_to_another_part() -> None:
    pipe = between("pipe", "pipe", ROUND, (0, 300), (600, 300))
    post = between(
        "p",
        "post",
        Section(name="Ø30", kind="round bar", width=30, height=30),
        (300, 0),
        (300, 200),
        z_low=9.15,
    )
    wall = between("w", "wall", SQUARE, (375.6, 28), (315.4, 372.8))
    job = EMPTY
    for part in (pipe, post, wall):
        job = add(job, part)
    job = joining.trim(joining.cope(job, "p", "pipe", "end"), "p", "w", end="end")
    cut = post_of(job).end
    assert (cut.kind, len(cut.more)) == ("cope", 1)
    assert plan(post_of(job)).intersection(plan(member_of(job, "w"))).area < 0.1


def test_the_mirror_image_of_a_point_leans_the_other_way() -> None:
    cut = EndCut("mitre", 20, more=(SawCut(-40, 3),))
    assert cut.opposite == EndCut("mitre", -20, more=(SawCut(40, 3),))
    assert cut.opposite.opposite == cut
