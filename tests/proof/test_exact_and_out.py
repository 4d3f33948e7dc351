"""The trial weldments laid out by hand: how exact they are, and how they come out of the jig."""

from collections.abc import Iterator

import pytest

from gridjig.checks.finding import Finding
from gridjig.contact.book import contacts
from gridjig.model import Job
from gridjig.proof.allowance.findings import allowance_findings
from gridjig.proof.allowance.report import allowance
from gridjig.proof.exact.findings import exact_findings
from gridjig.proof.exact.report import exact
from gridjig.proof.exact.values import ExactReport
from gridjig.proof.out.findings import out_findings
from gridjig.proof.out.report import out
from gridjig.proof.out.values import WeldmentOut
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import LAYOUTS, layout
from tests.trials.keyed import KEYED
from tests.trials.layout import INCH, load, with_stop

TRIALS = list(LAYOUTS)


def found_in(job: Job) -> list[Finding]:
    placed = PlacedPieces().of(job)
    met = contacts(job, placed)
    return [
        *exact_findings(job, exact(job, placed, met)),
        *out_findings(job, out(job, placed, met)),
        *allowance_findings(job, allowance(job, met)),
    ]


def exact_of(job: Job) -> ExactReport:
    placed = PlacedPieces().of(job)
    return exact(job, placed, contacts(job, placed))


def way_out(job: Job) -> WeldmentOut:
    placed = PlacedPieces().of(job)
    (one,) = out(job, placed, contacts(job, placed)).weldments
    return one


@pytest.mark.parametrize("trial", TRIALS)
def test_a_hand_made_layout_is_called_neither_inexact_nor_trapped(trial: str) -> None:
    """What is out only at the very worst, or swings, is a note."""
    job = layout(trial)
    found = found_in(job)
    assert {one.level for one in found} <= {"note"}
    assert len({one.id for one in found}) == len(found)
    every = {thing.id for thing in (*job.parts, *job.placements)}
    for one in found:
        assert one.kind in ("inexact", "allowance")
        assert one.what.endswith(".")
        assert one.do.endswith(".")
        assert every.issuperset(one.ids)
        assert one.where is not None
    way = way_out(job)
    assert way.up
    assert way.verdict == "free"


@pytest.mark.parametrize("trial", ["T01", "T02", "T04"])
@pytest.mark.source("method", "trial weldments, reckoned by hand: diagonals by Pythagoras")
def test_the_tape_reads_the_diagonals_of_the_trial(trial: str) -> None:
    checks = load(trial)["checks"]
    (square,) = exact_of(layout(trial)).squareness
    read = [square.first.nominal / INCH, square.second.nominal / INCH]
    wanted = checks.get("diag_outside", checks.get("diag_tip_to_tip"))
    assert any(value == pytest.approx(wanted, abs=5e-4) for value in read)


@pytest.mark.source("method", "trial weldments, reckoned by hand: difference of diagonals at 10′")
def test_ten_minutes_of_skew_show_as_a_difference_of_diagonals() -> None:
    (square,) = exact_of(layout("T02")).squareness
    assert square.limit_deg == 0.5
    by_ten = square.limit / INCH / 3.0
    assert by_ten == pytest.approx(load("T02")["checks"]["diag_diff_for_10min"], abs=2e-4)


@pytest.mark.source("method", "trial weldments, reckoned by hand: gaps of two pins differ by .029")
def test_pins_on_a_leg_that_are_packed_unlike_are_out_of_line() -> None:
    lines = {one.part: one for one in exact_of(layout("T08")).out_of_line}
    assert len(lines) == 2
    worst = max(lines.values(), key=lambda one: one.out)
    assert worst.out / INCH == pytest.approx(0.0289, abs=5e-4)
    assert worst.angle == pytest.approx(0.0727, abs=5e-4)
    assert worst.spacing / INCH == pytest.approx(22.8, abs=0.05)


def stops_inside() -> Iterator[tuple[str, Job]]:
    """The square frame about two adjustable stops at its inner faces, alone and in its jig."""
    for name, job in (("alone", KEYED["T01"]()), ("jigged", layout("T01"))):
        for hole, side, out_by in (("J8", "T", 1.5), ("J16", "B", 2.5)):
            stop = {"what": f"inside {hole}", "hole": hole, "side": side, "face_from_hole": out_by}
            job = with_stop(job, stop)
        yield name, job


@pytest.mark.parametrize(("name", "job"), list(stops_inside()), ids=["alone", "jigged"])
@pytest.mark.source("practice", "a part round inside locators gets tight as it shrinks")
def test_stops_inside_a_frame_trap_it_and_that_is_said_plainly(name: str, job: Job) -> None:
    one = way_out(job)
    assert one.verdict == "trapped"
    assert one.grip is not None
    names = {p.id: p.name for p in job.placements}
    assert sorted(names[k] for k in one.grip.pieces) == ["inside J16", "inside J8"]
    assert [names[off.id] for off in one.first_off if off.why == "inside"] == [
        "inside J8",
        "inside J16",
    ]
    stops = [f for f in found_in(job) if f.level == "stop"]
    assert [f.kind for f in stops] == ["trapped"]
    assert "closes on inside J8 and inside J16" in stops[0].what
    assert "It will not come off by hand." in stops[0].what
    assert "before the work cools" in stops[0].do


def test_one_stop_inside_does_not_trap() -> None:
    stop = {"what": "inside", "hole": "J8", "side": "T", "face_from_hole": 1.5}
    assert way_out(with_stop(KEYED["T01"](), stop)).verdict == "free"
