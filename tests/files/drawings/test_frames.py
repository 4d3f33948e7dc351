"""Frames drawn with lines that meet: members come out of them, not the space between."""

import math
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

import pytest

from gridjig.files.drawings.curves import DrawnCurve, LineArcPath
from gridjig.files.drawings.drawing import Drawing, Sketch, outlined
from gridjig.files.drawings.frames import MOST_CORNERS, side_bars
from gridjig.files.drawings.line_bars import MOST_LINES
from gridjig.files.drawings.member import guess_section
from gridjig.files.drawings.parts import ImportedParts, LayerUse, to_parts
from gridjig.files.drawings.report import unused_words, used_words
from gridjig.files.library.sections import sections
from gridjig.geometry.part_mass import mass as mass_of
from gridjig.model import Member, Plate, Section
from gridjig.rack import Point
from tests.workshop import EMPTY

TUBE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3)


def drawn(open_lines: Sequence[Sequence[Point]], closed: Sequence[Sequence[Point]] = ()) -> Drawing:
    curves = [
        DrawnCurve("0", LineArcPath(tuple((x, y, 0.0) for x, y in one), closed=ring))
        for ring, many in ((False, open_lines), (True, closed))
        for one in many
    ]
    return outlined(Sketch("frame.dxf", "mm", tuple(curves)))


def rectangle(x0: float, y0: float, x1: float, y1: float) -> list[Point]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def sides(ring: Sequence[Point]) -> list[list[Point]]:
    return [[a, b] for a, b in pairwise([*ring, ring[0]])]


def made(drawing: Drawing, section: Section | None = TUBE) -> ImportedParts:
    return to_parts(EMPTY, drawing, [LayerUse("0", section=section)])


def lengths(brought: ImportedParts) -> Counter[float]:
    return Counter(round(p.length, 3) for p in brought.parts if isinstance(p, Member))


BUTTED = [
    [(0.0, 0.0), (800.0, 0.0)],
    [(0.0, 600.0), (800.0, 600.0)],
    [(50.0, 50.0), (50.0, 550.0)],
    [(750.0, 50.0), (750.0, 550.0)],
    *sides(rectangle(0.0, 50.0, 800.0, 550.0)),
]
"""Rails of 800 that run through, stiles of 500: the other four lines meet in a loop."""


def test_lines_that_meet_in_the_corners_of_a_frame_are_its_members() -> None:
    brought = made(drawn(BUTTED))
    assert lengths(brought) == {800.0: 2, 500.0: 2}
    assert (brought.plates, brought.unlike) == (0, 0)
    assert (brought.width, brought.depth) == (800.0, 600.0)
    assert used_words(drawn(BUTTED), brought) == (
        "4 members, 4 loose lines joined, 4 open lines as edges"
    )
    uses = [LayerUse("0", section=TUBE)]
    assert unused_words(drawn(BUTTED), uses, brought) == (
        "1 closed loop that is only the edges of members",
    )


def test_without_a_section_the_loop_is_a_plate_as_before() -> None:
    brought = made(drawn(BUTTED), section=None)
    (sheet,) = brought.parts
    assert isinstance(sheet, Plate)
    assert (brought.width, brought.depth) == (800.0, 500.0)


@pytest.mark.source("method", "arithmetic: a mitred frame is as long as its middle line")
@pytest.mark.parametrize("loose", [True, False])
def test_the_outside_and_the_inside_of_a_frame_are_mitred_members(loose: bool) -> None:
    rings = [rectangle(0.0, 0.0, 800.0, 600.0), rectangle(50.0, 50.0, 750.0, 550.0)]
    lines = [side for ring in rings for side in sides(ring)]
    drawing = drawn(lines) if loose else drawn([], rings)
    brought = made(drawing)
    assert lengths(brought) == {750.0: 2, 550.0: 2}
    cuts = {
        abs(end.angle) for p in brought.parts if isinstance(p, Member) for end in (p.start, p.end)
    }
    assert cuts == {45.0}
    mass = sum(mass_of(part) for part in brought.parts)
    whole = mass_of(bar_of(2600.0))
    assert mass == pytest.approx(whole, rel=1e-3)
    assert made(drawing, section=None).holes == 1


def bar_of(length: float) -> Member:
    return Member(id="b", name="b", section=TUBE, length=length)


def test_a_six_sided_frame_is_six_members() -> None:
    def ring(apothem: float) -> list[Point]:
        far = apothem / math.cos(math.pi / 6)
        return [
            (far * math.cos(k * math.pi / 3), far * math.sin(k * math.pi / 3)) for k in range(6)
        ]

    brought = made(drawn([], [ring(400.0), ring(350.0)]))
    assert lengths(brought) == {round(2 * 375.0 * math.tan(math.pi / 6), 3): 6}
    assert brought.plates == 0


def test_a_sheet_with_an_opening_that_is_not_as_wide_on_every_side_stays_a_sheet() -> None:
    rings = [rectangle(0.0, 0.0, 800.0, 600.0), rectangle(50.0, 50.0, 750.0, 540.0)]
    brought = made(drawn([], rings))
    assert (brought.plates, brought.members, brought.holes, brought.unlike) == (1, 0, 1, 1)


def test_windows_between_members_that_share_their_lines_are_no_plates() -> None:
    """Two rails and three rungs, each line drawn from corner to corner."""
    xs = [0.0, 50.0, 400.0, 450.0, 800.0, 850.0]
    lines: list[list[Point]] = []
    for y in (50.0, 350.0):
        lines += [[(a, y), (b, y)] for a, b in pairwise(xs)]
    for y in (0.0, 400.0):
        lines.append([(0.0, y), (850.0, y)])
    lines += [[(x, y), (x, y + 50.0)] for x in (0.0, 850.0) for y in (0.0, 350.0)]
    lines += [[(x, 50.0), (x, 350.0)] for x in xs]
    drawing = drawn(lines)
    assert made(drawing, section=None).plates == 7  # with both windows
    brought = made(drawing)
    assert lengths(brought) == {850.0: 2, 300.0: 3}
    assert brought.plates == 0


def test_a_panel_drawn_as_one_outline_stays_between_the_members() -> None:
    frame = [
        rectangle(0.0, 0.0, 800.0, 50.0),
        rectangle(0.0, 550.0, 800.0, 600.0),
        rectangle(0.0, 50.0, 50.0, 550.0),
        rectangle(750.0, 50.0, 800.0, 550.0),
    ]
    panel = rectangle(50.0, 50.0, 750.0, 550.0)
    brought = made(drawn([], [*frame, panel]))
    assert (brought.members, brought.plates) == (4, 1)


def test_a_loop_beside_the_frame_and_one_on_one_bar_only_stay_plates() -> None:
    triangle = sides([(2000.0, 0.0), (2300.0, 0.0), (2000.0, 200.0)])
    bracket = sides(rectangle(2000.0, 1000.0, 2400.0, 1300.0))
    above = [[(2000.0, 1350.0), (2400.0, 1350.0)]]
    brought = made(drawn([*BUTTED, *triangle, *bracket, *above]))
    assert lengths(brought) == {800.0: 2, 500.0: 2}
    assert (brought.plates, brought.unlike) == (2, 2)


def test_bars_fall_away_with_the_loop_that_stays() -> None:
    """The inner of three loops would be a frame with the middle one, which stays."""
    middle = [*rectangle(50.0, 50.0, 750.0, 550.0)[:3], (400.0, 620.0), (50.0, 550.0)]
    rings = [rectangle(0.0, 0.0, 800.0, 700.0), middle, rectangle(100.0, 100.0, 700.0, 500.0)]
    brought = made(drawn([side for ring in rings for side in sides(ring)]))
    assert brought.members == 0
    assert brought.plates == 2


def test_the_section_is_guessed_from_such_a_frame_too() -> None:
    guess = guess_section(drawn(BUTTED), ["0"], sections())
    assert guess is not None
    assert guess.section.width == 50
    assert guess.fits == 4


def test_loops_with_too_many_corners_or_among_too_many_lines_are_left_alone() -> None:
    round_ring = tuple(
        (500 * math.cos(k * 2 * math.pi / 80), 500 * math.sin(k * 2 * math.pi / 80))
        for k in range(80)
    )
    assert MOST_CORNERS < 80
    assert side_bars([round_ring], [[(-100.0, 550.0), (100.0, 550.0)]], 0.1) == ()
    ring = tuple(rectangle(0.0, 0.0, 1000.0, 400.0))
    line = [[(0.0, -50.0), (1000.0, -50.0)]]
    assert len(side_bars([ring], line, 0.1)) == 1
    many = [[(0.0, -50.0 - k), (1000.0, -50.0 - k)] for k in range(MOST_LINES)]
    assert side_bars([ring], many, 0.1) == ()
