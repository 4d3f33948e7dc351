"""The pins that make a line together, how often a step is repeated, and what is counted."""

import math

import pytest
from msgspec.structs import replace

from gridjig.files.library.assets import starter_racks
from gridjig.model import Hole
from gridjig.rack import Piece, Round
from gridjig.solve.angles.answers import AngleAnswer, AngleLimits, TakenPiece
from gridjig.solve.angles.finder import answer_places, find_angles
from gridjig.solve.angles.wanted import as_edge
from gridjig.solve.tolerance import judge
from tests.anglekit import apart, body, grid_table, hole_pairs, rack_of, shim

METRIC = starter_racks()["metric-16"]


def raised(piece: Piece, low: float, high: float) -> Piece:
    """The pin with its round body between two heights."""
    (ring,) = piece.rounds
    return replace(piece, rounds=(Round(ring.id, ring.centre, ring.radius, low, high),))


def pins(rack_pieces: tuple[Piece, ...], **limits: object) -> tuple[AngleAnswer, ...]:
    asked = AngleLimits(ways=("pins",), **limits)  # type: ignore[arg-type]
    return find_angles(grid_table(8, 6), rack_of(*rack_pieces), as_edge(30.0), asked).ranked


def test_an_equal_pair_is_one_size_whatever_comes_first_on_the_rack() -> None:
    """Of the first two sizes the rack has one each: neither makes a pair with the other."""
    few = (body(20.0, owned=1), body(25.0, owned=1), body(30.0, owned=2))
    for order in (few, few[::-1], (few[1], few[0], few[2])):
        assert pins(order)[0].line_mm == (15.0, 15.0)


def test_pins_make_a_pair_only_where_a_straight_face_touches_both() -> None:
    low = raised(body(25.0, owned=1, name="low"), 0.0, 20.0)
    high = raised(body(25.0, owned=1, name="high"), 20.0, 40.0)
    tall = raised(body(25.0, owned=1, name="tall"), 10.0, 40.0)
    assert pins((low, high), only_left=True) == ()
    (first, second) = pins((low, high, tall), only_left=True)[0].standing
    assert (first.piece, second.piece) == ("low", "tall")
    two = AngleLimits(ways=("two sizes",))
    other = raised(body(30.0, name="other"), 20.0, 40.0)
    table = grid_table(8, 6)
    assert find_angles(table, rack_of(low, other), as_edge(30.0), two).ranked == ()
    assert find_angles(table, rack_of(tall, other), as_edge(30.0), two).ranked


@pytest.mark.source("method", "brute force over all hole pairs")
@pytest.mark.parametrize("limits", [(0.0, 400.0), (115.0, 400.0), (230.0, 1000.0)])
def test_all_repetitions_of_a_step_that_the_limits_allow(limits: tuple[float, float]) -> None:
    table = grid_table(13, 7)
    low, high = limits
    asked = AngleLimits(ways=("pins",), base_from=low, base_to=high, top=60)
    ranked = find_angles(table, rack_of(body(25.0)), as_edge(26.565), asked).ranked
    directions = {round(line, 9) for *_, line in hole_pairs(table, low, high)}
    assert len(ranked) == min(asked.top, len(directions))
    for answer in ranked:
        m, n = answer.steps
        g = math.gcd(m, n)
        theirs = {
            (k * m // g, k * n // g)
            for k in range(1, 13)
            if max(low, 25.0) <= 50.0 * math.hypot(m / g, n / g) * k <= high
            and abs(k * m // g) < 13
            and abs(k * n // g) < 7
        }
        assert set(answer.multiples) == theirs
        assert answer.multiples[0] == answer.steps
        lengths = [math.hypot(*steps) for steps in answer.multiples]
        assert lengths == sorted(lengths, reverse=True)


@pytest.mark.source("method", "brute force over all hole pairs; a leg so short that many tie")
@pytest.mark.parametrize("top", [1, 3, 10])
def test_of_many_that_tie_the_longest_bases_stand_first(top: int) -> None:
    table = grid_table(14, 9)
    leg = 0.5
    best: dict[tuple[int, int], tuple[int, float]] = {}
    for a, b, base, direction in hole_pairs(table, 25.0):
        m, n = b.col - a.col, b.row - a.row
        g = math.gcd(m, n) * (-1 if n < 0 or (n == 0 and m < 0) else 1)
        error = math.radians(min(apart(direction, 41.0), 89.0))
        key = (round(leg * math.tan(error) / 0.01), -round(base, 3))
        best[m // g, n // g] = min(best.get((m // g, n // g), key), key)
    asked = AngleLimits(ways=("pins",), leg=leg, top=top)
    found = find_angles(table, rack_of(body(25.0)), as_edge(41.0), asked).ranked
    assert [-round(a.base_mm, 3) for a in found] == [k[1] for k in sorted(best.values())[:top]]


def test_where_no_pair_is_left_the_first_of_each_difference_is_told() -> None:
    gone = [body(d, owned=0) for d in (20.0, 25.0, 30.0, 35.0)]
    asked = AngleLimits(ways=("two sizes",), top=60)
    ranked = find_angles(grid_table(8, 6), rack_of(*gone), as_edge(33.0), asked).ranked
    assert len(ranked) == asked.top
    assert not any(answer.on_rack for answer in ranked)
    differ = [
        [standing.piece for standing in answer.standing]
        for answer in ranked
        if answer.line_mm[1] - answer.line_mm[0] == 2.5
    ]
    assert differ == [["pin-20", "pin-25"]] * 11


def test_of_the_pairs_that_are_there_the_first_is_taken() -> None:
    there = [body(d) for d in (20.0, 25.0, 30.0, 35.0)]
    asked = AngleLimits(ways=("two sizes",), top=60)
    seen = set()
    for answer in find_angles(grid_table(8, 6), rack_of(*there), as_edge(33.0), asked).ranked:
        seen.add((answer.standing[0].piece, answer.standing[1].piece))
    first = {("pin-20", other) for other in ("pin-25", "pin-30", "pin-35")}
    assert seen <= first | {(b, a) for a, b in first}
    assert len(seen) > 2


@pytest.mark.source(
    "method", "arithmetic: steps times pairs of sizes, steps times different stacks"
)
def test_how_many_answers_were_looked_at() -> None:
    table = grid_table(6, 5)
    sizes = rack_of(body(25.0), body(20.0), body(32.0))
    found = find_angles(table, sizes, as_edge(33.0), AngleLimits(ways=("two sizes",))).looked_at
    assert found.answers == found.steps * 6
    # Up to two of 1 mm and one of 2 mm: 1, 2, 3 and 4 mm can be made.
    packs = rack_of(body(25.0), shim(1.0, 2), shim(2.0, 1))
    found = find_angles(table, packs, as_edge(33.0), AngleLimits(ways=("shims",))).looked_at
    assert found.answers == found.steps * 4


def test_the_verdict_is_that_of_the_errors_told() -> None:
    asked = AngleLimits(top=60, leg=600.0, shorter_leg=350.0)
    worn = grid_table(12, 9, bore=16.6)
    ranked = find_angles(worn, METRIC, as_edge(33.3), asked).ranked
    assert len({a.way for a in ranked}) > 2
    for a in ranked:
        out = abs(a.error_arcmin) + a.setting_arcmin
        assert a.verdict == judge(out, a.play_arcmin, 350.0)
        for minutes, mm in (
            (a.error_arcmin, a.error_mm),
            (a.setting_arcmin, a.setting_mm),
            (a.play_arcmin, a.play_mm),
        ):
            assert mm == pytest.approx(600.0 * math.tan(math.radians(minutes / 60.0)))
    assert any(a.verdict.finest != a.verdict.with_play for a in ranked)


def test_an_answer_is_on_the_rack_only_with_all_that_it_takes() -> None:
    answer = pins((body(25.0, owned=4),))[0]
    assert answer.on_rack
    short = TakenPiece("shim-1", 2, 1)
    assert not replace(answer, takes=(*answer.takes, short)).on_rack
    assert not replace(answer, takes=()).on_rack


@pytest.mark.source("method", "brute force: all three holes looked up one by one")
def test_the_places_of_three_holes() -> None:
    """The corner where the first place would be is blocked, so that no place starts at A1."""
    blocked = [(c, r) for c in range(4) for r in range(4)] + [(8, 5)]
    table = grid_table(14, 12, blocked=blocked)
    asked = AngleLimits(ways=("arm",), top=80, near=(600.0, 500.0))
    three = [
        a for a in find_angles(table, METRIC, as_edge(60.0), asked).ranked if len(a.holes) == 3
    ]
    assert three
    shut = set(blocked)
    for answer in three:
        first = answer.holes[0]
        off = [(h.col - first.col, h.row - first.row) for h in answer.holes]
        theirs = {
            tuple(Hole(c + m, r + n) for m, n in off)
            for c in range(14)
            for r in range(12)
            if all(
                0 <= c + m < 14 and 0 <= r + n < 12 and (c + m, r + n) not in shut for m, n in off
            )
        }
        assert set(answer_places(table, answer)) == theirs
        assert answer.places == len(theirs)
        near = min(math.dist(table.at(place[0]), (600.0, 500.0)) for place in theirs)
        assert math.dist(table.at(first), (600.0, 500.0)) == pytest.approx(near)


@pytest.mark.parametrize("angle", [0.0, 12.5, 44.0, 89.0, 91.0, 150.0, 178.0])
def test_the_second_pin_stands_ahead_along_the_line(angle: float) -> None:
    table = grid_table(9, 7, pitch_y=40.0)
    asked = AngleLimits(ways=("pins",), top=20)
    t = math.radians(angle)
    ranked = find_angles(table, rack_of(body(25.0)), as_edge(angle), asked).ranked
    assert len(ranked) == asked.top
    for answer in ranked:
        (x1, y1), (x2, y2) = (table.at(hole) for hole in answer.holes)
        assert (x2 - x1) * math.cos(t) + (y2 - y1) * math.sin(t) > 0.0


def test_a_plate_to_be_cut_is_no_answer_from_the_rack() -> None:
    """Only the plate is within the required class: it is offered, and the answer says so."""
    table, rack = grid_table(6, 5), rack_of(body(25.0))
    asked = AngleLimits(angle_class="A", leg=1200.0)
    found = find_angles(table, rack, as_edge(37.5), asked)
    plate = next(a for a in found.nearest if a.way == "plate")
    assert plate.verdict.meets("A")
    assert found.within is False
    assert found.offer is not None
    assert found.offer.way == "plate"
    only = find_angles(table, rack, as_edge(37.5), replace(asked, ways=("plate",)))
    assert only.within is True


def test_more_in_use_than_there_are_leaves_none() -> None:
    best = pins((body(25.0, owned=4),), used=(("pin-25", 9),))[0]
    assert (best.takes[0].left, best.on_rack) == (0, False)
