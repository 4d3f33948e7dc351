"""Two trial weldments laid out in the holes a hand reckoning gave, saved and opened again.

The reckoning (holes, contacts, gaps in the data) was made with tape arithmetic: hole places by the
pitch, faces by the stop's 1/2 in and its travel.
"""

import math
from pathlib import Path

import pytest

from gridjig.checks.findings import findings
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.storage.saving import save
from gridjig.model import Job
from gridjig.model.labels import address, find_hole
from gridjig.sheets.lists.pull_list import pull_list
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.face_distance import face_from_hole
from gridjig.solve.placed.placed_piece import PlacedPiece
from tests.trials.layout import (
    INCH,
    empty,
    inches,
    load,
    single,
    with_clamp,
    with_members,
    with_stop,
)


def laid_out(trial: str) -> Job:
    data = load(trial)
    job = with_members(empty(data), data)
    for stop in data["stops"]:
        job = with_stop(job, stop)
    for clamp in data["clamps"]:
        job = with_clamp(job, clamp)
    return job


def stood(job: Job, name: str) -> PlacedPiece:
    return next(s for s in PlacedPieces().of(job).values() if s.placement.name == name)


@pytest.mark.parametrize("trial", ["T01", "T04"])
@pytest.mark.source(
    "method", "trial weldments, reckoned by hand: pitch, face offset and travel of the stops"
)
def test_every_stop_touches_where_the_reckoning_says(trial: str) -> None:
    data = load(trial)
    job = laid_out(trial)
    into = {"B": (0.0, 1.0), "R": (-1.0, 0.0), "T": (0.0, -1.0), "L": (1.0, 0.0)}
    for stop in data["stops"]:
        placed = stood(job, stop["what"])
        assert placed.fault is None
        assert placed.off == ()
        (face,) = placed.faces
        assert face.normal == pytest.approx(into[stop["side"]], abs=1e-9)
        a, b = inches(face.a), inches(face.b)
        x, y = stop["contact"]
        off = (x - a[0]) * face.normal[0] + (y - a[1]) * face.normal[1]
        assert abs(off) < 1e-6
        assert math.dist(a, (x, y)) + math.dist(b, (x, y)) == pytest.approx(math.dist(a, b))


@pytest.mark.parametrize(
    ("trial", "said"),
    [("T01", ["fine/contacts"]), ("T04", ["unsupported/clamp-3", "carried/part-3"])],
)
def test_nothing_clashes_and_the_rack_suffices(trial: str, said: list[str]) -> None:
    """The brace of the second has no risers yet: nothing carries it, nor what its clamp presses."""
    job = laid_out(trial)
    assert [f.id for f in findings(job, PlacedPieces().of(job))] == said
    assert pull_list(job).short == 0


@pytest.mark.parametrize("trial", ["T01", "T04"])
@pytest.mark.source(
    "method", "trial weldments, reckoned by hand: face from its hole, for each stop"
)
def test_a_face_is_measured_from_the_hole_nearest_to_it(trial: str) -> None:
    job = laid_out(trial)
    for stop in load(trial)["stops"]:
        here = face_from_hole(job.table, stood(job, stop["what"]))
        assert here is not None
        assert address(job.table, here.hole) == stop["hole"]
        assert here.distance / INCH == pytest.approx(stop["face_from_hole"], abs=1e-6)


@pytest.mark.parametrize("trial", ["T01", "T04"])
@pytest.mark.source("method", "trial weldments, reckoned by hand: distance of post and tip")
def test_every_clamp_reaches_its_place(trial: str) -> None:
    job = laid_out(trial)
    for clamp in load(trial)["clamps"]:
        placed = stood(job, f"Clamp {clamp['what']}")
        assert placed.tip is not None
        assert inches(placed.tip.at) == pytest.approx(tuple(clamp["at"]), abs=1e-6)
        assert placed.reach / INCH == pytest.approx(clamp["reach"], abs=5e-5)


@pytest.mark.parametrize("trial", ["T01", "T04"])
def test_saved_and_opened_again_it_is_the_same(trial: str, tmp_path: Path) -> None:
    job = laid_out(trial)
    path = tmp_path / f"{trial}.gridjig"
    save(path, write_job(job))
    again = load_job(path)
    assert again == job
    assert dict(PlacedPieces().of(again)) == dict(PlacedPieces().of(job))
    assert write_job(again) == path.read_bytes()


@pytest.mark.source("method", "trial weldments, reckoned by hand: both far sides need exactly 1 in")
def test_the_frame_needs_a_whole_inch_at_its_far_sides() -> None:
    """An even number of inches does not close between fixed stops on 2 in centres."""
    job = laid_out("T01")
    far = [s for s in PlacedPieces().of(job).values() if s.placement.piece == "stop-adjustable"]
    assert [s.slide / INCH for s in far] == [1.0, 1.0, 1.0]


@pytest.mark.source(
    "method", "trial weldments, reckoned by hand: 0.8713 in from pin to brace, to 4 decimals"
)
def test_the_brace_lies_off_two_pins_by_the_same_gap() -> None:
    """The gap is from the pin's 1 in body to the brace: the centre is half an inch further off."""
    data = load("T04")
    job = laid_out("T04")
    (pair,) = data["pin_pairs"]
    ox, oy = data["origin"]
    plan = [(x + ox, y + oy) for x, y in data["members"][2]["plan"]]
    (ax, ay), (bx, by) = plan[1], plan[2]  # the outer edge
    long = math.dist(plan[1], plan[2])
    centres = []
    for place in pair["holes"]:
        job = single(job, "pin-1", "shank", place)
        placed = list(PlacedPieces().of(job).values())[-1]
        (body,) = placed.rounds
        x, y = inches(body.centre)
        centres.append((x, y))
        off = abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / long
        assert off - body.radius / INCH == pytest.approx(pair["gap"], abs=1e-4)
    (x0, y0), (x1, y1) = centres
    assert math.dist(*centres) == pytest.approx(pair["spacing"], abs=5e-5)
    assert math.degrees(math.atan2(y0 - y1, x0 - x1)) == pytest.approx(pair["angle_deg"])


def test_the_brace_stands_on_risers_and_clears_everything() -> None:
    job = laid_out("T04")
    high = load("T04")["risers"][0]["height"] * INCH
    for place in ("H11", "K8"):
        job = single(job, "riser-1-4", "centre", place)
        placed = list(PlacedPieces().of(job).values())[-1]
        assert placed.rests[0].z == pytest.approx(high)
        assert placed.holes == (find_hole(job.table, place),)
    brace = job.parts[2]
    assert brace.z_low == pytest.approx(high)
    (found,) = findings(job, PlacedPieces().of(job))
    assert found.id == "unsupported/clamp-3"  # it presses half-way between the two
    assert found.what.startswith("Clamp K presses on K brace where nothing is under it")
