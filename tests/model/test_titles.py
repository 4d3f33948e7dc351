from msgspec import structs

from gridjig.model.titles import title, titles, weldment_title
from tests.workshop import EMPTY, laid, pin, plate, put, seat

JOB = laid(pin("pin-1", 2, 2), pin("pin-2", 4, 2), plate("bar", 100, 100))


def test_what_things_are_called_in_a_sentence() -> None:
    named = laid(put("x", "pin", seat("p", 7, 7), name="north pin"), job=JOB)
    assert title(named, "x") == "north pin"
    assert title(JOB, "pin-1") == "locating pin"
    assert title(JOB, "bar") == "bar"
    assert title(JOB, "gone") == "gone"
    assert title(laid(put("y", "lost", seat("p", 1, 1)), job=EMPTY), "y") == "lost"
    assert titles(JOB, ["pin-1"]) == "locating pin"
    assert titles(JOB, ["pin-1", "bar"]) == "1 piece and 1 part"


def test_a_name_turns_no_sentence_round_and_an_invisible_one_is_none() -> None:
    named = laid(
        put("x", "pin", seat("p", 7, 7), name="north\u202e pin\x07"),
        put("y", "pin", seat("p", 9, 7), name="\u202e"),
        structs.replace(plate("bar", 300, 300), name="bar\u2067"),
    )
    assert [title(named, one) for one in ("x", "y", "bar")] == ["north pin", "locating pin", "bar"]
    (one,) = named.weldments
    gate = structs.replace(named, weldments=(structs.replace(one, name="gate\u202e"),))
    assert weldment_title(gate, one.id) == "gate"
