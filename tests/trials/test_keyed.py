"""The trial weldments keyed in through the edits: plan corners, cut lengths, masses, cut words.

The reckoning in the data was made apart from the program, with sharp-cornered plan lengths and
0.2836 lb/in3.
"""

import math

import pytest
from shapely import MultiPoint, Polygon

from gridjig.files.jobs.job_file import read_job, write_job
from gridjig.geometry.part_mass import load as load_of
from gridjig.geometry.part_mass import mass, total
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Display, Plate
from gridjig.sheets.lists.cut_list import cut_list
from gridjig.sheets.lists.cut_plates import plate_size
from gridjig.units import POUND, format_length
from tests.trials.keyed import KEYED, bars
from tests.trials.layout import INCH, inches, load

TRIALS = sorted(KEYED)
RECKONED = pytest.mark.source("method", "trial weldments, reckoned by hand apart from the program")


@RECKONED
@pytest.mark.parametrize("trial", TRIALS)
def test_every_part_has_the_same_plan_corners_and_heights(trial: str) -> None:
    job, data = KEYED[trial](), load(trial)
    parts = {p.name: p for p in job.parts}
    assert set(parts) == {m["id"] for m in data["members"]}
    for member in data["members"]:
        part = parts[member["id"]]
        ox, oy = data["origin"]
        found = [inches(p) for p in part_ring(part)]
        wanted = [(x + ox, y + oy) for x, y in member["plan"]]
        assert len(found) == len(wanted)
        for corner in wanted:
            assert min(math.dist(corner, p) for p in found) < 1e-3, (member["id"], corner, found)
        assert Polygon(found).exterior.is_ccw
        assert (part.z_low / INCH, part.z_high / INCH) == pytest.approx(tuple(member["z"]))


@RECKONED
@pytest.mark.parametrize("trial", TRIALS)
def test_every_cut_length_is_the_same(trial: str) -> None:
    job, data = KEYED[trial](), load(trial)
    members = bars(job)
    assert len(data["members"]) == len(job.parts) >= 3
    for member in data["members"]:
        if member["id"] in members:
            found = members[member["id"]].long_point / INCH
        else:
            plate = next(p for p in job.parts if p.name == member["id"])
            assert isinstance(plate, Plate)
            found = plate_size(plate)[0] / INCH
        assert found == pytest.approx(member["cut_length"], abs=1e-3), member["id"]


@RECKONED
@pytest.mark.parametrize("trial", TRIALS)
def test_every_mass_is_the_same(trial: str) -> None:
    job, data = KEYED[trial](), load(trial)
    parts = {p.name: p for p in job.parts}
    for member in data["members"]:
        assert mass(parts[member["id"]]) / POUND == pytest.approx(member["mass"], abs=1e-3)
    assert cut_list(job).mass / POUND == pytest.approx(data["mass"], abs=2e-3)


@RECKONED
def test_centre_of_gravity_of_the_machine_base() -> None:
    job, data = KEYED["T10"](), load("T10")
    whole = total(load_of(p) for p in job.parts)
    ox, oy = data["origin"]
    x, y, z = data["checks"]["cog"]
    assert (whole.x / INCH - ox, whole.y / INCH - oy) == pytest.approx((x, y), abs=1e-4)
    assert whole.z / INCH == pytest.approx(z, abs=1e-3)


@RECKONED
@pytest.mark.parametrize(
    ("trial", "name", "long", "short", "cuts"),
    [
        ("T01", "A bottom", 24, 24, "square both ends"),
        ("T01", "C left", 20, 20, "square both ends"),
        ("T02", "A bottom", 36, 33, "mitres opposed, 45° both ends"),
        ("T04", "K brace", 15.6421, 12.6421, "mitres opposed, 45° both ends"),
        ("T06", "S strut", 20.9774, 19.0226, "square and mitre 52.5°"),
        ("T08", "LL leg", 37.3631, 37.3631, "mitres parallel, ≈15.52° both ends"),
        ("T08", "SL spreader low", 21.8864, 21.0531, "mitres opposed, ≈15.52° both ends"),
        ("T08", "SU spreader up", 13.5531, 12.7197, "mitres opposed, ≈15.52° both ends"),
    ],
)
def test_points_and_cuts_in_trade_words(
    trial: str, name: str, long: float, short: float, cuts: str
) -> None:
    line = next(n for n in cut_list(KEYED[trial]()).bars if name in n.names)
    assert line.long_point / INCH == pytest.approx(long, abs=1e-4)
    assert line.short_point / INCH == pytest.approx(short, abs=1e-4)
    assert line.cuts == cuts


def test_a_plate_on_the_slope_is_as_thick_as_it_was_typed() -> None:
    """Its corners are rounded on the table; that makes no size a near one."""
    plate = next(p for p in KEYED["T06"]().parts if isinstance(p, Plate))
    shown = [format_length(v, Display(unit="inch fractions")) for v in plate_size(plate)]
    assert shown == ['3"', '3"', '1/4"']


def test_the_legs_of_the_trestle_are_one_piece_turned_over() -> None:
    """Square tube with plumb cuts: turned over, a left leg is a right leg."""
    (legs,) = [n for n in cut_list(KEYED["T08"]()).bars if "LL leg" in n.names]
    assert legs.names == ("LL leg", "RL leg")
    assert legs.hand == ""


@pytest.mark.parametrize("trial", TRIALS)
def test_saved_and_opened_again_it_is_the_same(trial: str) -> None:
    job = KEYED[trial]()
    assert read_job(write_job(job)) == job


@RECKONED
def test_diagonals() -> None:
    for trial in ("T01", "T02"):
        job, data = KEYED[trial](), load(trial)
        points = [inches(p) for part in job.parts for p in part_ring(part)]
        low_x, low_y, high_x, high_y = MultiPoint(points).bounds
        found = math.dist((low_x, low_y), (high_x, high_y))
        assert found == pytest.approx(data["checks"]["diag_outside"], abs=1e-4)
