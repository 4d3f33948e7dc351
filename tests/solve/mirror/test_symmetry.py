"""Whether a weldment is its own opposite hand: plates, bars and angles with obvious answers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.edits.copies import mirrored, moved
from gridjig.edits.parts import turned
from gridjig.edits.weldment import turned_over
from gridjig.geometry.lines import through
from gridjig.geometry.shapes import disc
from gridjig.model import Member, Part, Plate, Section, WayUp
from gridjig.solve.mirror.symmetry import weldment_symmetry
from tests.solve.weldments import ANGLE, bar, frame
from tests.stock import ANGLE as UNEVEN
from tests.stock import CHANNEL
from tests.workshop import box


def plate(name: str, x0: float, y0: float, x1: float, y1: float, *z: float) -> Plate:
    return Plate(id=name, name=name, corners=box(x0, y0, x1, y1), z_low=z[0], z_high=z[1])


LUG = plate("lug", 150, 185, 180, 200, 25, 31)


def test_a_frame_is_its_own_opposite_hand() -> None:
    answer = weldment_symmetry(frame())
    assert answer.symmetric
    assert answer.kind == "turned over"


def test_one_lug_off_the_middle_makes_it_handed() -> None:
    answer = weldment_symmetry((*frame(), LUG))
    assert not answer.symmetric
    assert answer.part == "lug"
    assert answer.kind == "handed"


def test_a_lug_at_mid_height_or_on_both_sides_does_not() -> None:
    level = structs.replace(LUG, z_low=17, z_high=23)
    assert weldment_symmetry((*frame(), level)).symmetric
    low, high = structs.replace(LUG, z_low=5, z_high=11), structs.replace(LUG, z_low=29, z_high=35)
    assert weldment_symmetry((*frame(), low, structs.replace(high, id="lug2"))).symmetric


def test_alike_on_both_sides_of_a_line() -> None:
    other = structs.replace(mirrored(LUG, through((300, 0), (300, 1))), id="lug2")
    answer = weldment_symmetry((*frame(), LUG, other))
    assert answer.symmetric
    assert answer.kind == "mirror line"


def test_turned_over_and_round() -> None:
    """A lug high on the front and the same low on a side of a square: a mirror with a turn."""
    square = plate("base", 0, 0, 100, 100, 0, 40)
    parts: tuple[Part, ...] = (square,)
    lug = plate("lug0", 10, -10, 30, 0, 30, 40)
    for k in range(4):
        z = (30.0, 40.0) if k % 2 == 0 else (0.0, 10.0)
        spun = turned(structs.replace(lug, id=f"lug{k}", z_low=z[0], z_high=z[1]), 90 * k, (50, 50))
        parts = (*parts, spun)
    answer = weldment_symmetry(parts)
    assert answer.symmetric
    assert answer.kind == "turned over and rotated"


def test_an_angle_on_its_own() -> None:
    lone = bar("a", 0, 0, 300, section=ANGLE)
    assert weldment_symmetry((lone,)).symmetric  # symmetric about the middle of its length
    two = (lone, plate("cap", 300, -25, 306, 25, 0, 50))
    assert not weldment_symmetry(two).symmetric


def test_two_angles_back_to_back_or_nested() -> None:
    cap = plate("cap", 300, -80, 306, 80, 0, 50)
    one = bar("a", 0, 30, 300, section=ANGLE)
    other = mirrored(one, through((0, 0), (1, 0)))
    assert isinstance(other, Member)
    assert weldment_symmetry((one, structs.replace(other, id="b"), cap)).symmetric
    same_way = structs.replace(one, id="b", y=-30)
    assert not weldment_symmetry((one, same_way, cap)).symmetric


@given(st.floats(-180, 180), st.floats(-500, 500), st.booleans())
def test_the_answer_does_not_depend_on_how_it_lies(turn: float, x: float, over: bool) -> None:
    other = structs.replace(mirrored(LUG, through((300, 0), (300, 1))), id="lug2")
    cases: list[tuple[Part, ...]] = [
        frame(),
        (*frame(), LUG, other),
        (*frame(), LUG),
        (bar("a", 0, 30, 300, section=ANGLE), plate("cap", 300, -80, 306, 80, 0, 50)),
    ]
    for parts in cases:
        laid: list[Part] = [moved(turned(p, turn, (0, 0)), x, -x, 7) for p in parts]
        if over:
            laid = [turned_over(p, through((0, 0), (1, 2)), 54) for p in laid]
        assert weldment_symmetry(laid).symmetric == weldment_symmetry(parts).symmetric


@pytest.mark.parametrize("sides", [3, 4, 5, 6])
def test_a_disc_of_many_sides_and_no_weldment(sides: int) -> None:
    ring = Plate(id="d", name="d", corners=disc((0, 0), 100, 360 / sides / 20))
    assert weldment_symmetry((ring,)).symmetric
    off = plate("bar", 40, -5, 60, 5, 50, 60)
    above = structs.replace(off, id="b2", z_low=60, z_high=70)
    skew = plate("b3", -40, 30, -20, 35, 50, 60)
    assert weldment_symmetry((ring, off)).symmetric  # there is a line through both middles
    assert not weldment_symmetry((ring, off, above, skew)).symmetric
    assert weldment_symmetry(()).symmetric


def test_the_odd_one_is_named_though_it_stands_proud() -> None:
    """Turned over about the overall middle, no part would be where one was before."""
    gusset = Plate(id="g", name="g", corners=((0, 0), (90, 0), (0, 50)), z_low=0, z_high=6)
    more = (
        structs.replace(gusset, id="g2", x=200.0),
        structs.replace(gusset, id="g3", y=150.0),
    )
    lug = plate("lug", 20, 10, 30, 15, 6, 46)
    answer = weldment_symmetry((gusset, *more, lug))
    assert (answer.symmetric, answer.part) == (False, "lug")
    assert weldment_symmetry((gusset, *more)).symmetric


@pytest.mark.source(
    "method", "symmetry: a bar and its image in a level plane are alike above and below it"
)
@pytest.mark.parametrize("way", [0, 90, 180, 270])
@pytest.mark.parametrize("hand", [False, True])
@pytest.mark.parametrize("section", [UNEVEN, CHANNEL], ids=["angle", "channel"])
def test_a_bar_under_its_own_image(section: Section, way: WayUp, hand: bool) -> None:
    """Turned over and mirrored in the same line: the plan stays, the heights are reversed."""
    line = through((0, 0), (1, 0))
    one = bar("a", 0, 30, 300, 20, section=section, way_up=way, mirrored=hand)
    image = mirrored(turned_over(one, line, 150), line)
    assert isinstance(image, Member)
    assert (image.x, image.y) == pytest.approx((one.x, one.y))
    skew = plate("skew", 310, 20, 360, 45, 70, 80)  # spoils every upright mirror plane
    wing = plate("wing", 20, 190, 31, 220, 70, 80)
    both = (one, structs.replace(image, id="b"), skew, wing)
    assert weldment_symmetry(both).symmetric
    level = section is CHANNEL and way in (0, 180)  # on its flanges it is its own image
    copy = structs.replace(one, id="b", z_low=image.z_low)
    assert weldment_symmetry((one, copy, skew, wing)).symmetric == level
