import math

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec import structs
from shapely import affinity

from gridjig.checks.conflicts import AREA, DEPTH, Clash, clashes, conflict, overlap_words, refusal
from gridjig.checks.neighbours import placed_part
from gridjig.model import Display, Hole, HoleMark, Job, Placement, Plate
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from tests.workshop import EMPTY, TABLE, laid, pin, plate, put, seat, stop


def stood(job: Job) -> list[PlacedPiece]:
    placed_pieces = PlacedPieces().of(job)
    return [placed_pieces[p.id] for p in job.placements]


def pair(a: Placement, b: Placement) -> Clash | None:
    one, two = stood(laid(a, b))
    return conflict(one, two)


def against(a: Placement, part: Plate) -> Clash | None:
    (one,) = stood(laid(a))
    return conflict(one, placed_part(part))


def test_two_pins_in_one_hole() -> None:
    clash = pair(pin("a", 3, 3), pin("b", 3, 3))
    assert clash is not None
    assert (clash.kind, clash.hole, clash.a, clash.b) == ("hole", Hole(3, 3), "a", "b")


def test_holes_are_shared_even_where_bodies_are_clear_of_each_other() -> None:
    clash = pair(structs.replace(pin("a", 3, 3), lift=("riser", "riser")), pin("b", 3, 3))
    assert clash is not None
    assert clash.kind == "hole"


def test_pieces_far_apart_are_no_conflict() -> None:
    assert pair(pin("a", 3, 3), pin("b", 8, 8)) is None


@given(st.floats(-2.0, 2.0))
def test_a_stop_against_a_plate_is_contact_and_pressed_in_is_a_clash(gap: float) -> None:
    """The stop's face lies at y = row - 20; a plate below it comes up to `gap` from it."""
    assume(abs(-gap - DEPTH) > 1e-6)
    edge = TABLE.at(Hole(3, 3))[1] - 20
    clash = against(stop("a", 3, 3), plate("p", 150, edge - 60 - gap))
    if -gap > DEPTH:
        assert clash is not None
        assert clash.kind == "body"
        assert clash.depth == pytest.approx(-gap, abs=1e-6)
        assert clash.area == pytest.approx(-gap * 70, abs=1e-4)
    else:
        assert clash is None


def test_contact_and_overlap_in_height() -> None:
    def under(high: float) -> Clash | None:
        raised = structs.replace(stop("a", 3, 3), lift=("riser",))
        part = structs.replace(plate("p", 150, 150), z_high=high)
        return against(raised, part)

    assert under(50.0) is not None  # the riser stands in it
    raised = structs.replace(stop("a", 3, 3), lift=("shim",) * 6)
    low = plate("p", 205, 190, 20, 20)  # beside the shims, which have no outline
    assert against(raised, low) is None
    assert against(raised, structs.replace(low, z_high=6.04)) is None
    clash = against(raised, structs.replace(low, z_high=7.0))
    assert clash is not None
    assert clash.height == pytest.approx(1.0)


def test_one_arm_may_lie_over_another() -> None:
    over = put("a", "stop", seat("h1", 3, 3), seat("h2", 4, 3), lift=("riser",))
    low = put("b", "slider", seat("s", 1, 3), seat("s", 2, 3))
    clash = pair(over, low)
    assert clash is not None
    raised = structs.replace(over, lift=("shim",) * 25)
    assert pair(raised, low) is None


def test_a_sliver_is_contact_however_long() -> None:
    edge = TABLE.at(Hole(3, 3))[1] - 20
    assert against(stop("a", 3, 3), plate("p", 0, edge - 60 + 0.04, 1000)) is None
    assert AREA < 0.04 * 90


def test_a_slanting_sliver_is_contact_too() -> None:
    """Two edges at a very small angle: more area than a touch, less depth than can be set."""
    x, y = TABLE.at(Hole(3, 3))
    slant = structs.replace(plate("p", x - 20, y - 80), turn=0.03)
    assert against(stop("a", 3, 3), slant) is None
    deeper = structs.replace(slant, turn=0.2)
    assert against(stop("a", 3, 3), deeper) is not None


def test_a_small_corner_is_contact() -> None:
    x, y = TABLE.at(Hole(3, 3))
    corner = plate("p", x - 20 - 99.5, y - 20 - 59.5)
    assert against(stop("a", 3, 3), corner) is None


def test_a_handle_that_sweeps_into_a_piece_is_less_than_a_clash() -> None:
    clamp = put("c", "clamp", seat("p", 8, 8), reach=100.0)
    post = structs.replace(pin("a", 6, 8), lift=("riser",))
    one, two = stood(laid(clamp, post))
    clash = conflict(one, two)
    assert clash is not None
    assert clash.kind == "handle"
    assert refusal(EMPTY, {"c": one}, post) is None


def test_a_pin_in_the_corner_of_a_slanting_arms_box_is_clear_of_it() -> None:
    arm = put("a", "arm", seat("h", 5, 5), turn=45.0)
    assert pair(arm, pin("p", 8, 5)) is None
    assert pair(arm, pin("p", 7, 7)) is not None


def test_what_lies_over_another_is_no_clash_in_the_whole_job() -> None:
    over = structs.replace(stop("a", 3, 3), lift=("shim",) * 25)
    low = put("b", "slider", seat("s", 1, 3), seat("s", 2, 3))
    assert clashes(stood(laid(over, low))) == ()


@pytest.mark.source("method", "symmetry: translation by whole pitches")
@given(st.integers(0, 20), st.integers(0, 17))
def test_a_clash_is_the_same_wherever_on_the_table(col: int, row: int) -> None:
    """A hinged arm has two solids: their bounding box moves with the arm."""
    arm = put("a", "hinge", seat("h1", col, row), seat("h2", col + 2, row), leaf=90.0)
    over = structs.replace(pin("p", col + 1, row + 1), lift=("shim",) * 5)
    clash = pair(arm, over)
    assert clash is not None
    x, y = TABLE.at(Hole(col + 1, row + 1))
    assert math.dist(clash.where, (x, y)) < 20.0
    assert clash.height == pytest.approx(20.0)
    assert pair(arm, structs.replace(over, lift=("shim",) * 40)) is None


def test_two_handles_may_sweep_the_same_room() -> None:
    a = put("a", "clamp", seat("p", 12, 8), reach=100.0)
    b = put("b", "clamp", seat("p", 8, 8), turn=180.0, reach=100.0)
    assert pair(a, b) is None


def test_a_turned_outline_is_where_it_is_drawn() -> None:
    turned = structs.replace(plate("p", 200, 200), turn=90.0)
    assert placed_part(turned).points == ((200, 200), (200, 300), (140, 300), (140, 200))
    assert placed_part(turned) is placed_part(turned)


def test_a_crossing_outline_is_measured_all_the_same() -> None:
    x, y = TABLE.at(Hole(3, 3))
    bow = Plate(id="bow", name="bow", corners=((0, 0), (40, 40), (40, 0), (0, 40)), x=x, y=y)
    for spun in (0.0, 90.0, 180.0, 270.0):
        there = structs.replace(bow, turn=spun, x=x + 10)
        loops = [
            shapely.Polygon(loop)
            for loop in (((0, 0), (20, 20), (0, 40)), ((40, 0), (40, 40), (20, 20)))
        ]
        turned = [affinity.rotate(loop, spun, origin=(0, 0)) for loop in loops]
        steel = shapely.box(-30, -20, 60, 20)  # the stop as seen from the outline's own place
        clash = against(stop("a", 3, 3), there)
        assert clash is not None
        assert clash.area == pytest.approx(sum(steel.intersection(t).area for t in turned))


PLACED = st.lists(
    st.tuples(st.sampled_from(["pin", "stop"]), st.integers(0, 8), st.integers(0, 5)),
    min_size=2,
    max_size=12,
)


@pytest.mark.source("method", "brute force over all pairs of solids, shapely 2.2 areas")
@given(PLACED, st.lists(st.tuples(st.floats(0, 400), st.floats(0, 300)), max_size=3))
@pytest.mark.untraced
def test_a_whole_job_gives_what_all_pairs_give(
    placed: list[tuple[str, int, int]], plates: list[tuple[float, float]]
) -> None:
    make = {"pin": pin, "stop": stop}
    things = [make[kind](f"t{i}", col, row) for i, (kind, col, row) in enumerate(placed)]
    parts = [plate(f"p{i}", x, y) for i, (x, y) in enumerate(plates)]
    job = laid(*things, *parts)
    placed_pieces = stood(job)
    outlines = [placed_part(o) for o in parts]
    assert (len(placed_pieces), len(outlines)) == (len(placed), len(plates))
    expected = set()
    for i, a in enumerate(placed_pieces):
        for b in placed_pieces[i + 1 :]:
            common = max(
                shapely.Polygon(s.points).intersection(shapely.Polygon(t.points)).area
                if min(s.z_high, t.z_high) > max(s.z_low, t.z_low)
                else 0.0
                for s in a.solids
                for t in b.solids
            )
            if set(a.holes) & set(b.holes) or common > AREA:
                expected.add((a.placement.id, b.placement.id))
        for o in outlines:
            area = shapely.Polygon(o.points).intersection(shapely.Polygon(a.solids[0].points))
            if area.area > 60 * DEPTH:  # clear of the limit, whatever the shape
                expected.add((a.placement.id, o.id))
    found = {(c.a, c.b) for c in clashes(placed_pieces, outlines)}
    assert expected <= found
    assert all(
        (conflict(s, t) is not None) == ((s.placement.id, t.placement.id) in found)
        for i, s in enumerate(placed_pieces)
        for t in placed_pieces[i + 1 :]
    )
    assert all(
        (conflict(s, o) is not None) == ((s.placement.id, o.id) in found)
        for s in placed_pieces
        for o in outlines
    )


def test_nothing_clashes_in_an_empty_job() -> None:
    assert clashes([]) == ()
    assert clashes([], [placed_part(plate("p", 0, 0))]) == ()


def test_what_cannot_stand_is_left_out() -> None:
    off = pin("a", 99, 99)
    assert clashes(stood(laid(off, pin("b", 99, 99), pin("c", 1, 1)))) == ()


def why_not(placement: Placement, *others: Placement | Plate, job: Job = EMPTY) -> str | None:
    whole = laid(*others, job=job)
    return refusal(whole, PlacedPieces().of(whole), placement)


@pytest.mark.expectation(24, 85, 88)
def test_refusals_in_words() -> None:
    assert why_not(pin("a", 3, 3)) is None
    off = why_not(pin("a", 23, 3))
    assert off is not None
    assert off.startswith("A pin would be off the table, 1 hole past")
    blocked = structs.replace(TABLE, marks=(HoleMark(Hole(3, 3), "blocked"),))
    assert why_not(pin("a", 3, 3), job=structs.replace(EMPTY, table=blocked)) == (
        "Hole D4 is blocked."
    )
    named = structs.replace(stop("s", 3, 3), name="Stop 4")
    assert why_not(pin("a", 4, 3), named) == "Hole E4 is taken by Stop 4."
    assert why_not(stop("a", 3, 4), plate("tube", 150, 250)) == "It would overlap tube by 20 mm."


@pytest.mark.parametrize(
    ("depth", "display", "told"),
    [
        (0.6, Display(), '.024"'),
        (1.0, Display(denominator=8), '.039"'),
        (1.0, Display(), '≈1/16"'),
        (0.4, Display(denominator=64), '.016"'),
        (20.0, Display(unit="millimetres"), "20 mm"),
    ],
)
def test_an_overlap_is_never_about_nothing(depth: float, display: Display, told: str) -> None:
    clash = Clash("body", "a", "b", (0.0, 0.0), depth=depth)
    assert overlap_words(structs.replace(EMPTY, display=display), clash) == told


def test_a_refusal_passes_over_itself_and_what_moves_along() -> None:
    job = laid(stop("a", 3, 3), pin("b", 4, 4))
    placed_pieces = PlacedPieces().of(job)
    assert refusal(job, placed_pieces, stop("a", 4, 3)) is None
    up = stop("a", 4, 4)
    assert refusal(job, placed_pieces, up) == "Hole E5 is taken by locating pin."
    assert refusal(job, placed_pieces, up, ignoring={"b"}) is None
    with_part = laid(plate("tube", 150, 130))
    assert refusal(with_part, {}, stop("a", 3, 3), ignoring={"tube"}) is None


def test_where_a_clash_is() -> None:
    x, y = TABLE.at(Hole(3, 3))
    clash = against(stop("a", 3, 3), plate("p", x + 60, y - 30))
    assert clash is not None
    assert x + 60 <= clash.where[0] <= x + 70
    assert math.isclose(clash.depth, 10.0)
