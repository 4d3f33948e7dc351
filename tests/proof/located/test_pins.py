"""Plates between round pins: what locates them, compared with moving them with shapely."""

import math
import random

import pytest
import shapely
import shapely.affinity
from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.model import Drilled, Hole, Job, Plate
from gridjig.proof.located.findings import located_findings
from gridjig.proof.located.report import located
from gridjig.proof.located.values import Located, LocatedReport
from gridjig.rack import Point
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.blocks import END, LEFT, PINS, Block, block
from tests.workshop import TABLE, laid, pin

RADIUS = 15.0
"""Of the pins of the workshop."""


def report_of(job: Job) -> LocatedReport:
    placed = PlacedPieces().of(job)
    return located(job, placed, contacts(job, placed))


def held_in(lines: list[tuple[Point, float]]) -> list[Point]:
    """The corners of a polygon from its sides in order: outward angle n, at n.x = d."""
    corners = []
    for (n, d), (m, e) in zip(lines, [*lines[1:], lines[0]], strict=True):
        det = n[0] * m[1] - n[1] * m[0]
        corners.append(((d * m[1] - e * n[1]) / det, (n[0] * e - m[0] * d) / det))
    return corners


def about(pins: list[Hole], normals: list[Point]) -> Plate:
    """A plate whose sides, with these outward normals, touch pins outside it."""
    lines = []
    for hole, (nx, ny) in zip(pins, normals, strict=True):
        x, y = TABLE.at(hole)
        lines.append(((nx, ny), nx * x + ny * y - RADIUS))
    return Plate(id="plate", name="Plate", corners=tuple(held_in(lines)), z_low=0.0, z_high=6.0)


def proved(plate: Plate, holes: list[Hole]) -> tuple[Located, Job]:
    pins = [pin(f"pin-{k}", hole.col, hole.row) for k, hole in enumerate(holes)]
    job = laid(plate, *pins)
    (one,) = report_of(job).parts
    return one, job


CENTRE = (500.0, 450.0)
AROUND = [Hole(9, 4), Hole(14, 10), Hole(4, 10)]
"""Holes at (500, 250), (750, 550) and (250, 550)."""


def test_three_pins_that_point_at_one_place_do_not_locate_the_angle() -> None:
    normals = []
    for hole in AROUND:
        x, y = TABLE.at(hole)
        far = math.dist((x, y), CENTRE)
        normals.append(((x - CENTRE[0]) / far, (y - CENTRE[1]) / far))
    one, job = proved(about(AROUND, normals), AROUND)
    assert one.located == "cannot leave"
    assert one.kappa is not None
    assert one.motion is not None
    assert one.motion.centre == pytest.approx(CENTRE, abs=0.01)
    assert one.motion.by == pytest.approx(math.degrees(math.acos(1.0 - 0.1 / one.kappa)))
    (said,) = [f for f in located_findings(job, report_of(job)) if f.id.startswith("loose/")]
    assert (said.kind, said.level, said.unit) == ("loose", "look", "deg")
    assert "cannot leave, but its angle is not located" in said.what


@pytest.mark.source("library", "shapely 2", "the plate moved between the pins, overlaps measured")
@pytest.mark.untraced
def test_what_is_loose_moves_and_what_is_located_does_not_turn_freely() -> None:
    """Triangles between three pins: where the lines of the pins meet in one point or not."""
    rng = random.Random(5)
    seen: set[str] = set()
    while len(seen) < 2 or rng.random() > 0.08:
        x, y = (rng.uniform(440, 560) for _ in range(2))
        meet = rng.random() < 0.5
        normals = []
        for hole in AROUND:
            hx, hy = TABLE.at(hole)
            turn = math.atan2(hy - y, hx - x) + (0.0 if meet else rng.uniform(0.1, 0.3))
            normals.append((math.cos(turn), math.sin(turn)))
        plate = about(AROUND, normals)
        one, _ = proved(plate, AROUND)
        if len(one.contacts) < 3:
            continue  # a pin beside the end of its side
        seen.add(one.located)
        assert one.located == ("cannot leave" if meet else "located")
        ring = shapely.Polygon(plate.corners)
        pins = [shapely.Point(TABLE.at(hole)) for hole in AROUND]
        centre = (one.motion.centre if one.motion is not None else None) or CENTRE
        gaps = []
        for degrees in (-0.2, 0.2):
            turned = shapely.affinity.rotate(ring, degrees, origin=centre)
            gaps.append(min(turned.distance(p) - RADIUS for p in pins))
        if meet:  # less than a thousandth of what a turn by 0.2 degrees moves 200 mm away
            assert min(gaps) > -0.002
        else:
            assert min(gaps) < -0.02
    assert seen == {"cannot leave", "located"}


def test_three_pins_locate_a_block() -> None:
    found = Block(block(), *PINS).located
    assert (found.located, found.spare, found.motion) == ("located", (), None)
    assert found.contacts == ("left", "right", "end")
    assert found.carried.how == "table"


@pytest.mark.source("method", "by hand: about where the line of the pin meets that of the end pin")
def test_two_pins_let_it_turn_about_where_their_lines_meet() -> None:
    found = Block(block(), LEFT, END).located
    assert found.located == "loose"
    assert found.motion is not None
    assert found.motion.kind == "turn"
    assert found.motion.centre == pytest.approx((250.0, 300.0))


@pytest.mark.parametrize(
    ("pins", "kind", "words"),
    [
        ((LEFT, END), "turn", "can turn: nothing holds its angle"),
        (PINS[:2], "slide", "can slide to the left and right"),
        ((LEFT,), "free", "can slide and turn: only locating pin touches it"),
        ((pin("away", 1, 1),), "free", "Nothing locates Block: no stop stands against it"),
    ],
)
def test_each_way_to_be_loose_has_its_sentence(
    pins: tuple[object, ...], kind: str, words: str
) -> None:
    found = Block(block(), *pins)  # type: ignore[arg-type]
    assert found.located.motion is not None
    assert found.located.motion.kind == kind
    said = [one.what for one in located_findings(found.job, report_of(found.job))]
    assert any(words in one for one in said), said


def test_a_pin_near_by_is_how_far_it_goes() -> None:
    """A pin whose side is 5 mm from the right end, and the end pin: it slides 5 mm."""
    found = Block(block(width=315.0), *PINS[:2], pin("near", 10, 5), pin("end", 3, 5))
    assert found.located.located == "located"
    loose = Block(
        structs.replace(block(width=312.0), x=217.0), *PINS[:2], pin("near", 10, 5), END
    ).located
    assert loose.motion is not None
    assert loose.motion.kind == "slide"
    assert loose.motion.by == pytest.approx(8.0)


def test_a_pin_that_fills_a_hole_leaves_only_a_turn() -> None:
    holes = (Drilled((35.0, 35.0), 30.0),)
    plate = structs.replace(block(), holes=holes, x=215.0, y=215.0)
    alone = Block(plate, pin("in", 4, 4)).located
    assert alone.located == "loose"
    assert alone.motion is not None
    assert alone.motion.kind == "turn"
    assert alone.motion.centre == pytest.approx((250.0, 250.0))
    held = Block(plate, pin("in", 4, 4), pin("under", 8, 3)).located
    assert held.located == "located"


def test_pins_that_fill_two_holes_face_nothing() -> None:
    """Each holds both ways, whatever size the plate is."""
    holes = (Drilled((35.0, 35.0), 30.0), Drilled((235.0, 35.0), 30.0))
    plate = structs.replace(block(), holes=holes, x=215.0, y=215.0)
    held = Block(plate, pin("one", 4, 4), pin("two", 8, 4)).located
    assert set(held.contacts) == {"one", "two"}
    assert held.motion is None
    assert held.between == ()


def test_a_block_between_two_pins_that_face_each_other_has_to_be_of_that_size() -> None:
    """120 mm deep it fills the room between them; with both pins in front of it, any depth will."""
    behind = pin("behind", 8, 7)
    found = Block(block(depth=120.0), LEFT, behind, END)
    assert found.located.located == "located"
    assert set(found.located.between) == {"left", "behind"}
    said = {f.id: f for f in located_findings(found.job, report_of(found.job))}
    one = said["between/block"]
    assert (one.kind, one.level) == ("over-located", "look")
    assert one.what.startswith("Block is located between locating pin at E5 and locating")
    assert Block(block(depth=120.0), *PINS).located.between == ()


def test_a_gap_that_the_shop_accepts_counts_as_touching() -> None:
    """1 mm in front of the pin at the right end: loose, unless that is left open on purpose."""
    near, wide = pin("near", 10, 5), structs.replace(block(width=317.0), x=217.0)
    open_gap = Block(wide, *PINS[:2], near).located
    assert (open_gap.located, len(open_gap.contacts)) == ("loose", 2)
    accepted = Block(wide, *PINS[:2], structs.replace(near, accepted_gap=1.0)).located
    assert accepted.located == "located"
    assert accepted.contacts == ("left", "right", "near")


def triangular_frame(inside: bool) -> Job:
    """Three plates mitred to a triangle about CENTRE, with the pins in it or around it."""
    lines = []
    for hole in AROUND:
        x, y = TABLE.at(hole)
        far = math.dist((x, y), CENTRE)
        nx, ny = (x - CENTRE[0]) / far, (y - CENTRE[1]) / far
        lines.append(((nx, ny), nx * x + ny * y + (RADIUS if inside else -RADIUS)))
    deep = 40.0 if inside else -40.0
    near = held_in(lines)
    far_off = held_in([(n, d + deep) for n, d in lines])
    inner, outer = (near, far_off) if inside else (far_off, near)
    bars = [
        Plate(
            id=f"bar-{k}",
            name=f"Bar {k}",
            corners=(outer[k - 1], outer[k], inner[k], inner[k - 1]),
            z_low=0.0,
            z_high=30.0,
        )
        for k in range(3)
    ]
    pins = [pin(f"pin-{k}", hole.col, hole.row) for k, hole in enumerate(AROUND)]
    return laid(*bars, *pins)


@pytest.mark.parametrize(("inside", "said"), [(False, "cannot leave"), (True, "loose")])
@pytest.mark.source("method", "kappa from outside a triangle is positive, from inside negative")
def test_pins_around_a_triangular_frame_hold_it_and_the_same_inside_do_not(
    inside: bool, said: str
) -> None:
    (whole,) = report_of(triangular_frame(inside)).weldments
    assert len(whole.parts) == 3
    assert len(whole.contacts) == 3
    assert whole.located == said
    assert whole.motion is not None
    assert whole.motion.kind == "turn"
    assert whole.motion.centre == pytest.approx(CENTRE, abs=0.01)
    assert (whole.kappa is None) == inside
