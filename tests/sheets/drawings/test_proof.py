"""What a report found, drawn: each drawing by itself, with signs that need no colour."""

import math

import pytest
from msgspec import structs

from gridjig.edits.allowances import add_point
from gridjig.geometry.display import Arc, DisplayList, Polyline, Symbol, TextLabel
from gridjig.model import ChosenPoint, Job
from gridjig.proof.access.values import AccessState
from gridjig.proof.report import ProofReport, prove
from gridjig.sheets.drawings.proof import ENLARGED, NOTHING_DRAWN, draw_proof
from gridjig.sheets.drawings.proof_kinds import ProofDrawing
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import layout, without
from tests.trials.layout import single

NAMES: tuple[ProofDrawing, ...] = ("motion", "reactions", "errors", "torch", "ways out")


def proved(job: Job) -> ProofReport:
    return prove(job, PlacedPieces().of(job))


JOB = layout("T01")
REPORT = proved(JOB)


def drawn(name: ProofDrawing, job: Job = JOB, report: ProofReport = REPORT) -> DisplayList:
    return draw_proof(job, report, frozenset([name]))


def test_nothing_is_drawn_unless_it_is_wanted() -> None:
    assert draw_proof(JOB, REPORT, frozenset()) == ()
    every = draw_proof(JOB, REPORT, frozenset(NAMES))
    assert sum(len(drawn(name)) for name in NAMES) == len(every)
    assert all(drawn(name) for name in NAMES)


def test_nothing_is_drawn_without_a_report_and_each_drawing_says_why() -> None:
    bare = structs.replace(REPORT, located=None, held=None, exact=None, access=None, out=None)
    assert draw_proof(JOB, bare, frozenset(NAMES)) == ()
    assert set(NOTHING_DRAWN) == set(NAMES)


def test_every_locator_has_its_reaction_with_its_unit() -> None:
    shapes = drawn("reactions")
    assert REPORT.held is not None
    told = [shape.text for shape in shapes if isinstance(shape, TextLabel)]
    assert len(told) == len([s for s in shapes if isinstance(s, Symbol)])
    assert len(told) == len(REPORT.held.locators) == 6
    assert all(text.endswith((" lb", "lifts off")) for text in told)


@pytest.mark.source(
    "method", "arithmetic: the long half-axis is the worst error, enlarged as stated"
)
def test_errors_are_drawn_as_ellipses_at_a_stated_enlargement() -> None:
    shapes = drawn("errors")
    rings = [shape for shape in shapes if isinstance(shape, Polyline)]
    assert REPORT.exact is not None
    errors = [one for one in REPORT.exact.members if one.error is not None]
    assert len(rings) == len(errors) >= 2
    for one, ring in zip(errors, rings, strict=True):
        assert one.error is not None
        far = max(math.dist(one.at, p) for p in ring.points)
        assert far == pytest.approx(one.error.worst * ENLARGED, rel=0.01)
    (told,) = [s.text for s in shapes if isinstance(s, TextLabel) and "enlarged" in s.text]
    assert told == "errors enlarged 50 times"


def test_a_point_that_matters_has_a_ring_and_its_own_error_with_its_name() -> None:
    assert REPORT.exact is not None
    held = next(one.id for one in REPORT.exact.members if one.error is not None)
    job = add_point(JOB, ChosenPoint(held, 25.4, 0.0, "hinge"))
    report = proved(job)
    assert report.exact is not None
    (point,) = report.exact.points
    assert point.error is not None
    shapes = drawn("errors", job, report)
    assert Symbol(point.at, "ring", "centre") in shapes
    told = [s.text for s in shapes if isinstance(s, TextLabel)]
    assert any(text.startswith("hinge ±") for text in told)
    ring = [s for s in shapes if isinstance(s, Polyline)][-1]
    far = max(math.dist(point.at, p) for p in ring.points)
    assert far == pytest.approx(point.error.worst * ENLARGED, rel=0.01)


def test_a_torch_without_room_is_hatched_and_marked() -> None:
    assert {s.hatch for s in drawn("torch") if isinstance(s, Polyline)} == {"none"}
    crowded = single(JOB, "pin-1", "shank", "H8")
    shapes = drawn("torch", crowded, proved(crowded))
    hatches = {s.hatch for s in shapes if isinstance(s, Polyline)}
    assert hatches & {"clash", "keep out"}
    assert {s.mark for s in shapes if isinstance(s, Symbol)} & {"clash", "check"}


def test_the_ways_out_are_arrows_and_said_in_words() -> None:
    shapes = drawn("ways out")
    assert [s.text for s in shapes if isinstance(s, TextLabel)] == ["lifts straight up"]
    opened = without(JOB, *(p.name for p in JOB.placements if p.name != "A datum 1"))
    wide = drawn("ways out", opened, proved(opened))
    assert any(isinstance(s, Arc) for s in wide)
    assert len([s for s in wide if isinstance(s, Polyline)]) >= 4


def test_a_locator_that_lifts_off_is_told_by_a_sign_and_words() -> None:
    held = REPORT.held
    assert held is not None
    lifted = tuple(structs.replace(one, lifts=True) for one in held.locators)
    shapes = drawn(
        "reactions", JOB, structs.replace(REPORT, held=structs.replace(held, locators=lifted))
    )
    assert [s.text for s in shapes if isinstance(s, TextLabel)] == ["lifts off"] * 6
    assert {s.mark for s in shapes if isinstance(s, Symbol)} == {"apart"}


@pytest.mark.parametrize(
    ("state", "marks"), [("turned over", {"ring"}), ("blocked", {"clash"}), ("tight", set())]
)
def test_a_cone_looks_as_free_as_it_is(state: AccessState, marks: set[str]) -> None:
    access = REPORT.access
    assert access is not None
    joints = tuple(
        structs.replace(
            joint,
            sides=tuple(structs.replace(s, state=state, welded=True) for s in joint.sides),
        )
        for joint in access.joints
    )
    shapes = drawn(
        "torch", JOB, structs.replace(REPORT, access=structs.replace(access, joints=joints))
    )
    assert {s.mark for s in shapes if isinstance(s, Symbol)} == marks
    hatches = {s.hatch for s in shapes if isinstance(s, Polyline)}
    assert hatches == {"turned over": set(), "blocked": {"clash"}, "tight": {"keep out"}}[state]


def test_what_does_not_lift_is_marked_and_one_way_out_is_one_arrow() -> None:
    out = REPORT.out
    assert out is not None
    one = structs.replace(out.weldments[0], up=False, directions=((90.0, 90.0),))
    shapes = drawn(
        "ways out", JOB, structs.replace(REPORT, out=structs.replace(out, weldments=(one,)))
    )
    assert [s.text for s in shapes if isinstance(s, TextLabel)] == ["does not lift straight up"]
    assert [s.mark for s in shapes if isinstance(s, Symbol)] == ["clash"]
    assert [s for s in shapes if isinstance(s, Arc)] == []
    assert len([s for s in shapes if isinstance(s, Polyline)]) == 2  # its line and its head
