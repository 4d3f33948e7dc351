"""Marks of contacts on the plan: what is marked, with which sign, where."""

import math

import pytest
from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.geometry.display import Polyline, Symbol
from gridjig.model import Hole, Job, Placement
from gridjig.sheets.drawings.contacts import draw_contact_bars, draw_contact_signs
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import lay, turned
from tests.workshop import RISER, TABLE, pin, plate, put, seat

X, Y = TABLE.at(Hole(5, 5))


def drawn(job: Job, piece: str) -> tuple[list[Symbol], list[Polyline]]:
    placed = PlacedPieces().of(job)
    found = contacts(job, placed)
    signs = draw_contact_signs(placed[piece], found.pieces[piece], found.roles[piece])
    bars = draw_contact_bars(found.pieces[piece])
    assert all(isinstance(one, Symbol) for one in signs)
    assert all(isinstance(one, Polyline) and one.role == "contact" for one in bars)
    return list(signs), list(bars)  # type: ignore[arg-type]


def test_a_face_has_a_bar_along_what_it_shares_and_a_tick_into_the_work() -> None:
    """The stop's face reaches from 20 mm left of its pin to 30 mm right of it."""
    job = lay(turned("s", 5, 5, 0.0), plate("w", X, Y + 12.0, 200.0, 100.0))
    (sign,), (bar,) = drawn(job, "s")
    left, right = sorted(bar.points)
    assert left == pytest.approx((X, Y + 12.0))
    assert right == pytest.approx((X + 30.0, Y + 12.0))
    assert sign.mark == "touch"
    assert sign.turn == pytest.approx(90.0)  # the work lies in +y
    assert sign.at == pytest.approx((X + 15.0, Y + 12.0))


def test_where_a_face_looks_down_its_sign_makes_room_for_the_name_of_the_piece() -> None:
    job = lay(turned("s", 5, 5, 180.0), plate("w", X - 100.0, Y - 112.0, 200.0, 100.0))
    (sign,), (bar,) = drawn(job, "s")
    assert sign.turn == pytest.approx(270.0)
    low, high = sorted(p[0] for p in bar.points)
    assert (sign.at[0] - low) / (high - low) == pytest.approx(0.12)


def test_a_round_has_a_half_round_where_it_touches() -> None:
    (sign,), bars = drawn(lay(pin("p", 5, 5), plate("w", X + 15.0, Y - 50.0)), "p")
    assert (sign.mark, bars) == ("round touch", [])
    assert sign.turn == pytest.approx(0.0)
    assert sign.at == pytest.approx((X + 15.0, Y))


def riser() -> Placement:
    return put("r", "riser", seat("p", 5, 5))


def test_a_rest_is_marked_beside_its_middle_where_its_pin_is() -> None:
    raised = plate("w", X - 50.0, Y - 30.0)
    job = lay(riser(), structs.replace(raised, z_low=50.0, z_high=56.0))
    (sign,), bars = drawn(job, "r")
    assert (sign.mark, bars) == ("level touch", [])
    assert 9.0 < math.dist(sign.at, (X, Y)) < 18.0  # clear of the pin's middle, on the rest


def test_what_does_not_reach_has_a_sign_of_its_own_and_no_bar() -> None:
    (sign,), bars = drawn(lay(turned("s", 5, 5, 0.0), plate("w", X - 100, Y + 15, 200, 100)), "s")
    assert (sign.mark, bars) == ("apart", [])
    assert sign.at == pytest.approx((X + 5.0, Y + 15.0))


@pytest.mark.parametrize(
    "thing", [turned("s", 5, 5, 180.0), pin("s", 5, 3), put("s", "riser", seat("p", 5, 3))]
)
def test_what_has_nothing_before_it_is_struck_out(thing: Placement) -> None:
    (sign,), bars = drawn(lay(thing, plate("w", 900.0, 900.0)), "s")
    assert (sign.mark, bars) == ("nothing there", [])
    assert sign.at != TABLE.at(thing.seats[0].hole)


def test_a_clamp_is_marked_by_what_its_tip_does() -> None:
    on = put("c", "clamp", seat("p", 8, 6), turn=180.0, reach=100.0)
    under = plate("w", X - 100.0, Y + 12.0, 200.0, 100.0)
    (sign,), _ = drawn(lay(on, under), "c")
    assert sign.mark == "level touch"
    (off,), _ = drawn(lay(on, plate("w", 900.0, 900.0)), "c")
    assert off.mark == "nothing there"


def test_what_stands_in_the_work_is_a_clash_and_no_contact() -> None:
    signs, bars = drawn(lay(turned("s", 5, 5, 0.0), plate("w", X - 100, Y + 2, 200, 100)), "s")
    assert (signs, bars) == ([], [])


def test_a_piece_with_nothing_that_could_touch_has_no_sign() -> None:
    plain = structs.replace(RISER, rests=())
    job = lay(riser(), plate("w", 900.0, 900.0))
    pieces = tuple(plain if piece.id == "riser" else piece for piece in job.rack.pieces)
    bare = structs.replace(job, rack=structs.replace(job.rack, pieces=pieces))
    assert len(drawn(job, "r")[0]) == 1
    assert drawn(bare, "r") == ([], [])
