"""A plate on the table: a piece of the rack, pinned in its holes, and checked like any other.

Pure functions from job to job; the one conflict relation decides what is in its way.
"""

from itertools import count

from msgspec import structs

from gridjig.checks.conflicts import refused
from gridjig.edits.lookup import new_id, numbered_name
from gridjig.edits.placements import place
from gridjig.edits.rack import add_piece
from gridjig.model import Job, Placement, Seat
from gridjig.rack import Face, Piece, Point, RoundHole, Solid
from gridjig.rack.pin_holes import pin_hole_ids
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.solver import solve_placement
from gridjig.units import format_length

from .design import PlateDesign

BIN = "cut plates"


def plate_piece(job: Job, design: PlateDesign) -> Piece:
    """Return the plate as a piece that the rack does not have yet.

    Its frame has its origin at the first pin hole, and lies as the plate lies on the table.
    """
    wanted = design.wanted
    ox, oy = design.pins[0]

    def here(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x - ox, y - oy) for x, y in points)

    thick, upright = wanted.thickness, wanted.uprights
    solids = [Solid(here(design.ring), 0.0, thick)]
    faces = []
    # The edge that matters most is the first face: packing goes in front of it.
    for k, edge in enumerate((wanted.edge, *(e for e in wanted.edges if e != wanted.edge))):
        a, b = here(edge.cut)  # both have their outside on the right of a -> b
        faces.append(Face(f"edge-{k + 1}", a, b, 0.0, thick))
    if upright is not None:
        for k, stand in enumerate(design.stands):
            plan = here(stand.plan)
            solids.append(Solid(plan, thick, upright.height))
            faces.insert(k, Face(f"upright-{k + 1}", plan[3], plan[0], thick, upright.height))
    size = f"{format_length(wanted.thickness, job.display)} thick"
    return Piece(
        id=_free_id(job),
        name=numbered_name(wanted.name, (piece.name for piece in job.rack.pieces)),
        kind="other",
        size=size,
        solids=tuple(solids),
        mounts=tuple(
            RoundHole(name, point, wanted.hole_diameter)
            for name, point in zip(pin_hole_ids(*design.pins), here(design.pins), strict=True)
        ),
        faces=tuple(faces),
        takes=() if wanted.pin is None else (wanted.pin.id,),
        mass=round(design.mass, 4),
        owned=1,
        bin=BIN,
    )


def _free_id(job: Job) -> str:
    return next(name for n in count(1) if job.rack.find(name := f"cut-plate-{n}") is None)


def with_plate(job: Job, design: PlateDesign, note: str = "") -> tuple[Job, str]:
    """Put the plate into the job's rack and in its holes; return the job and the placement's id."""
    piece = plate_piece(job, design)
    after = add_piece(job, piece)
    placement = structs.replace(_placement(after, piece, design), note=note)
    return place(after, placement), placement.id


def _placement(job: Job, piece: Piece, design: PlateDesign) -> Placement:
    seats = tuple(
        Seat(mount.id, hole) for mount, hole in zip(piece.mounts, design.wanted.holes, strict=True)
    )
    return Placement(id=new_id(job, piece.id), piece=piece.id, seats=seats)


def in_its_way(job: Job, design: PlateDesign) -> str:
    """Return why the plate cannot be there, in a sentence; "" if it can.

    The conflict relation is asked, with the plate as the piece that it becomes.
    """
    piece = plate_piece(job, design)
    after = add_piece(job, piece)
    here = solve_placement(after.table, after.rack, _placement(after, piece, design))
    return refused(after, PlacedPieces().of(after), here) or ""
