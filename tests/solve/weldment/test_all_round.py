"""Seams all round, by hand: of a cheek, tubes, rounds and angles; what reaches each side."""

import math

import pytest
from msgspec import structs
from scipy.integrate import quad  # type: ignore[import-untyped]

from gridjig.edits import joining
from gridjig.edits.members import add, between, member_of
from gridjig.geometry.part_mass import load
from gridjig.model import Part, Plate
from gridjig.solve.weldment.all_round import SeamSide, seam_sides
from gridjig.solve.weldment.joints import joints
from gridjig.solve.weldment.welding import weld_lines
from tests.edits.test_ends import pointed, truss
from tests.stock import ANGLE, FLAT, ROUND, SQUARE
from tests.workshop import EMPTY, box


def block(name: str, x0: float, y0: float, x1: float, y1: float, *z: float) -> Plate:
    low, high = z
    return Plate(id=name, name=name, corners=box(x0, y0, x1, y1), z_low=low, z_high=high)


def sides_of(a: Part, b: Part) -> tuple[SeamSide, ...]:
    (joint,) = joints((a, b))
    return seam_sides(joint, a, b)


def told(sides: tuple[SeamSide, ...]) -> list[tuple[str, float, float, str]]:
    return [(s.name, round(s.length, 3), round(s.angle, 3), s.reach) for s in sides]


@pytest.mark.source("method", "by hand: a cheek 8 mm thick and 150 mm high against a back plate")
def test_the_seam_of_a_cheek_is_as_long_as_the_cheek_is_high() -> None:
    cheek, back = block("c", 0, 0, 100, 8, 0, 150), block("b", 100, -50, 110, 50, 0, 200)
    assert told(sides_of(cheek, back)) == [
        ("top", 8, 90, "from above"),
        ("upright", 150, 90, "upright"),
        ("upright", 150, 90, "upright"),
        ("underside", 8, 180, "turned over"),
    ]
    assert told(sides_of(back, cheek)) == told(sides_of(cheek, back))


@pytest.mark.source("method", "perimeter by hand: four straight runs and four quarter circles")
def test_a_square_tube_is_welded_round_its_rounded_corners() -> None:
    rail = between("a", "rail", SQUARE, (0, 0), (600, 0))
    post = between("b", "post", SQUARE, (300, 25), (300, 300))
    sides = sides_of(rail, post)
    around = 4 * (50 - 2 * 6) + 2 * math.pi * 6
    assert sum(side.length for side in sides) == pytest.approx(around, rel=1e-4)
    assert [(s.name, s.angle) for s in sides] == [
        ("top", 180),
        ("upright", 90),
        ("upright", 90),
        ("underside", 180),
    ]


@pytest.mark.source("library", "scipy 1.17 quad", "the perimeter of an ellipse")
def test_a_round_bar_cut_aslant_is_welded_round_an_ellipse() -> None:
    plate = block("p", 0, 0, 400, 10, 0, 200)
    strut = between("s", "strut", ROUND, (50, 150), (200, 10), z_low=50)
    cut = joining.trimmed(strut, plate)
    lean = abs(cut.end.angle)
    half = ROUND.width / 2
    long = half / math.cos(math.radians(lean))
    wanted, _ = quad(lambda t: math.hypot(long * math.sin(t), half * math.cos(t)), 0, 2 * math.pi)
    assert sum(side.length for side in sides_of(plate, cut)) == pytest.approx(wanted, rel=1e-3)


@pytest.mark.source("library", "scipy 1.17 quad", "the length of the saddle curve, F51's formula")
@pytest.mark.parametrize("turn", [90.0, 60.0, 45.0])
def test_a_coped_round_is_welded_along_its_saddle(turn: float) -> None:
    small = structs.replace(ROUND, name="small", width=42.4, height=42.4)
    header = between("h", "header", ROUND, (0, 0), (800, 0))
    away = (400 + 300 * math.cos(math.radians(turn)), 300 * math.sin(math.radians(turn)))
    branch = between("s", "branch", small, (400, 0), away, z_low=(48.3 - 42.4) / 2)
    cut = joining.coped(branch, header, "start")
    sides = sides_of(header, cut)
    r, big, lean = 21.2, 24.15, math.radians(turn)

    def step(t: float) -> float:
        """Length of the curve z(p) = r cos p / tan T + sqrt(R^2 - r^2 sin^2 p) / sin T."""
        slope = -r * math.sin(t) / math.tan(lean)
        slope -= (
            r
            * r
            * math.sin(t)
            * math.cos(t)
            / (math.sqrt(big * big - (r * math.sin(t)) ** 2) * math.sin(lean))
        )
        return math.hypot(r, slope)

    wanted, _ = quad(step, 0, 2 * math.pi)
    assert sum(side.length for side in sides) == pytest.approx(wanted, rel=2e-3)


@pytest.mark.source("method", "the outline of an L by hand, corners sharp")
def test_an_angle_is_welded_round_its_legs() -> None:
    plate = block("p", 0, -100, 10, 100, 0, 100)
    angle = between("a", "angle", ANGLE, (10, 0), (300, 0))
    wanted = 2 * (ANGLE.width + ANGLE.height)
    assert sum(side.length for side in sides_of(plate, angle)) == pytest.approx(wanted, rel=1e-6)


@pytest.mark.source("method", "by hand")
def test_what_lies_on_another_part_is_reached_from_above_where_that_goes_on() -> None:
    below, above = block("a", 0, 0, 100, 100, 0, 10), block("b", 20, 0, 120, 60, 10, 20)
    found = told(sides_of(below, above))
    # 80 x 60 in common: its left and its back lie on the lower one, its right is below the upper
    # one, its front is flush with both.
    assert found == [
        ("top", 140, 90, "from above"),
        ("flush", 80, 180, "from the side"),
        ("underside", 60, 90, "turned over"),
    ]


def test_a_corner_has_one_upright_and_an_overlap_none() -> None:
    one = block("a", 0, 0, 100, 100, 0, 40)
    assert told(sides_of(one, block("b", 100, 100, 200, 200, 0, 30))) == [
        ("upright", 30, 270, "upright")
    ]
    assert sides_of(one, block("c", 50, 50, 200, 200, 0, 30)) == ()


def test_the_tip_of_a_pointed_post_is_closed_in_by_both_rafters() -> None:
    job = pointed(truss(SQUARE))
    lines = {(line.one.joint.a, line.one.joint.b): line for line in weld_lines(job)}
    for rafter in ("l", "r"):
        line = lines[rafter, "p"]
        reach = [side.reach for side in line.sides if side.name == "upright"]
        assert sorted(reach) == ["closed in", "upright"]
        assert line.length == pytest.approx(
            sum(side.length for side in line.sides if not side.closed)
        )
    alone = structs.replace(job, parts=tuple(p for p in job.parts if p.id != "r"))
    assert not any(side.closed for line in weld_lines(alone) for side in line.sides)


def test_moving_and_turning_both_parts_changes_no_side() -> None:
    job = pointed(truss(FLAT))
    moved = structs.replace(
        job,
        parts=tuple(
            structs.replace(p, x=-p.y + 700.0, y=p.x + 20.0, turn=p.turn + 90.0) for p in job.parts
        ),
    )
    before, after = weld_lines(job), weld_lines(moved)
    assert len(before) == len(after) >= 3
    for one, other in zip(before, after, strict=True):
        assert [s.name for s in one.sides] == [s.name for s in other.sides]
        assert one.length == pytest.approx(other.length, abs=1e-6)


def test_a_cope_is_found_on_the_job_too() -> None:
    job = add(EMPTY, between("h", "header", ROUND, (0, 0), (800, 0)))
    job = add(job, between("s", "branch", ROUND, (400, 0), (400, 300)))
    job = joining.cope(job, "s", "h", "start")
    assert load(member_of(job, "s")).mass > 0
    (line,) = weld_lines(job)
    assert line.length > math.pi * 48.3
