"""The table as it is before anything is suggested: what stays, what is free, what is asked for."""

import math
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType

from msgspec import Struct, structs

from gridjig.checks.conflicts import conflict, obstacle
from gridjig.checks.needs import needs
from gridjig.contact.setting import Touching
from gridjig.contact.shapes import near, rooms_of
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Job, Member, Part, Placement
from gridjig.rack import Piece, Point
from gridjig.solve.grid.hole_faults import hole_fault
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.weldment.faces import WorkFace, faces
from gridjig.units.progress import look

from .values import WhyKind, Wishes


class Atom(Struct, frozen=True, eq=False):
    """A piece in holes of the table, set so that it does something for a part.

    `at` is where it touches the work.  `free` is what a pack leaves open in front of it, mm.
    `takes` is what it takes from the rack.  `side` is the side of the part, -1 for none.  `bears`
    is over how much of that side it touches, mm.  `because` is a sentence more on why it is there.
    """

    here: PlacedPiece
    part: str
    kind: WhyKind
    side: int
    at: Point
    free: float
    takes: Mapping[str, int]
    bears: float = 0.0
    because: str = ""

    @property
    def placement(self) -> Placement:
        """The piece as it is placed."""
        return self.here.placement

    @property
    def shims(self) -> int:
        """How many loose pieces are in front of it and under it."""
        return len(self.placement.packing) + len(self.placement.lift)


KnownSettings = dict[tuple[object, ...], Touching]
"""How each kind of stop is set at so far from a face; it is the same wherever the work lies."""


class Site:
    """A job with the work where it is to lie, and the pieces that stay."""

    def __init__(self, job: Job, wishes: Wishes, known: KnownSettings | None = None) -> None:
        self.job = job
        self.wishes = wishes
        self.known: KnownSettings = {} if known is None else known
        self.placed: Mapping[str, PlacedPiece] = MappingProxyType(
            {p.id: solve_placement(job.table, job.rack, p) for p in job.placements}
        )
        self.used = {piece: need.count for piece, need in needs(job).items()}
        self.faces: dict[str, list[WorkFace]] = {part.id: [] for part in job.parts}
        for face in faces(job.parts):
            self.faces[face.of.part].append(face)
        self._parts = {part.id: part for part in job.parts}
        self.boxes = {part.id: bounds(part_ring(part)) for part in job.parts}
        x0, y0, x1, y1 = zip(*self.boxes.values(), strict=True)
        self.box = (min(x0), min(y0), max(x1), max(y1))
        taken = {hole for one in self.placed.values() for hole in one.holes}
        self.taken = frozenset(taken | wishes.forbidden)
        self.seams = _seams(self)

    def free(self, hole: Hole) -> bool:
        """True if a pin can go into a hole."""
        return hole not in self.taken and hole_fault(self.job.table, hole) is None

    def part(self, name: str) -> Part:
        """A part of the work by its id."""
        return self._parts[name]

    def left(self, piece: Piece) -> int:
        """How many of a piece the rack has left."""
        return piece.owned - self.used.get(piece.id, 0)

    def standing(self, placement: Placement) -> PlacedPiece | None:
        """A placement on the table, if all its holes are free and nothing is in its way."""
        look()
        here = solve_placement(self.job.table, self.job.rack, placement)
        if here.fault is not None or not all(map(self.free, here.holes)):
            return None
        return here if obstacle(self.job, self.placed, here) is None else None

    def atom(
        self,
        here: PlacedPiece,
        part: str,
        kind: WhyKind,
        at: Point,
        free: float = 0.0,
        side: int = -1,
    ) -> Atom:
        """A placed piece with what it takes."""
        alone = structs.replace(self.job, placements=(here.placement,))
        takes = {piece: need.count for piece, need in needs(alone).items()}
        return Atom(here, part, kind, side, at, free, takes)

    def covered(self, x: float, y: float, by: float) -> bool:
        """True if the box of an upright part of the work is within so many mm of a point."""
        return any(
            a - by < x < c + by and b - by < y < d + by and part.turn % 90.0 < 1e-9
            for part, (a, b, c, d) in zip(self.job.parts, self.boxes.values(), strict=True)
        )

    def from_seams(self, here: PlacedPiece, apart_from: Sequence[str] = ()) -> float:
        """How far the body of a piece is from the nearest joint, mm."""
        x0, y0, x1, y1 = rooms_of(here).box
        return min(
            (math.hypot(max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0)) for x, y in self.seams),
            default=math.inf,
        )


def _seams(site: Site) -> tuple[Point, ...]:
    """Points along every joint of the work."""
    found: list[Point] = []
    for some in site.faces.values():
        for face in some:
            ux, uy = direction(face)
            for span in face.taken:
                middle = (span.low + span.high) / 2.0
                for along in {span.low, middle, span.high}:
                    found.append((face.a[0] + ux * along, face.a[1] + uy * along))
    return tuple(dict.fromkeys((round(x, 3), round(y, 3)) for x, y in found))


def direction(face: WorkFace) -> Point:
    """The unit vector along a face."""
    length = face.length or 1.0
    return ((face.b[0] - face.a[0]) / length, (face.b[1] - face.a[1]) / length)


def long_and_ends(part: Part, some: Sequence[WorkFace]) -> tuple[list[WorkFace], list[WorkFace]]:
    """The two long faces of a part, and those that stop it along them."""
    if isinstance(part, Member):
        mills = [face for face in some if face.mill]
    else:
        mills = sorted(some, key=lambda face: (-round(face.length, 3), face.of.side))[:1]
        mills += [
            face
            for face in some
            if mills and _dot(face.normal, mills[0].normal) < -0.999 and face.length > 1.0
        ][:1]
    if not mills:
        return [], list(some)
    ux, uy = direction(mills[0])
    ends = [
        face
        for face in some
        if face not in mills and abs(face.normal[0] * ux + face.normal[1] * uy) > 0.35
    ]
    return mills, ends


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]


def exclusions(atoms: Sequence[Atom]) -> dict[int, frozenset[int]]:
    """Which of some atoms exclude each other, by the one conflict relation.

    Those that do the same for the same part are left out: their groups choose between them.
    """
    apart: dict[int, set[int]] = {k: set() for k in range(len(atoms))}
    for i, j in _at_one_side(atoms):
        apart[i].add(j)
        apart[j].add(i)
    for i, j in _close(atoms):
        if j not in apart[i] and conflict(atoms[i].here, atoms[j].here) is not None:
            apart[i].add(j)
            apart[j].add(i)
    return {k: frozenset(some) for k, some in apart.items()}


def _at_one_side(atoms: Sequence[Atom]) -> Iterator[tuple[int, int]]:
    """A clamp that pushes at a side of a part, with what stops the part at the same side."""
    pushing = [k for k, a in enumerate(atoms) if a.kind == "clamp" and a.side >= 0]
    for i in pushing:
        for j, other in enumerate(atoms):
            same = other.part == atoms[i].part and other.side == atoms[i].side
            if same and other.kind == "long face":
                yield (i, j)


def _close(atoms: Sequence[Atom]) -> Iterator[tuple[int, int]]:
    """The pairs whose boxes meet, or that share a hole."""
    boxes = [rooms_of(atom.here).box for atom in atoms]
    holes = [set(atom.here.holes) for atom in atoms]
    groups = [(atom.part, atom.kind) for atom in atoms]
    order = sorted(range(len(atoms)), key=lambda k: boxes[k][0])
    for n, i in enumerate(order):
        look()
        for j in order[n + 1 :]:
            if boxes[j][0] > boxes[i][2]:
                break
            if groups[i] != groups[j] and (near(boxes[i], boxes[j]) or holes[i] & holes[j]):
                yield (i, j)
