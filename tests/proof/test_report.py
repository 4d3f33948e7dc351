"""The report of everything: its verdict, what it looked at, and the trials with their traps."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs

from gridjig.checks.finding import KINDS, LEVELS, Finding
from gridjig.checks.findings import findings
from gridjig.edits.selection import shift
from gridjig.edits.shop_values import set_shop_limit
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Job
from gridjig.proof.report import NOT_PROVED, ProofReport, Prover, prove
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import LAYOUTS, layout, piece_named, without
from tests.trials.keyed import KEYED, part_named
from tests.workshop import EMPTY, laid, pin, plate


def proved(job: Job) -> ProofReport:
    return prove(job, PlacedPieces().of(job))


def said(job: Job) -> dict[str, Finding]:
    report = proved(job)
    every = {one.id: one for one in report.findings}
    assert len(every) == len(report.findings)
    return every


def test_an_empty_table_has_nothing_to_check() -> None:
    report = proved(EMPTY)
    assert (report.verdict, report.looked_at, report.findings) == ("nothing to check", (), ())


def test_what_was_looked_at_is_what_there_is() -> None:
    """Without a weldment there is nothing to locate, and without pieces no set-up."""
    pieces = proved(laid(pin("a", 3, 3)))
    assert pieces.looked_at == ("holes", "overlaps", "table edges", "the rack")
    assert pieces.located is None
    parts = proved(laid(plate("p", 300, 300)))
    assert parts.looked_at == ("overlaps", "table edges", "saw cuts")
    assert parts.verdict == "fine"
    assert proved(layout("T01")).looked_at[-2:] == ("the way out", "shrinkage")


def test_green_says_what_it_does_not_claim() -> None:
    (only,) = proved(laid(pin("a", 3, 3))).findings
    assert only.level == "fine"
    assert "qualifies nothing" in NOT_PROVED


def test_green_claims_nothing_that_a_finding_contradicts() -> None:
    job = load_job(samples()["1-market-trestle"])
    *others, fine = proved(job).findings
    assert [one.id.split("/")[0] for one in others if one.kind == "access"] == ["access", "turn"]
    assert fine.level == "fine"
    assert "comes out again" in fine.what
    assert "torch" not in fine.what
    thin = set_shop_limit(job, "torch_radius", 5.0)
    *others, fine = proved(thin).findings
    assert [one.id.split("/")[0] for one in others if one.kind == "access"] == ["turn"]
    assert "the torch gets to every weld, some once it is turned over" in fine.what


@pytest.mark.parametrize("trial", sorted(LAYOUTS))
def test_every_finding_says_what_where_and_what_to_do(trial: str) -> None:
    job = layout(trial)
    report = proved(job)
    assert len(report.findings) >= 5
    for one in report.findings:
        assert one.kind in KINDS
        assert one.level in LEVELS
        assert one.what.endswith(".")
        assert one.do.endswith(".")
        assert "  " not in one.what + one.do
        assert one.ids
        assert all(job.find(thing) for thing in one.ids)
        assert one.limit is None or not one.limit or one.source or one.unit == "pieces", one


@pytest.mark.source("practice", "trial weldments laid out by a hand: none of them has to be redone")
@pytest.mark.parametrize("trial", sorted(LAYOUTS))
def test_no_layout_of_a_hand_is_stopped(trial: str) -> None:
    report = proved(layout(trial))
    assert report.verdict == "look"
    assert [one.what for one in report.findings if one.level == "stop"] == []


@pytest.mark.source("practice", "what a naive layout of each trial gets wrong")
@pytest.mark.parametrize(
    ("trial", "mark", "words"),
    [
        ("T02", "short/stop-fixed", "short by 1"),
        ("T04", "sharp/", "meet at 45° on the inside"),
        ("T04", "gap/pin-1", 'leaves .012" open to K brace'),
        ("T06", "sharp/", "meet at 37.5° on the inside"),
        ("T06", "stands/", "falls over"),
        ("T08", "inexact/line/", "out of line"),
        ("T10", "weight/weldment-1", "weighs 52.9 lb, more than one person lifts"),
    ],
)
def test_the_trap_of_each_trial_is_found(trial: str, mark: str, words: str) -> None:
    found = [one for name, one in said(layout(trial)).items() if name.startswith(mark)]
    assert found
    assert any(words in one.what for one in found)


@pytest.mark.source(
    "method", "arithmetic: 2 x .375 + 4 x 2.375 + 2 x 4.125 = 18.5 in; 4 x 3.875 = 15.5 in"
)
def test_the_machine_base_the_right_way_up_runs_out_of_risers() -> None:
    job = KEYED["T10"]()
    job = structs.replace(job, placements=layout("T10").placements[:3])
    found = said(job)
    assert 'needs 18-1/2" of risers and the rack has 15-1/2"' in found["way up"].what
    assert found["stacks"].kind == "shortage"
    assert "no other choice of risers helps" in found["stacks"].what


def test_an_edit_gives_what_a_look_from_nothing_gives() -> None:
    """What is kept from edit to edit never shows: not in what is said, nor in its order."""
    job = layout("T04")
    prover, placed = Prover(), PlacedPieces()
    first = part_named(job, "K brace")
    steps = [
        job,
        shift(job, frozenset([piece_named(job, "Pin I12")]), 1, 0),
        without(job, "Clamp K"),
        shift(job, frozenset([first]), 0, 1),
        job,
    ]
    for step in steps:
        kept = prover.of(step, placed.of(step))
        anew = proved(step)
        assert len(anew.findings) >= 5
        assert kept.findings == anew.findings
        assert kept.verdict == anew.verdict
        assert kept.out is not None
        assert anew.out is not None
        assert kept.out.weldments == anew.out.weldments
    assert len(steps) == 5


@pytest.mark.source("method", "each report from nothing, beside the one that is kept")
@given(st.integers(0, 10**6))
@settings(max_examples=6)
def test_any_edits_give_what_a_look_from_nothing_gives(seed: int) -> None:
    """Pieces, parts or both are moved, taken away and put back: every figure stays the same."""
    rng = random.Random(seed)
    job = first = layout("T04")
    prover, placed = Prover(), PlacedPieces()
    prover.of(job, placed.of(job))
    looked = 0
    for _ in range(4):
        some = [one.id for one in (*job.placements, *job.parts)]
        moved = frozenset(rng.sample(some, rng.choice((1, 1, 2, len(some)))))
        act = rng.randrange(4)
        if act == 0:
            gone = structs.replace(job, placements=job.placements[1:])
            job = gone if len(gone.placements) > 3 else first
        else:
            job = (
                first
                if act == 1
                else shift(job, moved, rng.choice((-9, -1, 1, 9)), rng.choice((0, 1)))
            )
        kept, anew = prover.of(job, placed.of(job)), proved(job)
        assert kept.findings == anew.findings
        for room in ("located", "held", "exact", "heights", "access", "out"):
            assert repr(getattr(kept, room)) == repr(getattr(anew, room)), room
            looked += getattr(kept, room) is not None
    assert looked > 0


def test_quick_leaves_out_only_what_can_be_used_instead() -> None:
    job = layout("T02")
    quick = Prover().of(job, PlacedPieces().of(job), quick=True)
    assert quick.supply is None
    assert {one.id for one in quick.findings} == set(said(job))
    plain = next(one for one in quick.findings if one.id == "short/stop-fixed")
    assert plain.do == "Use a different piece, or correct the count on the rack."
    assert said(job)[plain.id].do.startswith("For B far 2, use ")


def test_the_checks_below_are_all_in_the_report() -> None:
    job = layout("T04")
    below = {one.id for one in findings(job, PlacedPieces().of(job)) if one.kind}
    assert len(below) >= 3
    assert below <= set(said(job))


def test_quick_leaves_substitutes_for_later_and_keeps_them_once_known() -> None:
    """With one pin owned and two placed, what else does is looked for only when there is time."""
    job = laid(pin("a", 3, 3), pin("b", 9, 9))
    few = structs.replace(job.rack.piece("pin"), owned=1)
    job = structs.replace(job, rack=job.rack.with_piece(few))
    prover, placed = Prover(), PlacedPieces().of(job)
    first = prover.of(job, placed, quick=True)
    assert first.more_to_find
    assert first.supply is None
    whole = prover.of(job, placed)
    assert whole.supply is not None
    assert not whole.more_to_find
    again = structs.replace(job, notes="Nothing else.")
    kept = prover.of(again, placed, quick=True)
    assert kept.supply is whole.supply
