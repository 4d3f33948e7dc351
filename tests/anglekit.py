"""Tables, pins and shims for the tests of angles, and the same questions asked by brute force."""

import math
from collections.abc import Iterable, Iterator
from itertools import combinations

import shapely

from gridjig.model import Hole, HoleMark, Table
from gridjig.rack import Piece, Point, Rack, Round, Shank
from gridjig.solve.angles.faults import AngleFault
from gridjig.units import MILLIMETRES
from gridjig.words.angle_fault_text import angle_fault_text

INCH = 25.4


def grid_table(
    columns: int,
    rows: int,
    pitch: float = 50.0,
    pitch_y: float = 0.0,
    blocked: Iterable[tuple[int, int]] = (),
    bore: float = 16.0,
) -> Table:
    """A table of that many holes, some of them blocked."""
    up = pitch_y or pitch
    return Table(
        name=f"{columns} x {rows}",
        width=columns * pitch,
        depth=rows * up,
        thickness=12.0,
        pitch_x=pitch,
        pitch_y=up,
        columns=columns,
        rows=rows,
        first_x=pitch / 2,
        first_y=up / 2,
        hole_diameter=bore,
        marks=tuple(HoleMark(Hole(c, r), "blocked") for c, r in blocked),
    )


def body(diameter: float, owned: int = 4, shank: float = 15.9, name: str = "") -> Piece:
    """A pin with a round body of that diameter."""
    return Piece(
        id=name or f"pin-{diameter:g}",
        name=f"pin {diameter:g}",
        kind="pin",
        mounts=(Shank("shank", (0.0, 0.0), shank),),
        rounds=(Round("body", (0.0, 0.0), diameter / 2, 0.0, 40.0),),
        owned=owned,
    )


def shim(thickness: float, owned: int = 2) -> Piece:
    """A shim of that thickness."""
    return Piece(
        id=f"shim-{thickness:g}",
        name=f"shim {thickness:g}",
        kind="shim",
        thickness=thickness,
        owned=owned,
    )


def rack_of(*pieces: Piece) -> Rack:
    """A rack with these pieces."""
    return Rack(name="Test", pieces=pieces)


def hole_pairs(
    table: Table, low: float = 0.0, high: float = math.inf, region: tuple[Point, ...] = ()
) -> Iterator[tuple[Hole, Hole, float, float]]:
    """Every pair of unmarked holes with its base (mm) and its direction (degrees), one by one."""
    marked = {tuple(m.hole) for m in table.marks}
    holes = [
        Hole(c, r) for r in range(table.rows) for c in range(table.columns) if (c, r) not in marked
    ]
    if region:
        polygon = shapely.Polygon(region)
        holes = [hole for hole in holes if polygon.covers(shapely.Point(table.at(hole)))]
    for a, b in combinations(holes, 2):
        x, y = (b.col - a.col) * table.pitch_x, (b.row - a.row) * table.pitch_y
        base = math.hypot(x, y)
        if low - 1e-3 <= base <= high + 1e-3:
            yield a, b, base, math.degrees(math.atan2(y, x)) % 180.0


def apart(a: float, b: float) -> float:
    """How far two line directions are apart, degrees, 0 to 90."""
    d = abs(a - b) % 180.0
    return min(d, 180.0 - d)


def worded(fault: AngleFault) -> str:
    """Why a question has no answer, in words."""
    return angle_fault_text(fault, grid_table(4, 4), MILLIMETRES)
