"""The mass and centre of gravity of the parts of the weldment.

Tube corners count as rolled, and plan shapes as drawn, less the holes of a plate.  The mass of a
bar is the area of its section times the length through the section's centroid, so a bar mitred at
both ends counts with the mean of its two edges.
"""

import math
from collections.abc import Iterable, Iterator
from itertools import pairwise

from msgspec import Struct

from gridjig.model import Member, Part, Section
from gridjig.model.stock import ROUNDS, TUBES

from .part_outline import part_ring
from .piece_mass import STEEL
from .plate_holes import part_openings, without_openings
from .pose import Pose

_AROUND = 96
_DEEP = 24
_SPANDREL = (10.0 - 3.0 * math.pi) / (12.0 - 3.0 * math.pi)
"""Distance of a fillet's centroid from its corner along each side, in radii: plain integration."""


class Load(Struct, frozen=True):
    """A mass in kg and its centre of gravity: x and y on the table, z above it, mm."""

    mass: float
    x: float
    y: float
    z: float


class _Cell(Struct, frozen=True):
    """A rectangle of a section: its centre from the section's centre, its size (mm), its area.

    `left` is positive to the left and `up` upwards, looking along the bar.  A cell of size 0 counts
    as a point; a negative area is a hole.
    """

    left: float
    up: float
    width: float
    height: float
    area: float


def load(part: Part, density: float = STEEL) -> Load:
    """Mass and centre of gravity of a part; density in kg/m3."""
    if not isinstance(part, Member):
        import shapely  # noqa: PLC0415 - late: not needed at startup

        plan = without_openings(shapely.Polygon(part_ring(part)), part_openings(part))
        mass = plan.area * (part.z_high - part.z_low) * density * 1e-9
        centre = plan.centroid
        return Load(mass, centre.x, centre.y, (part.z_low + part.z_high) / 2.0)
    volume, along, left, up = _moments(part)
    x, y = Pose(part.x, part.y, part.turn).point((along / volume, left / volume))
    z = part.z_low + part.depth / 2.0 + up / volume
    return Load(volume * density * 1e-9, x, y, z)


def total(loads: Iterable[Load]) -> Load:
    """The sum of several loads; of loads too small to weigh, at the mean of their places.

    Raises ValueError if there are none.
    """
    every = list(loads)
    if not every:
        raise ValueError("there is nothing to weigh; draw a part of the weldment first")
    mass = sum(one.mass for one in every)
    shares = [one.mass / mass if mass else 1.0 / len(every) for one in every]
    x, y, z = (
        sum(share * at for share, at in zip(shares, places, strict=True))
        for places in ([o.x for o in every], [o.y for o in every], [o.z for o in every])
    )
    return Load(mass, x, y, z)


def mass(part: Part, density: float = STEEL) -> float:
    """The mass of a part in kg; density in kg/m3."""
    return load(part, density).mass


def _moments(member: Member) -> tuple[float, float, float, float]:
    """Volume in mm3 and its first moments: along from the start, left of and above the centre."""
    volume = along = left = up = 0.0
    width = member.width
    for cell in _subdivided(member):
        at = (cell.left, cell.up, width)
        first = -member.start.reach(*at)
        last = member.length + member.end.reach(*at)
        tan_start, tan_end = member.start.slope(*at), member.end.slope(*at)
        length, spread = last - first, cell.width * cell.width / 12.0
        volume += cell.area * length
        along += cell.area * (last * last - first * first + (tan_end**2 - tan_start**2) * spread)
        left += cell.area * (length * cell.left + (tan_start + tan_end) * spread)
        up += cell.area * length * cell.up
    return volume, along / 2.0, left, up


def _subdivided(member: Member) -> Iterator[_Cell]:
    """The cells of the section as it lies, each so small that it has one length."""
    cuts = (member.start, member.end)
    edges = member.breaks[1:-1]
    deep = _DEEP if any(cut.kind == "cope" for cut in cuts) else 1
    for cell in _oriented_cells(member):
        for part in _split(cell, edges):
            rows = deep if part.height else 1
            step = part.height / rows
            for k in range(rows):
                up = part.up - part.height / 2.0 + step * (k + 0.5)
                yield _Cell(part.left, up, part.width, step, part.area / rows)


def _split(cell: _Cell, edges: list[float]) -> Iterator[_Cell]:
    """The cell, split where a notch begins or two cuts of one end meet."""
    low, high = cell.left - cell.width / 2.0, cell.left + cell.width / 2.0
    places = [low, *(edge for edge in edges if low < edge < high), high]
    if len(places) == 2:
        yield cell
        return
    for a, b in pairwise(places):
        yield _Cell((a + b) / 2.0, cell.up, b - a, cell.height, cell.area * (b - a) / cell.width)


def _oriented_cells(member: Member) -> Iterator[_Cell]:
    """The cells of the section as it lies: turned clockwise by its way up, then mirrored."""
    hand = -1.0 if member.mirrored else 1.0
    section = member.section
    plain = member.start.plain and member.end.plain
    for cell in [_disc(section)] if plain and section.kind in ROUNDS else _cells(section):
        left, up, width, height = cell.left, cell.up, cell.width, cell.height
        for _ in range(member.way_up // 90):
            left, up, width, height = -up, left, height, width
        yield _Cell(hand * left, up, width, height, cell.area)


def _cells(section: Section) -> list[_Cell]:
    """Cells whose areas add up to the section's, way up 0: heel or web on the right."""
    w, h, t = section.width, section.height, section.wall
    right, below = -w / 2.0, -h / 2.0
    if section.kind in TUBES:
        inside = _Cell(0.0, 0.0, w - 2.0 * t, h - 2.0 * t, -(w - 2.0 * t) * (h - 2.0 * t))
        return [
            _Cell(0.0, 0.0, w, h, w * h),
            inside,
            *_fillets(w, h, -section.radius),
            *_fillets(w - 2.0 * t, h - 2.0 * t, section.toe),
        ]
    if section.kind in ROUNDS:
        return list(_rings(w / 2.0, t or w / 2.0))
    if section.kind == "angle":
        root, toe = section.radius, section.toe
        return [
            _Cell(0.0, below + t / 2.0, w, t, w * t),
            _Cell(right + t / 2.0, t / 2.0, t, h - t, t * (h - t)),
            _fillet(right + t, below + t, (1, 1), root),
            _fillet(-right, below + t, (-1, -1), -toe),
            _fillet(right + t, -below, (-1, -1), -toe),
        ]
    if section.kind == "channel":
        f, root, toe = section.flange, section.radius, section.toe
        inner = h / 2.0 - f
        return [
            _Cell(right + t / 2.0, 0.0, t, h - 2.0 * f, t * (h - 2.0 * f)),
            *(_Cell(0.0, side * (h - f) / 2.0, w, f, w * f) for side in (-1, 1)),
            *(_fillet(right + t, side * inner, (1, -side), root) for side in (-1, 1)),
            *(_fillet(-right, side * inner, (-1, side), -toe) for side in (-1, 1)),
        ]
    return [_Cell(0.0, 0.0, w, h, w * h)]


def _fillets(width: float, height: float, radius: float) -> list[_Cell]:
    """Fillets in the four corners of a box; a negative radius takes steel away."""
    return [
        _fillet(a * width / 2.0, b * height / 2.0, (-a, -b), radius)
        for a in (-1, 1)
        for b in (-1, 1)
    ]


def _fillet(left: float, up: float, into: tuple[int, int], radius: float) -> _Cell:
    """A fillet in a corner, in the quadrant given by the signs `into`."""
    off = abs(radius) * _SPANDREL
    area = math.copysign((1.0 - math.pi / 4.0) * radius * radius, radius)
    return _Cell(left + into[0] * off, up + into[1] * off, 0.0, 0.0, area)


def _disc(section: Section) -> _Cell:
    """A round section as one cell of its area and second moment: enough for straight cuts."""
    outer = section.width / 2.0
    inner = outer - (section.wall or outer)
    return _Cell(0.0, 0.0, math.sqrt(3.0 * (outer**2 + inner**2)), 0.0, section.area)


def _rings(radius: float, wall: float) -> Iterator[_Cell]:
    """A round tube or bar as points round its centre whose areas add up to its own."""
    rings = max(1, math.ceil(8.0 * wall / radius))
    step = wall / rings
    for k in range(rings):
        outer = radius - k * step
        inner = max(outer - step, 0.0)
        area = math.pi * (outer * outer - inner * inner) / _AROUND
        middle = (outer + inner) / 2.0
        for n in range(_AROUND):
            turn = 2.0 * math.pi * (n + 0.5) / _AROUND
            yield _Cell(middle * math.cos(turn), middle * math.sin(turn), 0.0, 0.0, area)
