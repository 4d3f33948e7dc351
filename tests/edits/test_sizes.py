import pytest
from hypothesis import assume, example, given, reject
from hypothesis import strategies as st
from msgspec import structs
from shapely import LineString, Polygon

from gridjig.edits.sizes import AdjustableSize, sizes, with_size
from gridjig.files.library.assets import starter_racks
from gridjig.geometry import unit
from gridjig.geometry.piece_faults import unsound
from gridjig.geometry.piece_mass import mass_of
from gridjig.rack import ArcSlot, Face, Piece, Pivot, RoundHole, Shank, Solid, StraightSlot
from gridjig.units import Display
from tests.workshop import PIN, SHIM, box

RACK = starter_racks()["inch-3-4"]
EACH = [(piece, size) for piece in RACK.pieces for size in sizes(piece)]


def size_of(piece: Piece, size_id: str) -> AdjustableSize:
    return next(s for s in sizes(piece) if s.id == size_id)


@given(st.sampled_from(EACH), st.floats(0.6, 1.8))
@example(next(one for one in EACH if (one[0].id, one[1].id) == ("stop-one-pin", "width.0")), 0.6875)
def test_a_changed_size_has_its_value_and_the_piece_is_sound(
    case: tuple[Piece, AdjustableSize], factor: float
) -> None:
    piece, size = case
    value = size.value * factor if size.value else factor
    try:
        changed = with_size(piece, size.id, value)
    except ValueError:
        reject()
    assert unsound(changed) is None
    assert size_of(changed, size.id).value == pytest.approx(value, abs=1e-4)
    assert changed.mass == pytest.approx(mass_of(changed), abs=2e-4)
    assert [m.id for m in changed.mounts] == [m.id for m in piece.mounts]


@given(st.sampled_from(EACH), st.floats(1.0, 1.2))
def test_a_size_made_larger_and_set_back_gives_the_piece_back(
    case: tuple[Piece, AdjustableSize], factor: float
) -> None:
    piece, size = case
    # A rest keeps a least size, and an arc's rim is not cut straight.
    assume(not size.id.startswith(("diameter", "arc-radius")))
    try:
        there = with_size(piece, size.id, size.value * factor)
        back = with_size(there, size.id, size.value)
    except ValueError:
        reject()
    assert (len(back.solids), len(back.faces)) == (len(piece.solids), len(piece.faces))
    for one, two in zip(piece.solids, back.solids, strict=True):
        for p, q in zip(one.outline, two.outline, strict=True):
            assert q == pytest.approx(p, abs=1e-4)
        assert (two.z_low, two.z_high) == pytest.approx((one.z_low, one.z_high))
    for f, g in zip(piece.faces, back.faces, strict=True):
        assert (*g.a, *g.b) == pytest.approx((*f.a, *f.b), abs=1e-4)


def test_every_label_is_single_on_a_form() -> None:
    assert len(RACK.pieces) >= 30
    for piece in RACK.pieces:
        labels = [s.label for s in sizes(piece)]
        assert len(labels) >= 2, piece.id
        ids = [s.id for s in sizes(piece)]
        assert len(set(labels)) == len(labels), piece.id
        assert len(set(ids)) == len(ids)


def test_a_stops_face_moves_and_its_holes_stay() -> None:
    stop = with_size(RACK.piece("stop-fixed"), "face.face", 20.0)
    assert stop.faces[0].a == (19.05, 20.0)
    assert stop.mounts == RACK.piece("stop-fixed").mounts
    assert max(y for _, y in stop.solids[0].outline) == 20.0


def test_a_longer_slot_gives_a_longer_stop() -> None:
    before = RACK.piece("stop-adjustable")
    after = with_size(before, "slot-length.slot", 152.4)
    slot = after.mount("slot")
    assert isinstance(slot, StraightSlot)
    assert slot.b == (0.0, -152.4)
    assert size_of(after, "width.0").value == pytest.approx(size_of(before, "width.0").value + 50.8)
    assert after.faces == before.faces


def test_a_bevel_gets_another_angle_about_its_hole() -> None:
    bevel = with_size(RACK.piece("bevel-45"), "angle", 37.5)
    assert size_of(bevel, "angle").value == pytest.approx(37.5, abs=1e-4)
    assert size_of(bevel, "face.face").value == pytest.approx(12.7, abs=1e-5)


def test_wider_hole_spacing_keeps_a_bevels_angle() -> None:
    bevel = with_size(RACK.piece("bevel-60"), "spacing.far", 101.6)
    far = bevel.mount("far")
    assert isinstance(far, RoundHole)
    assert far.at == (101.6, 0.0)
    assert size_of(bevel, "angle").value == pytest.approx(60.0, abs=1e-4)


def test_a_leafs_two_faces_part_evenly() -> None:
    arm = RACK.piece("arm-leaf-8")
    wider = with_size(arm, "width.1", 40.0)
    assert [f.a[1] for f in wider.faces] == [20.0, -20.0]


def test_a_riser_grows_with_its_rest_and_its_thickness() -> None:
    riser = with_size(RACK.piece("riser-1"), "height", 30.0)
    assert (riser.thickness, riser.rests[0].z, riser.height) == (30.0, 30.0, 30.0)
    wide = with_size(riser, "diameter.1", 60.0)
    assert wide.rests[0].radius == pytest.approx(29.0)
    assert wide.mass == pytest.approx(mass_of(wide), abs=1e-3)


def test_a_locking_pin_made_thicker_is_thicker_for_the_solver() -> None:
    pin = with_size(RACK.piece("lock-pin"), "diameter.1", 15.0)
    assert pin.pin_diameter == 15.0
    assert [s.label for s in sizes(pin)] == ["pin diameter", "head diameter", "height"]


def test_a_value_out_of_range_says_the_range_in_the_shown_unit() -> None:
    with pytest.raises(ValueError, match=r"Hole spacing must be ≈19\.6 mm to 5000 mm; 3 mm"):
        with_size(RACK.piece("stop-fixed"), "spacing.back", 3.0)
    inches = Display(unit="inch decimals")
    with pytest.raises(ValueError, match=r"must be ≈\.770\" to"):
        with_size(RACK.piece("stop-fixed"), "spacing.back", 12.7, inches)
    with pytest.raises(ValueError, match=r"Smallest leaf angle must be −180° to 179°; 200°"):
        with_size(RACK.piece("arm-leaf-8"), "pivot.low", 200.0)


def test_what_could_not_be_made_is_refused() -> None:
    with pytest.raises(ValueError, match=r"no steel left at the edge of hole front\."):
        with_size(RACK.piece("stop-fixed"), "face.face", 9.0)
    with pytest.raises(ValueError, match=r"no steel left"):
        with_size(RACK.piece("stop-fixed"), "bore", 60.0)
    with pytest.raises(KeyError):
        with_size(RACK.piece("stop-fixed"), "taste", 1.0)


def test_the_same_value_gives_the_same_piece() -> None:
    stop = RACK.piece("stop-fixed")
    assert with_size(stop, "face.face", 12.7) is stop


def test_a_piece_without_a_shape_has_only_what_it_has() -> None:
    assert sizes(SHIM) == ()
    assert "body diameter" not in [s.label for s in sizes(PIN)]  # eight corners are not a circle


def test_rounds_of_one_size_are_one_size() -> None:
    """A post of two solids, one on the other, has one diameter; a leaf's is not the base's."""
    post = RACK.piece("pin-1")
    low, ring = post.solids[0], post.solids[0].outline
    tall = structs.replace(post, solids=(low, Solid(ring, 50.8, 60)))
    wider = with_size(tall, "diameter.1", 30.0)
    assert [s.label for s in sizes(tall) if "diameter." in s.id] == ["body diameter"]
    assert max(x for x, _ in wider.solids[1].outline) == pytest.approx(15.0)
    leaf = structs.replace(
        post, pivot=Pivot((0, 0), 0, 90, 1), solids=(Solid(ring, 50.8, 60, 1), low)
    )
    assert [s.id for s in sizes(leaf) if "diameter." in s.id] == ["diameter.1", "leaf-diameter.1"]
    assert with_size(leaf, "leaf-diameter.1", 30.0).solids[1] == low


def test_without_a_hole_distances_are_from_the_middle() -> None:
    arc = ArcSlot("arc", (0, 0), 40, 0, 90, 16)
    plate = Piece(
        id="plate", name="Plate", kind="other", solids=(Solid(box(-70, -70, 70, 70), 0, 9),),
        mounts=(arc,), faces=(Face("f", (70, 70), (-70, 70), 0, 9),),
    )  # fmt: skip
    assert size_of(plate, "face.f").value == 70.0
    both = structs.replace(plate, mounts=(arc, Shank("s", (-50, -50), 16)))
    assert size_of(both, "face.f").value == 120.0
    bored = with_size(both, "bore", 20.0)
    assert bored.mounts[1] == both.mounts[1]


def test_a_piece_that_was_weighed_changes_in_proportion() -> None:
    solid = Solid(box(0, 0, 100, 100), 0, 50)
    bar = Piece(id="bar", name="Bar", kind="other", solids=(solid,), mass=2.0)
    assert with_size(bar, "length.0", 200.0).mass == pytest.approx(4.0)
    assert with_size(structs.replace(bar, mass=0.0), "length.0", 200.0).mass == 0.0


def test_an_end_without_a_face_is_the_one_that_moves() -> None:
    """With equal overhang at both ends, the end with the locating face stays."""
    stop = RACK.piece("stop-fixed")
    even = structs.replace(
        stop,
        solids=(Solid(box(-20, -70, 20, 20), 0, 10),),
        mounts=(RoundHole("h", (0, -25), 16),),
        faces=(structs.replace(stop.faces[0], a=(20, 20), b=(-20, 20), z_high=10),),
    )
    longer = with_size(even, "width.0", 100.0)
    assert longer.faces == even.faces
    assert min(y for _, y in longer.solids[0].outline) == -80.0


@pytest.mark.source(
    "method", "plane geometry: the steel beside an arc slot is as wide all along, and as before"
)
def test_an_arcs_rim_goes_with_its_radius() -> None:
    before = RACK.piece("arm-arc-8")
    arc = before.mount("arc")
    assert isinstance(arc, ArcSlot)
    after = with_size(before, "arc-radius.arc", arc.radius + 20.0)
    slot = after.mount("arc")
    assert isinstance(slot, ArcSlot)
    assert (slot.radius, slot.centre, slot.start) == (arc.radius + 20.0, arc.centre, arc.start)
    for k in range(0, 101, 10):
        way = unit(arc.start + k)
        for ring, path in ((before, arc), (after, slot)):
            steel = Polygon(ring.solids[0].outline)
            on = LineString([(way[0] * r, way[1] * r) for r in (path.radius, path.radius + 60)])
            assert steel.intersection(on).length == pytest.approx(19.05, abs=0.2)
    assert size_of(after, "face.face") == size_of(before, "face.face")


@pytest.mark.source(
    "method", "arithmetic: holes of 16 mm, 60 mm apart, and half a millimetre of steel"
)
def test_from_where_a_size_can_go() -> None:
    holes = (RoundHole("a", (-30, 0), 16), RoundHole("b", (30, 0), 16))
    bar = Piece(
        id="bar", name="Bar", kind="other", solids=(Solid(box(-60, -40, 60, 40), 0, 9),),
        mounts=holes,
    )  # fmt: skip
    assert size_of(bar, "length.0").low == pytest.approx(60 + 16 + 1)
    assert size_of(bar, "width.0").low == pytest.approx(16 + 1)
    assert size_of(bar, "spacing.b").low == pytest.approx(16.5)
    post = RACK.piece("pin-1")
    bored = structs.replace(post, mounts=(RoundHole("h", (0, 0), 16),))
    assert size_of(bored, "diameter.1").low == pytest.approx(17.0)
    assert size_of(post, "diameter.1").low == pytest.approx(1.0)


def test_what_stands_before_the_far_hole_stays_when_that_moves() -> None:
    ring = ((-20, -20), (130, -20), (130, 20), (80, 20), (80, 35), (60, 35), (60, 20), (-20, 20))
    bar = Piece(
        id="bar", name="Bar", kind="other", solids=(Solid(ring, 0, 9),),
        mounts=(RoundHole("a", (0, 0), 16), RoundHole("b", (100, 0), 16)),
    )  # fmt: skip
    longer = with_size(bar, "spacing.b", 115.0)
    assert longer.solids[0].outline == (
        (-20, -20), (145, -20), (145, 20), (80, 20), (80, 35), (60, 35), (60, 20), (-20, 20)
    )  # fmt: skip
    assert longer.mount("b") == RoundHole("b", (115, 0), 16)


def test_a_piece_with_a_round_and_a_straight_part_has_an_overall_size() -> None:
    """A post on a foot: the round part alone gives no diameter of the whole."""
    post = RACK.piece("pin-1")
    foot = structs.replace(post, solids=(Solid(box(-40, -30, 40, 30), 0, 10), *post.solids))
    names = [s.id for s in sizes(foot)]
    assert {"length.0", "width.0"} <= set(names)
    assert not [name for name in names if name.startswith("diameter")]


def test_from_where_angles_can_go() -> None:
    arm = RACK.piece("arm-arc-8")
    arc = arm.mount("arc")
    assert isinstance(arc, ArcSlot)
    start, end = size_of(arm, "arc-start.arc"), size_of(arm, "arc-end.arc")
    assert (start.low, start.high) == (arc.end - 360, arc.end - 1)
    assert (end.low, end.high) == (arc.start + 1, arc.start + 360)
    leaf = RACK.piece("arm-leaf-8")
    assert leaf.pivot is not None
    low, high = size_of(leaf, "pivot.low"), size_of(leaf, "pivot.high")
    assert (low.low, low.high) == (leaf.pivot.high - 360, leaf.pivot.high - 1)
    assert (high.low, high.high) == (leaf.pivot.low + 1, leaf.pivot.low + 360)


def test_a_face_behind_its_hole_hides_no_other() -> None:
    """The first face runs through the hole's middle, so it has no distance to change."""
    plate = Piece(
        id="plate", name="Plate", kind="other", solids=(Solid(box(-70, -70, 70, 70), 0, 9),),
        mounts=(RoundHole("h", (0, 0), 16),),
        faces=(Face("none", (0, 70), (0, -70), 0, 9), Face("f", (70, 70), (-70, 70), 0, 9)),
    )  # fmt: skip
    assert [s.id for s in sizes(plate) if s.id.startswith("face.")] == ["face.f"]


# -- reliefs ---------------------------------------------------------------------------------------


@pytest.mark.source(
    "method", "plane geometry: a leg moved parallel moves its corner along the other leg"
)
@pytest.mark.parametrize("by", [8.0, -4.0])
def test_the_relief_of_a_square_goes_with_its_leg(by: float) -> None:
    square = RACK.piece("square-three-hole")
    at = size_of(square, "face.inside-along").value
    moved = with_size(square, "face.inside-along", at + by)
    old, new = square.solids[0].outline, moved.solids[0].outline
    relief = [k for k, p in enumerate(old) if LineString([p, (at, at)]).length < 6.5]
    assert len(relief) == 13
    for k in relief:
        assert new[k] == pytest.approx((old[k][0], old[k][1] + by), abs=1e-5)
    across = next(f for f in moved.faces if f.id == "inside-across")
    assert across.a == pytest.approx((at, at + by + 6.35), abs=1e-4)
    assert across.b == next(f for f in square.faces if f.id == "inside-across").b
    assert size_of(moved, "face.inside-across").value == at
    room = Polygon(old).area - Polygon(new).area
    length = square.faces[1].a[0] - at
    assert room == pytest.approx(-by * length, rel=1e-6)


def test_the_chamfer_of_a_square_stays_as_it_was_cut() -> None:
    square = RACK.piece("square-two-hole")
    moved = with_size(square, "face.outside-along", 20.0)
    ring = moved.solids[0].outline
    assert ring[0] == pytest.approx((-7.9375, -20.0))
    assert ring[-1] == pytest.approx((-12.7, -15.2375))


def test_faces_at_the_two_ends_of_a_plate_have_no_relief_between_them() -> None:
    """The far face stays: what is between them is the plate itself."""
    ring = ((0, 0), (200, 0), (200, 60), (150, 60), (150, 120), (0, 120))
    plate = Piece(
        id="plate", name="Plate", kind="other", solids=(Solid(ring, 0.0, 9.0),),
        mounts=(RoundHole("h", (20, 20), 16),),
        faces=(Face("top", (150, 120), (0, 120), 0, 9), Face("end", (200, 0), (200, 60), 0, 9)),
    )  # fmt: skip
    moved = with_size(plate, "face.top", 110.0)
    assert moved.solids[0].outline == (
        (0, 0), (200, 0), (200, 60), (150, 60), (150, 130), (0, 130)
    )  # fmt: skip
    assert moved.faces[1] == plate.faces[1]


@pytest.mark.source("method", "plane geometry: the corner of a face at 45 degrees slides along it")
def test_a_slanting_face_keeps_its_line_when_its_neighbour_moves() -> None:
    ring = ((0, 0), (100, 0), (100, 50), (50, 100), (0, 100))
    block = Piece(
        id="block", name="Block", kind="other", solids=(Solid(ring, 0.0, 9.0),),
        mounts=(RoundHole("h", (20, 20), 16),),
        faces=(Face("side", (100, 0), (100, 50), 0, 9), Face("slant", (100, 50), (50, 100), 0, 9)),
    )  # fmt: skip
    moved = with_size(block, "face.side", 90.0)
    assert moved.faces[0].b == pytest.approx((110, 40))
    assert moved.faces[1].a == pytest.approx((110, 40))
    assert moved.faces[1].b == (50, 100)
