"""Pieces of the rack made from drawings: what each outline is, and the piece that they make."""

from collections.abc import Callable
from pathlib import Path

import pytest
from ezdxf.document import Drawing as Document
from ezdxf.layouts.layout import Modelspace
from msgspec import structs

from gridjig.checks.conflicts import conflict
from gridjig.contact.shapes import placed_part
from gridjig.edits.rack import add_piece
from gridjig.files.drawings.drawing import read_drawing
from gridjig.files.drawings.piece import DrawnRing, RingRole, drawn_rings, piece_of, pins_for
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.geometry.piece_faults import unsound
from gridjig.geometry.piece_mass import STEEL, mass_of
from gridjig.model import Hole, Job, Placement, Seat
from gridjig.rack import Piece, RoundHole, StraightSlot
from gridjig.solve.placed.solver import solve_placement
from gridjig.units import Display
from tests.workshop import plate

from .drawn import written

MM = Display(unit="millimetres")
TABLE = next(t for t in ready_tables().values() if t.hole_diameter == 16)
RACK = rack_for(TABLE)
Draw = Callable[[Document, Modelspace], object]


def block(space: Modelspace, x: float, y: float, w: float, d: float, layer: str = "0") -> None:
    corners = [(x, y), (x + w, y), (x + w, y + d), (x, y + d)]
    space.add_lwpolyline(corners, close=True, dxfattribs={"layer": layer})


def slot(space: Modelspace, x: float, y: float, long: float, wide: float) -> None:
    """A slot along x from the middle of one end to that of the other: lines and bulges."""
    r = wide / 2
    corners = [(x, y - r, 0), (x + long, y - r, 1), (x + long, y + r, 0), (x, y + r, 1)]
    space.add_lwpolyline(corners, format="xyb", close=True)


def upright_l(_: Document, space: Modelspace) -> None:
    block(space, 0, 0, 240, 100, "BASE")
    block(space, 0, 88, 240, 12, "UPRIGHT")
    for x in (20, 220):
        space.add_circle((x, 40), 8.0, dxfattribs={"layer": "HOLES"})
    space.add_circle((120, 40), 20, dxfattribs={"layer": "HOLES"})


def rings_of(folder: Path, draw: Draw, unit: str | None = "mm") -> tuple[DrawnRing, ...]:
    return drawn_rings(read_drawing(written(folder, draw, unit)), RACK, TABLE, 12.0)


def made(rings: tuple[DrawnRing, ...]) -> Piece:
    return piece_of(rings, RACK, TABLE, "Fence", MM)


def with_role(rings: tuple[DrawnRing, ...], number: int, role: RingRole) -> tuple[DrawnRing, ...]:
    return tuple(structs.replace(r, role=role) if r.number == number else r for r in rings)


@pytest.mark.source("method", "arithmetic: 240 by 100 by 12, an upright of 12 to 80, holes of 16")
def test_an_upright_l_from_a_drawing(tmp_path: Path) -> None:
    rings = rings_of(tmp_path, upright_l)
    assert [(r.layer, r.role, r.around) for r in rings] == [
        ("BASE", "body", -1), ("UPRIGHT", "body", 0), ("HOLES", "opening", 0),
        ("HOLES", "pin hole", 0), ("HOLES", "pin hole", 0),
    ]  # fmt: skip
    high = tuple(structs.replace(r, z_high=80.0) if r.number == 1 else r for r in rings)
    piece = made(high)
    assert unsound(piece) is None
    assert [(s.z_low, s.z_high, len(s.openings)) for s in piece.solids] == [(0, 12, 1), (0, 80, 0)]
    assert piece.solids[0].outline == ((-20, -40), (220, -40), (220, 60), (-20, 60))
    assert piece.mounts == (RoundHole("hole-1", (0, 0), 16), RoundHole("hole-2", (200, 0), 16))
    assert RACK.locking_pin(piece) is RACK.piece("lock-pin")
    hole = 3.14159265 * 64
    volume = (240 * 100 - 2 * hole - 3.14159265 * 400) * 12 + 240 * 12 * 68
    assert piece.mass == pytest.approx(volume * STEEL * 1e-9, rel=1e-3)
    assert piece.mass == pytest.approx(mass_of(piece), abs=1e-4)


def test_the_piece_stands_on_the_table_and_its_opening_is_free(tmp_path: Path) -> None:
    piece = made(rings_of(tmp_path, upright_l))
    job = add_piece(Job(name="J", table=TABLE, rack=RACK), piece)
    seats = (Seat("hole-1", Hole(4, 4)), Seat("hole-2", Hole(8, 4)))
    placed = solve_placement(job.table, job.rack, Placement(id="f", piece=piece.id, seats=seats))
    assert placed.fault is None
    x, y = TABLE.at(Hole(6, 4))
    assert conflict(placed, placed_part(plate("in", x - 10, y - 10, 20, 20))) is None
    assert conflict(placed, placed_part(plate("rim", x - 10, y - 10, 40, 20))) is not None


def test_a_slot_is_a_slot(tmp_path: Path) -> None:
    def draw(_: Document, space: Modelspace) -> None:
        block(space, 0, 0, 200, 60)
        space.add_circle((30, 30), 8.1)
        slot(space, 80, 30, 70, 16.2)
        slot(space, 20, 50, 60, 4)

    rings = rings_of(tmp_path, draw)
    assert [r.role for r in rings] == ["body", "pin hole", "opening", "pin hole"]
    piece = made(rings)
    hole, long = piece.mounts
    assert isinstance(hole, RoundHole)
    assert isinstance(long, StraightSlot)
    assert hole.at == (0, 0)
    assert hole.diameter == pytest.approx(16.2, abs=0.01)
    assert sorted((long.a, long.b)) == [
        pytest.approx((50, 0), abs=0.05),
        pytest.approx((120, 0), abs=0.05),
    ]
    assert long.width == pytest.approx(16.2, abs=0.05)


@pytest.mark.parametrize(
    ("diameter", "pinned"), [(15.8, False), (15.9, True), (17.6, True), (17.7, False), (40, False)]
)
def test_a_hole_is_for_a_pin_if_one_fits_it_and_the_table(
    diameter: float, pinned: bool, tmp_path: Path
) -> None:
    assert [p.pin_diameter for p in RACK.pieces if p.kind == "locking pin"] == [15.9] * 3
    assert bool(pins_for(RACK, TABLE, diameter)) is pinned

    def draw(_: Document, space: Modelspace) -> None:
        block(space, 0, 0, 200, 60)
        space.add_circle((30, 30), diameter / 2)

    role = rings_of(tmp_path, draw)[1].role
    assert role == ("pin hole" if pinned else "opening")


def test_the_thickest_pin_that_fits_every_hole_comes_first() -> None:
    thin = structs.replace(RACK.piece("lock-pin"), id="thin", pin_diameter=12.0)
    thick = structs.replace(thin, id="thick", pin_diameter=20.0)
    rack = RACK.with_piece(thin).with_piece(thick)
    assert [p.id for p in pins_for(rack, TABLE, 16.0)][-1] == "thin"
    assert [p.id for p in pins_for(rack, TABLE, 13.0)] == ["thin"]
    assert "thick" not in [p.id for p in pins_for(rack, TABLE, 17.0)]


def test_a_body_beside_another_belongs_to_it_and_one_apart_is_left_out(tmp_path: Path) -> None:
    def draw(_: Document, space: Modelspace) -> None:
        block(space, 0, 0, 200, 60)
        space.add_circle((30, 30), 8)
        block(space, 0, 60, 200, 10)
        block(space, 0, 100, 200, 20)
        space.add_circle((30, 110), 8)

    rings = rings_of(tmp_path, draw)
    roles = {r.ring[0][1] // 10: r.role for r in rings if len(r.ring) == 4}
    assert roles == {0: "body", 6: "body", 10: "left out"}
    apart = [r for r in rings if r.hole is not None]
    assert sorted(r.role for r in apart) == ["left out", "pin hole"]
    assert len(made(rings).solids) == 2


def test_what_is_in_an_opening_is_left_out_until_asked_for(tmp_path: Path) -> None:
    def draw(_: Document, space: Modelspace) -> None:
        block(space, 0, 0, 300, 200)
        space.add_circle((20, 20), 8)
        block(space, 100, 50, 100, 100)
        block(space, 130, 80, 40, 40)

    rings = rings_of(tmp_path, draw)
    assert [r.role for r in rings] == ["body", "opening", "left out", "pin hole"]
    boss = tuple(
        structs.replace(r, role="body", z_high=20.0) if r.number == 2 else r for r in rings
    )
    piece = made(boss)
    assert [(s.z_high, len(s.openings)) for s in piece.solids] == [(12, 1), (20, 0)]


def test_why_no_piece_is_made_is_said(tmp_path: Path) -> None:
    rings = rings_of(tmp_path, upright_l)
    for number, role, says in (
        (0, "left out", None),
        (3, "opening", None),
        (2, "pin hole", "No pin fits outline 3, 40 mm wide, and the table's holes, 16 mm wide"),
        (1, "pin hole", "Outline 2 is neither round nor a straight slot"),
    ):
        changed = with_role(rings, number, role)  # type: ignore[arg-type]
        if says is not None:
            with pytest.raises(ValueError, match=says):
                made(changed)
    without = with_role(with_role(rings, 3, "opening"), 4, "opening")
    with pytest.raises(ValueError, match="No hole is for a pin, so the piece cannot be pinned"):
        made(without)
    with pytest.raises(ValueError, match="No outline is a body"):
        made(with_role(with_role(rings, 0, "left out"), 1, "left out"))
    flat = tuple(structs.replace(r, z_low=12.0) if r.number == 0 else r for r in rings)
    with pytest.raises(ValueError, match="The top of outline 1 must be higher than its underside"):
        made(flat)
    edge = tuple(r for r in rings if r.number != 0)
    with pytest.raises(ValueError, match=r"no steel|not lie|around"):
        made(edge)


def test_a_drawing_in_inches_and_one_without_a_unit(tmp_path: Path) -> None:
    def draw(_: Document, space: Modelspace) -> None:
        block(space, 0, 0, 8, 2)
        space.add_circle((1, 1), 16 / 25.4 / 2)

    piece = made(rings_of(tmp_path, draw, "in"))
    assert piece.solids[0].outline[0] == pytest.approx((-25.4, -25.4))
    with pytest.raises(ValueError, match="states no unit"):
        rings_of(tmp_path, draw, None)


def test_open_lines_alone_and_too_many_outlines_are_said(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="no closed outline and 1 open line"):
        rings_of(tmp_path, lambda _, space: space.add_line((0, 0), (9, 9)))

    def many(_: Document, space: Modelspace) -> None:
        for k in range(401):
            block(space, 20 * k, 0, 10, 10)

    with pytest.raises(ValueError, match="401 closed outlines; a piece can have at most 400"):
        rings_of(tmp_path, many)


def test_an_outline_with_too_many_corners_is_said(tmp_path: Path) -> None:
    def comb(_: Document, space: Modelspace) -> None:
        teeth = [(k / 4, 100.0 + (k % 2)) for k in range(2100)]
        space.add_lwpolyline([(0, 0), *teeth[:1], *teeth[1:], (525, 0)], close=True)
        space.add_circle((30, 30), 8)

    with pytest.raises(ValueError, match=r"Outline 1 has 2,102 corners, and 2,000 is the most"):
        made(rings_of(tmp_path, comb))
