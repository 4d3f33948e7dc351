"""A job or a table as a drawing at true size on named layers, for DXF and SVG files.

Pure composition.  Circles stay circles, so that a program that reads the file finds the centre of
every hole.
"""

import math
from collections.abc import Collection, Iterator, Mapping
from typing import Literal, get_args

from msgspec import structs

from gridjig.geometry.layered import (
    CircleGrid,
    LayeredCircle,
    LayeredDrawing,
    LayeredShape,
    LayeredText,
    NamedLayer,
    Path,
)
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.plate_holes import hole_ring, holes_of
from gridjig.geometry.pose import Pose
from gridjig.geometry.shapes import bounds
from gridjig.model import Drilled, Job, Part, Slotted, Table
from gridjig.rack import Piece, Point, RoundHole, Shank, StraightSlot
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import look

from .plan import circle_of
from .silhouette import arc_ring
from .true_size_labels import LABELS, setup_labels, table_labels, text_box

Content = Literal["table", "holes", "pieces", "members", "labels"]
CONTENTS: tuple[Content, ...] = get_args(Content)

TABLE = NamedLayer("TABLE", "grey")
HOLES = NamedLayer("HOLES", "black")
MARKED = NamedLayer("MARKED HOLES", "red")
PIECES = NamedLayer("PIECES", "blue")
FACES = NamedLayer("LOCATING FACES", "magenta")
PINS = NamedLayer("PINS", "cyan")
MEMBERS = NamedLayer("MEMBERS", "green")
_LAYERS: dict[Content, tuple[NamedLayer, ...]] = {
    "table": (TABLE,),
    "holes": (HOLES, MARKED),
    "pieces": (PIECES, FACES, PINS),
    "members": (MEMBERS,),
    "labels": (LABELS,),
}


def setup_drawing(
    job: Job,
    contents: Collection[Content] = CONTENTS,
    placed_pieces: Mapping[str, PlacedPiece] | None = None,
) -> LayeredDrawing:
    """Return what stands on a job's table, as far as it is among the `contents`.

    Pieces that cannot stand are drawn where they would; a piece that is not on the rack is only a
    label at its hole.  Raises Cancelled through `look`.
    """
    stood = PlacedPieces().of(job) if placed_pieces is None else placed_pieces
    made: dict[Content, list[LayeredShape]] = {
        "table": [_plate(job.table)],
        "holes": list(_holes(job.table)),
        "pieces": [shape for one in stood.values() for shape in _piece(one, job.table)],
        "members": [shape for part in job.parts for shape in _part(part)],
        "labels": setup_labels(job, stood, contents),
    }
    said = ", ".join(filter(None, (job.name, job.drawing and f"drawing {job.drawing}")))
    revision = f", revision {job.revision}" if job.revision else ""
    return _drawing(f"{said}{revision}", job.table, made, contents)


def table_drawing(table: Table, labels: bool = True) -> LayeredDrawing:
    """Return a table's own top plate with all of its holes, as it would be cut or drilled anew.

    Marks on holes are left out, since a new plate has none of them.
    """
    made: dict[Content, list[LayeredShape]] = {
        "table": [_plate(table)],
        "holes": [_grid(table, frozenset())],
        "labels": list(table_labels(table)),
    }
    wanted: list[Content] = ["table", "holes"]
    drawing = _drawing(table.name, table, made, [*wanted, "labels"] if labels else wanted)
    layers = tuple(layer for layer in drawing.layers if layer != MARKED)
    return structs.replace(drawing, layers=layers)


def _drawing(
    name: str,
    table: Table,
    made: Mapping[Content, list[LayeredShape]],
    contents: Collection[Content],
) -> LayeredDrawing:
    wanted = [one for one in CONTENTS if one in contents and one in made]
    shapes = tuple(shape for one in wanted for shape in made[one])
    layers = tuple(layer for one in wanted for layer in _LAYERS[one])
    low, high = (0.0, 0.0), (table.width, table.depth)
    for shape in shapes:
        x1, y1, x2, y2 = _box(shape)
        low = (min(low[0], x1), min(low[1], y1))
        high = (max(high[0], x2), max(high[1], y2))
    return LayeredDrawing(name, layers, shapes, low, high)


def _box(shape: LayeredShape) -> tuple[float, float, float, float]:
    match shape:
        case Path():
            return bounds(shape.points)
        case LayeredCircle():
            (x, y), r = shape.centre, shape.radius
            return (x - r, y - r, x + r, y + r)
        case CircleGrid():
            (x, y), r = shape.first, shape.radius
            wide, deep = (shape.columns - 1) * shape.pitch[0], (shape.rows - 1) * shape.pitch[1]
            return (x - r, y - r, x + wide + r, y + deep + r)
        case LayeredText():
            return text_box(shape)


def _plate(table: Table) -> Path:
    w, d = table.width, table.depth
    return Path(TABLE.name, ((0.0, 0.0), (w, 0.0), (w, d), (0.0, d)), closed=True)


def _grid(table: Table, without: frozenset[tuple[int, int]]) -> CircleGrid:
    return CircleGrid(
        HOLES.name,
        (table.first_x, table.first_y),
        (table.pitch_x, table.pitch_y),
        table.columns,
        table.rows,
        table.hole_diameter / 2.0,
        without,
    )


def _holes(table: Table) -> Iterator[LayeredShape]:
    """All holes: those that are marked on a layer of their own, crossed if they take no pin."""
    yield _grid(table, frozenset((mark.hole.col, mark.hole.row) for mark in table.marks))
    for mark in table.marks:
        (x, y), r = table.at(mark.hole), table.hole_diameter / 2.0
        r = max(r, mark.size / 2.0) if mark.state == "oversize" else r
        yield LayeredCircle(MARKED.name, (x, y), r)
        if mark.closed:
            d = r * math.sqrt(0.5)
            yield Path(MARKED.name, ((x - d, y - d), (x + d, y + d)))
            yield Path(MARKED.name, ((x - d, y + d), (x + d, y - d)))


def _piece(placed: PlacedPiece, table: Table) -> Iterator[LayeredShape]:
    look()
    piece = placed.piece
    if piece is None:
        return
    for solid in sorted(placed.solids, key=lambda s: (s.z_high, s.z_low)):
        if solid.role == "handle":
            continue  # the room of its sweep is no outline of the piece
        circle = None if solid.openings else circle_of(solid.points)
        if circle is not None:
            yield LayeredCircle(PIECES.name, *circle)
            continue
        for ring in (solid.points, *solid.openings):
            yield Path(PIECES.name, ring, closed=True)
    for round_body in placed.rounds:
        yield LayeredCircle(PIECES.name, round_body.centre, round_body.radius)
    yield from _mounts(placed, piece)
    for face in placed.faces:
        yield Path(FACES.name, (face.a, face.b))
    if placed.tip is not None:
        yield LayeredCircle(PIECES.name, placed.tip.at, placed.tip.pad_radius)
    for hole in placed.holes:
        yield LayeredCircle(PINS.name, table.at(hole), table.hole_diameter / 2.0)


def _mounts(placed: PlacedPiece, piece: Piece) -> Iterator[LayeredShape]:
    for mount in piece.mounts:
        pose = placed.poses[mount.body]
        if isinstance(mount, RoundHole | Shank):
            yield LayeredCircle(PIECES.name, pose.point(mount.at), mount.diameter / 2.0)
        elif isinstance(mount, StraightSlot):
            yield _slot(PIECES.name, pose, mount.a, mount.b, mount.width)
        else:
            yield Path(PIECES.name, pose.points(arc_ring(mount)), closed=True)


def _slot(layer: str, pose: Pose, a: Point, b: Point, width: float) -> Path:
    """A slot with round ends, `a` and `b` the centres of the ends."""
    long, r = math.dist(a, b), width / 2.0
    nx, ny = -(b[1] - a[1]) / long * r, (b[0] - a[0]) / long * r
    corners = (
        (a[0] - nx, a[1] - ny),
        (b[0] - nx, b[1] - ny),
        (b[0] + nx, b[1] + ny),
        (a[0] + nx, a[1] + ny),
    )
    points = tuple(map(pose.point, corners))  # in this order, even if it is turned over
    end = -1.0 if pose.flipped else 1.0
    return Path(layer, points, True, (0.0, end, 0.0, end))


def _part(part: Part) -> Iterator[LayeredShape]:
    look()
    yield Path(MEMBERS.name, part_ring(part), closed=True)
    pose = Pose(part.x, part.y, part.turn)
    for hole in holes_of(part):
        match hole:
            case Drilled():
                yield LayeredCircle(MEMBERS.name, pose.point(hole.at), hole.diameter / 2.0)
            case Slotted():
                yield _slot(MEMBERS.name, pose, hole.a, hole.b, hole.width)
            case _:
                yield Path(MEMBERS.name, pose.points(hole_ring(hole)), closed=True)
