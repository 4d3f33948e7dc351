"""A size that was typed stays when another one is changed."""

import pytest

from gridjig.edits.rack import resize_piece
from gridjig.edits.sizes import sizes, with_size
from gridjig.edits.typed_sizes import moved_along, with_size_alone
from gridjig.files.library.assets import starter_racks
from gridjig.geometry.piece_faults import unsound
from gridjig.rack import Piece
from tests.workshop import EMPTY

RACK = starter_racks()["inch-3-4"]
SQUARE = RACK.piece("square-three-hole")


def value(piece: Piece, size_id: str) -> float:
    return next(size.value for size in sizes(piece) if size.id == size_id)


def test_a_wider_spacing_leaves_a_typed_length() -> None:
    long = with_size(SQUARE, "length.0", 200.0)
    free = with_size(long, "spacing.along", 120.0)
    assert value(free, "length.0") == pytest.approx(218.4)
    kept = with_size_alone(long, "spacing.along", 120.0, {"length.0", "spacing.along"})
    assert value(kept, "length.0") == pytest.approx(200.0)
    assert value(kept, "spacing.along") == pytest.approx(120.0)
    assert unsound(kept) is None


def test_every_typed_size_stays() -> None:
    typed = {"length.0": 200.0, "width.0": 180.0, "face.inside-along": 30.0, "height": 20.0}
    piece = SQUARE
    for key, wanted in typed.items():
        piece = with_size_alone(piece, key, wanted, typed)
    piece = with_size_alone(piece, "spacing.across", 95.0, typed)
    assert {key: value(piece, key) for key in typed} == pytest.approx(typed)
    assert value(piece, "spacing.across") == pytest.approx(95.0)


def test_a_typed_size_without_steel_for_the_new_one_is_a_refusal() -> None:
    long = with_size(SQUARE, "length.0", 130.0)
    with pytest.raises(ValueError, match=r"Overall, left to right was typed as 130 mm, and there"):
        with_size_alone(long, "spacing.along", 150.0, {"length.0"})


def test_what_moves_along_is_told() -> None:
    wider = with_size(SQUARE, "spacing.along", 120.0)
    assert [
        (size.id, round(size.value, 2)) for size in moved_along(SQUARE, wider, "spacing.along")
    ] == [("length.0", 151.75)]
    assert moved_along(SQUARE, SQUARE, "") == ()


def test_the_rack_takes_the_sizes_that_stay() -> None:
    job = EMPTY
    stop = job.rack.piece("stop")
    before = value(stop, "length.0")
    free = resize_piece(job, "stop", "spacing.h2", 60.0).rack.piece("stop")
    kept = resize_piece(job, "stop", "spacing.h2", 60.0, typed={"length.0"}).rack.piece("stop")
    assert value(free, "length.0") == pytest.approx(before + 10.0)
    assert value(kept, "length.0") == pytest.approx(before)
