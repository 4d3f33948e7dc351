import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import affine_transform, translate

from gridjig.edits import copies
from gridjig.edits.members import add
from gridjig.geometry.part_mass import load
from gridjig.geometry.part_outline import part_ring
from gridjig.model import EndCut, Job, Member, require_whole
from gridjig.rack import Point
from tests.stock import ANGLE, CHANNEL, SQUARE, bar
from tests.workshop import laid, pin, plate

MM = st.floats(-2000, 2000).map(lambda v: round(v, 2))
PLACE = st.tuples(MM, MM)


def job_with(*members: Member) -> Job:
    job = laid(pin("p", 2, 2), plate("rib", 100, 50))
    for member in members:
        job = add(job, member)
    return job


JOB = job_with(
    bar(ANGLE, start=EndCut("mitre", 45), end=EndCut("notch", along=30, across=10), turn=20, x=70)
)


def test_a_copy_stands_off_by_the_distance_with_an_id_of_its_own() -> None:
    job, made = copies.array_by(JOB, {"bar", "rib"}, 2, 12.5, -3)
    require_whole(job)
    assert made == {"bar-1", "rib-1"}
    for old, new in zip(JOB.parts, job.parts[2:], strict=True):
        assert (new.x, new.y) == (old.x + 12.5, old.y - 3)
        assert new.corners == old.corners
    assert [part.name for part in job.parts] == ["rib", "bar", "rib", "bar"]


@pytest.mark.source("library", "shapely 2.1", "affinity.translate")
def test_an_array_counts_the_ones_that_stand_already() -> None:
    job, made = copies.array_by(JOB, {"bar"}, 4, 60, 5)
    require_whole(job)
    assert len(made) == 3
    first = Polygon(part_ring(JOB.parts[1]))
    for k, part in enumerate(job.parts[2:], start=1):
        moved = translate(first, 60 * k, 5 * k)
        assert Polygon(part_ring(part)).symmetric_difference(moved).area < 1e-6


def test_what_cannot_be_repeated_is_refused_with_a_sentence() -> None:
    with pytest.raises(ValueError, match="two or more"):
        copies.array_by(JOB, {"bar"}, 1, 60, 0)
    with pytest.raises(ValueError, match="step of a row cannot be 0"):
        copies.array_by(JOB, {"bar"}, 3, 0, 0)
    with pytest.raises(ValueError, match="select a member or a plate"):
        copies.array_by(JOB, frozenset(), 2, 5, 0)
    with pytest.raises(KeyError):
        copies.array_by(JOB, {"p"}, 2, 5, 0)
    with pytest.raises(ValueError, match="two different points"):
        copies.mirror(JOB, {"bar"}, (1, 1), (1, 1))


def reflected(p: Polygon, a: Point, b: Point) -> Polygon:
    dx, dy = b[0] - a[0], b[1] - a[1]
    n = dx * dx + dy * dy
    m = [(dx * dx - dy * dy) / n, 2 * dx * dy / n, 2 * dx * dy / n, (dy * dy - dx * dx) / n]
    moved = affine_transform(p, [1, 0, 0, 1, -a[0], -a[1]])
    return affine_transform(moved, [*m, a[0], a[1]])


@pytest.mark.source("library", "shapely 2.1", "affine_transform by the reflection matrix")
@given(PLACE, PLACE)
def test_mirrored_parts_lie_as_their_mirror_image_and_twice_is_the_same_again(
    a: Point, b: Point
) -> None:
    assume(a != b)
    job = copies.mirror(JOB, {"bar", "rib"}, a, b)
    assert len(job.parts) == 2
    for old, new in zip(JOB.parts, job.parts, strict=True):
        wanted = reflected(Polygon(part_ring(old)), a, b)
        found = Polygon(part_ring(new))
        assert found.symmetric_difference(wanted).area < 1e-3
        assert found.exterior.is_ccw
        assert (new.z_low, new.z_high) == (old.z_low, old.z_high)
    again = copies.mirror(job, {"bar", "rib"}, a, b)
    for old, new in zip(JOB.parts, again.parts, strict=True):
        for was, now in zip(old.corners, new.corners, strict=True):
            assert now == pytest.approx(was)
        assert (new.x, new.y) == pytest.approx((old.x, old.y), abs=1e-6)
        assert (new.turn - old.turn) % 360 == pytest.approx(0, abs=1e-9) or (
            (new.turn - old.turn) % 360
        ) == pytest.approx(360, abs=1e-9)


@pytest.mark.parametrize("section", [SQUARE, ANGLE, CHANNEL], ids=lambda s: s.kind)
def test_the_steel_of_a_mirrored_bar_lies_on_the_other_side(section: object) -> None:
    for way in (0, 90, 180, 270):
        made = bar(section, way_up=way, end=EndCut("mitre", 30))  # type: ignore[arg-type]
        job = job_with(made)
        twin = copies.mirror(job, {"bar"}, (0, 0), (1, 0)).parts[1]
        one, other = load(made), load(twin)
        assert (other.x, other.y, other.z) == pytest.approx((one.x, -one.y, one.z))


def test_a_mirrored_copy_leaves_the_original() -> None:
    job, made = copies.mirror_copy(JOB, {"bar"}, (0, 500), (1, 500))
    require_whole(job)
    assert made == {"bar-1"}
    assert job.parts[:2] == JOB.parts
    assert job.parts[2].y == 1000
    assert isinstance(job.parts[2], Member)
    assert job.parts[2].mirrored


def test_a_plate_is_moved_up_with_both_its_heights() -> None:
    up = copies.moved(plate("p", 0, 0), 1, 2, 30)
    assert (up.x, up.y, up.z_low, up.z_high) == (1, 2, 30, 36)
    assert copies.moved(bar(z_low=5), 0, 0, 2).z_high == 57
