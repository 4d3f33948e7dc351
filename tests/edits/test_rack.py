import pytest
from msgspec import structs

from gridjig.edits.rack import (
    KINDS,
    add_piece,
    blank_piece,
    copy_piece,
    free_id,
    remove_piece,
    replace_rack,
    resize_piece,
    set_bin,
    set_owned,
    set_piece,
    set_walk,
)
from gridjig.files.library.assets import rack_for, ready_tables, starter_racks
from gridjig.geometry.piece_faults import unsound
from gridjig.model import Job
from gridjig.rack import PieceKind, Rack
from tests.workshop import EMPTY, PIN, RACK, SHIM, STOP, laid, pin, put, seat, stop

STARTER = structs.replace(EMPTY, rack=rack_for(ready_tables()["1200x1200-50"]))


def test_counts_and_bins_are_set() -> None:
    job = set_bin(set_owned(EMPTY, "stop", 11), "stop", "  B  7 ")
    assert job.rack.piece("stop").owned == 11
    assert job.rack.piece("stop").bin == "B 7"
    assert job.rack.walk == ("A1", "A2", "B 7")
    assert set_bin(job, "pin", "A1").rack.walk == job.rack.walk
    assert set_bin(job, "stop", "").rack.piece("stop").bin == ""


def test_an_edit_that_changes_nothing_gives_the_same_job() -> None:
    assert set_owned(EMPTY, "stop", STOP.owned) is EMPTY
    assert set_walk(EMPTY, ("A1", "A2", "A1")) is EMPTY
    assert replace_rack(EMPTY, structs.replace(RACK)) is EMPTY


@pytest.mark.parametrize("owned", [-1, 100_001])
def test_a_count_out_of_range_is_refused(owned: int) -> None:
    with pytest.raises(ValueError, match=r"0 to 100,000"):
        set_owned(EMPTY, "stop", owned)


def test_a_bin_with_too_long_a_name_is_refused() -> None:
    with pytest.raises(ValueError, match="40 characters"):
        set_bin(EMPTY, "stop", "x" * 41)


def test_a_copy_is_another_piece_of_the_same_shape() -> None:
    job, first = copy_piece(EMPTY, "stop")
    job, second = copy_piece(job, first)
    assert (first, second) == ("stop-copy", "stop-copy-2")
    copy = job.rack.piece(first)
    assert copy.owned == 0
    assert copy.solids == STOP.solids
    assert job.rack.piece("stop") == STOP


def test_a_copy_can_be_given_another_size() -> None:
    job, own = copy_piece(STARTER, "stop-fixed")
    job = resize_piece(job, own, "face.face", 32.0)
    assert job.rack.piece(own).faces[0].a[1] == pytest.approx(32.0)
    assert STARTER.rack.piece("stop-fixed").faces[0].a[1] == 25.0


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", list(starter_racks()))
def test_a_piece_of_ones_own_can_be_begun_for_every_kind(name: str, kind: PieceKind) -> None:
    rack = starter_racks()[name]
    job = structs.replace(EMPTY, rack=rack)
    piece = blank_piece(rack, kind, rack)
    assert piece.kind == kind
    assert unsound(piece) is None
    assert add_piece(job, piece).rack.pieces[-1] == piece
    with pytest.raises(ValueError, match="already"):
        add_piece(add_piece(job, piece), piece)


def test_a_new_piece_takes_pins_that_the_shop_has() -> None:
    templates = starter_racks()["metric-16"]
    own = Rack(name="Own", pieces=(templates.piece("lock-pin-long"),))
    assert blank_piece(own, "square", templates).takes == ("lock-pin-long",)
    assert blank_piece(Rack(name="Bare"), "square", templates).takes == (
        "lock-pin",
        "lock-pin-long",
    )


def test_a_kind_without_a_template_is_refused() -> None:
    with pytest.raises(ValueError, match="no V-block to start from"):
        blank_piece(RACK, "V-block", RACK)


def refused(job: Job, piece: str) -> str:
    with pytest.raises(ValueError, match=r".") as caught:
        remove_piece(job, piece)
    return str(caught.value)


def test_a_piece_is_removed_unless_the_job_needs_it() -> None:
    assert remove_piece(EMPTY, "stop").rack.find("stop") is None
    job = laid(stop("a", 2, 2), put("b", "pin", seat("p", 9, 9), lift=("riser",)), pin("c", 1, 9))
    assert refused(job, "stop") == (
        "fixed stop is in use on the table once. Take it off there first."
    )
    assert "2 times" in refused(job, "pin")
    assert "riser is in use" in refused(job, "riser")
    assert refused(job, "bolt") == (
        "locking pin pins fixed stop to the table. Take that off the table first."
    )
    assert remove_piece(laid(pin("c", 1, 1)), "bolt").rack.find("bolt") is None
    with pytest.raises(KeyError):
        remove_piece(EMPTY, "nothing")


def test_a_placed_piece_keeps_the_hole_it_stands_on() -> None:
    job = laid(stop("a", 2, 2))
    with pytest.raises(ValueError, match="is mounted by its h2"):
        set_piece(job, structs.replace(STOP, mounts=STOP.mounts[:1]))
    assert set_piece(job, structs.replace(STOP, owned=1)).rack.piece("stop").owned == 1
    assert set_piece(job, structs.replace(PIN, mounts=())).rack.piece("pin").mounts == ()
    without = structs.replace(RACK, pieces=tuple(p for p in RACK.pieces if p.id != "stop"))
    with pytest.raises(ValueError, match="fixed stop is on the table"):
        replace_rack(job, without)
    more = structs.replace(RACK, pieces=(*RACK.pieces, structs.replace(PIN, id="pin-2")))
    assert replace_rack(job, more).rack == more
    assert replace_rack(EMPTY, without).rack == without


def test_free_ids() -> None:
    assert free_id(RACK, "new") == "new"
    assert free_id(RACK, "stop") == "stop-copy"
    job, _ = copy_piece(EMPTY, SHIM.id)
    assert free_id(job.rack, "shim-copy") == "shim-copy-2"


def test_the_pin_that_holds_a_piece_is_the_first_that_the_rack_has() -> None:
    """A piece that prefers another pin is held by the one that the rack has."""
    rack = RACK.with_piece(structs.replace(STOP, takes=("gone", "bolt")))
    job = structs.replace(laid(stop("s", 3, 3)), rack=rack)
    with pytest.raises(ValueError, match="pins fixed stop to the table"):
        remove_piece(job, "bolt")
    assert remove_piece(structs.replace(job, placements=()), "bolt").rack.find("bolt") is None
