"""Places on the table, compared with an independent scan and applied to the weldment itself."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs

from gridjig.edits import weldment
from gridjig.files.library.assets import rack_for
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import FaceOf, Hole, HoleMark, Job, Member
from gridjig.sheets.text.places_text import tried_words
from gridjig.solve.layout.faults import (
    LayoutFault,
    LayoutReason,
    NotAStop,
    NothingToPlace,
    TooManyLines,
)
from gridjig.solve.layout.places import WeldmentPlace, weldment_places
from gridjig.solve.layout.remainders import remainders, the_stop
from gridjig.words.layout_fault_text import layout_fault_text
from tests.solve.weldments import bar, frame, job_of
from tests.trials.keyed import KEYED
from tests.workshop import RACK, TABLE, plate

JOB = structs.replace(job_of(*frame()), rack=rack_for(TABLE))
STEP = 0.25


def off_grid(job: Job) -> int:
    """Lines of outer faces off the grid, counted from the faces as they lie."""
    return sum(one.left > 0.005 for one in remainders(job).found if one.line.outer)


def scan(job: Job, turn: float, flip: bool) -> int:
    """The fewest lines off the grid over all shifts by eighths of a millimetre: no smart step."""
    about = weldment.middle(job)
    if flip:
        job = weldment.flip(job, about, (about[0], about[1] + 1))
    job = weldment.turn(job, turn, about)
    stop = the_stop(job.rack)
    lines = [one.line for one in remainders(job).found if one.line.outer]
    best = {}
    for axis, first in (("x", TABLE.first_x), ("y", TABLE.first_y)):
        mine = [line for line in lines if line.axis == axis]
        best[axis] = min(
            sum(
                min(left % 50, -left % 50) > 1e-6
                for line in mine
                for left in (line.sign * (first - line.at - n * STEP / 2) - stop.face,)
            )
            for n in range(round(100 / STEP))
        )
    return best["x"] + best["y"]


@pytest.mark.source(
    "method", "independent scan of every shift by eighths of a millimetre within a pitch"
)
@settings(max_examples=25)
@given(
    st.integers(0, 199),
    st.integers(0, 199),
    st.integers(40, 400),
    st.sampled_from([0, 90, 180, 270]),
    st.booleans(),
)
def test_no_shift_leaves_fewer_faces_off_the_grid(
    x: int, y: int, length: int, turn: int, flip: bool
) -> None:
    parts = (
        bar("a", 200 + x * STEP, 200 + y * STEP, 300),
        bar("b", 200 + x * STEP + 20, 220 + y * STEP, length * STEP + 100, 90),
        bar("c", 260 + x * STEP + 20, 220 + y * STEP, 80, 90),
    )
    job = structs.replace(JOB, parts=parts)
    found = weldment_places(job, turns=(turn,), flips=flip, linear_class="A", top=100)
    best = min(put.off for put in found.found if put.flipped == flip)
    assert best == scan(job, turn, flip)


@settings(max_examples=25)
@given(st.floats(0, 50), st.floats(0, 50), st.integers(0, 7))
def test_what_is_said_of_a_place_is_so_once_it_is_taken(dx: float, dy: float, k: int) -> None:
    job = weldment.move(JOB, dx, dy)
    found = weldment_places(job, top=8)
    require_so(job, found.found[k % len(found.found)])
    require_so(job, found.now)


def require_so(job: Job, put: WeldmentPlace) -> None:
    there = weldment.put(job, put)
    left = sorted(round(one.left, 3) for one in remainders(there).found if one.line.outer)
    assert left == pytest.approx(sorted(put.left), abs=0.006)
    assert off_grid(there) == put.off
    blocked = [one for one in remainders(there).found if one.line.outer and not one.holes]
    assert len(blocked) == put.blocked
    box = bounds(p for part in there.parts for p in part_ring(part))
    over = max(-box[0], -box[1], box[2] - TABLE.width, box[3] - TABLE.depth, 0.0)
    assert put.over == pytest.approx(over, abs=1e-6)


def test_parity_a_part_that_fits_the_holes_needs_no_packing() -> None:
    job = structs.replace(JOB, parts=(bar("a", 111, 222, 400), bar("b", 131, 242, 210, 90)))
    found = weldment_places(job)
    assert found.now.off == 4
    best = found.found[0]
    assert (best.off, best.packed) == (0, 0)
    assert found.shifts > len(found.found)


def test_a_critical_face_comes_before_everything() -> None:
    face = FaceOf("front", 2)
    job = structs.replace(weldment.move(JOB, 7, 9), critical=(face,))
    found = weldment_places(job, flips=False)
    assert found.now.critical_off == 1
    for put in found.found[:2]:
        assert put.critical_off == 0
        there = weldment.put(job, put)
        (one,) = (r for r in remainders(there).found if r.line.critical)
        assert one.left == pytest.approx(0, abs=0.005)


def test_blocked_holes_and_edges_are_kept_clear_of() -> None:
    marks = tuple(
        HoleMark(Hole(col, row), "blocked") for col in range(8) for row in range(TABLE.rows)
    )
    table = structs.replace(TABLE, marks=marks)
    job = structs.replace(JOB, table=table)
    found = weldment_places(job, turns=(0,), flips=False)
    assert found.now.blocked > 0
    best = found.found[0]
    assert (best.blocked, best.over) == (0, 0)
    there = weldment.put(job, best)
    assert min(p[0] for part in there.parts for p in part_ring(part)) > 8 * 50
    assert best.dx > 0


def test_what_hangs_over_is_brought_onto_the_table() -> None:
    job = weldment.move(JOB, 900, 0)
    found = weldment_places(job, turns=(0, 90), flips=False)
    assert found.now.over == pytest.approx(200)
    assert found.found[0].over == 0


def test_too_large_a_weldment_hangs_over_as_little_as_can_be() -> None:
    job = structs.replace(JOB, parts=(bar("a", 0, 220, 3000),))
    best = weldment_places(job, turns=(0,), flips=False).found[0]
    assert best.over >= (3000 - TABLE.width) / 2


def test_the_answer_is_the_same_each_time_and_says_how_much_was_looked_at() -> None:
    one, other = weldment_places(JOB), weldment_places(structs.replace(JOB))
    assert one == other
    assert one.places <= one.shifts
    ranks = [(p.critical_off, p.blocked, p.packed, p.off) for p in one.found]
    assert ranks == sorted(ranks)
    assert {put.turn for put in weldment_places(JOB, turns=(90,)).found} == {90}


def test_inner_faces_on_request() -> None:
    assert len(weldment_places(JOB, inner=True).lines) > len(weldment_places(JOB).lines)


def test_more_lines_than_can_be_compared_are_refused_with_the_figures(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    lines = len(weldment_places(JOB).lines)
    monkeypatch.setattr("gridjig.solve.layout.places.MOST_LINES", lines)
    assert len(weldment_places(JOB).lines) == lines
    monkeypatch.setattr("gridjig.solve.layout.places.MOST_LINES", lines - 1)
    with pytest.raises(LayoutFault) as fault:
        weldment_places(JOB)
    assert fault.value.reason == TooManyLines(lines, lines - 1)


def test_what_cannot_be_placed() -> None:
    assert why_not(structs.replace(JOB, parts=())) == NothingToPlace("no weldment")
    slope = structs.replace(JOB, parts=(bar("a", 100, 220, 400, 30),))
    assert why_not(slope) == NothingToPlace("no face along the grid")
    no_stops = tuple(p for p in RACK.pieces if p.kind == "shim")
    bare = structs.replace(RACK, pieces=no_stops)
    assert why_not(structs.replace(JOB, rack=bare)) == NotAStop("", RACK.name)


def why_not(job: Job) -> LayoutReason:
    with pytest.raises(LayoutFault) as fault:
        weldment_places(job)
    return fault.value.reason


def test_a_table_of_one_row_has_no_hole_for_a_stop_of_two_pins_behind() -> None:
    table = structs.replace(TABLE, rows=1)
    best = weldment_places(structs.replace(JOB, table=table), turns=(0,), flips=False).found[0]
    assert best.blocked >= 2


def test_a_critical_face_across_the_grid_is_reported() -> None:
    parts = (*frame(), bar("slope", 250, 300, 100, 30))
    job = structs.replace(JOB, parts=parts, critical=(FaceOf("slope", 0),))
    assert weldment_places(job).slanting == 1
    both = structs.replace(job, critical=(FaceOf("slope", 0), FaceOf("slope", 2)))
    assert weldment_places(both).slanting == 2


def test_where_nothing_is_better_the_best_packs_as_many() -> None:
    stop = the_stop(JOB.rack)
    here = 200.0 + stop.face  # both long sides and both ends a whole number of pitches apart
    job = structs.replace(JOB, parts=(bar("a", here, here + 20, 450.0 - 2 * stop.face),))
    found = weldment_places(job, turns=(0,), flips=False)
    assert found.now.packed == found.found[0].packed
    moved = weldment_places(weldment.move(job, 13, 17), turns=(0,), flips=False)
    assert moved.now.packed > moved.found[0].packed
    assert moved.orientations == 1
    assert weldment_places(job, turns=(0, 90), flips=False).orientations == 2


@pytest.mark.parametrize(("dx", "dy"), [(0, 700), (0, -260), (-180, 0), (950, 640)])
def test_over_any_edge_it_is_brought_back(dx: float, dy: float) -> None:
    job = weldment.move(JOB, dx, dy)
    found = weldment_places(job, turns=(0, 90), flips=False)
    box = bounds(p for part in job.parts for p in part_ring(part))
    over = max(-box[0], -box[1], box[2] - TABLE.width, box[3] - TABLE.depth)
    assert found.now.over == pytest.approx(over)
    for put in found.found:
        there = bounds(p for part in weldment.put(job, put).parts for p in part_ring(part))
        hangs = max(-there[0], -there[1], there[2] - TABLE.width, there[3] - TABLE.depth, 0.0)
        assert put.over == pytest.approx(hangs, abs=1e-6)
        assert hangs < 1e-6


@pytest.mark.parametrize("parts", [(bar("a", 213, -57, 1300, 90),), (bar("a", -33, 333, 1500),)])
def test_the_overhang_of_what_is_too_large_is_right(parts: tuple[Member, ...]) -> None:
    job = structs.replace(JOB, parts=parts)
    found = weldment_places(job, turns=(0,), top=40).found
    assert len(found) == 12
    for put in found:
        require_so(job, put)


@settings(max_examples=20)
@given(
    st.sampled_from([0, 90, 180, 270]),
    st.booleans(),
    st.lists(
        st.tuples(st.integers(0, 22), st.integers(0, 18)), min_size=80, max_size=220, unique=True
    ),
    st.integers(0, 5),
)
def test_the_number_of_stops_without_a_hole_is_right(
    turn: int, over: bool, shut: list[tuple[int, int]], k: int
) -> None:
    """With random holes blocked, the number of stops without a hole is right, however turned."""
    marks = tuple(HoleMark(Hole(*at), "blocked") for at in shut)
    job = structs.replace(JOB, table=structs.replace(TABLE, marks=marks))
    found = weldment_places(job, turns=(turn,), flips=over, top=6)
    require_so(job, found.found[k % len(found.found)])
    require_so(job, found.now)


@pytest.mark.source("method", "boxes of the parts after the weldment is put there")
def test_no_place_is_offered_that_another_weldment_takes() -> None:
    wall = plate("wall", 0, 0, 1200, 900)
    free = weldment_places(JOB)
    _, y0, x1, y1 = bounds(p for part in JOB.parts for p in part_ring(part))
    beside = plate("wall", x1 + 1.0, y0, 300, y1 - y0)
    found = weldment_places(JOB, others=[beside], top=200)
    assert len(found.found) > 0
    assert found.places < free.places
    assert found.taken == free.places - found.places
    assert "another weldment lies there" in tried_words(found)
    assert "another weldment" not in tried_words(free)
    for put in found.found:
        box = bounds(p for part in weldment.put(JOB, put).parts for p in part_ring(part))
        assert box[2] <= x1 + 1.01 or box[1] >= y1 - 0.01 or box[3] <= y0 + 0.01
    with pytest.raises(LayoutFault) as caught:
        weldment_places(JOB, others=[wall])
    assert "taken by another weldment" in layout_fault_text(caught.value.reason)


@pytest.mark.source("method", "symmetry: half an inch either way brings one side onto the grid")
def test_of_equal_places_the_one_with_the_datum_faces_on_the_grid_comes_first() -> None:
    """36 in wide on 2 in centres: either side can touch a stop without packing, never both."""
    job = weldment.move(KEYED["T02"](), -12.7, 0.0)
    first, second = weldment_places(job, turns=(0,), flips=False).found[:2]
    assert (first.dx, second.dx) == pytest.approx((12.7, -12.7))
    assert (first.packed, first.pieces, first.thickness) == pytest.approx(
        (second.packed, second.pieces, second.thickness)
    )
    for put, on_the_grid in ((first, True), (second, False)):
        after = remainders(weldment.put(job, put))
        end = after.datum.end
        assert end is not None
        assert (end.axis, end.sign) == ("x", -1)
        (left,) = [
            one.left for one in after.found if any(face.of == end.of for face in one.line.faces)
        ]
        assert (left < 0.005) == on_the_grid
