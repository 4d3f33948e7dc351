"""Contacts between parts: where they meet, and which overlap."""

import math
from itertools import combinations, product

import pytest
from msgspec import structs

from gridjig.contact import weldment
from gridjig.contact.overlap import Overlap, overlap
from gridjig.contact.shapes import PlacedPart
from gridjig.contact.weldment import MOST_PAIRS, overlaps_left_out, part_contacts, part_overlaps
from gridjig.edits import starters
from gridjig.files.library.sections import find_section
from gridjig.geometry.part_solids import PartFace
from gridjig.model import EndCut, Job, Part, Plate
from gridjig.solve.weldment.joints import joints
from tests.solve.weldments import ANGLE, PIPE, TUBE, bar, coped, frame
from tests.trials.keyed import KEYED
from tests.workshop import plate


def lapped(*parts: Part) -> list[tuple[str, str]]:
    return [(one.a, one.b) for one in part_overlaps(parts)]


@pytest.mark.source("method", "arithmetic: a butted frame, 40 mm tube")
def test_a_butted_frame_meets_at_four_faces() -> None:
    found = part_contacts(frame())
    assert [(c.a, c.b) for c in found] == [
        ("front", "left"),
        ("front", "right"),
        ("back", "left"),
        ("back", "right"),
    ]
    for contact in found:
        assert contact.kind == "face on face"
        assert contact.gap == pytest.approx(0.0, abs=1e-9)
        assert contact.length == pytest.approx(40.0)
        assert (contact.z_low, contact.z_high) == (0.0, 40.0)
    first = found[0]
    assert (first.face_a, first.face_b) == (PartFace("side", 2), PartFace("side", 3))
    assert first.normal == pytest.approx((0.0, 1.0, 0.0))
    assert sorted(p[0] for p in first.points) == pytest.approx([100.0, 140.0])
    assert lapped(*frame()) == []
    assert part_contacts(()) == ()
    assert part_overlaps(()) == ()


@pytest.mark.source("method", "arithmetic")
def test_one_on_the_other() -> None:
    low, high = bar("low", 0, 0, 300), bar("high", 100, -50, 200, 90, 40.0)
    (contact,) = part_contacts((low, high))
    assert contact.kind == "on top"
    assert (contact.face_a, contact.face_b) == (PartFace("top"), PartFace("bottom"))
    assert contact.normal == (0.0, 0.0, 1.0)
    (turned,) = part_contacts((high, low))
    assert turned.normal == (0.0, 0.0, -1.0)
    assert turned.face_a == PartFace("bottom")
    assert lapped(low, high) == []
    (sunk,) = part_overlaps((low, structs.replace(high, z_low=38.0)))
    assert sunk.height == pytest.approx(2.0)
    assert 28.0 < sunk.depth < 40.0  # both are rounded there


@pytest.mark.source(
    "method", "arithmetic: a plate that lies 10 mm through a rail, a lug 25.4 mm in an upright"
)
def test_a_plate_through_a_rail_and_a_lug_in_an_upright() -> None:
    rail = bar("rail", 0, 0, 400)
    through = plate("through", 100, -80, 10, 200)
    (one,) = part_overlaps((rail, through))
    assert (one.a, one.b) == ("rail", "through")
    assert one.depth == pytest.approx(10.0)
    assert one.area == pytest.approx(400.0)
    assert one.height == pytest.approx(6.0)
    lug = plate("lug", 100, 20 - 25.4, 50, 100)
    (two,) = part_overlaps((rail, lug))
    assert two.depth == pytest.approx(25.4)
    against = plate("lug", 100, 20, 50, 100)
    assert lapped(rail, against) == []
    assert lapped(rail, plate("lug", 100, 20 - 0.04, 50, 100)) == []


@pytest.mark.source("method", "trials, keyed as drawn: butted, mitred, coped to a leg, stacked")
@pytest.mark.parametrize("trial", sorted(KEYED))
def test_what_is_trimmed_lies_in_nothing(trial: str) -> None:
    job = KEYED[trial]()
    assert len(part_contacts(job.parts)) >= 2
    assert part_overlaps(job.parts) == ()


@pytest.mark.source("method", "a mitred pair by plane geometry")
def test_a_mitre_meets_along_its_diagonal() -> None:
    mitre = EndCut("mitre", -45.0)  # the long point of both is on the right, outside
    one = bar("one", 0, 0, 300, end=mitre)
    other = bar("other", 300, 0, 200, 90, start=mitre)
    (found,) = part_contacts((one, other))
    assert found.length == pytest.approx(40.0 * math.sqrt(2.0))
    assert found.normal == pytest.approx((math.sqrt(0.5), math.sqrt(0.5), 0.0))
    assert lapped(one, other) == []
    whole = bar("one", 0, 0, 320), bar("other", 300, -20, 200, 90)
    assert lapped(*whole) == [("one", "other")]


@pytest.mark.source("method", "a branch coped to the pipe that it meets")
@pytest.mark.parametrize("angle", [0.0, 30.0])
def test_a_coped_end_fits_and_an_uncoped_one_does_not(angle: float) -> None:
    main, branch = coped(76.1, 300.0, angle)
    assert lapped(main, branch) == []
    assert [c.kind for c in part_contacts((main, branch))] == ["face on face"]
    longer = structs.replace(branch, x=branch.x, y=branch.y - 10.0)
    assert lapped(main, longer) == [("main", "branch")]


@pytest.mark.source("method", "arithmetic: a notch of 40 x 20 takes what the other bar needs")
def test_a_notch_lets_the_other_in() -> None:
    notch = EndCut("notch", along=40.0, across=20.0, side="left")
    notched = bar("one", 0, 0, 300, end=notch)
    other = bar("other", 280, 0, 200, 90)
    assert lapped(notched, other) == []
    assert lapped(structs.replace(notched, end=EndCut()), other) == [("one", "other")]


@pytest.mark.source("method", "arithmetic: a 34 mm bar in the 34 mm hollow of a 40 x 3 tube")
def test_a_bar_pushed_into_a_tube_is_clear_of_its_wall() -> None:
    tube = bar("tube", 0, 0, 300)
    rod = structs.replace(TUBE, width=34.0, height=34.0)
    assert lapped(tube, bar("rod", 200, 0, 300, z=3.0, section=rod)) == []
    assert lapped(bar("rod", 200, 0, 300, z=3.0, section=rod), tube) == []
    assert lapped(tube, bar("rod", 200, 0, 300, z=4.0, section=rod)) == [("tube", "rod")]
    pipe = bar("pipe", 0, 0, 300, section=PIPE)
    inner = structs.replace(PIPE, width=50.0, height=50.0)
    assert lapped(pipe, bar("in", 200, 0, 300, z=5.15, section=inner)) == []
    assert lapped(pipe, bar("in", 200, 2.0, 300, z=5.15, section=inner)) == [("pipe", "in")]


@pytest.mark.source(
    "method", "plane geometry: what lies in the open of an angle is clear of both legs"
)
def test_a_plate_in_the_open_of_an_angle() -> None:
    angle = bar("angle", 0, 0, 300, section=ANGLE)
    on_leg = structs.replace(plate("p", 50, -20 + 1e-6, 60, 40), z_low=5.0, z_high=11.0)
    assert lapped(angle, on_leg) == []
    in_leg = structs.replace(on_leg, z_low=2.0)
    assert lapped(angle, in_leg) == [("angle", "p")]


@pytest.mark.source(
    "method", "plane geometry: two pipes of radius r side by side are 2r apart, at any height"
)
def test_two_pipes_that_touch_on_a_slope() -> None:
    r = PIPE.width / 2
    low = bar("low", 0, 0, 300, section=PIPE)
    for slope in (0.0, 20.0, 45.0, 70.0):
        c, s = math.cos(math.radians(slope)), math.sin(math.radians(slope))
        clear = bar("up", 0, (2 * r + 0.1) * c, 300, z=(2 * r + 0.1) * s, section=PIPE)
        assert lapped(low, clear) == []
        into = bar("up", 0, (2 * r - 2.0) * c, 300, z=(2 * r - 2.0) * s, section=PIPE)
        assert lapped(low, into) == [("low", "up")], slope


@pytest.mark.source("method", "the standard weldments, as they are put down, with every choice")
@pytest.mark.parametrize("shape", starters.STARTERS, ids=lambda shape: str(shape.key))
def test_a_standard_weldment_lies_in_nothing(shape: starters.Starter) -> None:
    stock = {one.key: section for one in shape.stock if (section := find_section(one.metric))}
    every = list(product(*(choice.options for choice in shape.choices)))
    assert every
    for options in every:
        chosen = dict(zip((choice.key for choice in shape.choices), options, strict=True))
        parts = starters.build(shape, stock, None, chosen)
        assert part_contacts(parts), chosen
        assert lapped(*parts) == [], chosen


@pytest.mark.source("method", "the joints of the same parts")
@pytest.mark.parametrize("trial", sorted(KEYED))
def test_every_joint_has_its_contact(trial: str) -> None:
    job: Job = KEYED[trial]()
    found = part_contacts(job.parts)
    known = joints(job.parts)
    assert {c.joint for c in found} == {j.id for j in known if j.kind != "overlap"}
    for joint in known:
        if joint.kind == "edge":
            bits = [c for c in found if c.joint == joint.id]
            assert sum(c.length for c in bits) == pytest.approx(joint.length, abs=0.2)


def test_a_seam_round_a_corner_is_one_contact_a_side() -> None:
    """A plate set into the corner of another one: two sides, each with its own normal."""
    corner = Plate(
        id="l", name="l", corners=((0, 0), (200, 0), (200, 50), (50, 50), (50, 200), (0, 200))
    )
    into = plate("p", 50, 50, 100, 100)
    found = part_contacts((corner, structs.replace(into, z_high=50.0)))
    assert sorted((c.face_a.number, round(c.length)) for c in found if c.face_a) == [
        (2, 100),
        (3, 100),
    ]
    normals = sorted(tuple(round(v) for v in c.normal) for c in found if c.normal)
    assert normals == [(0, 1, 0), (1, 0, 0)]


@pytest.mark.source("method", "every pair, one by one")
@pytest.mark.parametrize("most", [3, 14, 15, 100])
def test_of_many_parts_in_one_place_only_so_many_pairs_are_measured(
    monkeypatch: pytest.MonkeyPatch, most: int
) -> None:
    """The first ones in part order; a part beside them, whose box they are in, is not counted."""
    heap = [bar(f"bar-{k}", 0.1 * k, 0, 500) for k in range(6)]
    across = bar("across", 100, -180, 500, turn=135)
    parts = (across, *heap)
    every = [(a.id, b.id) for a, b in combinations(parts, 2) if lapped(a, b)]
    assert len(every) == 15
    monkeypatch.setattr("gridjig.contact.weldment.MOST_PAIRS", most)
    assert lapped(*parts) == every[:most]
    assert overlaps_left_out(parts) is (most < 15)


def test_a_thousand_parts_in_one_place_take_no_longer_than_the_limit_allows(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    measured = 0

    def counted(a: PlacedPart, b: PlacedPart) -> Overlap | None:
        nonlocal measured
        measured += 1
        return overlap(a, b)

    monkeypatch.setattr(weldment, "overlap", counted)
    parts = tuple(bar(f"bar-{k}", 0.001 * k, 0, 500) for k in range(1000))
    assert len(part_overlaps(parts)) == measured == MOST_PAIRS
    assert overlaps_left_out(parts)
