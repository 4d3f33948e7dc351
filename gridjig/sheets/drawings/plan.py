"""What stands on the table, seen from above, as a display list: a function for each kind of thing.

Pure composition: the same drawing goes to the screen, to paper and into files.  Knows no painter,
no zoom and no colour: the painter decides what a state looks like, but this module gives each state
a shape of its own.
"""

import math
from collections.abc import Iterable

from msgspec import Struct, structs

from gridjig.geometry import Pose, unit
from gridjig.geometry.box_index import Box, touch
from gridjig.geometry.display import (
    Arc,
    Circle,
    Dimension,
    DisplayList,
    DrawingRole,
    Fill,
    Hatch,
    HighlightBox,
    Polyline,
    Shape,
    Spot,
    Symbol,
    TextLabel,
)
from gridjig.geometry.hatch import hatch
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.plate_holes import part_openings
from gridjig.geometry.shapes import bounds
from gridjig.model import Member, Part, Table
from gridjig.rack import ArcSlot, ClampTip, Piece, Point, RoundHole, Shank, StraightSlot
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import Display, format_length

from .bars import along_name, bar_name, bar_shapes
from .silhouette import arc_ring, slot_ring

WORK_HATCHES: tuple[Hatch, ...] = ("work", "work2", "work3")

NAMED, PART, FLAGGED, SELECTED = 2, 3, 4, 5
"""Ranks of names: of a piece that the person named, of a part, of what has a finding, of what is
selected; the name that a piece has on the rack comes last.
"""
ROUND = 16  # corners from which a regular ring looks like a circle
DOT = 0.55  # radius of the dot on a pin, as a fraction of the pin's radius


class ShownState(Struct, frozen=True):
    """What to show about a thing in addition to its shape.

    `at` is where its sign belongs, mm: at the first of these places that is on the thing.
    """

    selected: bool = False
    hover: bool = False
    clash: bool = False
    check: bool = False
    at: tuple[Point, ...] = ()


_BESIDE = 10.0
"""A sign is shown where something was found up to this far beside the thing, mm."""

PLAIN = ShownState()
TABLE = Pose(0.0, 0.0, 0.0)
"""The table's own frame."""


# -- pieces --------------------------------------------------------------------------------------


def draw_placement(
    placed: PlacedPiece, table: Table, pin_diameter: float = 0.0, state: ShownState = PLAIN
) -> DisplayList:
    """Draw a placed piece: solids from low to high, holes and slots, pins, faces, clamp, state.

    `pin_diameter` is that of its locking pins in mm; 0 shows them as large as the table's holes.
    A piece that is not on the rack draws nothing.
    """
    piece = placed.piece
    if piece is None:
        return ()
    clash = state.clash or placed.fault is not None
    shapes = _solids(placed, clash)
    shapes += [Circle(r.centre, r.radius, "edge", fill="part") for r in placed.rounds]
    shapes += _mounts(placed, piece)
    shapes += _pins(placed, table, pin_diameter)
    shapes += [Polyline((f.a, f.b), "face") for f in placed.faces]
    shapes += [Circle(r.centre, r.radius, "thin") for r in placed.rests]
    if piece.pivot is not None:
        shapes.append(Symbol(placed.poses[0].point(piece.pivot.at), "pivot", "thin"))
    shapes += _clamp(placed, piece)
    shapes += _freedom(placed, table)
    box = box_of_stand(placed)
    if box is not None:
        own = placed.placement.name
        shapes.append(_label(own or piece.name, box, rank_of(NAMED if own else 1, state)))
        rings = [s.points for s in placed.solids if s.role != "handle"]
        shapes += _state(box, rings, state, clash)
    return tuple(shapes)


def box_of_stand(placed: PlacedPiece) -> Box | None:
    """Return the box round a placed piece, mm, without its handle's sweep; None if it is empty."""
    points = [p for solid in placed.solids if solid.role != "handle" for p in solid.points]
    return bounds(points) if points else None


def draw_beneath(placed: PlacedPiece) -> DisplayList:
    """Draw a piece under the work: only its outline, as a hidden line."""
    solids = (s for s in placed.solids if s.role != "handle")
    return tuple(Polyline(s.points, "hidden", closed=True, openings=s.openings) for s in solids)


def draw_ghost(placed: PlacedPiece, table: Table, refused: bool = False) -> DisplayList:
    """Draw where a piece would stand, cross-hatched if it cannot."""
    role: DrawingRole = "clash" if refused else "ghost"
    hatch: Hatch = "clash" if refused else "none"
    rings = tuple(
        Polyline(s.points, role, closed=True, hatch=hatch, openings=s.openings)
        for s in placed.solids
    )
    radius = table.hole_diameter / 2
    return (*rings, *(Circle(table.at(hole), radius, role) for hole in placed.holes))


def _solids(placed: PlacedPiece, clash: bool) -> list[Shape]:
    solids = sorted(placed.solids, key=lambda s: (s.z_high, s.z_low))
    lowest = solids[0].z_high if solids else 0.0
    role: DrawingRole = "clash" if clash else "edge"
    hatch: Hatch = "clash" if clash else "none"
    shapes: list[Shape] = []
    for solid in solids:
        fill: Fill = "part" if solid.z_high <= lowest else "raised"
        if solid.role == "handle":
            continue  # its sweep is shown as an arc
        if solid.role == "packing":
            shapes.append(Polyline(solid.points, role, closed=True, fill="work"))
            continue
        circle = None if clash or solid.openings else circle_of(solid.points)
        if circle is not None:
            shapes.append(Circle(*circle, role, fill=fill))
        else:
            cut = solid.openings
            shapes.append(Polyline(solid.points, role, True, fill, hatch=hatch, openings=cut))
    return shapes


def circle_of(points: tuple[Point, ...]) -> tuple[Point, float] | None:
    """Return the centre and radius of the circle that a ring of many corners means, or None."""
    count = len(points)
    if count < ROUND:
        return None
    centre = (sum(x for x, _ in points) / count, sum(y for _, y in points) / count)
    away = [math.dist(p, centre) for p in points]
    side = [math.dist(points[k - 1], points[k]) for k in range(count)]
    even = max(away) - min(away) < 1e-3 and max(side) - min(side) < 1e-3
    return (centre, max(away)) if even else None


def _mounts(placed: PlacedPiece, piece: Piece) -> list[Shape]:
    shapes: list[Shape] = []
    pinned = {seat.feature for seat in placed.placement.seats} if placed.fault is None else set()
    for mount in piece.mounts:
        round_and_pinned = mount.id in pinned and isinstance(mount, RoundHole | Shank)
        if round_and_pinned:
            continue  # the pin is drawn there
        pose = placed.poses[mount.body]
        if isinstance(mount, RoundHole):
            shapes.append(Circle(pose.point(mount.at), mount.diameter / 2, "thin", fill="paper"))
        elif isinstance(mount, Shank):
            shapes.append(Circle(pose.point(mount.at), mount.diameter / 2, "thin", fill="pin"))
        elif isinstance(mount, StraightSlot):
            ring = pose.points(slot_ring(mount.a, mount.b, mount.width))
            shapes.append(Polyline(ring, "thin", closed=True, fill="paper"))
        else:
            shapes.append(Polyline(pose.points(arc_ring(mount)), "thin", closed=True, fill="paper"))
    return shapes


def _pins(placed: PlacedPiece, table: Table, pin_diameter: float) -> list[Shape]:
    """A pin with a full dot where it holds; only a ring if the piece does not fit there."""
    radius = (pin_diameter or table.hole_diameter) / 2
    if placed.fault is not None:
        return [Circle(table.at(hole), radius, "clash") for hole in placed.holes]
    shapes: list[Shape] = []
    for hole in placed.holes:
        shapes.append(Circle(table.at(hole), radius, "thin", fill="paper"))
        shapes.append(Circle(table.at(hole), radius * DOT, "held", fill="held"))
    return shapes


def _clamp(placed: PlacedPiece, piece: Piece) -> list[Shape]:
    tip = placed.tip
    if tip is None or piece.tip is None:
        return []
    shapes: list[Shape] = []
    base = placed.poses[0]
    if piece.tip.handle_radius > 0:
        shapes.append(_swing(base, piece.tip))
    shapes.append(Circle(tip.at, tip.pad_radius, "thin", fill="paper"))
    if tip.push == "down":
        shapes.append(Symbol(tip.at, "press", "force"))
    else:
        c, s = unit(tip.direction)
        point = (tip.at[0] + c * tip.pad_radius, tip.at[1] + s * tip.pad_radius)
        shapes.append(Symbol(point, "force", "force", turn=tip.direction))
    return shapes


def _swing(base: Pose, tip: ClampTip) -> Arc:
    end = tip.handle_end
    while end <= tip.handle_start:
        end += 360.0
    start = base.direction(end if base.flipped else tip.handle_start)
    return Arc(
        base.point(tip.at), tip.handle_radius, start, start + end - tip.handle_start, "reach"
    )


def _freedom(placed: PlacedPiece, table: Table) -> list[Shape]:
    """Symbols for what is still free: turning about its pin, sliding along its slot.

    A piece that is the same at any turn (a round pin, a riser) needs no symbol.
    """
    way = placed.way
    matters = placed.faces or placed.tip is not None
    if way is None or way.kind == "pinned" or not placed.holes or not matters:
        return []
    shapes: list[Shape] = []
    at = table.at(placed.holes[0])
    if "turns" in way.kind:
        shapes.append(Symbol(at, "turns", "reach", clear=0.7 * table.hole_diameter))
    if "slides" in way.kind:
        shapes += [Symbol(at, "slides", "reach", turn=turn) for turn in _slot_turns(placed)[:1]]
    return shapes


def _slot_turns(placed: PlacedPiece) -> list[float]:
    """The directions on the table of the slots that pins are in, degrees."""
    features = {seat.feature for seat in placed.placement.seats}
    turns: list[float] = []
    for mount in placed.piece.mounts if placed.piece is not None else ():
        if mount.id not in features:
            continue
        if isinstance(mount, StraightSlot):
            along = math.degrees(math.atan2(mount.b[1] - mount.a[1], mount.b[0] - mount.a[0]))
            turns.append(placed.poses[mount.body].direction(along))
        elif isinstance(mount, ArcSlot):
            middle = (mount.start + mount.end) / 2
            turns.append(placed.poses[mount.body].direction(middle + 90))
    return turns


def rank_of(usual: int, state: ShownState) -> int:
    """Return how much a name matters: most if it is selected, then if something is wrong with it,
    then by what it names.
    """
    if state.selected:
        return SELECTED
    return FLAGGED if state.clash or state.check else usual


def _label(text: str, box: Box, rank: int) -> TextLabel:
    x1, y1, x2, y2 = box
    wide, x, y = max(x2 - x1, 1.0), (x1 + x2) / 2, (y1 + y2) / 2
    spots = (
        Spot((x, y2), "above", wide),
        Spot((x2, y), "right", wide),
        Spot((x1, y), "left", wide),
    )
    return TextLabel(
        (x, y1), text, "graphite", 0.0, "below", "small", room=wide, rank=rank, spots=spots
    )


def _state(
    box: Box, rings: Iterable[Iterable[Point]], state: ShownState, clash: bool
) -> list[Shape]:
    low, high = (box[0], box[1]), (box[2], box[3])
    shapes: list[Shape] = []
    if state.selected:
        shapes.append(HighlightBox(low, high, "selected", corners=True))
    elif state.hover:
        shapes.append(HighlightBox(low, high, "ghost", margin=1.0))
    if clash or state.check:
        # Where it was found, if that is on the thing; or else at the corner of its outline that is
        # farthest back and to the right.
        at = next((p for p in state.at if touch(box, (*p, *p), _BESIDE)), None)
        if at is None:
            at = max((point for ring in rings for point in ring), key=lambda p: (p[0] + p[1], p))
        shapes.append(Symbol(at, "clash" if clash else "check", "clash" if clash else "check"))
    return shapes


# -- the work --------------------------------------------------------------------------------------


def draw_part(part: Part, index: int = 0, state: ShownState = PLAIN, of: str = "") -> DisplayList:
    """Draw a part of the weldment; `index` gives neighbours different hatches.

    `of` names its weldment if there are several: its name begins with it where there is room.
    """
    ring = part_ring(part)
    role: DrawingRole = "clash" if state.clash else "work"
    hatch: Hatch = "clash" if state.clash else WORK_HATCHES[index % len(WORK_HATCHES)]
    plan = Polyline(ring, role, True, "work", hatch, part_openings(part))
    shapes: list[Shape] = [plan]
    box = bounds(ring)
    if isinstance(part, Member):
        shapes += [*bar_shapes(part), *bar_name(part)]
    elif part.name:
        (x1, y), (x2, _) = _widest(ring, box, plan.openings)
        wide = x2 - x1
        # Off the middle, where clamps often press.
        deep = min(box[3] - box[1], 2 * min(box[3] - y, y - box[1]))
        shapes.append(along_name(part.name, (x1, y), 0.0, wide, deep))
    rank = rank_of(PART, state)
    shapes = [
        _ranked(shape, rank, of) if isinstance(shape, TextLabel) else shape for shape in shapes
    ]
    shapes += _state(box, [ring], state, state.clash)
    return tuple(shapes)


def _ranked(name: TextLabel, rank: int, of: str) -> TextLabel:
    if not of:
        return structs.replace(name, rank=rank)
    return structs.replace(name, rank=rank, text=f"{of}: {name.text}", shorter=(name.text,))


def _widest(
    ring: tuple[Point, ...], box: Box, openings: tuple[tuple[Point, ...], ...] = ()
) -> tuple[Point, Point]:
    """The longest of several level lines inside a ring, clear of its openings: room for a name."""
    step = (box[3] - box[1]) / 12
    down = box[1] - step / 2  # so the levels fall between the edges, not on them
    lowered, *holes = (tuple((x, y - down) for x, y in one) for one in (ring, *openings))
    levels = hatch(lowered, 0.0, step, tuple(holes))
    longest = max(b[0] - a[0] for a, b in levels)
    equals = [(a, b) for a, b in levels if b[0] - a[0] > longest - 1e-6]
    (x1, y), (x2, _) = equals[len(equals) // 2]
    return (x1, y + down), (x2, y + down)


# -- sizes and reach -------------------------------------------------------------------------------


def draw_dims(low: Point, high: Point, display: Display, frame: Pose = TABLE) -> DisplayList:
    """Draw the width and depth of a box in a frame as dimensions, above it and to its right."""
    wide, deep = high[0] - low[0], high[1] - low[1]
    left, corner, right = frame.points(((low[0], high[1]), high, (high[0], low[1])))
    return (
        Dimension(left, corner, format_length(wide, display)),
        Dimension(corner, right, format_length(deep, display)),
    )


def draw_part_dims(part: Part, display: Display) -> DisplayList:
    """Draw the length and depth of a part of the weldment, along the part however it is turned."""
    x1, y1, x2, y2 = bounds(part.corners)
    return draw_dims((x1, y1), (x2, y2), display, Pose(part.x, part.y, part.turn))


def draw_reach(
    centre: Point, radius: float, spans: Iterable[tuple[float, float]], at: float | None = None
) -> DisplayList:
    """Draw the angles of an arm about its pivot: arcs for ranges, ticks for single ones.

    `spans` are (low, high) in degrees; `at` is its present angle, drawn as a line.
    """
    shapes: list[Shape] = [Symbol(centre, "pivot", "reach")]
    for low, high in spans:
        if high > low:
            shapes.append(Arc(centre, radius, low, high, "reach"))
        for angle in {low, high}:
            c, s = unit(angle)
            place = (centre[0] + radius * c, centre[1] + radius * s)
            shapes.append(Symbol(place, "tick", "reach", turn=angle + 90))
    if at is not None:
        c, s = unit(at)
        end = (centre[0] + radius * c, centre[1] + radius * s)
        shapes.append(Polyline((centre, end), "reach"))
    return tuple(shapes)
