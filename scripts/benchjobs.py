"""The jobs that the benchmarks use: crowded, nearly empty, and very large."""

from gridjig.edits import starters
from gridjig.edits.selection import shift
from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.files.library.sections import find_section
from gridjig.geometry import Pose
from gridjig.model import Hole, Job, Placement, Plate, Seat, Table
from gridjig.rack import Point

_TWO_HOLES = ("stop-fixed", "front", "back")
_COLUMNS = 48


def crowd(count: int) -> tuple[Job, str]:
    """Return a job with `count` stops and risers on 48 x 24 holes, and the id of one in
    the middle.
    """
    placements = []
    for index in range(count):
        col, row = index % _COLUMNS, index // _COLUMNS
        seats: tuple[Seat, ...]
        piece, front, back = _TWO_HOLES
        seats = (Seat(front, Hole(col, 3 * row + 1)), Seat(back, Hole(col, 3 * row)))
        if index % 3 == 2:
            piece, seats = "riser-1", (Seat("centre", Hole(col, 3 * row + 1)),)
        placements.append(Placement(id=f"p{index}", piece=piece, seats=seats))
    job = _job(ready_tables()["48x96-5/8"], tuple(placements), ())
    return job, f"p{count // 2 + 4}"


def weldment(members: int) -> tuple[Job, Point]:
    """Return a ladder with that many members on 48 x 24 holes, and a point on its middle rung."""
    ladder = starters.starter("ladder")
    stock = {one.key: section for one in ladder.stock if (section := find_section(one.metric))}
    sizes = {"length": 2200.0, "width": 800.0, "rungs": float(members - 2), "first": 40.0}
    parts = starters.build(ladder, stock, sizes)
    job = _job(ready_tables()["48x96-5/8"], (), ())
    job, _ = starters.put_starter(job, parts, (100.0, 200.0))
    rung = job.parts[members // 2]
    return job, Pose(rung.x, rung.y, rung.turn).point((100.0, 0.0))


def bare(table: Table) -> Job:
    """Return a job with nothing on the table."""
    return _job(table, (), ())


def few(table: Table) -> Job:
    """Return a job with twelve things: a weldment and what holds it."""
    names = [
        ("stop-fixed", "front", Hole(6, 14)),
        ("stop-fixed", "front", Hole(12, 14)),
        ("stop-adjustable", "slot", Hole(3, 9)),
        ("square-two-hole", "corner", Hole(4, 5)),
        ("arm-arc-8", "pivot", Hole(16, 8)),
        ("v-block", "left", Hole(14, 4)),
        ("clamp-down-low", "post", Hole(9, 8)),
        ("clamp-push", "front", Hole(7, 6)),
        ("riser-1", "centre", Hole(6, 12)),
        ("riser-1", "centre", Hole(11, 12)),
    ]
    placements = tuple(
        Placement(id=f"p{k}", piece=piece, seats=(Seat(feature, hole),))
        for k, (piece, feature, hole) in enumerate(names)
    )
    corners = ((0.0, 0.0), (420.0, 0.0), (420.0, 35.0), (0.0, 35.0))
    parts = tuple(
        Plate(id=f"o{k}", name=name, corners=corners, x=250.0, y=600.0 + 90 * k, z_low=50.8,
                z_high=101.6)
        for k, name in enumerate(("Rail", "Cross rail"))
    )  # fmt: skip
    return _job(table, placements, parts)


def big_table() -> Table:
    """Return a plate with 10,000 holes."""
    return Table(
        name="Large", width=4064.0, depth=4064.0, thickness=12.7, pitch_x=40.0, pitch_y=40.0,
        columns=100, rows=100, first_x=40.0, first_y=40.0, hole_diameter=15.875,
    )  # fmt: skip


def one_moved(job: Job, thing_id: str, by: int = 1) -> Job:
    """Return the job with one thing moved by whole columns."""
    return shift(job, frozenset([thing_id]), by, 0)


def _job(table: Table, placements: tuple[Placement, ...], parts: tuple[Plate, ...]) -> Job:
    return Job(
        name="Benchmark",
        table=table,
        rack=starter_racks()["inch-5-8"],
        placements=placements,
        parts=parts,
    )
