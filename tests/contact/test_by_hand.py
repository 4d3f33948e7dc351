"""Contacts worked by hand: flush, a corner radius, a riser, a V, cut ends."""

import math

import pytest
from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.contact.values import TOUCH, Contact, Role
from gridjig.geometry.part_solids import PartFace
from gridjig.model import EndCut, Hole, Member, Plate
from gridjig.rack import Face, Piece, RoundHole, Solid
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import FULL, WITH_TURNING, lay, look, only, turned
from tests.stock import ANGLE, CHANNEL, ROUND, SQUARE, bar
from tests.workshop import BORE, TABLE, box, pin, plate, put, seat

AT = TABLE.at(Hole(11, 9))
FACE = AT[1] + 12.0
"""Where the face of the one-pin stop lies that looks along y; from 0 to 30 mm high."""


def rail(gap: float = 0.0, **more: object) -> Member:
    """A 50 mm tube along x with its front face at a distance from the stop."""
    made = bar(SQUARE, 400, id="rail", name="Rail", x=AT[0] - 200, y=FACE + 25.0 + gap)
    return structs.replace(made, **more)


def at_rail(part: Member | Plate, lift: int = 0) -> Contact:
    stop = structs.replace(turned("s", 11, 9, 0.0), lift=("shim",) * lift)
    return only(look(stop, part), "s")


@pytest.mark.source("method", "arithmetic")
def test_flush() -> None:
    contact = at_rail(rail())
    assert (contact.kind, contact.means, contact.feature) == ("face on face", "touches", "f")
    assert contact.face == PartFace("side", 0)
    assert contact.gap == pytest.approx(0.0, abs=1e-9)
    assert contact.length == pytest.approx(50.0)
    assert (contact.z_low, contact.z_high) == (6.0, 30.0)  # above the corner radius of 6 mm
    assert contact.normal == (0.0, -1.0, 0.0)
    left, right = sorted(contact.points)
    assert left == pytest.approx((AT[0] - 20, FACE))
    assert right == pytest.approx((AT[0] + 30, FACE))


@pytest.mark.source("method", "arithmetic")
@pytest.mark.parametrize(
    ("gap", "means"),
    [
        (1e-6, "touches"),
        (-1e-6, "touches"),
        (TOUCH - 1e-6, "touches"),
        (TOUCH + 1e-6, "gap"),
        (1.0 - 1e-6, "gap"),
        (-TOUCH + 1e-6, "touches"),
        (-TOUCH - 1e-3, "overlap"),
        (-1.0, "overlap"),
        (-20.0, "overlap"),
        (149.0, "gap"),
    ],
)
def test_a_bit_off(gap: float, means: str) -> None:
    contact = at_rail(rail(gap))
    assert contact.means == means
    assert contact.gap == pytest.approx(gap, abs=1e-9)


def test_what_is_beyond_the_search_distance_is_not_listed() -> None:
    found = look(turned("s", 11, 9, 0.0), rail(150.1))
    assert found.pieces["s"].contacts == ()
    assert found.roles["s"].what == "idle"
    assert look(turned("s", 11, 9, 0.0), rail(150.1), within=151.0).roles["s"].what == (
        "blocks nothing"
    )


def test_a_stop_stands_off_by_the_gap_that_is_accepted() -> None:
    """It locates across that gap; where the gap is wider it blocks nothing, as before."""
    stop = structs.replace(turned("s", 11, 9, 0.0), accepted_gap=0.4)
    off = look(stop, rail(0.4))
    assert off.roles["s"] == Role("stands off", ("rail",))
    assert off.idle() == ()
    wider = look(stop, rail(0.5))
    assert wider.roles["s"].what == "blocks nothing"
    assert wider.idle() == ("s",)
    assert look(stop, rail()).roles["s"].what == "locates"
    assert look(stop).roles["s"].what == "idle"
    push = put("c", "push", seat("p", 11, 7), turn=90.0, reach=87.0, accepted_gap=2.0)
    job = lay(push, bar(SQUARE, 400, id="t", x=AT[0] - 200, y=AT[1] + 13.0), rack=FULL)
    found = contacts(job, PlacedPieces().of(job))
    assert min(c.gap for c in found.pieces["c"].contacts) == pytest.approx(1.0)
    assert found.roles["c"].what == "blocks nothing"  # a tip presses, or it does not


@pytest.mark.source("method", "plane geometry: a corner radius r, met a height h below its flat")
def test_only_the_corner_radius_is_met() -> None:
    """The stop ends 2 mm above the tube's underside, where the corner is rounded."""
    contact = at_rail(rail(z_low=28.0))
    recess = 6.0 - math.sqrt(6.0**2 - 4.0**2)
    assert contact.means == "gap"
    assert contact.gap == pytest.approx(recess)
    assert (contact.z_low, contact.z_high) == (30.0, 30.0)
    nearer = at_rail(rail(-recess, z_low=28.0))
    assert nearer.means == "radius"
    assert not nearer.touches
    assert nearer.gap == pytest.approx(0.0, abs=1e-9)
    assert at_rail(rail(-recess - 0.2, z_low=28.0)).means == "overlap"


@pytest.mark.source("method", "arithmetic: the flat begins 6 mm above the underside")
def test_the_flat_begins_where_the_radius_ends() -> None:
    assert at_rail(rail(z_low=24.0)).means == "touches"
    assert at_rail(rail(z_low=24.0 + 1e-6)).means == "radius"  # by a nanometre
    assert look(turned("s", 11, 9, 0.0), rail(z_low=30.0)).pieces["s"].contacts == ()


@pytest.mark.source("method", "plane geometry: a chord of a circle")
def test_a_low_stop_meets_a_pipe_below_its_middle() -> None:
    pipe = structs.replace(rail(), section=structs.replace(ROUND, width=100.0, height=100.0))
    out = 50.0 - math.sqrt(50.0**2 - 20.0**2)  # at 30 mm of 100
    off = structs.replace(pipe, y=FACE + 50.0)
    assert at_rail(off).gap == pytest.approx(out)
    under = structs.replace(pipe, y=FACE + 50.0 - out)
    assert at_rail(under).means == "radius"
    high = at_rail(structs.replace(off, z_low=-20.0))  # its middle is at 30 mm
    assert (high.means, high.z_low, high.z_high) == ("touches", 30.0, 30.0)


@pytest.mark.source("method", "arithmetic")
def test_the_measured_size_counts() -> None:
    assert at_rail(rail(measured=(49.0, 50.0))).gap == pytest.approx(0.5)


@pytest.mark.source("method", "arithmetic: a tube at the height of the riser's top")
def test_a_tube_on_a_riser() -> None:
    riser = put("r", "riser", seat("p", 11, 9))
    tube = bar(SQUARE, 400, id="rail", x=AT[0] - 200, y=AT[1], z_low=50.0)
    contact = only(look(riser, tube), "r")
    assert (contact.kind, contact.means, contact.gap) == ("rest under", "touches", 0.0)
    assert contact.face == PartFace("bottom")
    assert contact.normal == (0.0, 0.0, -1.0)
    assert contact.length == pytest.approx(36.0)
    (point,) = contact.points
    assert point == pytest.approx(AT)
    assert look(riser, tube).roles["r"].what == "carries"
    above = only(look(riser, structs.replace(tube, z_low=53.0)), "r")
    assert above.means == "gap"
    assert above.gap == pytest.approx(3.0)
    within = only(look(riser, structs.replace(tube, z_low=49.0)), "r")
    assert within.means == "overlap"
    assert within.gap == pytest.approx(-1.0)


@pytest.mark.source(
    "method", "plane geometry: the flat of the underside is the width less both radii"
)
def test_a_riser_under_the_edge_of_a_tube_meets_its_radius_only() -> None:
    riser = put("r", "riser", seat("p", 11, 9))  # its rest has a radius of 18 mm
    tube = bar(SQUARE, 400, id="rail", x=AT[0] - 200, y=AT[1] + 18.0 + 19.0 - 0.5, z_low=50.0)
    assert only(look(riser, tube), "r").means == "touches"
    farther = structs.replace(tube, y=tube.y + 1.0)
    assert only(look(riser, farther), "r").means == "radius"
    clear = structs.replace(tube, y=tube.y + 7.0)
    assert look(riser, clear).pieces["r"].contacts == ()


V = Piece(
    id="v",
    name="V-block",
    kind="V-block",
    solids=(Solid(((-40, -30), (40, -30), (40, 30), (0, -10), (-40, 30)), 0, 30),),
    mounts=(RoundHole("h1", (-25, -20), BORE), RoundHole("h2", (25, -20), BORE)),
    faces=(Face("right", (40, 30), (0, -10), 0, 30), Face("left", (0, -10), (-40, 30), 0, 30)),
    takes=("bolt",),
    owned=2,
)


def in_the_v(part: Plate) -> list[Contact]:
    rack = structs.replace(WITH_TURNING, pieces=(*WITH_TURNING.pieces, V))
    job = lay(put("v", "v", seat("h1", 11, 9), seat("h2", 12, 9)), part, rack=rack)
    return list(contacts(job, PlacedPieces().of(job)).pieces["v"].contacts)


@pytest.mark.source(
    "method", "plane geometry: a round of radius r lies r times root 2 above a right V's root"
)
def test_a_round_in_a_v() -> None:
    """A post with a corner every 5 degrees; the faces of the V point to 45 and 135 degrees."""
    r = 20.0
    corners = tuple(
        (r * math.cos(math.radians(a)), r * math.sin(math.radians(a))) for a in range(0, 360, 5)
    )
    root = (AT[0] + 25.0, AT[1] + 20.0 - 10.0)
    post = Plate(id="post", name="post", corners=corners, x=root[0], y=root[1] + r * math.sqrt(2.0))
    found = in_the_v(post)
    assert [c.feature for c in sorted(found, key=lambda c: c.feature)] == ["left", "right"]
    for contact in found:
        assert contact.kind == "V on corner"
        assert contact.gap == pytest.approx(0.0, abs=1e-9)
        assert contact.means == "touches"
    slopes = sorted(round(math.degrees(math.atan2(c.normal[1], c.normal[0]))) for c in found)
    assert slopes == [-135, -45]
    raised = structs.replace(post, y=post.y + 1.0)
    assert [c.gap for c in in_the_v(raised)] == pytest.approx([math.sqrt(0.5)] * 2)


@pytest.mark.source("method", "plane geometry")
def test_a_square_post_in_a_v_lies_on_both_faces() -> None:
    root = (AT[0] + 25.0, AT[1] + 10.0)
    post = Plate(id="post", name="post", corners=box(0, 0, 15, 15), x=root[0], y=root[1], turn=45.0)
    found = in_the_v(post)
    assert [c.kind for c in found] == ["V on face", "V on face"]
    assert [c.length for c in found] == pytest.approx([15.0, 15.0])
    assert {c.face for c in found} == {PartFace("side", 0), PartFace("side", 3)}


@pytest.mark.source("method", "arithmetic: a 45 degree mitre takes the width off the far face")
def test_a_mitred_end_is_met_as_far_as_it_goes() -> None:
    """The right face of the rail is its short one: it begins 50 mm later than the left one."""
    mitre = EndCut("mitre", 45.0)
    short = rail(x=AT[0] - 25.0, start=mitre)  # its right face begins at AT[0]
    contact = at_rail(short)
    assert contact.means == "touches"
    assert contact.length == pytest.approx(30.0)
    long = rail(x=AT[0] + 25.0, start=EndCut("mitre", -45.0))
    assert at_rail(long).length == pytest.approx(30.0)
    assert sorted(p[0] for p in at_rail(long).points) == pytest.approx([AT[0], AT[0] + 30.0])


@pytest.mark.source("method", "plane geometry")
def test_the_cut_face_of_a_mitre_is_a_face_too() -> None:
    part = bar(SQUARE, 300, id="rail", start=EndCut("mitre", 45.0))
    # Its cut runs through its origin at 45 degrees: turned by 45 it faces the front.
    cut = structs.replace(part, x=AT[0], y=FACE, turn=45.0)
    contact = at_rail(cut)
    assert (contact.kind, contact.face, contact.means) == (
        "face on face",
        PartFace("side", 3),
        "touches",
    )
    assert contact.normal[:2] == pytest.approx((0.0, -1.0), abs=1e-12)


@pytest.mark.source("method", "plane geometry: a W that stands on both its points")
def test_two_corners_of_one_part_are_two_contacts() -> None:
    corners = ((-15.0, 0.0), (0.0, 20.0), (15.0, 0.0), (25.0, 40.0), (-25.0, 40.0))
    part = Plate(id="w", name="w", corners=corners, x=AT[0] + 5.0, y=FACE)
    found = look(turned("s", 11, 9, 0.0), part).pieces["s"].contacts
    assert [(c.kind, c.means) for c in found] == [("face on corner", "touches")] * 2
    assert {c.face for c in found} == {PartFace("corner", 0), PartFace("corner", 2)}
    tilted = structs.replace(part, turn=2.0)
    (nearest,) = look(turned("s", 11, 9, 0.0), tilted).pieces["s"].contacts
    assert nearest.face == PartFace("corner", 0)


@pytest.mark.source("method", "plane geometry")
def test_a_notch_lets_a_stop_in() -> None:
    notch = EndCut("notch", along=60.0, across=20.0, side="right")
    part = rail(x=AT[0] - 25.0, start=notch)
    contact = at_rail(part)
    assert contact.means == "gap"
    assert contact.gap == pytest.approx(20.0)
    assert contact.face not in (PartFace("side", k) for k in part.mill_edges)


@pytest.mark.source("method", "plane geometry: legs of an angle 60 x 40 x 5")
def test_a_stop_in_the_hollow_of_an_angle() -> None:
    """Wide leg at the bottom; the stop is over that leg, in front of the upright one."""
    part = Member(
        id="rail", name="Angle", section=ANGLE, length=400, x=AT[0] + 200, y=0.0, turn=180.0
    )  # turned round: its upright leg, on its right, is at the back
    inner = FACE
    part = structs.replace(part, y=inner + 5.0 - 30.0)
    low = look(turned("s", 11, 9, 0.0), part)
    assert [o.b for o in low.overlaps()] == ["rail"]  # the stop overlaps the lower leg
    raised = structs.replace(turned("s", 11, 9, 0.0), lift=("shim",) * 6)
    found = look(raised, part)
    assert list(found.overlaps()) == []
    contact = only(found, "s")
    assert (contact.face, contact.means) == (PartFace("inside", 1), "touches")
    assert (contact.z_low, contact.z_high) == (11.0, 36.0)  # above the fillet


@pytest.mark.source("method", "plane geometry: a channel 55 x 100, flanges 7.5")
def test_a_riser_inside_a_channel() -> None:
    part = Member(id="c", name="c", section=CHANNEL, length=400, x=AT[0] - 200, y=AT[1], z_low=-7.5)
    found = look(put("r", "riser", seat("p", 11, 9)), part)
    assert list(found.overlaps()) == []  # between the flanges, 3 mm off the web
    contact = only(found, "r")
    assert (contact.face, contact.means, contact.gap) == (PartFace("bottom"), "gap", 35.0)
    nearer = look(put("r", "riser", seat("p", 11, 9)), structs.replace(part, y=AT[1] + 5.0))
    (into,) = nearer.overlaps()
    assert into.depth == pytest.approx(2.0, abs=0.1)


@pytest.mark.source("method", "arithmetic")
def test_packing_moves_the_face_and_pins_take_it_too() -> None:
    pin_at = AT[1] + 15.0
    part = plate("plate", AT[0] - 50, pin_at + 4.0)
    packed = structs.replace(pin("p", 11, 9), turn=90.0, packing=("shim",) * 4)
    found = {c.feature: c for c in look(packed, part).pieces["p"].contacts}
    assert found["packing"].means == "touches"
    assert found["packing"].length == pytest.approx(30.0)
    assert found.keys() == {"packing"}  # its gap to that face is the packing itself
    behind = plate("behind", AT[0] - 50, pin_at - 62.0)
    both = look(packed, part, behind).pieces["p"].contacts
    assert [(c.feature, c.part) for c in both] == [("packing", "plate"), ("r", "behind")]


@pytest.mark.source("method", "arithmetic")
def test_the_nearer_of_two_hides_the_farther() -> None:
    near, far = plate("near", AT[0] - 50, FACE + 10), plate("far", AT[0] - 50, FACE + 90)
    found = look(turned("s", 11, 9, 0.0), near, far).pieces["s"].contacts
    assert [c.part for c in found] == ["near"]
    beside = structs.replace(near, x=AT[0] + 10)
    found = look(turned("s", 11, 9, 0.0), beside, far).pieces["s"].contacts
    assert [(c.part, round(c.length, 6)) for c in found] == [("near", 20.0), ("far", 50.0)]
    both = look(pin("p", 11, 9), near, far).pieces["p"].contacts
    assert [c.part for c in both] == ["near"]


@pytest.mark.source("method", "arithmetic: a pin between two plates, one on each side")
def test_a_pin_between_two() -> None:
    left = plate("left", AT[0] - 115, AT[1] - 30)
    right = plate("right", AT[0] + 20, AT[1] - 30)
    found = look(pin("p", 11, 9), left, right).pieces["p"].contacts
    assert [(c.part, c.means, round(c.gap, 9)) for c in found] == [
        ("left", "touches", 0.0),
        ("right", "gap", 5.0),
    ]
    assert look(pin("p", 11, 9), left, right).roles["p"].parts == ("left",)
