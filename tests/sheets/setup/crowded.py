"""A table of 1,152 holes with 200 pieces on it."""

from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Hole, Job, LabelScheme, Placement, Seat, Table
from gridjig.units import Display


def table_of_1152() -> Table:
    """2400 x 1200 mm with 16 mm holes on 50 mm centres: 48 x 24 holes."""
    return Table(
        name="2400 x 1200 mm, 50 mm centres",
        width=2400.0,
        depth=1200.0,
        thickness=15.0,
        pitch_x=50.0,
        pitch_y=50.0,
        columns=48,
        rows=24,
        first_x=25.0,
        first_y=25.0,
        hole_diameter=16.0,
        labels=LabelScheme(),
    )


def crowded_job() -> Job:
    """200 pieces: stops by pairs of holes, pins and risers, row by row."""
    table = table_of_1152()
    starter = next(t for t in ready_tables().values() if abs(t.pitch_x - 50.0) < 0.01)
    rack = rack_for(starter)
    placements = []
    for k in range(200):
        col, row = 1 + 2 * (k % 23), 1 + 2 * (k // 23)
        kind = ("stop-fixed", "pin-25", "riser-25", "stop-adjustable")[k % 4]
        feature = {"stop-fixed": "front", "pin-25": "shank", "riser-25": "centre"}.get(kind, "slot")
        seats = [Seat(feature, Hole(col, row))]
        if kind == "stop-fixed":
            seats.append(Seat("back", Hole(col, row - 1)))
        if kind == "stop-adjustable":
            seats.append(Seat("slot", Hole(col, row + 1)))
        placements.append(
            Placement(
                id=f"p-{k}",
                piece=kind,
                seats=tuple(seats),
                turn=180.0 if kind == "stop-adjustable" else 0.0,
                slide=10.0 if kind == "stop-adjustable" else 0.0,
                name=f"Piece {k + 1}",
            )
        )
    return Job(
        name="Two hundred pieces",
        table=table,
        rack=rack,
        display=Display(unit="millimetres"),
        placements=tuple(placements),
    )
