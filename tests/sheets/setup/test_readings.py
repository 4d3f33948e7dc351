"""Readings that prove a set-up: between what can be measured, with limits from the class."""

import math

import pytest
from msgspec import structs

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Accuracy, Job, Member
from gridjig.model.stock import Section
from gridjig.sheets.setup.first_article import measures
from gridjig.sheets.setup.numbering import setting_order
from gridjig.sheets.setup.piece_rows import arm_chord
from gridjig.sheets.setup.readings import SHARE, Reading, Readings, limit_of, readings
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.units import INCH, Display
from tests.workshop import EMPTY, laid, plate, put, seat

NAMES = sorted(samples())


def readings_of(job: Job) -> Readings:
    placed = PlacedPieces().of(job)
    order = setting_order(job, placed, None)
    return readings(order, placed, None, job, "B")


def between(found: Readings, a: str, b: str) -> Reading:
    return next(one for one in found.across if set(one.pieces) == {a, b})


@pytest.mark.source("method", "drawn by hand: two stops whose faces look at each other")
def test_opposed_faces_are_read_square_from_face_to_face() -> None:
    # The stop's face is 20 mm in front of its holes, along its length.
    job = laid(
        put("low", "stop", seat("h1", 3, 2), seat("h2", 2, 2), turn=180.0),
        put("high", "stop", seat("h1", 2, 9), seat("h2", 3, 9), turn=0.0),
    )
    found = readings_of(job)
    one = between(found, "low", "high")
    assert one.nominal == pytest.approx(7 * 50.0 - 40.0)
    assert one.limit == pytest.approx(2.0 / SHARE, abs=0.05)


@pytest.mark.source("published", "ISO 13920:1996, table 1", "class B: 2 mm up to 400, 3 to 1000 mm")
def test_limits_are_a_third_of_the_class() -> None:
    assert limit_of(310.0, "B") == pytest.approx(0.7)
    assert limit_of(800.0, "B") == pytest.approx(1.0)
    assert limit_of(1.0, "B") is None


def test_every_sample_can_be_proved_with_both_diagonals() -> None:
    assert len(NAMES) >= 3
    for name in NAMES:
        found = readings_of(load_job(samples()[name]))
        assert found.across
        assert len(found.diagonals) == 2
        assert [one.nominal for one in found.diagonals] == pytest.approx(
            [math.dist(*one.points) for one in found.diagonals]
        )


@pytest.mark.source("method", "chord = 2 R sin(T / 2)")
def test_the_chord_of_an_arm() -> None:
    job = load_job(samples()["3-lantern-bracket"])
    placed = PlacedPieces().of(job)["arm-1"]
    made = arm_chord(placed, job.display)
    assert made is not None
    assert made.radius == pytest.approx(8 * INCH)
    assert made.length == pytest.approx(2 * 8 * INCH * math.sin(math.radians(30.0)))


def frame(width: float, depth: float, tube: float) -> Job:
    """A butted frame of square tube, outside sizes in mm."""
    section = Section(
        name="tube", kind="square tube", width=tube, height=tube, wall=tube / 16, radius=0.0
    )

    def bar(name: str, long: float, x: float, y: float, turn: float) -> Member:
        return Member(id=name, name=name, section=section, length=long, x=x, y=y, turn=turn)

    half = tube / 2
    inner = depth - 2 * tube
    parts = (
        bar("front", width, 100.0, 100.0 + half, 0.0),
        bar("back", width, 100.0, 100.0 + depth - half, 0.0),
        bar("left", inner, 100.0 + half, 100.0 + tube, 90.0),
        bar("right", inner, 100.0 + width - half, 100.0 + tube, 90.0),
    )
    return structs.replace(EMPTY, parts=parts, display=Display(unit="inch decimals"))


@pytest.mark.source("method", "Pythagoras: 24 x 24 is 33.9411, 36 x 23 is 42.7200")
@pytest.mark.parametrize(
    ("width", "depth", "diagonal"), [(24.0, 24.0, 33.9411), (36.0, 23.0, 42.72)]
)
def test_the_first_article_has_the_sides_and_both_diagonals(
    width: float, depth: float, diagonal: float
) -> None:
    job = frame(width * INCH, depth * INCH, 1.5 * INCH)
    found = {one.what: one for one in measures(job, job.weldments[0].id, "B")}
    sides = sorted(one.nominal / INCH for what, one in found.items() if "Overall" in what)
    assert sides == pytest.approx(sorted((width, depth)))
    both = [one for what, one in found.items() if what.startswith("Diagonal")]
    assert [one.nominal / INCH for one in both] == pytest.approx([diagonal, diagonal], abs=5e-4)
    assert all(one.limit is not None for one in both)


@pytest.mark.source("method", "Pythagoras: over the tips of two legs of 18 is 25.4558")
def test_a_diagonal_whose_end_could_be_either_of_two_corners_is_not_asked_for() -> None:
    legs = (
        plate("up", 400.0, 400.0, 50.0, 18.0 * INCH),
        plate("along", 450.0, 400.0, 18.0 * INCH - 50.0, 50.0),
    )
    job = structs.replace(EMPTY, parts=legs)
    told = [m for m in measures(job, job.weldments[0].id, "B") if m.what.startswith("Diagonal")]
    assert [one.what for one in told] == ["Diagonal, corner to corner"]
    assert told[0].nominal / INCH == pytest.approx(25.4558, abs=5e-4)


@pytest.mark.source("published", "ISO 13920:1996, table 2", "class B, up to 400 mm: 45 minutes")
def test_an_askew_member_is_measured_by_its_chord() -> None:
    job = load_job(samples()["2-harbour-gate"])
    (brace,) = [m for m in measures(job, job.weldments[0].id, "B") if m.degrees is not None]
    assert brace.degrees == pytest.approx(45.0)
    assert brace.radius == pytest.approx(300.0)
    assert brace.nominal == pytest.approx(229.610, abs=1e-3)
    assert brace.arcmin == 20  # its shorter leg is longer than a metre


def test_the_class_is_that_of_the_job() -> None:
    job = load_job(samples()["1-market-trestle"])
    fine = structs.replace(job, accuracy=Accuracy(linear="A"))
    b, a = (
        next(m for m in measures(one, one.weldments[0].id, one.accuracy.linear)).limit
        for one in (job, fine)
    )
    assert (a, b) == (2.0, 3.0)
