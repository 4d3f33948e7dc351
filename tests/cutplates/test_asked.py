"""Where the edges of a cut plate lie on the work: a face, and round its free end."""

import math

import pytest
import shapely
from msgspec import structs

from gridjig.cutplates.asked import PlateOptions, edges_for, for_angle
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import FaceOf, Job
from gridjig.solve.angles.answers import AngleLimits
from gridjig.solve.angles.wanted import read_wanted
from gridjig.units import INCH
from tests.stock import bar
from tests.workshop import EMPTY, laid, plate

BAR = bar(x=300.0, y=400.0, length=400.0)
FREE = laid(BAR)
OF = FaceOf("bar", 0)


def joined(*ends: str) -> Job:
    """The bar with a post against its end, its start or both."""
    posts = {
        "end": bar(id="end", x=700.0 + BAR.width / 2, y=300.0, turn=90.0, length=200.0),
        "start": bar(id="start", x=300.0 - BAR.width / 2, y=300.0, turn=90.0, length=200.0),
    }
    return laid(BAR, *(posts[end] for end in ends))


def test_a_face_alone_is_one_edge_along_it() -> None:
    (edge,), main, name = edges_for(FREE, OF, "face")
    assert main == 0
    assert name.startswith("Cut plate for ")
    assert {edge.a[1], edge.b[1]} == {edge.a[1]}
    assert math.dist(edge.a, edge.b) <= 400.0


@pytest.mark.parametrize("ends", [("end",), ("start",), ()])
def test_round_a_free_end_there_are_two_edges_at_a_right_angle(ends: tuple[str, ...]) -> None:
    edges, index, _ = edges_for(joined(*ends), OF, "face and end")
    assert len(edges) == 2
    (ax, ay), (bx, by) = (one.along for one in edges)
    assert ax * bx + ay * by == pytest.approx(0.0, abs=1e-9)
    assert math.dist(edges[0].b, edges[1].a) == pytest.approx(0.0, abs=1e-9)
    corner = {"end": 300.0, "start": 700.0}.get(ends[0] if ends else "", edges[0].b[0])
    assert edges[0].b[0] == pytest.approx(corner)
    assert index in (0, 1)


@pytest.mark.parametrize("ends", [("end",), ("start",)])
def test_round_a_free_end_and_back_there_are_three(ends: tuple[str, ...]) -> None:
    edges, index, _ = edges_for(joined(*ends), OF, "end and both faces")
    assert len(edges) == 3
    assert index in (0, 2)
    first, last = edges[0].along, edges[2].along
    assert first[0] * last[0] + first[1] * last[1] == pytest.approx(-1.0)
    for one, other in ((edges[0], edges[1]), (edges[1], edges[2])):
        assert math.dist(one.b, other.a) == pytest.approx(0.0, abs=1e-9)
    assert sum(one.clear > 0.0 for one in edges) == 1


def test_between_two_joints_no_plate_goes_round_an_end() -> None:
    with pytest.raises(ValueError, match="Both ends of this member are joined"):
        edges_for(joined("end", "start"), OF, "face and end")


def test_a_side_that_is_not_there_is_refused() -> None:
    with pytest.raises(ValueError, match="not straight; choose another"):
        edges_for(FREE, FaceOf("bar", 9), "face")


def test_a_plate_round_a_part_needs_two_sides_that_are_parallel() -> None:
    corners = ((0.0, 0.0), (200.0, 0.0), (200.0, 60.0), (0.0, 120.0))
    wedge = laid(structs.replace(plate("wedge", 300, 300), corners=corners))
    with pytest.raises(ValueError, match="not parallel; choose its face and end"):
        edges_for(wedge, FaceOf("wedge", 0), "end and both faces")


def test_a_face_with_too_little_room_is_refused() -> None:
    short = laid(bar(x=300.0, y=400.0, length=9.0))
    with pytest.raises(ValueError, match="too little of this face"):
        edges_for(short, OF, "face")


def test_an_angle_has_a_plate_whatever_kinds_of_answer_were_asked_for() -> None:
    """Its letters keep a distance from the slots, at which the block would begin."""
    table = ready_tables()["48x48-5/8"]
    job = structs.replace(EMPTY, name="New job", table=table, rack=rack_for(table))
    wanted = read_wanted("37.5", unit="inch fractions")
    limits = AngleLimits(ways=("pins",), angle_class="A")
    options = PlateOptions(thickness=INCH / 4.0, upright=3.0 * INCH, relief=3.0 * INCH / 16.0)
    design = for_angle(job, wanted, limits, options)
    ux, uy = design.wanted.edge.along
    assert math.degrees(math.atan2(uy, ux)) % 180.0 == pytest.approx(37.5)
    slots = [shapely.Polygon(slot.points) for slot in design.slots]
    lines = [shapely.LineString(line) for line in design.engraving.lines]
    assert len(slots) == 2
    assert len(lines) > 40
    assert min(line.distance(slot) for line in lines for slot in slots) > 1.0
