import math

import pytest
from msgspec import structs

from gridjig.geometry.display import Arc, Polyline
from gridjig.model import Hole, Job, Placement
from gridjig.model.labels import find_hole
from gridjig.rack import RoundHole
from gridjig.session.document import Document
from gridjig.tools.core.pointer import Pointer
from gridjig.tools.select.drag_piece import reach_marks
from gridjig.tools.select.handles import handles
from tests.driver import Driver
from tests.trials.layout import empty, load, with_stop
from tests.workshop import BORE, EMPTY, RACK, laid, pin, plate, put, seat, stop

ARM = put("a", "arm", seat("h", 8, 8), seat("a", 10, 8))
SLIDER = put("l", "slider", seat("s", 8, 8), seat("s", 7, 8), slide=80.0)
LOOSE = put("l", "slider", seat("s", 8, 8), slide=40.0)
HINGE = put("g", "hinge", seat("h1", 8, 8), seat("h2", 10, 8), leaf=90.0)
CLAMP = put("c", "clamp", seat("p", 8, 8), reach=100.0)


def driver(
    thing: Placement, *more: object, take: str = "swing"
) -> tuple[Driver, tuple[float, float]]:
    job: Job = laid(thing, *more)  # type: ignore[arg-type]
    d = Driver(job).select(thing.id)
    (handle,) = [h for h in handles(d.job, d.document.placed_pieces, thing.id) if h.move == take]
    return d, handle.at


def about(
    centre: tuple[float, float], at: tuple[float, float], degrees: float
) -> tuple[float, float]:
    a = math.radians(degrees)
    dx, dy = at[0] - centre[0], at[1] - centre[1]
    return (
        centre[0] + dx * math.cos(a) - dy * math.sin(a),
        centre[1] + dx * math.sin(a) + dy * math.cos(a),
    )


def test_an_arm_swings_within_what_its_slot_lets() -> None:
    d, end = driver(ARM)
    centre = d.at("I9")
    d.press(end).move(about(centre, end, 20)).expect_hint("Swing arm: 20°")
    assert d.placement("a", shown=True).turn == 20
    assert any(isinstance(s, Arc) and s.role == "reach" for s in d.overlay)
    assert {"I9", "K9"} <= set(d.words)
    d.release(about(centre, end, 20)).expect_step("Turn swing arm")
    assert d.document.placed_pieces["a"].turn == 20


def test_beyond_its_slot_the_nearest_hole_takes_over() -> None:
    d, end = driver(ARM)
    d.press(end).move(about(d.at("I9"), end, 80))
    assert d.placement("a", shown=True).seats[1].hole == Hole(8, 10)
    assert d.placement("a", shown=True).turn == 80


def test_whole_degrees_unless_snapping_is_off() -> None:
    d, end = driver(ARM)
    to = about(d.at("I9"), end, 20.3)
    d.press(end).move(to)
    assert d.placement("a", shown=True).turn == 20
    d.move(to, free=True)
    assert d.placement("a", shown=True).turn == pytest.approx(20.3)
    d.move(about(d.at("I9"), end, 20.32), fine=True)
    assert d.placement("a", shown=True).turn == 20.3


def test_a_pinned_stop_swings_from_hole_to_hole() -> None:
    d, end = driver(stop("s", 8, 8))
    d.press(end).move(about(d.at("I9"), end, 60)).expect_hint("Fixed stop: 90°")
    ticks = [s for s in d.overlay if isinstance(s, Polyline) and s.role == "reach"]
    assert len(ticks) == 4
    d.release(about(d.at("I9"), end, 60)).expect_step("Turn fixed stop")
    assert d.placement("s").seats[1].hole == Hole(8, 9)


@pytest.mark.expectation(24)
def test_what_lies_in_the_way_is_said_and_the_drop_refused() -> None:
    block = structs.replace(plate("block", 430, 500, 40, 40), z_high=50)
    d, end = driver(stop("s", 8, 8), block)
    job = d.job
    d.press(end).move(about(d.at("I9"), end, 90)).expect_hint("overlap block")
    assert "clash" in d.roles
    d.release(about(d.at("I9"), end, 90)).expect_hint("put back").expect_untouched(job)


def test_a_taken_hole_is_left_out() -> None:
    d, end = driver(stop("s", 8, 8), pin("p", 8, 9))
    d.press(end).move(about(d.at("I9"), end, 80)).expect_hint("Fixed stop: 0°")


def test_a_stop_slides_along_its_slot_in_ticks_of_the_unit() -> None:
    d, end = driver(SLIDER)
    d.press(end).move((end[0] + 20.4, end[1] + 33)).expect_hint("face 70 mm from the hole")
    assert d.document.placed_pieces["l"].solids[0].points[1][0] == pytest.approx(end[0] + 20)
    d.release((end[0] + 20.4, end[1] + 33)).expect_step("Slide adjustable stop")
    d, end = driver(SLIDER)
    d.press(end).move((end[0] + 20.4, end[1]), free=True)
    assert d.placement("l", shown=True).slide == pytest.approx(59.6)


def test_it_slides_no_further_than_its_slot_is_long() -> None:
    d, end = driver(SLIDER)
    d.press(end).move((end[0] + 500, end[1]))
    assert d.placement("l", shown=True).slide == 50


def test_on_one_pin_the_end_follows_the_pointer() -> None:
    d, end = driver(LOOSE)
    centre = d.at("I9")
    to = (centre[0], centre[1] + 70.0)
    d.press(end).move(to)
    there = d.document.placed_pieces["l"]
    assert there.turn == pytest.approx(90)
    assert there.slide == pytest.approx(60)
    d.expect_hint("90°", "face 70 mm from the hole")


def test_an_arm_opens_about_its_pivot_by_its_scale() -> None:
    d, end = driver(HINGE, take="open")
    pivot = (d.at("I9")[0] + 50, d.at("I9")[1])
    d.press(end).move(about(pivot, end, -53.13)).expect_hint("opened to 37°")
    assert any(isinstance(s, Arc) for s in d.overlay)
    d.release(about(pivot, end, -53.13)).expect_step("Open hinged arm")
    assert d.placement("g").leaf == 37
    d.press(about(pivot, end, -53)).move(about(pivot, end, -120))
    assert d.placement("g", shown=True).leaf == 0


def test_a_flipped_arm_opens_the_other_way() -> None:
    d, end = driver(structs.replace(HINGE, flipped=True), take="open")
    pivot = (d.at("I9")[0] + 50, d.at("I9")[1])
    assert end[1] < pivot[1]
    d.press(end).move(about(pivot, end, 20)).expect_hint("opened to 70°")
    (arc,) = [s for s in d.overlay if isinstance(s, Arc)]
    assert (arc.start % 360, arc.end % 360) == pytest.approx((180, 0))


def test_a_clamp_reaches_out_and_turns_by_its_tip() -> None:
    d, end = driver(CLAMP, take="reach")
    centre = d.at("I9")
    d.press(end).move((centre[0], centre[1] + 130.2)).expect_hint("90°, reaches 130 mm")
    assert any(isinstance(s, Polyline) and s.role == "reach" for s in d.overlay)
    d.release((centre[0], centre[1] + 130.2)).expect_step("Reach down clamp")
    assert d.placement("c").reach == 130
    d, end = driver(CLAMP, take="reach")
    d.press(end).move((centre[0] + 500, centre[1]))
    assert d.placement("c", shown=True).reach == 160
    d.move((centre[0] + 110.5, centre[1]), free=True)
    assert d.placement("c", shown=True).reach == 110.5


@pytest.mark.expectation(22)
def test_escape_puts_the_end_back() -> None:
    d, end = driver(ARM)
    job = d.job
    d.press(end).move(about(d.at("I9"), end, 20)).key("escape").release().expect_untouched(job)
    d.press(end).move(about(d.at("I9"), end, 20)).move(end).release(end).expect_untouched(job)


def test_only_one_selected_piece_that_stands_has_handles() -> None:
    job = laid(
        ARM,
        pin("p", 2, 2),
        plate("bar", 10, 10),
        put("x", "stop", seat("h1", 1, 1), seat("h2", 9, 9)),
    )
    placed_pieces = Document(job).placed_pieces
    assert handles(job, placed_pieces, "p") == ()
    assert handles(job, placed_pieces, "bar") == ()
    assert handles(job, placed_pieces, "x") == ()
    assert handles(job, placed_pieces, "gone") == ()
    assert {h.move for h in handles(job, placed_pieces, "a")} == {"swing"}


def test_ticks_that_would_be_one_blot_are_drawn_once() -> None:
    many = [(k / 1000, k / 1000) for k in range(100)]
    drawn = reach_marks((0, 0), 100, many, Pointer(0, 0, table_mm=1))
    assert len(drawn) < 5


LOCKING = structs.replace(
    RACK.piece("hinge"),
    id="lockarm",
    name="locking arm",
    mounts=(
        *RACK.piece("hinge").mounts,
        RoundHole("lock", (100, 0), BORE, body=1),
    ),
)
LOCKED = put("k", "lockarm", seat("h1", 8, 8), seat("h2", 10, 8), seat("lock", 9, 10), leaf=90.0)


def test_a_locked_arm_opens_from_lock_hole_to_lock_hole() -> None:
    job = structs.replace(EMPTY, rack=RACK.with_piece(LOCKING), placements=(LOCKED,))
    d = Driver(job).select("k")
    assert d.document.placed_pieces["k"].leaf_hole == Hole(9, 10)
    (handle,) = [h for h in handles(job, d.document.placed_pieces, "k") if h.move == "open"]
    pivot = (d.at("I9")[0] + 50, d.at("I9")[1])
    d.press(handle.at).move(about(pivot, handle.at, 70)).expect_hint("opened to 180°")
    ticks = [s for s in d.overlay if isinstance(s, Polyline) and s.role == "reach"]
    assert len(ticks) == 3
    d.release(about(pivot, handle.at, 70)).expect_step("Open locking arm")
    assert d.placement("k").seats[2].hole == Hole(7, 8)


def test_a_clamp_that_two_pins_hold_only_reaches() -> None:
    held = structs.replace(
        RACK.piece("clamp"),
        id="held",
        mounts=(RoundHole("h1", (0, 0), BORE), RoundHole("h2", (-50, 0), BORE)),
        takes=("bolt",),
    )
    clamp = put("c", "held", seat("h1", 8, 8), seat("h2", 7, 8), reach=100.0)
    job = structs.replace(EMPTY, rack=RACK.with_piece(held), placements=(clamp,))
    d = Driver(job).select("c")
    (handle,) = [h for h in handles(job, d.document.placed_pieces, "c") if h.move == "reach"]
    d.press(handle.at).move((handle.at[0] + 20, handle.at[1] + 60))
    d.expect_hint("Down clamp: reaches 120 mm").release().expect_step("Reach down clamp")
    assert d.placement("c").turn == 0


def test_an_arm_whose_second_body_has_no_room_has_no_handle_to_open_it() -> None:
    bare = structs.replace(RACK.piece("hinge"), id="bare", solids=RACK.piece("hinge").solids[:1])
    thing = put("b", "bare", seat("h1", 8, 8), seat("h2", 10, 8))
    job = structs.replace(EMPTY, rack=RACK.with_piece(bare), placements=(thing,))
    assert {h.move for h in handles(job, Document(job).placed_pieces, "b")} == {"swing"}


@pytest.mark.expectation(25, 33)
@pytest.mark.source("method", "starter rack: the face stands 1/2 to 2-1/2 in from the first pin")
def test_the_adjustable_stop_of_the_starter_rack_slides_by_its_face() -> None:
    """Its slot runs across the face, so along the depth of the piece."""
    trial = load("T01")
    d = Driver(with_stop(empty(trial), trial["stops"][3])).select("stop-1")
    (handle,) = handles(d.job, d.document.placed_pieces, "stop-1")
    assert handle.slides
    assert handle.at == pytest.approx((15 * 25.4, 35.5 * 25.4))
    d.press(handle.at).move((15 * 25.4, 36 * 25.4))
    assert not {"H19", "H20"} & set(d.words)  # its holes stay: their names would hide it
    d.release((15 * 25.4, 36 * 25.4))
    (face,) = d.document.placed_pieces["stop-1"].faces
    assert face.a[1] == pytest.approx(36 * 25.4)
    assert d.hole("stop-1") == find_hole(d.job.table, "H19")


def test_a_press_on_the_pin_beside_the_free_end_moves_the_piece() -> None:
    """However far the view: the grip of the handle would reach over both pins of the stop."""
    d = Driver(laid(stop("s", 8, 8))).zoom(8.8).select("s")
    d.press("I9").move("I12").release("I12").expect_step("Move fixed stop to I12")
