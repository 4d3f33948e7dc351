"""The proposed order of tacks and welds, and the shop's own."""

import math

import pytest
from msgspec import structs

from gridjig.edits.joining import cut_along, face_line
from gridjig.edits.starters import build, put_starter, starter
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.files.library.sections import find_section
from gridjig.model import FIRST, Job, JointOf, Member, WeldPlan
from gridjig.model.endcut import CutSide
from gridjig.solve.weldment.weld_order import (
    brace_ids,
    groups,
    tack_order,
    tacks_of,
    weld_order,
    welds_of,
)
from gridjig.solve.weldment.welds import Welded, welded
from tests.workshop import EMPTY

GATE = sorted(samples().values())[1]


@pytest.fixture(scope="module")
def gate() -> Job:
    """A frame with a brace from corner to corner."""
    return load_job(GATE)


def place(one: Welded) -> tuple[float, float]:
    return one.joint.place


def test_every_weld_has_its_turn_once(gate: Job) -> None:
    every = {one.joint.id for one in welded(gate) if one.kind != "none"}
    assert len(every) == 6
    for order in (tack_order(gate, FIRST), weld_order(gate, FIRST)):
        assert [one.joint.id for one in order if one.joint.id in every] == [
            one.joint.id for one in order
        ]
        assert len(order) == len(every)


@pytest.mark.source("practice", "opposite ends first, braces last, outside before inside")
def test_tacks_begin_at_opposite_ends_and_end_at_the_brace(gate: Job) -> None:
    tacks = tack_order(gate, FIRST)
    outside, inside, braces = groups(gate, FIRST)
    assert [len(outside), len(inside), len(braces)] == [4, 0, 2]
    assert set(tacks[:4]) == set(outside)
    assert set(tacks[4:]) == set(braces)
    farthest = max(math.dist(place(a), place(b)) for a in outside for b in outside)
    assert math.dist(place(tacks[0]), place(tacks[1])) == pytest.approx(farthest, abs=0.1)


@pytest.mark.source("practice", "balanced about the middle")
def test_welds_come_in_pairs_about_the_middle(gate: Job) -> None:
    order = weld_order(gate, FIRST)[:4]
    middle = tuple(sum(place(one)[k] for one in order) / 4 for k in (0, 1))
    for a, b in ((order[0], order[1]), (order[2], order[3])):
        for k in (0, 1):
            assert (place(a)[k] + place(b)[k]) / 2 == pytest.approx(middle[k], abs=30.0)


def test_a_triangle_has_no_braces(gate: Job) -> None:
    assert len(brace_ids(gate.parts)) == 1
    turned = tuple(structs.replace(part, turn=60.0 * k) for k, part in enumerate(gate.parts[:3]))
    assert brace_ids(turned) == frozenset()
    assert brace_ids(()) == frozenset()


def test_the_shops_own_order_comes_first_and_the_rest_follows_as_proposed(gate: Job) -> None:
    proposed = tack_order(gate, FIRST)
    last = proposed[-1].joint
    gone = JointOf("nothing", "nowhere", 3)
    plan = WeldPlan(tacks=(gone, JointOf(last.b, last.a, last.nth)))
    chosen = tacks_of(structs.replace(gate, weld_plan=plan), FIRST)
    assert [one.joint.id for one in chosen] == [
        last.id,
        *(one.joint.id for one in proposed[:-1]),
    ]
    assert welds_of(structs.replace(gate, weld_plan=plan), FIRST) == weld_order(gate, FIRST)


def test_moving_the_weldment_changes_no_order(gate: Job) -> None:
    moved = tuple(structs.replace(part, x=part.x + 300, y=part.y - 40) for part in gate.parts)
    there = structs.replace(gate, parts=moved)
    for order in (tack_order, weld_order):
        assert [one.joint.id for one in order(there, FIRST)] == [
            one.joint.id for one in order(gate, FIRST)
        ]


def starter_job(key: str) -> Job:
    """A standard weldment of the usual sizes."""
    one = starter(key)
    stock = {each.key: find_section(each.metric) for each in one.stock}
    sections = {name: section for name, section in stock.items() if section is not None}
    assert len(sections) == len(stock)
    return put_starter(EMPTY, build(one, sections), (200.0, 200.0))[0]


@pytest.mark.source("practice", "opposite ends first, outside before inside; rafters are no braces")
def test_a_truss_is_tacked_at_both_ends_before_its_king_post() -> None:
    job = starter_job("gable")
    assert brace_ids(job.parts) == frozenset()
    tacks = tack_order(job, FIRST)
    rafters = {part.id: part for part in job.parts if "rafter" in part.name.lower()}
    assert len(rafters) == 2
    first, second = tacks[:2]
    assert abs(place(first)[0] - place(second)[0]) > 0.7 * max(p.length for p in job.parts)  # type: ignore[union-attr]
    assert {one.joint.a for one in tacks[:2]} | {one.joint.b for one in tacks[:2]} >= set(rafters)


@pytest.mark.parametrize(("key", "braces"), [("bracket", 1), ("trestle", 0), ("a-frame", 0)])
def test_a_strut_is_a_brace_and_a_leg_is_none(key: str, braces: int) -> None:
    assert len(brace_ids(starter_job(key).parts)) == braces


@pytest.mark.source("practice", "braces last, also where rafters and braces are most of the steel")
def test_the_braces_of_a_gable_come_last() -> None:
    job = starter_job("gable")
    bars = {part.name: part for part in job.parts if isinstance(part, Member)}
    tie, post = bars["Tie"], bars["King post"]
    middle, floor = tie.x + tie.length / 2.0, face_line(tie, "left")
    braces = []
    sides: tuple[tuple[str, float, CutSide], ...] = (
        ("Left", -1.0, "right"),
        ("Right", 1.0, "left"),
    )
    for name, side, inner in sides:
        brace = structs.replace(
            post, id=f"brace-{name}", name=f"{name} brace", x=middle + side * 60.0, y=floor.at[1],
            turn=90.0 - side * 40.0, length=285.0,
        )  # fmt: skip
        brace = cut_along(brace, "start", floor)
        braces.append(cut_along(brace, "end", face_line(bars[f"{name} rafter"], inner)))
    braced = structs.replace(job, parts=(*job.parts, *braces))
    leaning = sum(p.length for p in braced.parts if isinstance(p, Member) and p.turn % 90.0)
    assert leaning > sum(p.length for p in braced.parts if isinstance(p, Member)) / 2.0
    assert brace_ids(braced.parts) == {"brace-Left", "brace-Right"}
    for order in (tack_order, weld_order):
        joints = [one.joint for one in order(braced, FIRST)]
        at_braces = ["brace" in joint.a + joint.b for joint in joints]
        assert at_braces == sorted(at_braces)
        assert (at_braces.count(False), at_braces.count(True)) == (5, 4)
