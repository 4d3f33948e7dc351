"""Openings in a piece: free room everywhere, for placing, conflicts, contacts, drawings, hands."""

import pytest
from msgspec import structs

from gridjig.checks.conflicts import conflict
from gridjig.contact.shapes import placed_part, rooms_of
from gridjig.edits.sizes import with_size
from gridjig.geometry.display import Polyline
from gridjig.geometry.piece_mass import STEEL, mass_of
from gridjig.model import Hole, Placement, Seat
from gridjig.rack import Piece, Rack, RoundHole, Solid
from gridjig.sheets.drawings.plan import draw_beneath, draw_ghost, draw_placement
from gridjig.sheets.drawings.silhouette import lying, silhouette
from gridjig.solve.mirror.mirrored_piece import mirrored_piece
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.tools.touch.free import room_about
from tests.workshop import EMPTY, box, laid, pin, plate, put, seat

HOLES = (RoundHole("h1", (0, 0), 16), RoundHole("h2", (200, 0), 16))
RIM = Piece(
    id="rim",
    name="Rim",
    kind="other",
    solids=(Solid(box(-20, -20, 220, 220), 0, 30, openings=(box(20, 20, 180, 200),)),),
    mounts=HOLES,
    takes=("bolt",),
    owned=2,
)
JOB = structs.replace(EMPTY, rack=EMPTY.rack.with_piece(RIM))
AT = Placement(id="r", piece="rim", seats=(Seat("h1", Hole(4, 4)), Seat("h2", Hole(8, 4))))


def placed(placement: Placement = AT) -> PlacedPiece:
    made = solve_placement(JOB.table, JOB.rack, placement)
    assert made.fault is None
    return made


@pytest.mark.source("method", "arithmetic: the opening starts 20 mm beside the hole, in both ways")
def test_what_stands_in_an_opening_is_in_nobodys_way() -> None:
    x, y = JOB.table.at(Hole(4, 4))
    inside = placed_part(plate("p", x + 20, y + 20, 160, 180))
    assert conflict(placed(), inside) is None  # it touches all round
    assert conflict(placed(), placed_part(plate("p", x + 19, y + 20, 160, 180))) is not None
    assert conflict(placed(), placed_part(plate("p", x + 20, y + 20, 161, 180))) is not None
    [other] = laid(pin("a", 6, 6), job=JOB).placements
    assert conflict(placed(), solve_placement(JOB.table, JOB.rack, other)) is None


def test_a_riser_under_it_and_a_turned_one_have_their_openings_where_they_are() -> None:
    there = solve_placement(
        JOB.table, JOB.rack, put("r", "rim", seat("h1", 4, 4), seat("h2", 4, 8))
    )
    x, y = JOB.table.at(Hole(4, 4))
    [solid] = there.solids
    xs = sorted({round(p[0] - x) for p in solid.openings[0]})
    ys = sorted({round(p[1] - y) for p in solid.openings[0]})
    assert (xs, ys) == ([-200, -20], [20, 180])
    [room] = rooms_of(there).every
    assert room.plan.area == pytest.approx(240 * 240 - 160 * 180)


def test_openings_are_drawn_as_holes() -> None:
    there = placed()
    drawings = (draw_placement(there, JOB.table), draw_beneath(there), draw_ghost(there, JOB.table))
    for drawing in (*drawings, silhouette(RIM), lying(silhouette(RIM))):
        holed = [s for s in drawing if isinstance(s, Polyline) and s.openings]
        assert len(holed) == 1
        assert len(holed[0].openings[0]) == 4
    narrow = Solid(box(-20, -20, 20, 220), 0, 9, openings=(box(-5, 50, 15, 90),))
    tall = structs.replace(RIM, solids=(narrow,), mounts=HOLES[:1])
    [body] = [s for s in lying(silhouette(tall)) if isinstance(s, Polyline)]
    assert sorted({p[0] for p in body.openings[0]}) == [50, 90]


@pytest.mark.source("method", "arithmetic: the rim's area times its height")
def test_openings_weigh_nothing() -> None:
    pins = 2 * 3.14159265 * 64
    volume = (240 * 240 - 160 * 180 - pins) * 30
    assert mass_of(RIM) == pytest.approx(volume * STEEL * 1e-9, rel=1e-3)


def test_openings_go_along_when_the_piece_is_stretched() -> None:
    wider = with_size(structs.replace(RIM, mass=mass_of(RIM)), "spacing.h2", 250.0)
    assert max(p[0] for p in wider.solids[0].outline) == 270
    assert {p[0] for p in wider.solids[0].openings[0]} == {20, 180}
    deeper = with_size(structs.replace(RIM, mass=mass_of(RIM)), "width.0", 300.0)
    assert {p[1] for p in deeper.solids[0].openings[0]} == {80, 260}


def test_an_opening_on_the_other_side_makes_another_hand() -> None:
    left = structs.replace(
        RIM, solids=(Solid(box(-20, -20, 220, 220), 0, 30, openings=(box(20, 40, 60, 100),)),)
    )
    assert mirrored_piece(Rack(name="r", pieces=(RIM,)), RIM) is not None
    assert mirrored_piece(Rack(name="r", pieces=(left,)), left) is None
    right = structs.replace(
        left,
        id="right",
        solids=(Solid(box(-20, -20, 220, 220), 0, 30, openings=(box(140, 40, 180, 100),)),),
    )
    found = mirrored_piece(Rack(name="r", pieces=(left, right)), left)
    assert found is not None
    assert found.piece == "right"


@pytest.mark.source(
    "method", "plane geometry: the nearest edge of the opening is 28.28 from the hole"
)
def test_the_room_about_a_pin_ends_at_an_opening() -> None:
    assert room_about(RIM.solids[0], HOLES[0]) == pytest.approx(20.0)
    far = structs.replace(RIM.solids[0], outline=box(-90, -90, 220, 220))
    assert room_about(far, HOLES[0]) == pytest.approx(800**0.5)
    over = structs.replace(far, openings=(box(-5, -5, 5, 5),))
    assert room_about(over, HOLES[0]) == 0.0
