"""Poses and turns that are ruled out by points inside what stands there: no answer is lost."""

from collections.abc import Mapping

import bench_contacts
import pytest

from gridjig.contact.overlap import AREA
from gridjig.model import Hole, Job
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.tools.touch import free, ghost
from gridjig.tools.touch.door import Wish, at_hole
from gridjig.tools.touch.ground import Ground
from gridjig.tools.touch.tries import Try
from gridjig.tools.touch.witness import INSET

ARMS = ("arm-arc-4", "arm-arc-8", "arm-leaf-8", "arm-slot-12")
HOLES = [Hole(col, row) for col in range(1, 21, 5) for row in range(1, 12, 2)]


@pytest.fixture(scope="module")
def scene() -> tuple[Job, Mapping[str, PlacedPiece]]:
    job = bench_contacts.scene()
    return job, PlacedPieces().of(job)


def best(scene: tuple[Job, Mapping[str, PlacedPiece]], piece: str, hole: Hole) -> Try | None:
    job, stands = scene
    wish = Wish(20.0, False, False, True)
    return at_hole(job, stands, job.rack.piece(piece), hole, job.table.at(hole), wish, "n").best()


@pytest.mark.source("method", "brute force: the range walked and every pose tried, as without it")
@pytest.mark.parametrize("piece", ARMS)
@pytest.mark.untraced
def test_the_same_pose_is_found_as_by_walking_the_whole_range(
    scene: tuple[Job, Mapping[str, PlacedPiece]], piece: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    quick = [best(scene, piece, hole) for hole in HOLES]
    monkeypatch.setattr(free, "_swept", lambda *_: None)
    monkeypatch.setattr(ghost, "FEW", 10**9)
    slow = [best(scene, piece, hole) for hole in HOLES]
    stands = 0
    for one, other in zip(quick, slow, strict=True):
        if one is None or other is None:  # the hole is taken
            assert one is other
            continue
        assert one.why == other.why
        if not one.why:
            stands += 1
            assert one.placement.seats == other.placement.seats
            assert one.placement.turn == pytest.approx(other.placement.turn, abs=0.6)
            assert one.placement.leaf == pytest.approx(other.placement.leaf, abs=0.6)
    assert stands >= 3
    assert any(one is not None and one.why for one in quick)


def test_a_refused_arm_is_measured_a_few_times_only(
    scene: tuple[Job, Mapping[str, PlacedPiece]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without witnesses 350 poses of this arm were measured, and 136 of the slotted one."""
    asked = [0]
    real = Ground.in_the_way

    def counted(self: Ground, placement: object) -> object:
        asked[0] += 1
        return real(self, placement)  # type: ignore[arg-type]

    monkeypatch.setattr(Ground, "in_the_way", counted)
    for piece, hole in (("arm-arc-8", Hole(11, 11)), ("arm-slot-12", Hole(4, 6))):
        asked[0] = 0
        found = best(scene, piece, hole)
        assert found is not None
        assert found.why
        assert 0 < asked[0] <= 40


@pytest.mark.source("method", "arithmetic: the area of a disc as wide as the inset")
def test_two_bodies_that_cover_a_witness_overlap_by_more_than_a_contact() -> None:
    assert 3.14 * INSET * INSET > AREA
