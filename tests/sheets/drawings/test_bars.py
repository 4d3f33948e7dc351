import pytest
from msgspec import structs
from shapely import LineString, Polygon

from gridjig.edits.members import between
from gridjig.geometry.display import Polyline, TextLabel
from gridjig.geometry.part_outline import part_ring
from gridjig.model import EndCut, Member, Section, WayUp
from gridjig.sheets.drawings.bars import bar_name, bar_shapes
from gridjig.sheets.drawings.plan import draw_part

TUBE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3)
ANGLE = Section(name="50x30x5", kind="angle", width=50, height=30, wall=5)
CHANNEL = Section(name="c", kind="channel", width=40, height=80, wall=5, flange=7)
FLAT = Section(name="50x6", kind="flat", width=50, height=6)
PIPE = Section(name="p", kind="round tube", width=60, height=60, wall=4)
BAR = Section(name="r", kind="round bar", width=20, height=20)


def bar(section: Section, **fields: object) -> Member:
    return structs.replace(between("a", "rail", section, (0, 0), (400, 0)), **fields)


def walls(member: Member) -> list[float]:
    """Where hidden lines lie, mm left of the centre line."""
    lines = [s for s in bar_shapes(member) if isinstance(s, Polyline) and s.role == "hidden"]
    return [line.points[0][1] for line in lines]


def test_a_member_has_a_chain_line_beyond_both_ends() -> None:
    (centre,) = [s for s in bar_shapes(bar(FLAT)) if isinstance(s, Polyline)]
    assert centre.role == "centre"
    assert centre.points == ((-12.5, 0), (412.5, 0))


@pytest.mark.parametrize(
    ("section", "way_up", "mirrored", "lie"),
    [
        (TUBE, 0, False, [22, -22]),
        (PIPE, 0, False, [26, -26]),
        (FLAT, 0, False, []),
        (BAR, 0, False, []),
        # At 0 an angle's other leg stands on its right; at 90 its heel is below on the left.
        (ANGLE, 0, False, [-20]),
        (ANGLE, 0, True, [20]),
        (ANGLE, 90, False, [10]),
        (ANGLE, 180, False, [20]),
        (ANGLE, 270, False, [-10]),
        # A channel's web stands on its right at 0; at 90 it lies on its web, both flanges stand.
        (CHANNEL, 0, False, [-15]),
        (CHANNEL, 0, True, [15]),
        (CHANNEL, 180, False, [15]),
        (CHANNEL, 90, False, [33, -33]),
    ],
)
def test_hidden_lines_show_the_inner_faces(
    section: Section, way_up: WayUp, mirrored: bool, lie: list[float]
) -> None:
    assert walls(bar(section, way_up=way_up, mirrored=mirrored)) == lie


@pytest.mark.source("library", "shapely 2.2", "boundary")
def test_hidden_lines_end_at_the_cuts() -> None:
    for member in (
        bar(TUBE, start=EndCut("mitre", 30), end=EndCut("mitre", -45), x=30.0, turn=37.5),
        bar(TUBE, start=EndCut("notch", 0, 0, 30, 10), end=EndCut("mitre", 20)),
    ):
        ring = Polygon(part_ring(member))
        _, *hidden = bar_shapes(member)
        assert len(hidden) == 2  # the inner faces of the two walls
        for shape in hidden:
            assert isinstance(shape, Polyline)
            assert ring.buffer(1e-6).covers(LineString(shape.points))
            for p in shape.points:
                assert ring.exterior.distance(LineString([p, p])) < 1e-6


@pytest.mark.parametrize(
    ("turn", "written"),
    [(0, 0), (30, 30), (90, 90), (120, -60), (180, 0), (-90, 90), (-30, -30), (-135, 45)],
)
def test_a_name_is_written_along_it_and_reads_from_the_front_or_the_right(
    turn: float, written: float
) -> None:
    (name,) = bar_name(bar(TUBE, turn=float(turn)))
    assert isinstance(name, TextLabel)
    assert name.turn == pytest.approx(written)
    assert bar_name(bar(TUBE, name="")) == []


def test_the_plan_shows_a_member_as_one() -> None:
    roles = [s.role for s in draw_part(bar(TUBE)) if isinstance(s, Polyline)]
    assert roles == ["work", "centre", "hidden", "hidden"]
