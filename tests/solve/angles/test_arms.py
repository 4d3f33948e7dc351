"""Arms and other pieces with a face: placed as the answer says, the face has the stated angle."""

import math
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.geometry import wrap
from gridjig.model import Display, Hole, Placement, Seat
from gridjig.rack import ArcSlot, Face, Piece, Pivot, Round, RoundHole, Shank, StraightSlot
from gridjig.solve.angles.answers import AngleAnswer, AngleLimits, NoneOfWay, chord
from gridjig.solve.angles.finder import answer_placements, answer_places, find_angles
from gridjig.solve.angles.wanted import as_edge
from gridjig.solve.mounting.leaf import leaf_pose, mount_leaf
from gridjig.solve.mounting.mount import mount
from gridjig.solve.placed.solver import solve_placement
from tests.anglekit import apart, body, grid_table, rack_of, shim
from tests.workshop import RACK

TABLE = grid_table(14, 12)
METRIC = starter_racks()["metric-16"]
BOLT = Piece(id="bolt", name="bolt", kind="locking pin", pin_diameter=16.0, owned=20)


def slotted(offset: float, low: float = 100.0, high: float = 300.0, flips: bool = False) -> Piece:
    """An arm with its face along x and a slot parallel to it, `offset` to the left of the pivot."""
    return Piece(
        id="slotted",
        name="slotted arm",
        kind="arm",
        flips=flips,
        mounts=(
            RoundHole("pivot", (0.0, 0.0), 16.0),
            StraightSlot("slot", (low, offset), (high, offset), 16.0),
        ),
        faces=(Face("face", (320.0, 20.0), (-20.0, 20.0), 0.0, 20.0),),
        takes=("bolt",),
        owned=1,
    )


def put(answer: AngleAnswer) -> Placement:
    """The placement that the answer describes."""
    (placed,) = answer_placements(answer, ["it"])
    return placed


@pytest.mark.source("method", "the pose solver of the program, built apart from the angle finder")
@settings(max_examples=40)
@given(
    st.floats(0.0, 179.99),
    st.sampled_from(["right", "left"]),
    st.sampled_from([METRIC, RACK, rack_of(slotted(10.0, flips=True), BOLT)]),
)
def test_set_up_as_told_the_face_has_the_angle_and_the_place(
    angle: float, side: str, rack: object
) -> None:
    assert side in ("right", "left")
    limits = AngleLimits(ways=("arm", "scale"), top=8, side="left" if side == "left" else "right")
    found = find_angles(TABLE, rack, as_edge(angle), limits)  # type: ignore[arg-type]
    assert found.ranked
    for answer in (*found.ranked, *found.nearest):
        placed = solve_placement(TABLE, rack, put(answer))  # type: ignore[arg-type]
        assert placed.fault is None, placed.fault
        near = [
            face
            for face in placed.faces
            if apart(
                math.degrees(math.atan2(face.b[1] - face.a[1], face.b[0] - face.a[0])),
                answer.angle_deg,
            )
            < 1e-6
        ]
        assert near
        # The piece is on the pins' side, so its face points to the other.
        out = angle + (90.0 if side == "right" else -90.0)
        told = []
        for face in near:
            nx, ny = face.normal
            if abs(wrap(math.degrees(math.atan2(ny, nx)) - out)) > 91.0:
                continue
            told.append(
                [
                    (face.a[0] - x) * nx + (face.a[1] - y) * ny
                    for x, y in (TABLE.at(h) for h in answer.holes)
                ]
            )
        assert any(list(answer.line_mm) == pytest.approx(line, abs=1e-6) for line in told)
        assert answer.error_arcmin == pytest.approx(
            60 * (wrap(2 * (answer.angle_deg - angle)) / 2), abs=1e-6
        )


@pytest.mark.source("method", "computed apart from the program: slots over holes, one by one")
@pytest.mark.parametrize(
    ("offset", "flips", "distinct", "worst"),
    [(0.0, False, 72, 5.655), (10.0, False, 100, 5.486), (10.0, True, 200, 2.619738)],
)
def test_how_many_angles_a_slotted_arm_has(
    offset: float, flips: bool, distinct: int, worst: float
) -> None:
    rack = rack_of(slotted(offset, flips=flips), BOLT)
    limits = AngleLimits(ways=("arm",), top=400)
    found = find_angles(grid_table(20, 20), rack, as_edge(0.0), limits).ranked
    # Counted over a full circle: each line is two turns.
    lines = sorted({round(a.angle_deg, 6) % 180 for a in found})
    assert 2 * len(lines) == distinct
    gaps = [b - a for a, b in zip(lines, [*lines[1:], lines[0] + 180], strict=True)]
    assert max(gaps) / 2 == pytest.approx(worst, abs=1e-3)


@pytest.mark.source(
    "method", "formula atan2(dy, dx) - asin(h/D) and sqrt(D^2 - h^2), worked by hand"
)
def test_slot_offset_from_the_pivot() -> None:
    rack = rack_of(slotted(10.0), BOLT)
    limits = AngleLimits(ways=("arm",), base_from=250.0, base_to=250.0)
    best = find_angles(TABLE, rack, as_edge(50.837660), limits).ranked[0]
    assert best.steps in ((3, 4), (-3, -4))
    assert abs(best.error_arcmin) < 1e-3
    assert best.standing[0].slide == pytest.approx(249.799920 - 100.0, abs=1e-6)


@pytest.mark.source("method", "formula (c1 + c2)/s, a small angle")
@pytest.mark.parametrize(("base", "degrees"), [(250.0, 0.080214), (100.0, 0.200535)])
def test_play_of_a_slotted_arm(base: float, degrees: float) -> None:
    bolt = Piece(id="bolt", name="bolt", kind="locking pin", pin_diameter=15.825, owned=20)
    rack = rack_of(slotted(0.0), bolt)
    limits = AngleLimits(ways=("arm",), base_from=base, base_to=base)
    best = find_angles(TABLE, rack, as_edge(0.0), limits).ranked[0]
    # Two clearances of 0.175 at each pin: the sum of both radial plays is 0.35.
    assert best.play_arcmin / 60 == pytest.approx(degrees, abs=2e-5)


@pytest.mark.source("method", "formula 2 R sin(T/2)")
@pytest.mark.parametrize(
    ("angle", "length"), [(37.5, 192.864), (45, 229.610), (60, 300), (90, 424.264)]
)
def test_chords(angle: float, length: float) -> None:
    assert chord(300.0, angle).length == pytest.approx(length, abs=5e-4)
    assert chord(300.0, -angle).length == pytest.approx(length, abs=5e-4)


def test_an_arm_set_by_its_scale_has_a_chord_and_the_accuracy_of_the_scale() -> None:
    found = find_angles(TABLE, METRIC, as_edge(37.5), AngleLimits(ways=("scale",)))
    leaf = next(a for a in found.ranked if a.standing[0].piece == "arm-leaf-200")
    assert leaf.error_arcmin == 0.0
    assert leaf.setting_arcmin == pytest.approx(30.0)
    assert leaf.chord == chord(200.0, leaf.standing[0].leaf)
    assert leaf.set_how == "by scale"
    assert leaf.verdict.finest in ("B", "C", "D")
    arc = next(a for a in found.ranked if a.standing[0].piece == "arm-arc-200")
    assert arc.chord is not None
    assert arc.chord.angle == 37.5
    assert arc.set_how == "by hand"
    inches = AngleLimits(ways=("scale",), display=Display())
    rack = starter_racks()["inch-3-4"]
    found = find_angles(ready_tables()["48x48-3/4"], rack, as_edge(37.5), inches)
    for answer in found.ranked:
        assert answer.chord is not None
        assert answer.chord.radius / 25.4 == pytest.approx(round(answer.chord.radius / 25.4))


def test_a_bevel_makes_its_angle_exactly() -> None:
    found = find_angles(TABLE, METRIC, as_edge(22.5), AngleLimits(ways=("arm",)))
    best = found.ranked[0]
    assert best.standing[0].piece == "bevel-22.5"
    assert best.error_arcmin == pytest.approx(0.0, abs=1e-4)  # corners are kept to a micrometre
    assert Counter({t.piece: t.count for t in best.takes}) == Counter(
        {"bevel-22.5": 1, "lock-pin": 2}
    )


def test_limits_hold_for_arms_too() -> None:
    rack = rack_of(slotted(10.0), BOLT)
    limits = AngleLimits(ways=("arm",), only_left=True)
    assert find_angles(TABLE, rack, as_edge(30.0), limits).ranked
    gone = find_angles(TABLE, rack, as_edge(30.0), replace(limits, used=(("slotted", 1),)))
    assert gone.ranked == ()
    assert gone.notes == (NoneOfWay("arm", holes=True),)
    far = find_angles(
        TABLE, rack, as_edge(30.0), AngleLimits(ways=("arm", "scale"), base_from=400.0)
    )
    assert far.ranked == ()
    assert len(far.notes) == 2


def test_a_hole_too_narrow_for_the_pin_spoils_no_other() -> None:
    arm = slotted(10.0)
    pivot, slot = arm.mounts
    narrow = replace(arm, mounts=(pivot, RoundHole("narrow", (50.0, 0.0), 12.0), slot))
    limits = AngleLimits(ways=("arm",), top=400)
    found = [
        [
            (a.steps, round(a.angle_deg, 6))
            for a in find_angles(TABLE, rack_of(one, BOLT), as_edge(30.0), limits).ranked
        ]
        for one in (arm, narrow)
    ]
    assert found[0] == found[1] != []


def test_without_its_locking_pin_or_with_too_thick_a_one_an_arm_makes_nothing() -> None:
    thick = Piece(id="bolt", name="bolt", kind="locking pin", pin_diameter=17.0, owned=20)
    for rack in (rack_of(slotted(0.0)), rack_of(slotted(0.0), thick)):
        assert find_angles(TABLE, rack, as_edge(30.0), AngleLimits(ways=("arm",))).ranked == ()


def test_shanks_take_no_locking_pin() -> None:
    piece = Piece(
        id="fixed",
        name="fixed",
        kind="fixed stop",
        mounts=(Shank("a", (0.0, 0.0), 15.9), Shank("b", (150.0, 200.0), 15.9)),
        faces=(Face("face", (100.0, 20.0), (0.0, 20.0), 0.0, 20.0),),
        owned=2,
    )
    found = find_angles(TABLE, rack_of(piece), as_edge(53.13010235), AngleLimits(ways=("arm",)))
    # The shanks lie 3-4-5 apart: with a face along x the piece turns with its pair of holes.
    assert found.ranked[0].takes[0].count == found.ranked[0].pieces == 1
    assert {round(a.angle_deg, 4) for a in found.ranked} >= {0.0, 90.0}


def test_a_leaf_locked_in_a_third_hole_has_all_three_free() -> None:
    rack = METRIC
    found = find_angles(TABLE, rack, as_edge(60.0), AngleLimits(ways=("arm",), top=200)).ranked
    locked = next(a for a in found if len(a.holes) == 3)
    everywhere = answer_places(TABLE, locked)
    assert len(everywhere) == locked.places
    assert everywhere[0] == locked.holes
    blocked = frozenset(p[2] for p in everywhere[:-1]) - set(everywhere[-1])
    left = answer_places(TABLE, locked, blocked)
    assert everywhere[-1] in left
    assert all(not blocked & set(place) for place in left)
    near = find_angles(
        TABLE, rack, as_edge(60.0), AngleLimits(ways=("arm",), top=200, near=(650.0, 550.0))
    ).ranked
    same = next(a for a in near if a.standing == locked.standing and a.steps == locked.steps)
    assert same.holes != locked.holes
    narrow = grid_table(14, 12, blocked=[(c, r) for c in range(14) for r in range(2, 12)])
    few = find_angles(narrow, rack, as_edge(60.0), AngleLimits(ways=("arm",), top=200)).ranked
    for answer in few:
        assert all(h.row < 2 for h in answer.holes)


def test_ready_tables_and_starter_racks_answer_by_every_way() -> None:
    for name, rack_name in (("48x48-3/4", "inch-3-4"), ("2400x1200-100", "metric-28")):
        found = find_angles(ready_tables()[name], starter_racks()[rack_name], as_edge(37.5))
        assert {a.way for a in found.nearest} == {
            "pins",
            "two sizes",
            "shims",
            "arm",
            "scale",
            "plate",
        }
        assert isinstance(found.ranked[0].holes[0], Hole)
        assert found.notes == ()


def test_an_arc_slot_elsewhere_gives_single_angles() -> None:
    piece = Piece(
        id="odd",
        name="odd",
        kind="arm",
        mounts=(
            RoundHole("pivot", (0.0, 0.0), 16.0),
            ArcSlot("arc", (200.0, 0.0), 60.0, 0.0, 180.0, 16.0),
        ),
        faces=(Face("face", (100.0, 20.0), (0.0, 20.0), 0.0, 20.0),),
        takes=("bolt",),
        owned=1,
    )
    found = find_angles(
        TABLE, rack_of(piece, BOLT), as_edge(40.0), AngleLimits(ways=("arm",))
    ).ranked
    assert len(found) == AngleLimits().top
    for answer in found:
        seats = answer.seats()[0]
        ways = mount(TABLE, piece, seats, 16.0).ways
        assert any(abs(wrap(w.turn_low - answer.standing[0].turn)) < 1e-6 for w in ways)


def leafed(low: float, high: float, askew: bool = False) -> Piece:
    """An arm with a leaf that goes from `low` to `high`, and a slot in it.

    If `askew`, it is drawn away from its first hole, with a slanting base and a tapered face.
    """
    x, y, rise = (12.0, -7.0, 60.0) if askew else (0.0, 0.0, 0.0)
    return Piece(
        id="leafed",
        name="leafed arm",
        kind="arm",
        flips=True,
        mounts=(
            RoundHole("left", (x, y), 16.0),
            RoundHole("right", (x + math.sqrt(1e4 - rise * rise), y + rise), 16.0),
            StraightSlot("base", (x, y + 40.0), (x + 60.0, y + 40.0), 16.0),
            StraightSlot("near", (45.0, 5.0), (60.0, 5.0), 16.0, body=1),
            StraightSlot("lock", (120.0, 5.0), (260.0, 5.0), 16.0, body=1),
            ArcSlot("round", (0.0, 0.0), 80.0, 10.0, 60.0, 16.0, body=1),
        ),
        faces=(Face("face", (280.0, 20.0), (0.0, 50.0 if askew else 20.0), 0.0, 20.0, body=1),),
        pivot=Pivot(at=(x + 40.0, y + 30.0), low=low, high=high, accuracy=0.0),
        takes=("bolt",),
        owned=1,
    )


@settings(max_examples=60)
@given(
    st.one_of(st.floats(0.0, 179.99), st.sampled_from([0.0, 10.0, 45.0, 90.0])),
    st.sampled_from(
        [
            (-170.0, 170.0),
            (10.0, 55.0),
            (0.0, 180.0),
            (-180.0, 180.0),
            (100.0, 300.0),
            (-300.0, -20.0),
        ]
    ),
    st.sampled_from(["right", "left"]),
    st.booleans(),
    st.sampled_from([16.0, 15.6]),
)
@pytest.mark.source("method", "the pose solver of the program, built apart from the angle finder")
@pytest.mark.untraced
def test_leaves_of_every_range_stand_as_told(
    angle: float, span: tuple[float, float], side: str, askew: bool, pin: float
) -> None:
    rack = rack_of(leafed(*span, askew), replace(BOLT, pin_diameter=pin))
    limits = AngleLimits(
        ways=("arm", "scale"), top=20, leg=300.0, side="left" if side == "left" else "right"
    )
    ranked = find_angles(TABLE, rack, as_edge(angle), limits).ranked
    assert len(ranked) == limits.top  # a leaf can be locked in more holes than requested
    for answer in ranked:
        placed = solve_placement(TABLE, rack, put(answer))
        assert placed.fault is None, placed.fault
        (face,) = placed.faces
        way = math.degrees(math.atan2(face.b[1] - face.a[1], face.b[0] - face.a[0]))
        assert apart(way, answer.angle_deg) < 1e-6
        out = math.degrees(math.atan2(face.normal[1], face.normal[0]))
        assert abs(wrap(out - answer.angle_deg - (90 if side == "right" else -90))) < 1e-5 or (
            abs(answer.error_arcmin) > 60
        )
        if answer.way == "arm":  # locked: nothing is set by hand
            assert placed.leaf_low == placed.leaf_high
            assert placed.leaf_hole == answer.holes[-1]
        if answer.way == "scale":
            assert span[0] - 1e-6 <= answer.standing[0].leaf <= span[1] + 1e-6
            far = math.dist(face.a, face.b)
            assert answer.setting_arcmin == pytest.approx(60 * math.degrees(0.5 / far))


def test_the_very_end_of_a_range_is_reached_whatever_its_last_digit() -> None:
    rack = rack_of(leafed(10.0, 55.0), BOLT)
    limits = AngleLimits(ways=("scale",))
    for angle in (10.0, 10.0 - 5e-10, 55.0, 55.0 + 5e-10):
        assert any(
            abs(a.standing[0].leaf - angle) < 1e-6
            for a in find_angles(TABLE, rack, as_edge(angle), limits).ranked
        )


def test_an_arm_too_large_for_the_table_has_no_place() -> None:
    rack = rack_of(leafed(-170.0, 170.0), BOLT)
    small = grid_table(3, 4)
    ranked = find_angles(small, rack, as_edge(30.0), AngleLimits(ways=("arm",), top=100)).ranked
    assert len(ranked) == 34
    for answer in ranked:
        assert len(answer.holes) == 3
        assert answer.places >= 1
        assert all(0 <= h.col < 3 and 0 <= h.row < 4 for h in answer.holes)


def test_pins_that_need_a_locking_pin_or_do_not_fit() -> None:
    held = Piece(
        id="held",
        name="held pin",
        kind="pin",
        mounts=(RoundHole("hole", (0.0, 0.0), 16.0),),
        rounds=(Round("body", (0.0, 0.0), 20.0, 0.0, 30.0), Round("aside", (5, 0), 9.0, 0.0, 9.0)),
        takes=("bolt",),
        owned=2,
    )
    found = find_angles(
        TABLE, rack_of(held, BOLT), as_edge(45.0), AngleLimits(ways=("pins",))
    ).ranked[0]
    assert [(t.piece, t.count) for t in found.takes] == [("held", 2), ("bolt", 2)]
    assert found.line_mm == (20.0, 20.0)
    bare = find_angles(TABLE, rack_of(held), as_edge(45.0), AngleLimits(ways=("pins",))).ranked[0]
    assert bare.takes == ()
    thick = find_angles(
        TABLE, rack_of(body(25.0, shank=16.1)), as_edge(45.0), AngleLimits(ways=("pins",))
    ).ranked[0]
    assert thick.takes == ()


def test_of_two_pairs_with_the_same_difference_the_one_on_the_rack_is_taken() -> None:
    rack = rack_of(
        body(20.0, owned=1), body(25.0, owned=0), body(30.0, owned=1), body(35.0, owned=1)
    )
    limits = AngleLimits(ways=("two sizes",), top=40)
    for only_left in (False, True):
        found = find_angles(TABLE, rack, as_edge(33.0), replace(limits, only_left=only_left)).ranked
        assert len(found) == limits.top
        pairs = [
            {s.piece for s in answer.standing}
            for answer in found
            if abs(answer.line_mm[1] - answer.line_mm[0]) == 2.5
        ]
        assert pairs == [{"pin-30", "pin-35"}] * 14
        assert all(a.on_rack for a in found) or not only_left


def test_pins_and_their_packing_are_set_up_in_any_of_the_places() -> None:
    rack = rack_of(body(25.0), shim(1.0), shim(3.0))
    answer = find_angles(TABLE, rack, as_edge(33.0), AngleLimits(ways=("shims",))).ranked[0]
    here = answer_places(TABLE, answer)[-1]
    one, two = answer_placements(answer, ["one", "two"], here)
    assert (one.seats[0].hole, two.seats[0].hole) == here
    assert (one.packing, two.packing) == (answer.standing[0].packing, answer.standing[1].packing)
    assert one.packing or two.packing
    assert solve_placement(TABLE, rack, one).fault is None


@pytest.mark.source(
    "method", "definition: the chord's points lie on the arm, a whole step out from its pivot"
)
def test_the_chord_is_taken_as_far_out_as_the_face_goes() -> None:
    """Measured from the pivot for a leaf, from the hole for an arm turned in a slot."""
    limits = AngleLimits(ways=("scale",), top=40)
    rack = rack_of(leafed(-170.0, 170.0), BOLT)
    for answer in find_angles(TABLE, rack, as_edge(37.5), limits).ranked:
        assert answer.chord == chord(280.0, answer.standing[0].leaf)
    swung = Piece(
        id="swung",
        name="swung arm",
        kind="arm",
        mounts=(
            RoundHole("pivot", (35.0, 10.0), 16.0),
            ArcSlot("arc", (35.0, 10.0), 100.0, 0.0, 180.0, 16.0),
        ),
        faces=(Face("face", (300.0, 20.0), (0.0, 20.0), 0.0, 20.0),),
        takes=("bolt",),
        owned=1,
    )
    for answer in find_angles(TABLE, rack_of(swung, BOLT), as_edge(37.5), limits).ranked:
        assert answer.chord == chord(260.0, 37.5)  # the far end is 265 mm out
    upright = replace(
        swung,
        mounts=(
            RoundHole("pivot", (-10.0, 35.0), 16.0),
            ArcSlot("arc", (-10.0, 35.0), 100.0, 90.0, 270.0, 16.0),
        ),
        faces=(Face("face", (-20.0, 300.0), (-20.0, 0.0), 0.0, 20.0),),
    )
    turned = find_angles(TABLE, rack_of(upright, BOLT), as_edge(37.5), limits).ranked
    assert turned
    assert {answer.chord for answer in turned} == {chord(260.0, 37.5)}


def test_a_slot_round_the_pivot_locks_no_leaf() -> None:
    """A pin in it does not lock the leaf: only the scale sets it."""
    whole = leafed(-170.0, 170.0)
    # From the pivot a hole lies 60 across and 20 up.
    ring = ArcSlot("round", (0.0, 0.0), math.hypot(60.0, 20.0), 10.0, 60.0, 16.0, body=1)
    kept = (*(m for m in whole.mounts if m.body == 0), ring)
    rack = rack_of(replace(whole, mounts=kept), BOLT)
    both = find_angles(
        TABLE, rack, as_edge(37.5), AngleLimits(ways=("arm", "scale"), top=400)
    ).ranked
    assert {a.way for a in both} == {"scale"}


@pytest.mark.source(
    "method", "brute force: every lock hole about every base, asked of the pose solver"
)
@pytest.mark.parametrize("pin", [16.0, 15.6])
@pytest.mark.parametrize(
    ("askew", "span"),
    [(False, (-170.0, 170.0)), (True, (-170.0, 170.0)), (True, (-300.0, -20.0))],
)
@pytest.mark.untraced
def test_no_lock_hole_is_missed(askew: bool, span: tuple[float, float], pin: float) -> None:
    """All lines of a locked leaf, distinct to a ten-thousandth of a degree."""
    arm, table = leafed(*span, askew), grid_table(7, 7)
    bolt = replace(BOLT, pin_diameter=pin)
    limits = AngleLimits(ways=("arm",), top=5000)
    found = find_angles(table, rack_of(arm, bolt), as_edge(0.0), limits).ranked
    mine = {
        (round(a.angle_deg, 4) % 180.0, a.standing[0].flipped) for a in found if len(a.holes) == 3
    }
    theirs = set()
    every = [Hole(c, r) for c in range(7) for r in range(7)]
    for flipped in (False, True):
        for first in every:
            for second in every:
                if math.dist(table.at(first), table.at(second)) > 101.0 or first == second:
                    continue
                base = (Seat("left", first), Seat("right", second))
                for way in mount(table, arm, base, pin, flipped).ways:
                    pose = way.pose(way.turn_low, 0.0)
                    for lock in every:
                        for feature in ("near", "lock", "round"):
                            seats = (*base, Seat(feature, lock))
                            for leaf in mount_leaf(table, arm, pose, seats, pin).ways:
                                if leaf.low != leaf.high:
                                    continue
                                laid = leaf_pose(arm, pose, leaf.low)
                                (ax, ay), (bx, by) = (laid.point(p) for p in (FAR, NEAR[askew]))
                                turn = math.degrees(math.atan2(by - ay, bx - ax))
                                theirs.add((round(turn % 180.0, 4) % 180.0, flipped))
    assert mine == theirs
    assert len(theirs) > 20


FAR = (280.0, 20.0)
NEAR = ((0.0, 20.0), (0.0, 50.0))
