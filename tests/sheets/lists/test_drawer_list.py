"""The rack as the drawer lists it."""

from msgspec import structs

from gridjig.rack import Piece, RoundHole
from gridjig.sheets.lists.drawer_list import DrawerLine, drawer_lines
from tests.workshop import EMPTY, laid, put, seat, stop


def test_every_piece_stands_under_its_kind_with_what_is_left() -> None:
    lines = drawer_lines(laid(stop("s", 2, 2)))
    by_id = {line.piece_id: line for line in lines if line.piece is not None}
    assert set(by_id) == {p.id for p in EMPTY.rack.pieces}
    assert by_id["stop"].count_words == "5 of 6 left"
    assert by_id["bolt"].count_words == "10 of 12 left · bin A1"
    assert by_id["stop"].heading == "Fixed stops"
    headings = [line.heading for line in lines if line.piece is None]
    assert len(headings) == len(set(headings))


def test_more_than_owned_is_short_in_words_and_sign() -> None:
    job = laid(*(put(f"s{n}", "slider", seat("s", 1, n)) for n in range(6)))
    line = next(x for x in drawer_lines(job) if x.piece_id == "slider")
    assert line.short
    assert line.count_words == "▲ short by 2"


def test_every_word_of_a_search_must_be_found() -> None:
    def found(text: str) -> set[str]:
        return {x.piece_id for x in drawer_lines(EMPTY, text) if x.piece is not None}

    assert found("arm") == {"arm", "hinge"}
    assert found("ARM swing") == {"arm"}
    assert found("a1") == {"bolt"}
    assert found("zeppelin") == set()
    assert drawer_lines(EMPTY, "zeppelin") == ()


def test_lines_say_what_can_be_done() -> None:
    lines = {x.piece_id or x.heading: x for x in drawer_lines(EMPTY)}
    assert "Drag it to a hole" in lines["stop"].help
    assert lines["bolt"].help.startswith("locking pin: is placed with the piece")
    assert "add it under" in lines["shim"].help
    head = lines["Clamps"]
    assert (head.spoken, head.help, head.name, head.size, head.count_words) == (
        "Clamps",
        "",
        "Clamps",
        "",
        "",
    )
    assert not head.can_place
    assert lines["stop"].spoken == "fixed stop, 6 of 6 left"


def test_a_piece_is_called_without_what_its_heading_says() -> None:
    arm = Piece(
        id="a", name="Arm, leaf and scale", kind="arm", mounts=(RoundHole("h", (0, 0), 16),)
    )
    assert DrawerLine("Arms", arm).short_name == "Leaf and scale"
    assert DrawerLine("Stops", structs.replace(arm, name="fixed stop")).short_name == "Fixed stop"
    assert DrawerLine("Arms").short_name == "Arms"
