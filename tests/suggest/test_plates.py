"""Plates that could be cut: where they stand, that they hold the face, when they are offered."""

import math

import pytest
import shapely
from msgspec import structs

from gridjig.model import Hole, Job, Placement, Seat
from gridjig.suggest.demands import demands
from gridjig.suggest.explain import missing
from gridjig.suggest.plates import CUT, MARGIN, plate_for, plate_of, plates_for, with_plates
from gridjig.suggest.search import suggest
from gridjig.suggest.site import Site, long_and_ends
from gridjig.suggest.values import Wishes
from gridjig.units.progress import SILENT
from tests.suggest.answers import PLENTY
from tests.suggest.test_pieces import RACK, bar, job_with, long_face
from tests.suggest.verifier import faults, rows_of

ASLANT = ((400.0, 400.0), (780.0, 617.0))


def without_what_turns(slope: bool = True) -> Job:
    """A sloping bar, and a rack whose stops all stand square to the grid."""
    turns = {
        p.id.replace("-", "_"): 0
        for p in RACK.pieces
        if p.kind in ("pin", "arm", "bevel", "V-block", "square", "adjustable stop")
        or (p.kind == "fixed stop" and len(p.mounts) == 1)
    }
    return job_with(bar(*(ASLANT if slope else ((400.0, 412.0), (800.0, 412.0)))), **turns)


def placed(job: Job, site: Site, number: int) -> tuple[Job, Placement]:
    face = long_face(site, number)
    plate = plate_for(site, face)
    assert plate is not None
    table = job.table
    edge = plate.faces[0]
    # The first hole lies where its frame puts the edge on the face.
    (ux, uy) = face.normal
    off = face.a[0] * ux + face.a[1] * uy - (edge.a[0] * ux + edge.a[1] * uy)
    for col in range(table.columns):
        for row in range(table.rows):
            hole = Hole(col, row)
            x, y = table.at(hole)
            if abs(x * ux + y * uy - off) > 1e-6:
                continue
            dx, dy = plate.mounts[1].at  # type: ignore[union-attr]
            other = Hole(col + round(dx / table.pitch_x), row + round(dy / table.pitch_y))
            seats = tuple(Seat(m.id, h) for m, h in zip(plate.mounts, (hole, other), strict=True))
            one = Placement(id="plate", piece=plate.id, seats=seats)
            return structs.replace(with_plates(job, [plate]), placements=(one,)), one
    raise AssertionError("its first hole is no hole of the table")


@pytest.mark.source("method", "poses, overlaps and contacts reckoned anew from the job")
@pytest.mark.parametrize("number", [0, 1])
def test_a_plate_stands_in_holes_and_lies_along_the_face(number: int) -> None:
    job = without_what_turns()
    site = Site(job, Wishes())
    made, plate = placed(job, site, number)
    wrong = [one for one in faults(made) if "located" not in one]
    assert wrong == []
    rows = rows_of(made, plate)
    assert len(rows) == 2  # it bears over a length: at both ends of it
    nx, ny = long_face(site, number).normal
    assert all(abs(row[0] * nx + row[1] * ny + 1.0) < 1e-6 for row in rows)


def test_there_is_steel_round_its_holes_and_none_beyond_its_edge() -> None:
    job = without_what_turns()
    site = Site(job, Wishes())
    face = long_face(site)
    plate = plate_for(site, face)
    assert plate is not None
    plan = shapely.Polygon(plate.solids[0].outline)
    least = MARGIN * job.table.hole_diameter
    for mount in plate.mounts:
        hole = shapely.Point(mount.at)  # type: ignore[union-attr]
        assert plan.exterior.distance(hole) > 0.95 * least
    edge = shapely.LineString([plate.faces[0].a, plate.faces[0].b])
    assert plan.exterior.distance(edge) < 1e-6
    assert edge.length >= 0.25 * face.length
    assert math.isclose(plate.solids[0].z_high, (face.z_low + face.z_high) / 2.0)


def test_along_the_grid_no_plate_is_needed() -> None:
    site = Site(without_what_turns(slope=False), Wishes())
    assert plate_for(site, long_face(site)) is None
    assert plate_of(site, site.job.parts[0].id) is None
    assert plates_for(site, demands(site, SILENT)) == []


def test_where_all_holes_beside_it_are_taken_there_is_none() -> None:
    job = without_what_turns()
    table = job.table
    every = frozenset(Hole(c, r) for c in range(table.columns) for r in range(table.rows))
    site = Site(job, Wishes(forbidden=every))
    assert plate_of(site, job.parts[0].id) is None


def test_what_pins_or_an_arm_can_hold_needs_no_plate() -> None:
    site = Site(job_with(bar(*ASLANT)), Wishes())
    assert plates_for(site, demands(site, SILENT)) == []
    assert len(long_and_ends(site.part("bar"), site.faces["bar"])[0]) == 2


def test_where_there_is_none_a_cut_plate_is_offered() -> None:
    job = without_what_turns()
    site = Site(job, Wishes())
    plates = plates_for(site, demands(site, SILENT))
    assert len(plates) == 2  # one for a long face, one for an end
    assert all(plate.id.startswith(CUT) for plate in plates)
    found = suggest(job, Wishes(seconds=PLENTY, move=False))
    assert found.alternatives == ()
    told = "with 2 cut plates against Bar (Angle, Cut plate for a part)."
    assert any(told in words for words in found.none_because), found.none_because


def test_what_a_part_lacks_is_offered_a_plate_too() -> None:
    job = without_what_turns()
    site = Site(job, Wishes())
    asked = demands(site, SILENT)
    picked = [group.options[-1] for group in asked.groups]
    told = {lack.kind: lack.words for lack in missing(site, asked, picked)}
    assert told["long face"].endswith("A cut plate would hold it there.")
    assert told["end"].endswith("A cut plate would hold it there.")
    assert "cut plate" not in told["clamp"]
