from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.edits import placements as edits
from gridjig.model import Job, Seat, require_whole
from tests.workshop import laid, pin, plate, put, seat, stop

Edit = Callable[[Job], Job]
JOB = laid(stop("s", 3, 3), pin("p", 10, 10), plate("bar", 100, 100))


def test_a_piece_put_down_comes_last() -> None:
    job = edits.place(JOB, pin("q", 5, 5))
    assert [p.id for p in job.placements] == ["s", "p", "q"]
    require_whole(job)


@pytest.mark.parametrize(
    ("placement", "says"),
    [
        (pin("s", 1, 1), "s is on the table already"),
        (pin("bar", 1, 1), "bar is on the table already"),
        (put("n", "no-such", seat("p", 1, 1)), "the rack has no piece no-such"),
        (put("n", "pin", seat("x", 1, 1)), "locating pin has no hole or slot x"),
        (put("n", "pin", seat("p", 1, 1), lift=("gold",)), "the rack has no piece gold"),
        (put("n", "pin", seat("p", 1, 1), packing=("gold",)), "the rack has no piece gold"),
    ],
)
def test_what_would_leave_the_job_not_whole_is_refused(placement: object, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        edits.place(JOB, placement)  # type: ignore[arg-type]


def test_each_choice_can_be_set_and_set_back() -> None:
    pairs: tuple[tuple[Edit, Edit], ...] = (
        (lambda j: edits.set_pose(j, "s", turn=90), lambda j: edits.set_pose(j, "s", turn=0)),
        (lambda j: edits.set_pose(j, "s", slide=9), lambda j: edits.set_pose(j, "s", slide=0)),
        (lambda j: edits.set_pose(j, "s", leaf=9), lambda j: edits.set_pose(j, "s", leaf=0)),
        (lambda j: edits.set_pose(j, "s", reach=9), lambda j: edits.set_pose(j, "s", reach=0)),
        (lambda j: edits.flip(j, "s"), lambda j: edits.flip(j, "s")),
        (lambda j: edits.rename(j, "s", " A "), lambda j: edits.rename(j, "s", "")),
        (lambda j: edits.set_note(j, "s", "tight"), lambda j: edits.set_note(j, "s", "")),
        (lambda j: edits.set_lift(j, "s", ("riser",)), lambda j: edits.set_lift(j, "s", ())),
        (lambda j: edits.set_packing(j, "s", ("shim",)), lambda j: edits.set_packing(j, "s", ())),
    )
    for there, back in pairs:
        changed = there(JOB)
        assert changed != JOB
        assert changed.placements[1] is JOB.placements[1]
        require_whole(changed)
        assert back(changed) == JOB


def test_lift_and_packing_are_refused_if_not_on_the_rack() -> None:
    with pytest.raises(ValueError, match="no piece gold"):
        edits.set_lift(JOB, "s", ("gold",))
    with pytest.raises(ValueError, match="no piece gold"):
        edits.set_packing(JOB, "s", ("gold",))


def test_seats_are_set_and_checked() -> None:
    seats = (seat("h1", 5, 5), seat("h2", 5, 6))
    assert edits.set_seats(JOB, "s", seats).placements[0].seats == seats
    with pytest.raises(ValueError, match="no hole or slot z"):
        edits.set_seats(JOB, "s", (seat("z", 5, 5),))


@given(turn=st.floats(-720, 720), reach=st.floats(0, 200))
def test_setting_what_is_set_gives_the_same_job(turn: float, reach: float) -> None:
    once: Job = edits.set_pose(JOB, "s", turn=turn, reach=reach)
    assert edits.set_pose(once, "s", turn=turn, reach=reach) is once
    assert edits.set_pose(once, "s") is once
    kept: tuple[Seat, ...] = once.placements[0].seats
    assert edits.set_seats(once, "s", kept) is once


@pytest.mark.source("method", "arithmetic: whole turns change no direction")
@pytest.mark.parametrize(
    ("asked", "kept"), [(360.0, 360.0), (-360.0, -360.0), (812.5, 92.5), (-725.0, -5.0)]
)
def test_more_than_a_full_turn_is_kept_without_whole_turns(asked: float, kept: float) -> None:
    job = edits.set_pose(laid(pin("a", 1, 1)), "a", turn=asked, leaf=asked)
    assert (job.placements[0].turn, job.placements[0].leaf) == (kept, kept)
