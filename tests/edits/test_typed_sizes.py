"""A size that was typed stays when another one is changed."""

from pathlib import Path

import pytest
from msgspec import structs

from gridjig.edits.rack import copy_piece, release_sizes, replace_rack, resize_piece
from gridjig.edits.shape import with_outline
from gridjig.edits.sizes import sizes, with_size
from gridjig.edits.typed_sizes import moved_along, typed_sizes, with_size_alone, with_size_typed
from gridjig.files.jobs.job_file import read_job, write_job
from gridjig.files.jobs.rack_file import encode_rack, read_rack, write_rack
from gridjig.files.library.assets import starter_racks
from gridjig.geometry.piece_faults import unsound
from gridjig.rack import Piece
from gridjig.session.document import Document
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


def test_a_size_stays_typed_through_saving_reading_and_copying(tmp_path: Path) -> None:
    """The spacing that is changed another day leaves the length alone that was typed today."""
    before = value(EMPTY.rack.piece("stop"), "length.0")
    free = resize_piece(EMPTY, "stop", "spacing.h2", 60.0).rack.piece("stop")
    assert value(free, "length.0") == pytest.approx(before + 10.0)
    job = resize_piece(EMPTY, "stop", "length.0", before + 4.0)
    assert job.rack.piece("stop").typed == ("length.0",)
    job = read_job(write_job(job))
    job, copied = copy_piece(job, "stop")
    write_rack(tmp_path / "ours.gridrack", job.rack)
    job = replace_rack(EMPTY, read_rack(tmp_path / "ours.gridrack"))
    for piece_id in ("stop", copied):
        kept = resize_piece(job, piece_id, "spacing.h2", 60.0).rack.piece(piece_id)
        assert value(kept, "length.0") == pytest.approx(before + 4.0)
        assert value(kept, "spacing.h2") == pytest.approx(60.0)
        assert kept.typed == ("length.0", "spacing.h2")


def test_a_rack_without_typed_sizes_is_written_as_it_always_was() -> None:
    assert b"typed" not in write_job(EMPTY)
    assert b"typed" not in encode_rack(RACK)
    job = resize_piece(EMPTY, "stop", "length.0", 96.0)
    assert write_job(job).count(b'"typed": ["length.0"]') == 1
    assert write_job(release_sizes(job, "stop")).count(b"typed") == 0


def test_released_sizes_go_along_again() -> None:
    job = release_sizes(resize_piece(EMPTY, "stop", "length.0", 96.0), "stop")
    after = resize_piece(job, "stop", "spacing.h2", 60.0).rack.piece("stop")
    assert value(after, "length.0") == pytest.approx(106.0)


def test_undo_takes_back_what_was_typed() -> None:
    document = Document(EMPTY)
    document.do(resize_piece(EMPTY, "stop", "length.0", 96.0), "Change the length")
    assert document.job.rack.piece("stop").typed == ("length.0",)
    document.undo()
    assert document.job is EMPTY
    document.redo()
    assert document.job.rack.piece("stop").typed == ("length.0",)


def test_a_typed_size_that_a_new_outline_does_not_have_is_typed_no_longer() -> None:
    job = resize_piece(EMPTY, "stop", "length.0", 96.0)
    job = resize_piece(job, "stop", "height", 44.0)
    piece = job.rack.piece("stop")
    assert piece.typed == ("length.0", "height")
    low, high = (pick(x for x, _ in piece.solids[0].outline) for pick in (min, max))
    wider = tuple((x + 5 if x == high else x, y) for x, y in piece.solids[0].outline)
    assert with_outline(piece, 0, wider).typed == ("height",)
    assert value(with_outline(piece, 0, wider), "length.0") == pytest.approx(high - low + 5)
    same = tuple((x, y) for x, y in piece.solids[0].outline)
    assert with_outline(piece, 0, same).typed == ("length.0", "height")


def test_a_size_that_there_is_no_longer_is_not_kept() -> None:
    odd = structs.replace(EMPTY.rack.piece("stop"), typed=("spacing.gone",))
    assert typed_sizes(odd) == ()
    assert with_size_typed(odd, "height", 44.0).typed == ("height",)


def test_pieces_are_alike_whichever_sizes_were_typed() -> None:
    stop = EMPTY.rack.piece("stop")
    assert stop.is_alike(structs.replace(stop, typed=("height",)))
    assert not stop.is_alike(structs.replace(stop, typed=("height",), owned=99))
