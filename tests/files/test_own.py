from pathlib import Path

import pytest
from msgspec import structs

from gridjig.files import own
from gridjig.files.assets import ready_tables, starter_racks
from gridjig.files.faults import ReadFault, SaveFault
from gridjig.files.own import Own
from gridjig.files.places import own_file
from tests.workshop import RACK

READY = next(iter(ready_tables().values()))
MINE = structs.replace(READY, name="Bench by the door")


def test_nothing_is_kept_at_first() -> None:
    assert own.load() == Own()
    assert own.offered_tables() == ready_tables()
    assert own.offered_racks() == starter_racks()


def test_a_kept_table_is_offered_after_the_ready_ones_until_it_is_forgotten() -> None:
    own.keep_table(MINE)
    assert list(own.offered_tables().values()) == [*ready_tables().values(), MINE]
    own.forget_table(MINE.name)
    assert own.offered_tables() == ready_tables()


def test_a_kept_rack_is_offered_after_the_starter_racks_until_it_is_forgotten() -> None:
    own.keep_rack(RACK)
    assert list(own.offered_racks().values())[-1] == RACK
    own.forget_rack(RACK.name)
    assert own.offered_racks() == starter_racks()


def test_a_namesake_is_replaced_in_its_place() -> None:
    other = structs.replace(MINE, name="Bench at the back")
    own.keep_table(MINE)
    own.keep_table(other)
    thicker = structs.replace(MINE, thickness=25.0)
    own.keep_table(thicker)
    assert own.load().tables == (thicker, other)


def test_a_damaged_file_is_said_left_out_of_the_offer_and_never_written_over(
    caplog: pytest.LogCaptureFixture,
) -> None:
    own.keep_table(MINE)
    path: Path = own_file()
    damaged = path.read_bytes().replace(b'"thickness": 9.525', b'"thickness": -9.525')
    path.write_bytes(damaged)
    with pytest.raises(ReadFault, match="thickness"):
        own.load()
    with pytest.raises(SaveFault, match="cannot be read"):
        own.keep_table(MINE)
    assert path.read_bytes() == damaged
    assert own.offered_tables() == ready_tables()
    assert "left out" in caplog.text


def test_two_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="Bench by the door"):
        Own(tables=(MINE, MINE))
    with pytest.raises(ValueError, match="two racks"):
        Own(racks=(RACK, RACK))
