"""A piece of the rack made from a drawing: which ring is what, and the piece that they make.

A ring is a body (an outline between two heights), a hole or slot for a pin, an opening, or left
out.  Knows no window.
"""

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Literal

import shapely
from msgspec import Struct, structs

from gridjig.edits.rack import free_id
from gridjig.geometry.piece_faults import unsound
from gridjig.geometry.piece_mass import mass_of
from gridjig.model import Drilled, Table
from gridjig.rack import MountFeature, Piece, Point, Rack, RoundHole, Solid, StraightSlot
from gridjig.units import Display, format_count, format_length
from gridjig.units.limits import OUTLINE
from gridjig.units.progress import looked_at

from .drawing import Drawing
from .nesting import depths
from .parts import require_outlines
from .pieces import ROUND, hole_of
from .sketch import mm_of

RingRole = Literal["body", "pin hole", "opening", "left out"]
ROLES: tuple[RingRole, ...] = ("body", "pin hole", "opening", "left out")
LOOSEST = 0.1
"""A hole fits a pin if it is no smaller than the pin, and no larger than the table's holes by more
than this part of their diameter: a looser one would not say where the piece is."""
MOST_RINGS = 400
_TOUCHING = 0.05  # mm
_DIGITS = 6
_SLACK = 1e-6  # of a diameter that was reckoned from corners, mm
_CORNERS = OUTLINE.max_length or 0


class DrawnRing(Struct, frozen=True):
    """A closed outline of the drawing, in mm: its layer, the ring that it lies in (a number, -1 for
    none), the hole or slot that it is if it has the form of one, and what it is taken for.

    Bodies have heights.
    """

    number: int
    layer: str
    ring: tuple[Point, ...]
    around: int
    hole: RoundHole | StraightSlot | None
    role: RingRole = "left out"
    z_low: float = 0.0
    z_high: float = 0.0

    @property
    def width(self) -> float:
        """The diameter of a hole or the width of a slot; 0 for anything else."""
        if self.hole is None:
            return 0.0
        return self.hole.diameter if isinstance(self.hole, RoundHole) else self.hole.width


def pins_for(rack: Rack, table: Table, width: float) -> tuple[Piece, ...]:
    """The locking pins that go through the table's holes and through a hole or slot of that width,
    the thickest first.  Empty if the hole is too wide for the table.
    """
    if width > table.hole_diameter * (1.0 + LOOSEST) + _SLACK:
        return ()
    fit = [
        p
        for p in rack.pieces
        if p.kind == "locking pin" and p.pin_diameter <= min(width, table.hole_diameter) + _SLACK
    ]
    return tuple(sorted(fit, key=lambda p: -p.pin_diameter))


def drawn_rings(drawing: Drawing, rack: Rack, table: Table, high: float) -> tuple[DrawnRing, ...]:
    """The rings of the layers that are shown, largest first, each with its usual role; bodies are
    `high` (mm).

    The largest outline is a body, and so is one that touches a body along an edge, inside it or
    outside.  In a body, a round hole or slot that fits a pin is a pin hole, anything else an
    opening.  All others are left out.  Raises ValueError with a sentence.
    """
    if drawing.unit is None:
        raise ValueError("The drawing states no unit; choose the one that gives its true size.")
    shown = [layer for layer in drawing.layers if not layer.hidden]
    require_outlines(drawing, shown)
    mm = mm_of(drawing.unit)
    found = [
        (layer.name, tuple((mm * x, mm * y) for x, y in ring))
        for layer in shown
        for ring in (*layer.outlines, *layer.openings)
    ]
    if len(found) > MOST_RINGS:
        raise ValueError(
            f"The drawing has {len(found)} closed outlines; a piece can have at most {MOST_RINGS}."
        )
    shapes = [shapely.Polygon(ring) for _, ring in found]
    order = sorted(range(len(found)), key=lambda k: -shapes[k].area)
    found, shapes = [found[k] for k in order], [shapes[k] for k in order]
    deep = depths(shapes, lambda _: None)
    rings: list[DrawnRing] = []
    for k, (layer, ring) in enumerate(looked_at(found)):
        inside = [j for j in range(k) if shapes[j].covers(shapes[k])]
        around = max((j for j in inside if deep[j] < deep[k]), default=inside[-1] if inside else -1)
        drawn = DrawnRing(k, layer, ring, around, _hole(ring, shapes[k]))
        role = _usual(drawn, k, rings, shapes, bool(pins_for(rack, table, drawn.width)))
        top = high if role == "body" else 0.0
        rings.append(structs.replace(drawn, role=role, z_high=top))
    return tuple(rings)


def _usual(
    drawn: DrawnRing,
    k: int,
    rings: Sequence[DrawnRing],
    shapes: Sequence[shapely.Polygon],
    pinned: bool,
) -> RingRole:
    if k == 0:
        return "body"
    bodies = [shapes[ring.number] for ring in rings if ring.role == "body"]
    if any(_share_an_edge(shapes[k], body) for body in bodies):
        return "body"
    within = drawn.around >= 0 and rings[drawn.around].role == "body"
    if not within:
        return "left out"
    return "pin hole" if drawn.hole is not None and pinned else "opening"


def _share_an_edge(one: shapely.Polygon, other: shapely.Polygon) -> bool:
    """True if two outlines run along each other for a twentieth of the smaller one."""
    near = other.exterior.buffer(_TOUCHING, quad_segs=4)
    return bool(one.exterior.intersection(near).length > 0.05 * one.exterior.length)


def _hole(ring: tuple[Point, ...], shape: shapely.Polygon) -> RoundHole | StraightSlot | None:
    """The round hole or straight slot that a ring is, or None."""
    made = hole_of(ring)
    if isinstance(made, Drilled):
        return RoundHole("hole", made.at, made.diameter)
    box = shapely.minimum_rotated_rectangle(shape)
    corners = list(box.exterior.coords) if isinstance(box, shapely.Polygon) else []
    if len(corners) != 5:
        return None
    sides = sorted(pairwise(corners[:3]), key=lambda side: math.dist(*side))
    width, long = (math.dist(*side) for side in sides)
    if long - width < ROUND:
        return None
    (ax, ay), (bx, by) = sides[1]
    ux, uy = (bx - ax) / long, (by - ay) / long
    x, y = box.centroid.coords[0]
    half = (long - width) / 2
    a, b = (x - ux * half, y - uy * half), (x + ux * half, y + uy * half)
    true = shapely.LineString([a, b]).buffer(width / 2, quad_segs=32)
    if shape.hausdorff_distance(true) > 2 * ROUND:
        return None
    return StraightSlot("slot", a, b, width)


def piece_of(
    rings: Sequence[DrawnRing], rack: Rack, table: Table, name: str, display: Display
) -> Piece:
    """The piece that the rings make, one on hand, with its first pin hole at the origin.

    Raises ValueError with a sentence if there is no body, no hole for a pin, no pin for a hole, or
    if the piece could not be made.
    """
    bodies = [ring for ring in rings if ring.role == "body"]
    if not bodies:
        raise ValueError("No outline is a body; choose the one that is the piece.")
    holes = _pinned(rings, rack, table, display)
    x, y = _start(holes[0])

    def put(p: Point) -> Point:
        return (round(p[0] - x, _DIGITS) + 0.0, round(p[1] - y, _DIGITS) + 0.0)

    narrow = min(ring.width for ring in rings if ring.role == "pin hole")
    piece = Piece(
        id=free_id(rack, "own-piece"),
        name=name.strip()[:120] or "Custom piece",
        kind="other",
        solids=tuple(_solid(body, rings, put) for body in bodies),
        mounts=tuple(_named(hole, number, put) for number, hole in enumerate(holes, 1)),
        takes=tuple(pin.id for pin in pins_for(rack, table, narrow)),
        owned=1,
    )
    why = unsound(piece)
    if why:
        raise ValueError(why)
    return structs.replace(piece, mass=round(mass_of(piece), 4))


def _pinned(
    rings: Sequence[DrawnRing], rack: Rack, table: Table, display: Display
) -> list[RoundHole | StraightSlot]:
    """The holes and slots for pins: round holes first, from front to back and left to right."""
    across = format_length(table.hole_diameter, display)
    pinned = [ring for ring in rings if ring.role == "pin hole"]
    if not pinned:
        raise ValueError(
            "No hole is for a pin, so the piece cannot be pinned to the table; choose one that a"
            f" pin fits, or draw one {across} wide."
        )
    holes: list[RoundHole | StraightSlot] = []
    for ring in pinned:
        if ring.hole is None:
            raise ValueError(
                f"Outline {ring.number + 1} is neither round nor a straight slot, so no pin fits"
                " it; make it an opening."
            )
        if not pins_for(rack, table, ring.width):
            wide = format_length(ring.width, display)
            raise ValueError(
                f"No pin fits outline {ring.number + 1}, {wide} wide, and the table's holes,"
                f" {across} wide; make it an opening."
            )
        holes.append(ring.hole)
    return sorted(holes, key=lambda h: (isinstance(h, StraightSlot), *_start(h)[::-1]))


def _start(hole: RoundHole | StraightSlot) -> Point:
    return hole.at if isinstance(hole, RoundHole) else hole.a


def _named(
    hole: RoundHole | StraightSlot, number: int, put: Callable[[Point], Point]
) -> MountFeature:
    if isinstance(hole, RoundHole):
        return RoundHole(f"hole-{number}", put(hole.at), round(hole.diameter, _DIGITS))
    return StraightSlot(f"slot-{number}", put(hole.a), put(hole.b), round(hole.width, _DIGITS))


def _solid(body: DrawnRing, rings: Sequence[DrawnRing], put: Callable[[Point], Point]) -> Solid:
    if len(body.ring) > _CORNERS:
        raise ValueError(
            f"Outline {body.number + 1} has {format_count(len(body.ring))} corners, and"
            f" {format_count(_CORNERS)} is the most for a piece; simplify it in the drawing."
        )
    if body.z_high <= body.z_low:
        raise ValueError(f"The top of outline {body.number + 1} must be higher than its underside.")
    cut = tuple(
        tuple(map(put, ring.ring))
        for ring in rings
        if ring.role == "opening" and _home(ring, rings) == body.number
    )
    return Solid(tuple(map(put, body.ring)), body.z_low, body.z_high, openings=cut)


def _home(opening: DrawnRing, rings: Sequence[DrawnRing]) -> int:
    """The number of the body that an opening lies in; -1 if it lies in none."""
    around = opening.around
    while around >= 0 and rings[around].role != "body":
        around = rings[around].around
    return around
