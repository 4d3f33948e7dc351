from gridjig.model.titles import title, titles
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
