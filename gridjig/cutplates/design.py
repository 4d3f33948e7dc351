"""A plate designed: outline, holes, slots, uprights, engraving, area and mass, play and error.

Everything follows from what is wanted and the table; nothing of it is stored.
"""

import math
from collections.abc import Sequence

import shapely
from msgspec import Struct

from gridjig.geometry.layered import Path, flattened
from gridjig.geometry.shapes import bounds
from gridjig.model import Job, Table
from gridjig.model.labels import address
from gridjig.rack import Point, RoundHole
from gridjig.solve.angles.plate import CUTTING, SHORTEST, edge_error
from gridjig.solve.mounting.fit import radial_play

from .engraving import Engraving, engraved
from .outline import OutlineCorner, cut_path, outline, relieved
from .uprights import Stand, flat_upright, slot_of, stands
from .wanted import LEAST_HOLE, PlateWanted

CUT, CUT_UPRIGHTS, ENGRAVE, NOTES = "CUT", "CUT UPRIGHTS", "ENGRAVE", "NOTES"
_GAP = 10.0
"""Between the plate and its uprights on the sheet, mm."""


class PlateDesign(Struct, frozen=True):
    """A plate as it is cut and as it lies; points on the table, mm.

    `corners` are its nominal outline; `cut` and `slots` what the laser follows, with the kerf if
    one is wanted.  `flat` are the uprights laid flat beside it.  `area` (mm2) is what is inside the
    outline, `mass` (kg) that of plate and uprights without holes and slots.  `base` is the distance
    of the pin holes, `play` how far their play lets it turn either way and `error` how far the
    ends of the cut edge may be out, degrees.  `worth_saying` are cautions, one sentence each.
    """

    wanted: PlateWanted
    corners: tuple[OutlineCorner, ...]
    cut: Path
    pins: tuple[Point, Point]
    slots: tuple[Path, ...]
    stands: tuple[Stand, ...]
    flat: tuple[Path, ...]
    engraving: Engraving
    area: float
    mass: float
    base: float
    play: float
    error: float
    worth_saying: tuple[str, ...]

    @property
    def ring(self) -> tuple[Point, ...]:
        """The nominal outline with its arcs as chords, at most 0.02 mm off."""
        return flattened(cut_path(CUT, self.corners), 0.02)


def designed(
    job: Job,
    wanted: PlateWanted,
    beneath: shapely.geometry.base.BaseGeometry | None = None,
) -> PlateDesign:
    """Design a plate for a job's table.

    Raises ValueError with a sentence if it cannot be made, or would lie beneath what is given.
    """
    table = job.table
    pins = (table.at(wanted.holes[0]), table.at(wanted.holes[1]))
    base = math.dist(*pins)
    if base < SHORTEST:
        raise ValueError("Its two pin holes are too near to each other to hold an angle.")
    corners = relieved(
        outline(wanted.edges, pins, wanted.margin, wanted.land, wanted.frame),
        wanted.relief,
        wanted.beads,
        wanted.bead,
    )
    nominal = cut_path(CUT, corners)
    ring = flattened(nominal, 0.02)
    steel = shapely.Polygon(ring)
    if beneath is not None and steel.intersects(beneath):
        raise ValueError("The plate would lie beneath a part or a piece; choose other pin holes.")
    if not steel.is_valid:
        raise ValueError("The outline would cross itself; make the reliefs smaller.")
    radius = wanted.hole_diameter / 2.0
    bores = [shapely.Point(pin).buffer(radius + wanted.thickness) for pin in pins]
    if not all(steel.contains(bore) for bore in bores):
        raise ValueError(
            "A pin hole is too near to the edge; choose other holes, or a wider margin of steel."
        )
    upright = wanted.uprights
    stood: tuple[Stand, ...] = ()
    if upright is not None:
        reliefs = [
            shapely.Point(corner.at).buffer(corner.relief) for corner in corners if corner.relief
        ]
        stood = stands(wanted.edge, upright, wanted.thickness, steel, [*bores, *reliefs])
    grow = wanted.kerf / 2.0
    slots = tuple(
        cut_path(CUT, [OutlineCorner(p) for p in _narrowed(slot, grow)])
        for slot in (slot_of(one, upright, wanted.thickness) for one in stood if upright)
    )
    flat = _flat(wanted, stood, ring, grow)
    letters = engraved(job, wanted, steel, [*bores, *(shapely.Polygon(s.plan) for s in stood)])
    lost = 2.0 * math.pi * radius**2 + sum(shapely.Polygon(flattened(s)).area for s in slots)
    volume = (steel.area - lost) * wanted.thickness
    if upright is not None:
        volume += sum(shapely.Polygon(flattened(one)).area for one in flat) * upright.thickness
    feature = RoundHole("pin", (0.0, 0.0), wanted.hole_diameter)
    play = 2.0 * radial_play(table, None, feature, wanted.pin_diameter)
    long = math.dist(*wanted.edge.cut)
    return PlateDesign(
        wanted=wanted,
        corners=corners,
        cut=cut_path(CUT, corners, grow),
        pins=pins,
        slots=slots,
        stands=stood,
        flat=flat,
        engraving=letters,
        area=steel.area,
        mass=volume * wanted.density * 1e-9,
        base=base,
        play=math.degrees(math.asin(min(1.0, max(play, 0.0) / base))),
        error=edge_error(min(max(long, SHORTEST), CUTTING[-1][0])),
        worth_saying=tuple(_cautions(job.table, wanted, letters, long)),
    )


def _narrowed(ring: Sequence[Point], by: float) -> tuple[Point, ...]:
    """A rectangle whose sides move inwards, for a kerf."""
    if not by:
        return tuple(ring)
    inner = shapely.Polygon(ring).buffer(-by, join_style="mitre")
    if not isinstance(inner, shapely.Polygon) or inner.is_empty:
        raise ValueError("The slots are no wider than the kerf; make the uprights thicker.")
    made = shapely.geometry.polygon.orient(inner).exterior.coords
    return tuple((x, y) for x, y in made)[:-1]


def _flat(
    wanted: PlateWanted, stood: Sequence[Stand], ring: Sequence[Point], grow: float
) -> tuple[Path, ...]:
    """The uprights laid flat in a row on the right of the plate."""
    upright = wanted.uprights
    if upright is None:
        return ()
    x1, y1, x2, _ = bounds(ring)
    del x1
    made = []
    left = x2 + _GAP
    for one in stood:
        made.append(flat_upright(one, upright, wanted.thickness, CUT_UPRIGHTS, (left, y1), grow))
        left += one.long + _GAP
    return tuple(made)


def _cautions(table: Table, wanted: PlateWanted, letters: Engraving, long: float) -> list[str]:
    told = []
    least = LEAST_HOLE * wanted.thickness
    if wanted.hole_diameter < least:
        told.append("The pin holes are small for this thickness: drill them, or cut thinner plate.")
    if wanted.pin_diameter > table.hole_diameter:
        told.append("The pin does not fit the holes of the table.")
    if long > CUTTING[-1][0] or not 3.15 < wanted.thickness <= 6.4:
        told.append(
            "The error of the cut edge is that of ISO 9013 class 1 for steel over 3.15 up to 6.3 mm"
            " and edges up to 1 m; ask the cutter for this one."
        )
    if letters.left_out:
        told.append(f"There is no room to engrave: {'; '.join(letters.left_out)}.")
    if letters.squares:
        told.append(f"These letters are engraved as squares: {letters.squares}.")
    return told


def holes_words(table: Table, wanted: PlateWanted) -> str:
    """Return the addresses of its pin holes: M7 and O7."""
    return " and ".join(address(table, hole) for hole in wanted.holes)
