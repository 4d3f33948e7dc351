"""How parts move as their joints close, against what can be reckoned by hand."""

import math

import pytest

from gridjig.contact.weldment import part_contacts
from gridjig.edits import joining, members
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Member, Part
from gridjig.proof.out.drawing_in import drawn_in, moved, stretched
from tests.proof.frames import frame, tube
from tests.stock import SQUARE
from tests.workshop import EMPTY


def apart(parts: tuple[Part, ...], motions: dict[str, tuple[float, float, float]], a: str, b: str,
          axis: tuple[float, float]) -> float:  # fmt: skip
    """How much further apart the middles of two parts are along an axis."""
    known = {part.id: part for part in parts}
    by = []
    for k in (a, b):
        ring = part_ring(known[k])
        middle = (sum(p[0] for p in ring) / len(ring), sum(p[1] for p in ring) / len(ring))
        ux, uy = moved(motions[k], middle)
        by.append(ux * axis[0] + uy * axis[1])
    return by[1] - by[0]


@pytest.mark.source("method", "both joints of each upright close: front and back approach by twice")
def test_a_butted_frame_gets_shallower_and_no_narrower() -> None:
    parts = frame()
    joined = part_contacts(parts)
    motions = drawn_in(parts, joined, {one.joint: 0.7 for one in joined})
    assert apart(parts, motions, "front", "back", (0, 1)) == pytest.approx(-1.4, abs=1e-5)
    assert apart(parts, motions, "left", "right", (1, 0)) == pytest.approx(0.0, abs=1e-5)
    assert all(abs(turn) < 1e-9 for _, _, turn in motions.values())
    whole = [sum(values) for values in zip(*motions.values(), strict=True)]
    assert whole == pytest.approx([0.0, 0.0, 0.0], abs=1e-4)


def mitred() -> tuple[Member, ...]:
    job = EMPTY
    corners = [(200.0, 200.0), (700.0, 200.0), (700.0, 500.0), (200.0, 500.0)]
    ids = ["front", "right", "back", "left"]
    for k, name in enumerate(ids):
        made = members.between(name, name, SQUARE, corners[k], corners[(k + 1) % 4], lies="left")
        job = members.add(job, made)
    for k in range(4):
        job = joining.mitre(job, ids[k], ids[(k + 1) % 4])
    return tuple(part for part in job.parts if isinstance(part, Member))


@pytest.mark.source("method", "symmetry: each side moves in by the closing over the root of two")
def test_a_mitred_frame_draws_in_on_every_side() -> None:
    parts = mitred()
    joined = part_contacts(parts)
    assert len(joined) == 4
    motions = drawn_in(parts, joined, {one.joint: 0.5 for one in joined})
    by = -2 * 0.5 / math.sqrt(2)
    assert apart(parts, motions, "front", "back", (0, 1)) == pytest.approx(by, abs=1e-5)
    assert apart(parts, motions, "left", "right", (1, 0)) == pytest.approx(by, abs=1e-5)


def test_joints_that_open_and_members_that_are_longer_move_the_other_way() -> None:
    parts = frame()
    joined = part_contacts(parts)
    motions = drawn_in(parts, joined, {one.joint: -0.5 for one in joined})
    assert apart(parts, motions, "front", "back", (0, 1)) == pytest.approx(1.0, abs=1e-5)
    longer = drawn_in(parts, joined, {}, {"left": 1.0, "right": 1.0})
    assert apart(parts, longer, "front", "back", (0, 1)) == pytest.approx(1.0, abs=1e-5)


def test_one_longer_upright_turns_the_frame() -> None:
    """Least squares: a closed frame of rigid parts cannot have one side longer."""
    parts = frame()
    motions = drawn_in(parts, part_contacts(parts), {}, {"left": 1.0})
    assert 0.0 < apart(parts, motions, "front", "back", (0, 1)) < 1.0
    assert motions["front"][2] != motions["back"][2]


def test_nothing_moves_where_nothing_closes() -> None:
    parts = frame()
    still = drawn_in(parts, part_contacts(parts), {"front/left": 0.0})
    assert set(still.values()) == {(0.0, 0.0, 0.0)}
    alone = (tube("alone", 100, 100, 0, 300),)
    assert drawn_in(alone, (), {"x": 1.0}) == {"alone": (0.0, 0.0, 0.0)}


def test_a_longer_member_moves_about_its_middle() -> None:
    bar = tube("bar", 100, 100, 90, 400)
    assert stretched(bar, 2.0, (100.0, 500.0)) == pytest.approx((0.0, 1.0), abs=1e-12)
    assert stretched(bar, 2.0, (100.0, 100.0)) == pytest.approx((0.0, -1.0), abs=1e-12)
    assert stretched(bar, 0.0, (100.0, 100.0)) == (0.0, 0.0)
