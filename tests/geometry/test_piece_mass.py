import math

import pytest

from gridjig.geometry.piece_mass import STEEL, mass_of
from gridjig.rack import ArcSlot, Piece, Pivot, RoundHole, Shank, Solid, StraightSlot
from tests.workshop import CLAMP, box


@pytest.mark.source("method", "arithmetic: areas of rectangles and circles; steel at 7850 kg/m3")
def test_a_plate_with_holes_by_hand() -> None:
    plate = Piece(
        id="plate",
        name="Plate",
        kind="other",
        solids=(Solid(box(0, 0, 200, 100), 0, 10),),
        mounts=(
            RoundHole("h", (20, 20), 20),
            StraightSlot("s", (60, 30), (110, 30), 20),
            ArcSlot("a", (100, 50), 40, 20, 110, 20),
        ),
    )
    hole = math.pi * 100
    slot = 50 * 20 + hole
    arc = math.radians(90) * 40 * 20 + hole
    volume = (200 * 100 - hole - slot - arc) * 10
    assert mass_of(plate) == pytest.approx(volume * STEEL * 1e-9, rel=1e-3)


@pytest.mark.source("method", "arithmetic: areas of rectangles and circles; steel at 7850 kg/m3")
def test_a_shank_and_a_clamps_bar_count() -> None:
    post = 40 * 40 * 80
    shank = math.pi / 4 * 15.9**2 * 1.5 * 15.9
    bar = 160 * 20 * 20
    assert mass_of(CLAMP) == pytest.approx((post + shank + bar) * STEEL * 1e-9, rel=1e-2)


def test_holes_of_a_leaf_do_not_lighten_its_base() -> None:
    def arm(body: int) -> Piece:
        return Piece(
            id="arm",
            name="Arm",
            kind="arm",
            solids=(Solid(box(0, 0, 100, 50), 0, 10),),
            mounts=(RoundHole("h", (20, 20), 20, 1 if body else 0),),
            pivot=Pivot((0, 0), 0, 90, 0.5),
        )

    assert mass_of(arm(1)) > mass_of(arm(0))


def test_another_metal_weighs_in_proportion() -> None:
    assert mass_of(CLAMP, 2700) == pytest.approx(mass_of(CLAMP) * 2700 / 7850)


@pytest.mark.source(
    "method", "arithmetic: a cylinder of 15.9 mm, one and a half times as long; 7850 kg/m3"
)
def test_a_shank_alone() -> None:
    peg = Piece(id="peg", name="Peg", kind="other", mounts=(Shank("s", (3, 4), 15.9),))
    volume = math.pi / 4 * 15.9**2 * 1.5 * 15.9
    assert mass_of(peg) == pytest.approx(volume * STEEL * 1e-9, rel=3e-3)
