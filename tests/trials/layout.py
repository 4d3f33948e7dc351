"""Lays a trial weldment out with the program's own edits, in the holes that the trial names."""

import json
import math
from pathlib import Path
from typing import Any

from gridjig.checks.conflicts import refusal
from gridjig.edits.lookup import new_id
from gridjig.edits.parts import add_part, polygon
from gridjig.edits.placements import place
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Hole, Job, Placement, Seat
from gridjig.model.labels import find_hole
from gridjig.rack import Point
from gridjig.solve.placed.cache import PlacedPieces

INCH = 25.4
DATA = Path(__file__).parent / "data"
TURN = {"B": 0.0, "R": 90.0, "T": 180.0, "L": -90.0}
"""A stop on this side of the work (bottom, right, top, left) is turned so that it faces it."""
BEHIND = {"B": (0, -1), "R": (1, 0), "T": (0, 1), "L": (-1, 0)}


def load(trial: str) -> dict[str, Any]:
    """The data of a trial, inches."""
    data: dict[str, Any] = json.loads((DATA / f"{trial}.json").read_text(encoding="utf-8"))
    return data


def empty(trial: dict[str, Any]) -> Job:
    """The trial's table with the starter rack that fits it."""
    table = ready_tables()["48x48-3/4"]
    asked = trial["table"]
    assert table.pitch_x == asked["pitch"] * INCH
    assert (table.columns, table.rows) == (asked["columns"], asked["rows"])
    assert math.isclose(table.hole_diameter, asked["hole_diameter"] * INCH)
    return Job(name=trial["name"], table=table, rack=rack_for(table))


def with_members(job: Job, trial: dict[str, Any]) -> Job:
    """The members as parts of the weldment, at the trial's origin."""
    ox, oy = trial["origin"]
    for member in trial["members"]:
        corners = [((x + ox) * INCH, (y + oy) * INCH) for x, y in member["plan"]]
        low, high = (z * INCH for z in member["z"])
        part = polygon(new_id(job, "part"), member["id"], corners, (low, high))
        job = add_part(job, part)
    return job


def put(job: Job, placement: Placement) -> Job:
    """Place a piece where the program lets it stand."""
    assert refusal(job, PlacedPieces().of(job), placement) is None
    return place(job, placement)


def with_stop(job: Job, stop: dict[str, Any]) -> Job:
    """A fixed stop where the face lies at its 1/2 in, else an adjustable one, on two pins."""
    front = find_hole(job.table, stop["hole"])
    step = BEHIND[stop["side"]]
    back = Hole(front.col + step[0], front.row + step[1])
    out = stop["face_from_hole"] - 0.5
    piece, features = (
        ("stop-fixed", ("front", "back")) if out == 0 else ("stop-adjustable", ("slot", "slot"))
    )
    return put(
        job,
        Placement(
            id=new_id(job, "stop"),
            piece=piece,
            name=stop["what"],
            seats=(Seat(features[0], front), Seat(features[1], back)),
            turn=TURN[stop["side"]],
            slide=out * INCH,
        ),
    )


def with_clamp(job: Job, clamp: dict[str, Any]) -> Job:
    """A down-clamp with its tip on the work."""
    post = find_hole(job.table, clamp["post"])
    x, y = job.table.at(post)
    tip = (clamp["at"][0] * INCH, clamp["at"][1] * INCH)
    return put(
        job,
        Placement(
            id=new_id(job, "clamp"),
            piece="clamp-down-low",
            name=f"Clamp {clamp['what']}",
            seats=(Seat("post", post),),
            turn=math.degrees(math.atan2(tip[1] - y, tip[0] - x)),
            reach=math.dist(tip, (x, y)),
        ),
    )


def single(job: Job, piece: str, feature: str, address: str) -> Job:
    """A piece that stands in one hole."""
    seat = Seat(feature, find_hole(job.table, address))
    return put(job, Placement(id=new_id(job, piece), piece=piece, seats=(seat,)))


def inches(p: Point) -> Point:
    return (p[0] / INCH, p[1] / INCH)
