"""Trial weldments: joints, remainders, risers and hands as a hand reckoned them.

Each is asked of the outlines in the data, and of members keyed in through the program.
"""

import math
from typing import Any

import pytest

from gridjig.edits import weldment
from gridjig.model import Job
from gridjig.model.labels import find_hole
from gridjig.solve.layout.remainders import Remainder, remainders
from gridjig.solve.layout.ways_up import ways_up
from gridjig.solve.mirror.symmetry import weldment_symmetry
from gridjig.solve.weldment.datum import datum_faces, span
from gridjig.solve.weldment.joints import Joint, joints
from gridjig.solve.weldment.welds import welded
from tests.trials.keyed import KEYED
from tests.trials.layout import INCH, empty, load, with_members

TRIALS = ("T01", "T02", "T04", "T06", "T08", "T10")
SOURCE = "trial weldments, reckoned by hand: plain geometry in inches"


def drawn(trial: str) -> Job:
    data = load(trial)
    return with_members(empty(data), data)


def named(job: Job) -> dict[str, str]:
    return {part.id: part.name for part in job.parts}


def by_names(job: Job) -> dict[frozenset[str], Joint]:
    names = named(job)
    found = joints(job.parts)
    made = {frozenset((names[j.a], names[j.b])): j for j in found}
    assert len(made) == len(found)
    return made


def require_joints(job: Job, data: dict[str, Any]) -> None:
    found = by_names(job)
    assert set(found) == {frozenset((w["a"], w["b"])) for w in data["joints"]}
    x, y = data["origin"]
    for wanted in data["joints"]:
        joint = found[frozenset((wanted["a"], wanted["b"]))]
        assert joint.kind == wanted["kind"]
        if "plan_len" in wanted:
            assert joint.length / INCH == pytest.approx(wanted["plan_len"], abs=1e-3)
        else:
            assert joint.area / INCH**2 == pytest.approx(wanted["plan_area"], abs=1e-3)
        at = (joint.place[0] / INCH - x, joint.place[1] / INCH - y)
        assert at == pytest.approx(wanted["at"], abs=1e-3)
        assert (joint.z_low / INCH, joint.z_high / INCH) == pytest.approx(wanted["z"], abs=1e-6)


@pytest.mark.source("method", SOURCE)
@pytest.mark.parametrize("trial", TRIALS)
def test_joints_of_the_outlines(trial: str) -> None:
    require_joints(drawn(trial), load(trial))


@pytest.mark.source("method", SOURCE)
@pytest.mark.parametrize("trial", TRIALS)
def test_joints_of_members_keyed_in(trial: str) -> None:
    require_joints(KEYED[trial](), load(trial))


@pytest.mark.source("method", SOURCE)
def test_open_angles_beside_the_brace_of_a_bracket() -> None:
    for job in (drawn("T04"), KEYED["T04"]()):
        found = by_names(job)
        for part in ("U upright", "H arm"):
            angles = found[frozenset((part, "K brace"))].angles
            assert sorted(angles) == pytest.approx([45, 135], abs=0.01)


def stop_line(job: Job, stop: dict[str, Any]) -> Remainder:
    """The remainder before the face that a stop of the trial touches."""
    axis, sign = {"B": ("y", -1), "T": ("y", 1), "L": ("x", -1), "R": ("x", 1)}[stop["side"]]
    at = stop["contact"][0 if axis == "x" else 1] * INCH
    (found,) = (
        one
        for one in remainders(job).found
        if (one.line.axis, one.line.sign) == (axis, sign) and abs(one.line.at - at) < 0.01
    )
    return found


@pytest.mark.source("method", SOURCE)
@pytest.mark.parametrize("trial", TRIALS)
@pytest.mark.parametrize("keyed", [False, True])
def test_remainders_before_every_stop(trial: str, keyed: bool) -> None:
    job = KEYED[trial]() if keyed else drawn(trial)
    stops_of = load(trial)["stops"]
    assert len(stops_of) >= 4  # two on the long datum, one on the end, one opposite
    for stop in stops_of:
        found = stop_line(job, stop)
        out = (stop["face_from_hole"] - 0.5) * INCH
        assert found.left == pytest.approx(out, abs=0.005)
        assert found.drawn == pytest.approx(out, abs=0.005)
        assert found.packing.total == pytest.approx(out, abs=0.005)
        hole = find_hole(job.table, stop["hole"])
        assert found.hole_line == (hole.col if found.line.axis == "x" else hole.row)
        if stop["what"] != "R2 end":  # its contact lies an inch and a half past the rail's end
            assert hole in found.holes


@pytest.mark.source(
    "method", "trial weldments: both far sides of a 24 in square close with 1 in, 23 with none"
)
def test_even_inches_need_an_inch_between_opposed_stops() -> None:
    square = {one.dimension: one for one in remainders(drawn("T01")).found if one.opposed}
    assert square[24 * INCH].left == pytest.approx(INCH)
    frame = [one for one in remainders(drawn("T02")).found if one.opposed and one.line.outer]
    assert {round((one.dimension or 0) / INCH): round(one.left / INCH, 6) for one in frame} == {
        36: 1.0,
        23: 0.0,
    }


@pytest.mark.source("method", SOURCE)
@pytest.mark.parametrize(
    ("trial", "long", "end"),
    [
        ("T01", "A bottom", "C left"),
        ("T02", "A bottom", "C left"),
        ("T04", "U upright", "H arm"),
        ("T06", "B base", "B base"),
        ("T10", "R1 rail", "X1 cross"),
    ],
)
def test_the_datum_that_a_skilled_hand_takes(trial: str, long: str, end: str) -> None:
    job = drawn(trial)
    datum = datum_faces(job)
    assert datum.long is not None
    assert datum.end is not None
    assert datum.proposed == {"long", "end"}
    names = named(job)
    assert (names[datum.long.of.part], names[datum.end.of.part]) == (long, end)
    stops = [s["contact"] for s in load(trial)["stops"] if "datum" in s["what"]][:2]
    room = span(datum.long)
    assert room is not None
    assert room.spacing >= math.dist(*stops) * INCH - 1e-6


@pytest.mark.source(
    "method", "trial T10, reckoned by hand: 8, 6 and 8 risers of which 4 each are owned"
)
@pytest.mark.parametrize("keyed", [False, True])
def test_the_machine_base_wants_to_lie_face_down(keyed: bool) -> None:
    job = KEYED["T10"]() if keyed else drawn("T10")
    checks = load("T10")["checks"]
    over, upright = ways_up(job)
    names = named(job)
    assert over.face_down
    assert not over.raised
    assert {names[p] for p in over.flush} == {n for n in names.values() if "foot" not in n}
    assert {names[p] for p in over.carried} == {n for n in names.values() if "foot" in n}
    assert upright.never
    assert not upright.can_be
    assert upright.height_needed / INCH == pytest.approx(checks["total_stack_height_needed"])
    assert upright.height_owned / INCH == pytest.approx(checks["total_height_in_stock"])
    demand: dict[float, int] = {}
    for one in upright.raised:
        high = round(one.height / INCH, 4)
        demand[high] = demand.get(high, 0) + one.points
        made = [job.rack.piece(p).thickness / INCH for p in one.stack]
        wanted = next(
            checks["greedy_stacks"][k] for k, v in checks["riser_demand"].items() if v[0] == high
        )
        assert made == pytest.approx(wanted)
    assert demand == {v[0]: v[1] for v in checks["riser_demand"].values()}
    thick = {p.id: str(p.thickness / INCH) for p in job.rack.pieces}
    assert {thick[p]: n for p, n in upright.needed} == checks["riser_blocks_needed"]
    assert {thick[p]: n for p, n in upright.short} == checks["short"]


@pytest.mark.parametrize("trial", TRIALS)
@pytest.mark.parametrize("keyed", [False, True])
def test_flipping_keeps_joints_their_names_and_the_plan_mirrored(trial: str, keyed: bool) -> None:
    job = KEYED[trial]() if keyed else drawn(trial)
    x, y = weldment.middle(job)
    over = weldment.flip(job, (x, y), (x, y + 1))
    before, after = welded(job), welded(over)
    assert [(w.name, w.joint.id, w.kind) for w in after] == [
        (w.name, w.joint.id, w.kind) for w in before
    ]
    top = max(p.z_high for p in job.parts)
    for one, other in zip(before, after, strict=True):
        assert other.joint.place == pytest.approx((2 * x - one.joint.place[0], one.joint.place[1]))
        assert other.joint.z_low == pytest.approx(top - one.joint.z_high)
        assert sorted(other.joint.angles) == pytest.approx(sorted(one.joint.angles))


@pytest.mark.source(
    "method", "trial weldments: T10 is symmetric; T06 has its strut and plate off its middle"
)
@pytest.mark.parametrize("trial", TRIALS)
@pytest.mark.parametrize("keyed", [False, True])
def test_which_trials_are_their_own_opposite_hand(trial: str, keyed: bool) -> None:
    job = KEYED[trial]() if keyed else drawn(trial)
    answer = weldment_symmetry(job.parts)
    assert answer.symmetric == (trial != "T06")
    if not answer.symmetric:
        odd = [part.name for part in job.parts if part.id == answer.part]
        assert odd == ["E end plate 3x.25"]
