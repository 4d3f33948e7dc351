"""Whole set-ups: each is verified by another reckoning, and proved."""

import time
from functools import cache
from itertools import pairwise

import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec import structs

from gridjig.model import Hole, HoleMark, Job
from gridjig.model.titles import title
from gridjig.proof.report import prove
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.suggest.search import suggest
from gridjig.suggest.values import Suggestion, Weights, Wishes
from gridjig.units.progress import Cancelled, Progress
from tests.suggest.answers import PLENTY, first, made
from tests.suggest.verifier import Body, faults, overlap
from tests.trials.keyed import KEYED

ANYWHERE = Wishes(seconds=PLENTY)
HERE = structs.replace(ANYWHERE, move=False)
TRIALS = ("T01", "T02", "T04", "T06", "T08", "T10")


@cache
def answer(trial: str) -> Suggestion:
    return first(KEYED[trial](), move=False)


def stops_of(job: Job) -> list[str]:
    report = prove(job, PlacedPieces().of(job))
    return [one.what for one in report.findings if one.level == "stop"]


def require_good(found: Suggestion) -> None:
    assert found.alternatives, found.none_because
    for one in found.alternatives:
        assert faults(one.job) == []
        assert stops_of(one.job) == []
        assert len(one.added) == one.pieces
        assert {why.placement for why in one.why} == set(one.added)
        assert one.bound <= one.score


@pytest.mark.source("method", "poses, overlaps, contacts and rank reckoned anew from the job")
@pytest.mark.parametrize("trial", TRIALS)
def test_every_trial_gets_a_set_up_that_holds_what_it_promises(trial: str) -> None:
    require_good(answer(trial))


@pytest.mark.parametrize("trial", ["T01", "T04"])
def test_nothing_is_missing_where_the_rack_suffices(trial: str) -> None:
    found = answer(trial).alternatives[0]
    assert [lack.words for lack in found.missing if lack.kind != "end"] == []
    assert found.report.located is not None
    assert all(one.located != "loose" for one in found.report.located.parts)


def test_each_member_of_the_frame_has_two_stops_far_apart_and_a_clamp() -> None:
    found = answer("T01").alternatives[0]
    assert len(found.job.parts) == 4
    for part in found.job.parts:
        kinds = [why.kind for why in found.why if why.part == part.id]
        assert kinds.count("long face") == 2
        assert kinds.count("clamp") == 1
        assert all(title(found.job, part.id) in w.words for w in found.why if w.part == part.id)


def test_a_raised_brace_stands_on_two_stacks() -> None:
    found = answer("T04").alternatives[0]
    brace = next(part for part in found.job.parts if part.z_low > 0.0)
    kinds = [why.kind for why in found.why if why.part == brace.id]
    assert kinds.count("support") == 2


@pytest.mark.untraced
def test_what_the_rack_lacks_is_said() -> None:
    """The machine base needs more stops, clamps and risers than the starter rack has."""
    missing = answer("T10").alternatives[0].missing
    assert {"clamp", "support"} <= {lack.kind for lack in missing}
    assert any("the rack has no more" in lack.words for lack in missing)


# -- random weldments ------------------------------------------------------------------------------


@pytest.mark.source("method", "poses, overlaps, contacts and rank reckoned anew from the job")
@settings(max_examples=2)
@given(
    st.floats(300, 600),
    st.floats(260, 500),
    st.sampled_from(["mitred", "front and back run through", "each runs past the next"]),
)
@pytest.mark.untraced
def test_random_frames(wide: float, deep: float, corners: str) -> None:
    require_good(first(made("frame", {"width": wide, "depth": deep}, {"corners": corners})))


@pytest.mark.source("method", "poses, overlaps, contacts and rank reckoned anew from the job")
@settings(max_examples=2)
@given(st.floats(400, 550), st.floats(400, 550), st.floats(150, 260), st.floats(150, 260))
@pytest.mark.untraced
def test_random_brackets(upright: float, arm: float, up: float, out: float) -> None:
    numbers = {"upright": upright, "arm": arm, "up": up, "out": out}
    require_good(first(made("bracket", numbers), move=False))


@pytest.mark.source("method", "poses, overlaps, contacts and rank reckoned anew from the job")
@settings(max_examples=2)
@given(st.floats(400, 600), st.floats(450, 650), st.floats(120, 250))
@example(600.0, 638.0, 174.0)  # an arm along a leg, 0.04 mm into it
@pytest.mark.untraced
def test_random_a_frames(spread: float, height: float, bar: float) -> None:
    numbers = {"spread": spread, "height": height, "bar": bar}
    require_good(first(made("a-frame", numbers), move=False))


@pytest.mark.source("method", "two boxes side by side, one moved into the other by a known depth")
@pytest.mark.parametrize(("depth", "found"), [(0.0, False), (0.05, False), (0.08, True), (5, True)])
def test_the_verifier_tells_contact_from_overlap(depth: float, found: bool) -> None:
    one, other = shapely.box(0, 0, 300, 50), shapely.box(0, 50 - depth, 300, 90)
    assert overlap(Body(one, 0.0, 20.0), Body(other, 0.0, 40.0)) is found
    assert not overlap(Body(one, 0.0, 20.0), Body(other, 20.0, 40.0))


# -- what is asked for -----------------------------------------------------------------------------


def small() -> Job:
    return made("frame", {"width": 400.0, "depth": 300.0}, {"corners": "sides run through"})


@pytest.mark.untraced
def test_several_are_distinct_the_best_first_and_told_as_they_are_found() -> None:
    told: list[Suggestion] = []
    found = suggest(small(), Wishes(seconds=PLENTY, move=False, alternatives=2), found=told.append)
    require_good(found)
    assert found.ended
    assert len(found.alternatives) == 2
    best, other = found.alternatives
    assert best.score <= other.score
    assert len(set(best.sorts) - set(other.sorts)) >= 2  # not the same pieces in other holes
    assert told
    assert told[0].alternatives[0].score >= best.score
    again = suggest(small(), Wishes(seconds=PLENTY, move=False, alternatives=2))
    assert [one.job for one in again.alternatives] == [one.job for one in found.alternatives]


def test_what_stands_is_kept_and_the_rest_is_added() -> None:
    whole = answer("T01").alternatives[0].job
    begun = structs.replace(whole, placements=whole.placements[::2])
    found = first(begun, keep=True)
    require_good(found)
    made_of = found.alternatives[0].job
    assert made_of.placements[: len(begun.placements)] == begun.placements
    assert made_of.parts == begun.parts
    assert 0 < found.alternatives[0].pieces < len(whole.placements)


@pytest.mark.untraced
def test_forbidden_holes_are_left_free() -> None:
    job = small()
    used = {
        seat.hole for p in first(job, move=False).alternatives[0].job.placements for seat in p.seats
    }
    forbidden = frozenset(sorted(used)[:4])
    found = first(job, move=False, forbidden=forbidden)
    require_good(found)
    holes = {seat.hole for p in found.alternatives[0].job.placements for seat in p.seats}
    assert not holes & forbidden
    assert Hole(0, 0) not in forbidden


@pytest.mark.untraced
def test_without_a_weight_for_what_is_loose_nothing_more_than_needed_is_set() -> None:
    job = small()
    cheap = first(job, move=False, weights=Weights(loose=0.0))
    dear = first(job, move=False)
    require_good(cheap)
    assert cheap.alternatives[0].pieces < dear.alternatives[0].pieces


def test_cancelling_keeps_what_was_told() -> None:
    told: list[Suggestion] = []
    with pytest.raises(Cancelled):
        suggest(small(), HERE, Progress(is_cancelled=lambda: bool(told)), told.append)
    assert len(told) == 1
    require_good(told[0])


def test_the_time_is_kept_even_before_there_is_an_answer() -> None:
    start = time.process_time()
    found = suggest(KEYED["T06"](), Wishes(seconds=0.1))
    assert not found.ended
    assert time.process_time() - start < 1.0
    if not found.alternatives:
        assert found.none_because == (
            "The time was up before a set-up had been found: allow more.",
        )


@pytest.mark.untraced
def test_it_can_be_cancelled_at_any_moment() -> None:
    """Between two looks at whether it is cancelled there is 0.2 s of work at the most.

    The limit here is wider: the processor's time counts every thread, and a busy machine slows it.
    """
    first(small(), move=False)  # what is loaded once
    looked = [time.process_time()]
    told: list[Suggestion] = []

    def cancelled() -> bool:
        looked.append(time.process_time())
        return bool(told) and len(looked) > 1000

    with pytest.raises(Cancelled):
        suggest(small(), HERE, Progress(is_cancelled=cancelled), told.append)
    gaps = [b - a for a, b in pairwise(looked)]
    assert len(gaps) >= 1000
    assert max(gaps) < 1.0


# -- none ------------------------------------------------------------------------------------------


def test_an_empty_table_says_what_to_do() -> None:
    job = structs.replace(small(), parts=())
    assert suggest(job).none_because == (
        "There is no weldment yet: draw or import its parts first.",
    )


@pytest.mark.untraced
def test_without_stops_it_says_why_there_is_none() -> None:
    job = small()
    bare = tuple(
        p if p.kind in ("shim", "riser", "locking pin", "clamp") else structs.replace(p, owned=0)
        for p in job.rack.pieces
    )
    found = suggest(structs.replace(job, rack=structs.replace(job.rack, pieces=bare)), ANYWHERE)
    assert found.alternatives == ()
    assert any("Nothing locates" in why for why in found.none_because)
    assert any(why.startswith("It can be set up with ") for why in found.none_because)


def test_it_says_which_forbidden_holes_would_help() -> None:
    """All holes are forbidden, so the one demand to drop is that."""
    job = small()
    every = frozenset(Hole(c, r) for c in range(job.table.columns) for r in range(job.table.rows))
    found = suggest(job, structs.replace(HERE, forbidden=every))
    assert found.alternatives == ()
    assert any("if these holes may be used: " in why for why in found.none_because)


def test_it_says_which_marked_holes_would_help() -> None:
    job = small()
    every = (Hole(c, r) for c in range(job.table.columns) for r in range(job.table.rows))
    marks = tuple(HoleMark(hole=hole, state="blocked") for hole in every)
    found = suggest(structs.replace(job, table=structs.replace(job.table, marks=marks)), ANYWHERE)
    assert found.alternatives == ()
    assert any("if these marked holes are made good: " in why for why in found.none_because)


@pytest.mark.untraced
def test_work_over_the_edge_can_be_moved_in() -> None:
    job = small()
    off = structs.replace(
        job, parts=tuple(structs.replace(part, x=part.x - 800.0) for part in job.parts)
    )
    found = suggest(off, HERE)
    assert found.alternatives == ()
    assert any("if the work is moved " in why for why in found.none_because)
