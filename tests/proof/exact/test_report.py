"""How exact whole jobs are: against the exact pose of a plate on moved pins, and edit by edit."""

import math

import numpy as np
import pytest
from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.model import Accuracy, ChosenPoint, FaceOf, Job, Plate
from gridjig.proof.exact.report import Exactness, exact, whole_errors
from gridjig.proof.exact.spread import ErrorSource
from gridjig.proof.exact.values import ExactReport
from gridjig.proof.statics.rows import Floats
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.frames import jigged, rig, stops
from tests.workshop import box, laid, pin, plate

WIDE, DEEP = 400.0, 200.0


def on_pins() -> Job:
    """A plate on two pins below it and one at its left; pins have a radius of 15."""
    work = Plate(
        id="work",
        name="work",
        corners=box(0, 0, WIDE, DEEP),
        z_low=0,
        z_high=6,
        x=265.0,
        y=265.0,
    )
    return laid(work, pin("a", 5, 4), pin("b", 10, 4), pin("c", 4, 6))


def report_of(job: Job) -> ExactReport:
    one = rig(job)
    return exact(one.job, one.placed, one.contacts)


@pytest.mark.source(
    "method", "Newton steps on the distances from pins to edges, 300 random set-ups"
)
def test_a_plate_on_three_pins_against_its_exact_pose() -> None:
    one = rig(on_pins())
    kept = Exactness()
    (member,) = kept.of(one.job, one.placed, one.contacts).members
    assert member.error is not None
    assert member.angle is not None
    assert set(member.contacts) == {"a", "b", "c"}
    assert member.spacing == pytest.approx(250.0)
    measure = kept.measure_at("work", member.at)
    assert measure is not None
    random = np.random.default_rng(3)
    centres = {k: np.array(one.job.table.at(one.placed[k].holes[0])) for k in "abc"}
    far = turned = 0.0
    for _ in range(300):
        errors = {source: _random(random, source) for source in measure.sources.items}
        moved = {
            k: centres[k]
            + sum(e for source, e in errors.items() if source.size == 2 and source.key[0] == k)
            for k in "abc"
        }
        faces = {k: next(float(e[0]) for s, e in errors.items() if s.size == 1 and s.key[0] == k)
                 for k in "abc"}  # fmt: skip
        x, y, turn = _pose(moved, faces)
        px, py = member.at
        c, s = math.cos(turn), math.sin(turn)
        exactly = np.array((x + c * px - s * py - px, y + s * px + c * py - py))
        linear = measure.values @ np.concatenate(list(errors.values()))
        assert np.allclose(exactly, linear, atol=2e-3)
        far = max(far, float(np.hypot(*exactly)))
        turned = max(turned, abs(turn))
    assert member.error.rss < far < member.error.worst
    assert turned < math.radians(member.angle.worst)
    assert math.radians(member.angle.worst) == pytest.approx(2 * (0.05 + 0.1 + 0.02) / 250.0)


def _random(random: np.random.Generator, source: ErrorSource) -> Floats:
    if source.size == 1:
        return random.uniform(-source.limit, source.limit, 1)
    turn, far = random.uniform(0, math.tau), source.limit * math.sqrt(random.uniform())
    return np.array((far * math.cos(turn), far * math.sin(turn)))


def _pose(pins: dict[str, Floats], faces: dict[str, float]) -> tuple[float, float, float]:
    """The pose of the plate (about the table's zero) that touches all three pins."""
    edges = {"a": ((265.0, 265.0), (0.0, -1.0)), "b": ((265.0, 265.0), (0.0, -1.0)),
             "c": ((265.0, 265.0), (-1.0, 0.0))}  # fmt: skip
    q = np.zeros(3)

    def miss(q: Floats) -> Floats:
        c, s = math.cos(q[2]), math.sin(q[2])
        found = []
        for k, ((px, py), (nx, ny)) in edges.items():
            n = (c * nx - s * ny, s * nx + c * ny)
            p = (q[0] + c * px - s * py, q[1] + s * px + c * py)
            off = n[0] * (pins[k][0] - p[0]) + n[1] * (pins[k][1] - p[1])
            found.append(off - 15.0 - faces[k])
        return np.array(found)

    for _ in range(10):
        step = 1e-7
        now = miss(q)
        slope = np.array([(miss(q + step * e) - now) / step for e in np.eye(3)]).T
        q = q - np.linalg.solve(slope, now)
    return (float(q[0]), float(q[1]), float(q[2]))


def test_the_weldment_as_one_body_is_told_too() -> None:
    job = jigged()
    found, placed = report_of(job), PlacedPieces().of(job)
    (whole,) = whole_errors(job, placed, contacts(job, placed))
    assert whole.error is not None
    assert set(whole.contacts) == {one.id for one in stops()}
    assert found.linear == "B"
    assert found.straight == "F"
    assert {one.name for one in found.assumed} >= {"hole position", "locating face", "each shim"}
    assert all("shop value" in one.source for one in found.assumed)


def test_a_part_that_can_slide_has_an_angle_but_no_place() -> None:
    found = {one.id: one for one in report_of(jigged()).members}
    assert found["front"].error is None
    assert found["front"].angle is not None
    assert found["front"].spacing > 400.0
    loose = report_of(laid(plate("work", 265, 265), pin("a", 5, 4)))
    assert loose.members[0].error is None
    assert loose.members[0].angle is None


def test_errors_go_from_part_to_part() -> None:
    """Left stands between front and back: their errors are its errors across."""
    found = {one.id: one for one in report_of(jigged()).members}
    left = found["left"]
    assert left.error is not None
    assert {"left-1", "front", "back"} <= set(left.contacts)
    better = report_of(structs.replace(jigged(), accuracy=Accuracy(hole=0.0)))
    then = next(one for one in better.members if one.id == "left")
    assert then.error is not None
    assert then.error.worst < left.error.worst


def test_a_critical_dimension_runs_from_the_datum() -> None:
    job = structs.replace(jigged(), critical=(FaceOf("back", 2),))
    found = report_of(job)
    critical = [one for one in found.dimensions if one.kind == "critical"]
    assert [round(one.nominal, 6) for one in critical] == [410.0]
    assert critical[0].limit == 3.0
    assert critical[0].ids == ("front", "back")
    assert critical[0].error is not None
    overall = [round(one.nominal, 6) for one in found.dimensions if one.kind == "overall"]
    assert sorted(overall) == [410.0, 510.0]


@pytest.mark.source("method", "diagonals of a rectangle by Pythagoras; 4 a b sin(skew)")
def test_squareness_is_what_the_tape_reads_on_both_diagonals() -> None:
    (square,) = report_of(jigged()).squareness
    assert square.first.nominal == pytest.approx(math.hypot(510, 410))
    assert square.nominal == pytest.approx(0.0, abs=1e-9)
    assert square.limit_deg == pytest.approx(0.5)
    skewed = 4 * 510 * 410 * math.sin(math.radians(0.5))
    assert square.limit == pytest.approx(skewed / (2 * math.hypot(510, 410)))
    assert square.difference is None  # front and back can slide


def test_a_plate_keeps_its_own_size() -> None:
    found = report_of(on_pins())
    assert [one.error.worst for one in found.dimensions if one.error is not None] == [0.0, 0.0]
    (square,) = found.squareness
    assert square.difference is not None
    assert square.difference.worst == 0.0
    assert square.skew == 0.0


def test_chosen_points_are_told_by_name() -> None:
    points = (ChosenPoint("work", 390.0, 190.0, "bolt hole"), ChosenPoint("gone", 0.0, 0.0))
    found = report_of(structs.replace(on_pins(), accuracy=Accuracy(points=points)))
    (bolt,) = found.points
    assert bolt.name == "bolt hole"
    assert bolt.at == (655.0, 455.0)
    assert bolt.error is not None
    (member,) = found.members
    assert member.error is not None
    assert 0.0 < bolt.error.worst < member.error.worst


def test_an_edit_leaves_what_it_does_not_touch() -> None:
    one = rig(jigged(plate("apart", 900, 800), pin("far", 17, 14)))
    kept = Exactness()
    before = kept.of(one.job, one.placed, one.contacts)
    moved = structs.replace(
        one.job,
        placements=tuple(
            structs.replace(p, packing=("shim",)) if p.id == "front-1" else p
            for p in one.job.placements
        ),
    )
    two = rig(moved)
    shared = {k: one.placed[k] if k != "front-1" else v for k, v in two.placed.items()}
    after = kept.of(two.job, shared, two.contacts)
    fresh = exact(two.job, two.placed, two.contacts)
    assert after.members == fresh.members
    assert after.dimensions == fresh.dimensions
    assert after.squareness == fresh.squareness
    assert [a == b for a, b in zip(before.members, after.members, strict=True)].count(False) > 0


def test_other_shop_values_are_reckoned_with_at_once() -> None:
    one = rig(on_pins())
    kept = Exactness()
    before = kept.of(one.job, one.placed, one.contacts).members[0].error
    finer = structs.replace(one.job, accuracy=Accuracy(hole=0.01))
    after = kept.of(finer, one.placed, one.contacts).members[0].error
    assert before is not None
    assert after is not None
    assert after.worst < before.worst / 2


def test_nothing_is_reckoned_where_there_is_nothing() -> None:
    found = report_of(laid(pin("a", 4, 4)))
    assert found.members == ()
    assert found.dimensions == ()
    assert found.squareness == ()
