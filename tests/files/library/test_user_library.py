from pathlib import Path

import pytest
from msgspec import structs

from gridjig.files.format.faults import ReadFault, SaveFault
from gridjig.files.library import user_library
from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.files.library.user_library import UserLibrary
from gridjig.files.storage.locations import user_library_file
from tests.workshop import RACK

READY = next(iter(ready_tables().values()))
MINE = structs.replace(READY, name="Bench by the door")


def test_nothing_is_kept_at_first() -> None:
    assert user_library.load() == UserLibrary()
    assert user_library.offered_tables() == ready_tables()
    assert user_library.offered_racks() == starter_racks()


def test_a_kept_table_is_offered_after_the_ready_ones_until_it_is_forgotten() -> None:
    user_library.keep_table(MINE)
    assert list(user_library.offered_tables().values()) == [*ready_tables().values(), MINE]
    user_library.forget_table(MINE.name)
    assert user_library.offered_tables() == ready_tables()


def test_a_kept_rack_is_offered_after_the_starter_racks_until_it_is_forgotten() -> None:
    user_library.keep_rack(RACK)
    assert list(user_library.offered_racks().values())[-1] == RACK
    user_library.forget_rack(RACK.name)
    assert user_library.offered_racks() == starter_racks()


def test_a_namesake_is_replaced_and_counts_as_kept_last() -> None:
    other = structs.replace(MINE, name="Bench at the back")
    user_library.keep_table(MINE)
    user_library.keep_table(other)
    thicker = structs.replace(MINE, thickness=25.0)
    user_library.keep_table(thicker)
    assert user_library.load().tables == (other, thicker)


def test_a_damaged_file_is_said_left_out_of_the_offer_and_never_written_over(
    caplog: pytest.LogCaptureFixture,
) -> None:
    user_library.keep_table(MINE)
    path: Path = user_library_file()
    damaged = path.read_bytes().replace(b'"thickness": 9.525', b'"thickness": -9.525')
    path.write_bytes(damaged)
    with pytest.raises(ReadFault, match="thickness"):
        user_library.load()
    with pytest.raises(SaveFault, match="cannot be read"):
        user_library.keep_table(MINE)
    assert path.read_bytes() == damaged
    assert user_library.offered_tables() == ready_tables()
    assert "left out" in caplog.text


def test_two_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="Bench by the door"):
        UserLibrary(tables=(MINE, MINE))
    with pytest.raises(ValueError, match="two racks"):
        UserLibrary(racks=(RACK, RACK))
