"""Pieces in the holes of plates: what fits, what does not, and what holds the plate there."""

import math

import pytest
import shapely
from msgspec import structs

from gridjig.checks.findings import findings
from gridjig.contact.shapes import placed_part, rooms_of
from gridjig.contact.values import Contact
from gridjig.geometry.part_solids import PartFace
from gridjig.model import CutOut, Drilled, Hole, Plate, PlateHole, Slotted
from gridjig.sheets.text.contact_text import piece_contact_lines
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import lay, look, turned
from tests.stock import SQUARE, bar
from tests.workshop import TABLE, box, pin, put, seat

X, Y = TABLE.at(Hole(11, 9))
"""Where the pin of 30 mm stands."""


def base(*holes: PlateHole, low: float = 0.0) -> Plate:
    """A plate of 300 by 200 mm whose own (100, 100) is where the pin stands."""
    return Plate(
        id="w",
        name="Base",
        corners=box(0, 0, 300, 200),
        holes=holes,
        x=X - 100.0,
        y=Y - 100.0,
        z_low=low,
        z_high=low + 10.0,
    )


def of_pin(*holes: PlateHole, dx: float = 0.0) -> tuple[Contact, ...]:
    plate = base(*holes)
    found = look(pin("p", 11, 9), structs.replace(plate, x=plate.x + dx))
    assert found.pieces["p"].overlaps == () or holes == ()
    return found.pieces["p"].contacts


def levels(*things: object) -> dict[str, str]:
    job = lay(*things)  # type: ignore[arg-type]
    found = findings(job, PlacedPieces().of(job))
    assert found
    return {one.id: one.what for one in found}


def test_a_pin_through_the_steel_is_a_clash() -> None:
    said = levels(pin("p", 11, 9), base())
    assert said == {"body/p/w": "locating pin runs 30 mm into Base."}


@pytest.mark.source("method", "arithmetic: 30 mm in 30.05 mm is 0.025 mm all round")
def test_a_pin_that_fits_holds_every_way() -> None:
    found = of_pin(Drilled((100.0, 100.0), 30.05))
    assert len(found) == 4
    assert {c.kind for c in found} == {"round in hole"}
    assert {c.face for c in found} == {PartFace("hole", 0)}
    assert all(c.touches for c in found)
    assert [c.gap for c in found] == pytest.approx([0.025] * 4)
    around = {(round(c.normal[0]), round(c.normal[1])) for c in found}
    assert around == {(1, 0), (-1, 0), (0, 1), (0, -1)}
    for contact in found:
        assert math.dist(contact.middle, (X, Y)) == pytest.approx(15.025)
    job = lay(pin("p", 11, 9), base(Drilled((100.0, 100.0), 30.05)))
    one = look(pin("p", 11, 9), base(Drilled((100.0, 100.0), 30.05)))
    assert one.roles["p"].what == "locates"
    assert piece_contact_lines(job, one, "p") == ("touches Base, hole 1",)


@pytest.mark.source("method", "arithmetic: 36 mm less 30 mm is 3 mm all round")
def test_a_pin_in_a_wide_hole_stands_loose() -> None:
    wide = Drilled((100.0, 100.0), 36.0)
    (contact,) = of_pin(wide)
    assert contact.means == "gap"
    assert contact.gap == pytest.approx(3.0)
    said = levels(pin("p", 11, 9), base(wide))
    assert said["loose/p"] == (
        "locating pin stands loose in Base, hole 1: the nearest wall of the hole is 3 mm away, so"
        " it does not locate the plate."
    )
    assert not any(key.startswith(("gap/", "idle/")) for key in said)


@pytest.mark.source("method", "arithmetic: pushed 3 mm to the right, the left wall touches")
def test_a_loose_pin_against_the_wall_of_its_hole() -> None:
    (contact,) = of_pin(Drilled((100.0, 100.0), 36.0), dx=3.0)
    assert contact.touches
    assert contact.gap == pytest.approx(0.0, abs=1e-9)
    assert contact.normal == pytest.approx((1.0, 0.0, 0.0))
    assert contact.middle == pytest.approx((X - 15.0, Y))


def test_a_pin_larger_than_the_hole_does_not_fit() -> None:
    small = Drilled((100.0, 100.0), 28.0)
    found = look(pin("p", 11, 9), base(small))
    (lap,) = found.pieces["p"].overlaps
    assert lap.depth == pytest.approx(1.0, abs=0.05)
    area = math.pi * (15.0**2 - 14.0**2)
    assert lap.area == pytest.approx(area, rel=5e-3)


def test_a_pin_in_a_slot_holds_across_it_only() -> None:
    found = of_pin(Slotted((80.0, 100.0), (120.0, 100.0), 30.0))
    assert len(found) == 2
    assert sorted(round(c.normal[1]) for c in found) == [-1, 1]
    assert [c.normal[0] for c in found] == pytest.approx([0.0, 0.0])


def test_a_pin_at_the_end_of_a_slot_holds_along_it_too() -> None:
    found = of_pin(Slotted((80.0, 100.0), (120.0, 100.0), 30.0), dx=-20.0)
    assert any(c.touches and c.normal[0] == pytest.approx(-1.0, abs=0.02) for c in found)


def test_a_square_opening_is_met_by_its_sides() -> None:
    opening = CutOut(((60.0, 85.0), (160.0, 85.0), (160.0, 150.0), (60.0, 150.0)))
    found = of_pin(opening)
    touching = [c for c in found if c.touches]
    assert len(touching) == 1
    assert touching[0].kind == "round on face"
    assert touching[0].face == PartFace("hole", 0)
    assert touching[0].normal == pytest.approx((0.0, 1.0, 0.0))
    stop = look(
        turned("s", 11, 9, 0.0),
        base(CutOut(((40.0, 40.0), (200.0, 40.0), (200.0, 112.0), (40.0, 112.0)))),
    )
    (contact,) = (c for c in stop.pieces["s"].contacts if c.touches)
    assert contact.kind == "face on face"
    assert contact.length == pytest.approx(50.0)
    assert contact.normal == pytest.approx((0.0, -1.0, 0.0))


def test_a_rest_under_a_hole_carries_nothing() -> None:
    riser = put("r", "riser", seat("p", 11, 9))
    over = look(riser, base(Drilled((100.0, 100.0), 80.0), low=50.0))
    assert over.pieces["r"].contacts == ()
    beside = look(riser, base(Drilled((100.0, 140.0), 40.0), low=50.0))
    assert [c.kind for c in beside.pieces["r"].contacts if c.touches] == ["rest under"]
    part_way = look(riser, base(Drilled((100.0, 110.0), 40.0), low=50.0))
    (contact,) = part_way.pieces["r"].contacts
    assert contact.touches
    assert math.dist(contact.middle, (X, Y + 10.0)) == pytest.approx(20.0, abs=0.02)


def test_what_stands_in_a_hole_does_not_see_beyond_the_plate() -> None:
    far = bar(SQUARE, 300, id="far", name="Far", x=X - 150.0, y=Y + 160.0)
    found = look(pin("p", 11, 9), base(Drilled((100.0, 100.0), 30.0)), far)
    assert {c.part for c in found.pieces["p"].contacts} == {"w"}


def test_a_tube_through_an_opening_does_not_overlap_the_plate() -> None:
    tube = bar(SQUARE, 60, id="t", name="Tube", x=X - 30.0, y=Y)
    fits = base(CutOut(((69.0, 74.0), (131.0, 74.0), (131.0, 126.0), (69.0, 126.0))))
    assert list(look(tube, fits).overlaps()) == []
    assert len(list(look(tube, base()).overlaps())) == 1


@pytest.mark.source("method", "the same areas by another library call")
def test_the_room_of_a_plate_is_its_plan_less_its_holes() -> None:
    holes = (Drilled((50.0, 50.0), 20.0), Slotted((150.0, 50.0), (200.0, 90.0), 16.0))
    (room,) = rooms_of(placed_part(base(*holes))).every
    gone = math.pi * 100.0 + math.pi * 64.0 + 16.0 * math.dist((150.0, 50.0), (200.0, 90.0))
    assert room.plan.area == pytest.approx(300.0 * 200.0 - gone, rel=1e-9)
    assert not room.plan.contains(shapely.Point(X - 50.0, Y - 50.0))
