"""Mitres, butts, trims and copes in any direction, compared with plane geometry."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs
from shapely import LineString, Point, Polygon

from gridjig.edits import joining
from gridjig.edits import members as edits
from gridjig.edits.joining import face_line, mitred, trimmed
from gridjig.edits.members import centre_line
from gridjig.geometry.lines import through
from gridjig.geometry.part_outline import part_edge, part_ring
from gridjig.model import EndCut, Job, Member, Section, Weldment
from tests.stock import BAR, FLAT, OBLONG, ROUND, SQUARE, bar
from tests.workshop import EMPTY, laid, plate

TURN = st.floats(-180, 180).map(lambda v: round(v, 2))


def wide(width: float) -> Section:
    return structs.replace(FLAT, width=width)


def towards(
    name: str, turn: float, length: float, section: Section, *, flipped: bool = False
) -> Member:
    """A bar that leaves the corner at (300, 200) in a direction; flipped, it ends there instead."""
    x, y = 300.0, 200.0
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    far = (x + length * c, y + length * s)
    a, b = ((x, y), far) if not flipped else (far, (x, y))
    return edits.between(name, name, section, a, b)


def cut_at_corner(member: Member) -> EndCut:
    """The cut at the end nearer to the corner."""
    at = centre_line(member).how_far((300.0, 200.0))
    return member.start if at < member.length / 2 else member.end


def plan(member: Member) -> Polygon:
    return Polygon(part_ring(member))


@pytest.mark.source(
    "method", "plane geometry: tan a1 = (w2 + w1 cos J) / (w1 sin J), reckoned apart"
)
@pytest.mark.parametrize(
    ("w1", "w2", "included", "a1", "a2"),
    [
        (1, 3, 90, 71.565, 18.435),
        (1.5, 1.5, 90, 45, 45),
        (1.5, 1.5, 120, 30, 30),
        (1.5, 1.5, 60, 60, 60),
    ],
)
def test_saw_angles_of_a_mitre(w1: float, w2: float, included: float, a1: float, a2: float) -> None:
    one, other = mitred(
        towards("a", 0, 60, wide(w1)), towards("b", included, 60, wide(w2), flipped=True)
    )
    assert abs(cut_at_corner(one).angle) == pytest.approx(a1, abs=5e-4)
    assert abs(cut_at_corner(other).angle) == pytest.approx(a2, abs=5e-4)


@pytest.mark.source("method", "plane geometry: the mitre formula; shapely 2.1 for the common side")
@given(
    TURN,
    st.floats(40, 150),
    st.sampled_from([1, -1]),
    st.floats(20, 80),
    st.floats(20, 80),
    st.booleans(),
    st.booleans(),
)
def test_mitred_ends_meet_on_one_line(
    turn: float, included: float, side: int, w1: float, w2: float, flip1: bool, flip2: bool
) -> None:
    one = towards("a", turn, 900, wide(w1), flipped=flip1)
    other = towards("b", turn + side * included, 900, wide(w2), flipped=flip2)
    a, b = mitred(one, other)
    j = math.radians(included)
    for cut, mine, its in ((cut_at_corner(a), w1, w2), (cut_at_corner(b), w2, w1)):
        wanted = math.degrees(math.atan2(its + mine * math.cos(j), mine * math.sin(j)))
        assert abs(cut.angle) == pytest.approx(abs(wanted), abs=1e-6)
    assert plan(a).intersection(plan(b)).area < 1e-3
    shared = plan(a).buffer(1e-6).intersection(plan(b).buffer(1e-6))
    edge = w1 / math.cos(math.radians(cut_at_corner(a).angle))
    assert shared.length / 2 == pytest.approx(edge, abs=1e-3)


@given(TURN, st.floats(40, 150), st.booleans(), st.booleans())
def test_mitring_or_butting_twice_changes_nothing(
    turn: float, included: float, flip1: bool, flip2: bool
) -> None:
    one = towards("a", turn, 900, SQUARE, flipped=flip1)
    other = towards("b", turn + included, 900, OBLONG, flipped=flip2)
    for join in (joining.mitred, joining.butted):
        once = join(one, other)
        assert len(once) == 2
        for was, now in zip(once, join(*once), strict=True):
            assert now.length == pytest.approx(was.length, abs=2e-6)
            assert (now.start.angle, now.end.angle) == pytest.approx(
                (was.start.angle, was.end.angle), abs=1e-6
            )


@pytest.mark.source("library", "shapely 2.1", "the union has the outline of one running through")
@given(TURN, st.floats(60, 120), st.booleans())
def test_a_butted_corner_closes_and_the_other_way_too(
    turn: float, included: float, flip: bool
) -> None:
    one = towards("a", turn, 900, SQUARE)
    other = towards("b", turn + included, 900, OBLONG, flipped=flip)
    a, b = joining.butted(one, other)
    c, d = joining.butted(other, one)
    assert plan(a).intersection(plan(b)).area < 1e-3
    both, swapped = plan(a).union(plan(b)), plan(c).union(plan(d))
    assert both.buffer(1e-5).symmetric_difference(swapped.buffer(1e-5)).area < 0.1
    assert plan(a).area > plan(d).area
    assert both.buffer(1e-6).geom_type == "Polygon"


@given(TURN, st.floats(10, 170), st.sampled_from([80, 900]), st.booleans())
def test_trimmed_ends_lie_on_the_face_and_trimming_twice_changes_nothing(
    turn: float, included: float, length: float, flip: bool
) -> None:
    """A short one is extended, a long one cut; the other end stays."""
    header = towards("h", turn, 900, SQUARE)
    member = towards("m", turn + included, length, BAR, flipped=flip)
    try:
        made = trimmed(member, header)
    except ValueError as said:
        assert length == 80
        assert re.search("too short|inside h", str(said))  # noqa: PT017
        return
    assert plan(made).intersection(plan(header)).area < 1e-3
    near = made.start if not flip else made.end
    assert abs(near.angle) == pytest.approx(abs(90 - included), abs=1e-6)
    again = trimmed(made, header)
    assert again.length == pytest.approx(made.length, abs=2e-6)
    assert (again.start, again.end) == (made.start, made.end)
    assert (again.x, again.y) == pytest.approx((made.x, made.y), abs=2e-6)


def square_job() -> Job:
    job = edits.add(EMPTY, structs.replace(bar(), id="h", name="header"))
    post = edits.between("post", "post", SQUARE, (250, 400), (250, 60))
    return edits.add(job, post)


def corner_x(job: Job, thing: str) -> list[float]:
    return sorted(round(y, 6) for _, y in part_ring(edits.member_of(job, thing)))


def test_trim_takes_the_first_face_or_the_one_that_is_named() -> None:
    job = square_job()
    near = joining.trim(job, "post", "h")
    assert corner_x(near, "post") == [25, 25, 400, 400]
    far = joining.trim(job, "post", "h", face=0)
    assert corner_x(far, "post") == [-25, -25, 400, 400]


def test_trim_takes_the_end_that_is_inside_though_the_other_was_meant() -> None:
    brace = edits.between("brace", "brace", SQUARE, (0, 0), (400, 400))
    post = edits.between("post", "post", SQUARE, (400, -500), (400, 900))
    meant = trimmed(brace, post, end="end")
    assert meant.length < brace.length - post.width / 2
    assert trimmed(brace, post, end="start") == meant
    inside = edits.between("i", "i", SQUARE, (395, 0), (405, 400))
    with pytest.raises(ValueError, match="is inside post; move it out first"):
        trimmed(inside, post, end="start")


def test_trim_to_a_plate_takes_the_side_that_is_really_crossed() -> None:
    job = edits.add(laid(plate("p", 200, -30)), bar())
    job = edits.set_length(job, "bar", 900)
    cut = joining.trim(job, "bar", "p", end="end")
    assert edits.member_of(cut, "bar").length == 200
    other = joining.trim(job, "bar", "p", end="start")
    assert edits.member_of(other, "bar").x == pytest.approx(300)
    assert edits.member_of(joining.trim(job, "bar", "p"), "bar").x == pytest.approx(300)
    past = edits.add(laid(plate("p", 200, 330)), bar())
    with pytest.raises(ValueError, match="does not meet p"):
        joining.trim(past, "bar", "p")
    assert edits.member_of(joining.trim(past, "bar", "p", face=1), "bar").length == 300


def test_a_cut_along_a_line() -> None:
    made = joining.cut_along(bar(), "end", through((400, -50), (450, 0)))
    assert (made.length, made.end.angle) == pytest.approx((450, 45))
    line = LineString([(400, -50), (500, 50)])
    for corner in part_ring(made)[1:3]:
        assert line.distance(Point(corner)) < 1e-6


def test_job_edits_change_both_members_and_nothing_else() -> None:
    job = laid(plate("rib", 900, 900), job=square_job())
    for made in (joining.mitre(job, "h", "post"), joining.butt(job, "post", "h")):
        assert [p.id for p in made.parts] == ["h", "post", "rib"]
        assert made.parts[2] is job.parts[2]
        assert made.parts[0] != job.parts[0]
        assert made.parts[1] != job.parts[1]


def test_faces_are_lines_on_the_table() -> None:
    made = towards("a", 33, 500, SQUARE)
    for side, k in (("right", 0), ("left", 1)):
        line = face_line(made, side)  # type: ignore[arg-type]
        edge = part_edge(made, made.mill_edges[k])
        assert len(edge) == 2
        for p in edge:
            assert abs(line.off(p)) < 1e-9


def header(section: Section = ROUND, z: float = 0.0) -> Member:
    return edits.between("h", "header", section, (0, 0), (600, 0), z_low=z)


def test_a_cope_fits_round_the_header_at_its_angle() -> None:
    job = edits.add(EMPTY, header())
    strut = edits.between("s", "strut", BAR, (300, 0), (500, 200), z_low=14.15)
    job = joining.cope(edits.add(job, strut), "s", "h")
    made = edits.member_of(job, "s")
    assert made.start.kind == "cope"
    assert (abs(made.start.angle), made.start.around) == pytest.approx((45, 48.3))
    # The nominal end is where the centre line meets the side of the header.
    assert centre_line(made).at == pytest.approx((300 + 24.15, 24.15))
    again = joining.cope(job, "s", "h", end="start")
    assert edits.member_of(again, "s") == made


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: joining.coped(bar(), header(SQUARE)), "header is not round"),
        (lambda: joining.coped(bar(BAR), header(z=5)), "the same height"),
        (
            lambda: joining.coped(
                edits.between("m", "m", SQUARE, (300, 0), (300, 400)), header(z=0.85)
            ),
            "taller than the tube",
        ),
        (lambda: mitred(bar(), bar(name="other")), "bar and other are parallel, so they form no"),
        (lambda: joining.butted(bar(), bar(turn=180)), "are parallel"),
        (lambda: trimmed(bar(), bar(y=300)), "does not meet"),
        (
            lambda: mitred(towards("a", 0, 900, SQUARE), towards("b", 4, 900, SQUARE)),
            "almost parallel",
        ),
        (
            lambda: trimmed(
                edits.between("m", "m", SQUARE, (10, 0), (300, 0)),
                edits.between("h", "h", SQUARE, (-20, -90), (-20, 90)),
                end="end",
            ),
            "does not meet h",
        ),
        (
            lambda: joining.cut_along(bar(), "end", face_line(bar(turn=90, x=-60), "left")),
            "nothing would be left of bar",
        ),
    ],
)
def test_impossible_edits_are_refused_with_a_sentence(make: object, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        make()  # type: ignore[operator]


def test_a_member_is_not_joined_to_itself() -> None:
    job = square_job()
    for edit in (joining.trim, joining.mitre, joining.butt, joining.cope):
        with pytest.raises(ValueError, match="choose two"):
            edit(job, "h", "h")


def test_trimming_to_a_parallel_member_tries_its_end() -> None:
    with pytest.raises(ValueError, match="are parallel or it points past it"):
        trimmed(bar(), bar(y=100, name="other"))


def test_parts_of_two_weldments_are_not_joined() -> None:
    """They would be cut to fit one another, and no joint between them would be listed."""
    one, other = towards("a", 0, 400, SQUARE), towards("b", 90, 400, SQUARE)
    job = structs.replace(
        laid(one, structs.replace(other, weldment="w2")),
        weldments=(Weldment(id="weldment-1", name="Gate"), Weldment(id="w2")),
    )
    words = re.escape("a and b are parts of two weldments, Gate and Weldment 2; to join them")
    for join in (joining.trim, joining.mitre, joining.butt, joining.cope):
        with pytest.raises(ValueError, match=words):
            join(job, "a", "b")
    together = structs.replace(job, parts=(one, other))
    assert joining.mitre(together, "a", "b") is not together
