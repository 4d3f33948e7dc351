"""A tube through a fitted opening of a plate: one seam all round on either side."""

import math

import pytest
from msgspec import structs

from gridjig.geometry.shapes import disc, rectangle
from gridjig.model import CutOut, Drilled, Job, Plate, PlateHole
from gridjig.sheets.text.joint_text import joint_lines
from gridjig.solve.weldment.all_round import seam_sides
from gridjig.solve.weldment.faces import faces
from gridjig.solve.weldment.joints import Joint, joints
from gridjig.solve.weldment.welding import weld_lines
from gridjig.units import Display
from tests.workshop import EMPTY, laid, plate

MM = Display(unit="millimetres")


def base(*holes: PlateHole) -> Plate:
    return structs.replace(plate("base", 100, 100, 300, 200), z_high=10, holes=holes)


def upright(corners: tuple[tuple[float, float], ...], low: float = -20, high: float = 80) -> Plate:
    return Plate(id="tube", name="tube", corners=corners, x=100, y=100, z_low=low, z_high=high)


def met(*parts: Plate) -> tuple[Joint, ...]:
    return joints(parts)


ROUND = upright(disc((150.0, 100.0), 30.0, step=1.0))
SQUARE = upright(rectangle((120.0, 70.0), (180.0, 130.0)))


@pytest.mark.source("method", "by arithmetic: the circumference of a tube 60 mm across, twice")
def test_a_round_tube_in_a_hole_that_fits_has_a_seam_all_round_on_both_sides() -> None:
    plates = (base(Drilled((150, 100), 62)), ROUND)
    (joint,) = met(*plates)
    assert joint.kind == "fitted"
    assert joint.seam[0] == joint.seam[-1]
    assert joint.length == pytest.approx(math.pi * 60, rel=1e-3)
    assert joint.gap == pytest.approx(1, abs=0.05)
    assert (joint.z_low, joint.z_high) == (0, 10)
    sides = seam_sides(joint, *plates)
    assert [(side.name, side.angle) for side in sides] == [("top", 90), ("underside", 90)]
    assert sum(side.length for side in sides) == pytest.approx(2 * math.pi * 60, rel=1e-3)
    assert met(*plates[::-1])[0].length == pytest.approx(joint.length)


@pytest.mark.source("method", "by arithmetic: four sides of 60 mm")
def test_a_square_tube_in_a_square_opening() -> None:
    around = CutOut(rectangle((119.0, 69.0), (181.0, 131.0)))
    (joint,) = met(base(around), SQUARE)
    assert joint.kind == "fitted"
    assert joint.length == pytest.approx(240)
    flush = structs.replace(SQUARE, z_low=0.0)
    sides = seam_sides(met(base(around), flush)[0], base(around), flush)
    assert [side.angle for side in sides] == [90, 180]


@pytest.mark.source(
    "method", "by arithmetic: where a round is within 3.2 mm of a square of its size"
)
def test_a_round_tube_in_a_square_opening_meets_it_at_four_places() -> None:
    found = met(base(CutOut(rectangle((120.0, 70.0), (180.0, 130.0)))), ROUND)
    assert [joint.kind for joint in found] == ["fitted"] * 4
    # A fibre at an angle t from the middle of a side is 30 (1 - cos t) from it.
    t = math.acos(1 - 3.2 / 30)
    assert [joint.length for joint in found] == pytest.approx([2 * 30 * t] * 4, abs=1.0)
    assert len({joint.id for joint in found}) == 4


def test_in_a_hole_that_is_too_wide_or_at_another_height_they_do_not_meet() -> None:
    assert met(base(Drilled((150, 100), 70)), ROUND) == ()
    fits = Drilled((150, 100), 62)
    assert met(base(fits), structs.replace(ROUND, z_low=20.0)) == ()


def test_against_one_side_of_an_opening_it_is_welded_there() -> None:
    (joint,) = met(base(CutOut(rectangle((120.0, 70.0), (280.0, 130.0)))), SQUARE)
    assert joint.kind == "fitted"
    assert joint.seam[0] != joint.seam[-1]
    assert joint.length == pytest.approx(180)
    (through,) = met(base(Drilled((250, 100), 20)), SQUARE)
    assert through.kind == "overlap"


def test_it_is_listed_with_its_seam_and_takes_nothing_of_the_outer_faces() -> None:
    job: Job = structs.replace(laid(base(Drilled((150, 100), 62)), ROUND, job=EMPTY), display=MM)
    (line,) = joint_lines(job)
    assert line.under.startswith("through an opening · ≈188.")
    assert "all round" in line.under
    (seam,) = weld_lines(job)
    assert seam.one.kind == "fillet"
    assert seam.length == pytest.approx(2 * math.pi * 60, rel=1e-3)
    assert all(face.clear for face in faces(job.parts) if face.of.part == "base")
