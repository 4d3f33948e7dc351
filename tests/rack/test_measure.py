"""Whether a piece is made to inches or millimetres, by its words and by its sizes."""

from collections import Counter

import pytest
from msgspec import structs

from gridjig.files.library.assets import starter_racks
from gridjig.rack import Piece, Rack
from gridjig.rack.measure import is_same_thing, measure_of

RACKS = starter_racks()


@pytest.mark.parametrize(("name", "rack"), RACKS.items(), ids=list(RACKS))
def test_the_starter_racks_are_what_they_are_called(name: str, rack: Rack) -> None:
    wanted = name.split("-", maxsplit=1)[0]
    assert Counter(measure_of(piece) for piece in rack.pieces) == {wanted: len(rack.pieces)}
    unsaid = [str(measure_of(structs.replace(piece, size=""))) for piece in rack.pieces]
    assert set(unsaid) <= {wanted, ""}
    assert unsaid.count(wanted) >= 36


def test_a_piece_without_sizes_says_nothing() -> None:
    assert measure_of(Piece(id="thing", name="Thing", kind="other")) == ""


@pytest.mark.parametrize("piece_id", ["stop-fixed", "lock-pin", "square-two-hole"])
def test_inch_and_metric_kinds_are_different_things(piece_id: str) -> None:
    inch, metric = RACKS["inch-5-8"].piece(piece_id), RACKS["metric-16"].piece(piece_id)
    assert not is_same_thing(inch, metric)  # although 5/8 in is nearly 16 mm
    assert is_same_thing(inch, structs.replace(inch, owned=99, size="short"))
    assert not is_same_thing(inch, RACKS["inch-3-4"].piece(piece_id))  # for other holes
    assert not is_same_thing(inch, structs.replace(inch, kind="other"))
