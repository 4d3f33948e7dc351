from gridjig.edits.placements import set_pose
from gridjig.edits.selection import shift
from gridjig.model import Job
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.core.refusals import first_refusal, newly_refused
from tests.workshop import laid, pin, put, seat

TWO = laid(pin("a", 3, 3), pin("b", 3, 6))


def both(job: Job, changed: Job) -> tuple[str | None, str | None]:
    placed_pieces = PlacedPieces().of(job)
    return (
        first_refusal(job, placed_pieces, changed, {"b"}),
        newly_refused(job, placed_pieces, changed, {"b"}),
    )


def test_what_stands_well_is_refused_a_bad_place() -> None:
    first, newly = both(TWO, shift(TWO, {"b"}, 0, -3))
    assert first is not None
    assert "taken" in first
    assert newly == first
    assert both(TWO, shift(TWO, {"b"}, 1, 0)) == (None, None)


def test_what_stands_badly_already_may_go_anywhere() -> None:
    clashing = laid(pin("a", 3, 3), pin("b", 3, 3), pin("c", 9, 9))
    first, newly = both(clashing, shift(clashing, {"b"}, 6, 6))
    assert first is not None
    assert newly is None
    slid = laid(pin("a", 3, 3), put("b", "slider", seat("s", 3, 3)))
    assert both(slid, set_pose(slid, "b", slide=5.0))[1] is None
