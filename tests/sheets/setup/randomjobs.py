"""Random set-ups of a starter rack on a standard table with its labels painted in some way."""

import random
from typing import get_args

from msgspec import structs

from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Display, Hole, Job, LabelScheme, Placement, Seat, Table
from gridjig.model.table import Corner, LabelStyle, TableSide
from gridjig.rack import Piece, Rack
from gridjig.solve.placed.solver import solve_placement
from gridjig.units import Unit

_TRIES = 60


def random_job(seed: int) -> Job:
    """A job with some pieces that stand, in holes and settings that nobody chose."""
    dice = random.Random(seed)
    tables = ready_tables()
    table = structs.replace(
        dice.choice([tables[name] for name in sorted(tables)]),
        labels=LabelScheme(
            along_x=dice.choice(get_args(LabelStyle)),
            along_y=dice.choice(get_args(LabelStyle)),
            zero=dice.choice(get_args(Corner)),
            first=dice.choice(("x", "y")),
            skip_i_o=dice.random() < 0.5,
            start=dice.choice((0, 1)),
            operator=dice.choice(get_args(TableSide)),
        ),
    )
    rack = rack_for(table)
    unit: Unit = dice.choice(get_args(Unit))
    placeable = [piece for piece in rack.pieces if piece.is_placed]
    placements: list[Placement] = []
    for number in range(dice.randint(3, 9)):
        made = _placement(dice, table, rack, dice.choice(placeable), f"p-{number}")
        if made is not None:
            placements.append(made)
    return Job(
        name=f"Random set-up {seed}",
        table=table,
        rack=rack,
        display=Display(unit=unit),
        placements=tuple(placements),
    )


def _placement(
    dice: random.Random, table: Table, rack: Rack, piece: Piece, name: str
) -> Placement | None:
    for _ in range(_TRIES):
        count = dice.randint(1, min(2, len(piece.mounts)))
        mounts = dice.sample(piece.mounts, count)
        first = Hole(dice.randrange(2, table.columns - 2), dice.randrange(2, table.rows - 2))
        holes = [first] + [
            Hole(first.col + dice.randint(-2, 2), first.row + dice.randint(-2, 2))
            for _ in mounts[1:]
        ]
        if len(set(holes)) < len(holes) or any(not table.has(hole) for hole in holes):
            continue
        loose = [one.id for one in rack.pieces if one.kind == "shim"]
        risers = [one.id for one in rack.pieces if one.kind == "riser"]
        wanted = Placement(
            id=name,
            piece=piece.id,
            seats=tuple(Seat(m.id, hole) for m, hole in zip(mounts, holes, strict=True)),
            flipped=piece.flips and dice.random() < 0.3,
            turn=dice.choice((0.0, 90.0, 180.0, -90.0, round(dice.uniform(-179, 180), 1))),
            slide=dice.uniform(0, 50),
            leaf=dice.choice((30.0, 45.0, 60.0, 90.0)) if piece.pivot is not None else 0.0,
            reach=dice.uniform(0, 200) if piece.tip is not None else 0.0,
            lift=tuple(dice.choices(risers, k=dice.randint(0, 2))) if piece.kind != "riser" else (),
            packing=tuple(dice.choices(loose, k=dice.randint(0, 3))) if piece.takes_packing else (),
            name=dice.choice(("", f"Stop {name}", "Corner, far")),
        )
        placed = solve_placement(table, rack, wanted)
        if placed.fault is None:
            return structs.replace(
                wanted, turn=placed.turn, slide=placed.slide, leaf=placed.leaf, reach=placed.reach
            )
    return None
