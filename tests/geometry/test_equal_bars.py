"""Which bars are identical, compared with turning and mirroring the bar in space."""

import itertools
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs

from gridjig.geometry.equal_bars import bar_of, opposite_of
from gridjig.model import EndCut, Member, Section, WayUp
from gridjig.model.endcut import CutSide
from tests.sectionkit import drawn
from tests.stock import ANGLE, CHANNEL, EVEN_ANGLE, FLAT, OBLONG, ROUND, SQUARE, bar

WAYS: tuple[WayUp, ...] = (0, 90, 180, 270)
SIDES: tuple[CutSide, ...] = ("left", "right")
CUTS = st.one_of(
    st.sampled_from([-45.0, -22.5, 22.5, 45.0]).map(lambda a: EndCut("mitre", a)),
    st.just(EndCut()),
    st.sampled_from(SIDES).map(lambda s: EndCut("notch", 0.0, 0.0, 40.0, 3.0, s)),
)


def solid(member: Member) -> np.ndarray:
    """The bar in space as points: outline corners of its section, each where its fibre ends."""
    section = drawn(member.section)
    rings = [section.exterior, *section.interiors]  # type: ignore[attr-defined]
    points = np.vstack([np.array(ring.segmentize(3.0).coords) for ring in rings])
    turn = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}[member.way_up]
    c, s = turn
    left = c * points[:, 0] - s * points[:, 1]
    up = s * points[:, 0] + c * points[:, 1]
    if member.mirrored:
        left = -left
    ends = []
    for at, high in zip(left, up, strict=True):
        first = -_runs(member.start, at, member.width)
        last = member.length + _runs(member.end, at, member.width)
        ends += [(first, at, high), (last, at, high)]
    cloud: np.ndarray = np.array(ends)
    centred: np.ndarray = cloud - (cloud.max(axis=0) + cloud.min(axis=0)) / 2
    return centred


def _runs(cut: EndCut, left: float, width: float) -> float:
    return cut.beyond(left, 0.0) - (cut.along if cut.bitten(left, width) else 0.0)


@cache
def rotations(proper: bool) -> list[np.ndarray]:
    """The 24 turns of a cube, or the 24 turns with a mirror."""
    found = []
    for order in itertools.permutations(range(3)):
        for signs in itertools.product((1, -1), repeat=3):
            matrix = np.zeros((3, 3))
            for row, (column, sign) in enumerate(zip(order, signs, strict=True)):
                matrix[row, column] = sign
            if bool(np.linalg.det(matrix) > 0) == proper:
                found.append(matrix)
    return found


def same(a: np.ndarray, b: np.ndarray, proper: bool = True) -> bool:
    """True if a turn lays one cloud on the other."""
    if a.shape != b.shape:
        return False
    for matrix in rotations(proper):
        laid = a @ matrix.T
        if np.abs(laid.max(axis=0) - b.max(axis=0)).max() > 1e-3:
            continue  # not even as large, so no need to compare every corner
        distance = np.abs(laid[:, None, :] - b[None, :, :]).max(axis=2)
        if distance.min(axis=1).max() < 1e-3 and distance.min(axis=0).max() < 1e-3:
            return True
    return False


# Sections without curves, so that their outlines are a few points.
PLAIN = [
    structs.replace(s, radius=0, toe=0) for s in (SQUARE, OBLONG, FLAT, ANGLE, EVEN_ANGLE, CHANNEL)
]
BARS = st.builds(
    lambda section, start, end, way, mirrored: bar(
        section,
        200,
        start=start,
        end=end,
        way_up=way,
        mirrored=mirrored and section.handed,
    ),
    st.sampled_from(PLAIN),
    CUTS,
    CUTS,
    st.sampled_from(WAYS),
    st.booleans(),
)


@pytest.mark.source("method", "brute force: all 24 turns of the bar's corners in space, numpy")
@settings(max_examples=60)
@given(BARS, CUTS, CUTS, st.sampled_from(WAYS), st.booleans())
def test_two_bars_are_alike_if_one_can_be_turned_into_the_other(
    one: Member, start: EndCut, end: EndCut, way: WayUp, mirrored: bool
) -> None:
    other = structs.replace(
        one, start=start, end=end, way_up=way, mirrored=mirrored and one.section.handed
    )
    assert (bar_of(one) == bar_of(other)) is same(solid(one), solid(other))


@pytest.mark.source("method", "brute force: all 24 turns of the bar's corners in space, numpy")
@settings(max_examples=60)
@given(BARS)
def test_a_bar_is_its_own_opposite_hand_if_its_mirror_image_can_be_turned_into_it(
    one: Member,
) -> None:
    assert (bar_of(one) == opposite_of(one)) is same(solid(one), solid(one), proper=False)


@settings(max_examples=40)
@given(BARS)
def test_the_opposite_of_the_opposite_is_the_bar(one: Member) -> None:
    assert opposite_of(one.opposite_hand) == bar_of(one)
    assert bar_of(one.turned_over) == bar_of(one)


@pytest.mark.parametrize(
    ("section", "cut", "own"),
    [
        (SQUARE, 45.0, True),
        (ROUND, 45.0, True),
        (ANGLE, 45.0, False),
        (CHANNEL, 45.0, True),
    ],
)
def test_one_mitred_end(section: Section, cut: float, own: bool) -> None:
    """An angle with one mitre is left- or right-handed; a channel with its web upright is not."""
    made = bar(section, end=EndCut("mitre", cut))
    assert (bar_of(made) == opposite_of(made)) is own


def test_length_tells_bars_apart_by_a_hundredth() -> None:
    assert bar_of(bar(length=500)) == bar_of(bar(length=500.001))
    assert bar_of(bar(length=500)) != bar_of(bar(length=500.1))


@pytest.mark.source("method", "brute force: all 24 turns of the bar's corners in space, numpy")
@pytest.mark.parametrize(
    "cut", [EndCut("mitre", 30.0), EndCut("notch", 0.0, 0.0, 40.0, 3.0, "left")]
)
@pytest.mark.parametrize("section", PLAIN, ids=[s.name for s in PLAIN])
@pytest.mark.untraced
def test_every_way_of_laying_a_bar_with_one_cut_end(section: Section, cut: EndCut) -> None:
    hands = (False, True) if section.handed else (False,)
    laid = [
        bar(section, 200, start=cut, way_up=way, mirrored=hand) for way in WAYS for hand in hands
    ]
    assert len(laid) == 4 * len(hands)
    for one, other in itertools.combinations(laid, 2):
        assert (bar_of(one) == bar_of(other)) is same(solid(one), solid(other))
