from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.edits import selection as edits
from gridjig.model import Datum, FaceOf, Hole, Weld, Weldment, require_whole
from tests.workshop import PITCH, laid, pin, plate, stop

JOB = laid(stop("s", 3, 3), pin("p", 10, 10), plate("bar", 100, 100), plate("rib", 300, 50))
IDS = st.frozensets(st.sampled_from(["s", "p", "bar", "rib", "gone"]))
STEP = st.integers(-30, 30)


@given(IDS, STEP, STEP)
def test_a_shift_there_and_back_is_nothing(ids: frozenset[str], dx: int, dy: int) -> None:
    there = edits.shift(JOB, ids, dx, dy)
    require_whole(there)
    assert edits.shift(there, ids, -dx, -dy) == JOB
    if not (ids - {"gone"}) or (dx, dy) == (0, 0):
        assert there is JOB
    for old, new in zip(JOB.placements, there.placements, strict=True):
        if old.id not in ids:
            assert new is old
        for was, now in zip(old.seats, new.seats, strict=True):
            by = (dx, dy) if old.id in ids else (0, 0)
            assert now.hole == (was.hole.col + by[0], was.hole.row + by[1])
    for part, gone in zip(JOB.parts, there.parts, strict=True):
        by = (dx, dy) if part.id in ids else (0, 0)
        assert (gone.x, gone.y) == (part.x + by[0] * PITCH, part.y + by[1] * PITCH)


@given(st.lists(st.tuples(st.permutations("abcdef"), st.integers(1, 6)), min_size=2, max_size=6))
def test_a_thing_is_found_wherever_it_stands_by_now(orders: list[tuple[list[str], int]]) -> None:
    for order, count in orders:  # each another job, with some of the things in another order
        job = laid(*(pin(name, 2 * k, 0) for k, name in enumerate(order[:count])))
        for name in "abcdef":
            moved = edits.shift(job, {name}, 0, 5)
            at = {p.id: p.seats[0].hole for p in moved.placements}
            standing = {n: Hole(2 * k, 5 if n == name else 0) for k, n in enumerate(order[:count])}
            assert at == standing


def test_what_is_shifted_together_keeps_together() -> None:
    job = edits.shift(JOB, {"s", "bar"}, 2, -1)
    assert [s.hole for s in job.placements[0].seats] == [Hole(5, 2), Hole(6, 2)]
    assert (job.parts[0].x, job.parts[0].y) == (100 + 2 * PITCH, 100 - PITCH)
    assert job.parts[0].corners is JOB.parts[0].corners
    assert edits.shift(JOB, {"s"}, 1, 0).parts is JOB.parts
    alone = edits.shift(JOB, {"bar"}, 1, 0)
    assert alone.placements is JOB.placements
    assert [part.x for part in alone.parts] == [100 + PITCH, 300]


def test_outlines_move_by_any_distance_and_pieces_stay_in_their_holes() -> None:
    job = edits.shift_parts(JOB, {"s", "bar"}, 1.5, -0.5)
    assert (job.parts[0].x, job.parts[0].y) == (101.5, 99.5)
    assert job.placements is JOB.placements
    assert edits.shift_parts(JOB, {"s"}, 1.5, 0) is JOB
    assert edits.shift_parts(JOB, {"bar"}, 0, 0) is JOB


@given(IDS)
def test_what_is_removed_is_gone_and_the_rest_untouched(ids: frozenset[str]) -> None:
    job = edits.remove(JOB, ids)
    assert job.placements == tuple(p for p in JOB.placements if p.id not in ids)
    assert job.parts == tuple(o for o in JOB.parts if o.id not in ids)
    assert all(any(new is old for old in JOB.placements) for new in job.placements)
    if not ids - {"gone"}:
        assert job is JOB


@given(IDS, STEP, STEP)
def test_copies_have_ids_of_their_own_and_removing_them_leaves_the_job(
    ids: frozenset[str], dx: int, dy: int
) -> None:
    job, made = edits.copy(JOB, ids, dx, dy)
    require_whole(job)
    assert len(made) == len(ids - {"gone"})
    assert edits.remove(job, made) == JOB
    if not made:
        assert job is JOB


def test_an_array_counts_the_ones_that_stand() -> None:
    job, made = edits.array(JOB, {"p"}, 3, 2, 2, 3)
    require_whole(job)
    assert len(made) == 5
    holes = {p.seats[0].hole for p in job.placements if p.id in made} | {Hole(10, 10)}
    assert holes == {Hole(10 + 2 * i, 10 + 3 * j) for i in range(3) for j in range(2)}
    assert edits.array(JOB, {"p"}, 1, 1, 2, 2) == (JOB, frozenset())


def test_welds_and_datum_go_with_their_parts() -> None:
    job = structs.replace(
        laid(plate("web", 0, 0), job=JOB),
        welds=(Weld(a="bar", b="rib"), Weld(a="rib", b="web")),
        weldments=(
            Weldment(id="weldment-1", datum=Datum(long=FaceOf("bar", 0), end=FaceOf("rib", 1))),
        ),
        critical=(FaceOf("bar", 2), FaceOf("web", 0)),
    )
    left = edits.remove(job, {"bar"})
    assert left.welds == (Weld(a="rib", b="web"),)
    assert left.weldments[0].datum == Datum(end=FaceOf("rib", 1))
    assert left.critical == (FaceOf("web", 0),)
    assert edits.remove(job, {"p"}).welds is job.welds
