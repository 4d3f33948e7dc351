"""A suggestion in words: its numbers, the reasons for its pieces, and why there is none."""

from msgspec import structs

from gridjig.model.weldment import Weldment
from gridjig.proof.report import NOTHING
from gridjig.sheets.text.suggestion_text import (
    alternative_lines,
    card_lines,
    none_lines,
    pieces_of_line,
    reason_lines,
)
from gridjig.suggest.values import Alternative, Because, Lack, Moved, Suggestion
from tests.workshop import laid, pin, plate

JOB = laid(plate("a", 200, 200), pin("p", 3, 3), pin("q", 5, 3))
PLAIN = Alternative(
    job=JOB,
    score=120.0,
    bound=120.0,
    pieces=2,
    packings=0,
    shift=(0.0, 0.0),
    turn=0.0,
    added=("p", "q"),
    why=(Because("p", "a", "long face", "It stops a."),),
    missing=(),
    report=NOTHING,
)


def test_the_numbers_of_each_are_told() -> None:
    moved = structs.replace(
        PLAIN,
        pieces=1,
        packings=1,
        score=132.0,
        shift=(-5.0, 12.5),
        turn=90.0,
        missing=(Lack("a", "end", "No end stop is left."),),
    )
    near = structs.replace(PLAIN, score=120.05, packings=3)
    first, second, third = alternative_lines(Suggestion((PLAIN, moved, near)))
    assert (first.head, first.right) == ("1: 2 pieces, no packing", "120 points")
    assert "Proved the cheapest" in first.under
    assert "The work stays where it is" in first.under
    assert "nothing to look at" in first.under
    assert second.head == "2: 1 piece, 1 shim or riser"
    assert "1 contact missing. At most 10 % dearer than the cheapest" in second.under
    assert "The work moves: turned 90°, 5 mm to the left, 12.5 mm to the back" in second.under
    assert (first.level, second.level) == ("fine", "look")
    assert third.head.endswith("3 shims or risers")
    assert "Within 0.1 % of the cheapest" in third.under
    dear = structs.replace(PLAIN, score=122.208)
    assert "At most 1.9 % dearer" in alternative_lines(Suggestion((dear,)))[0].under
    done = structs.replace(PLAIN, pieces=0, score=0.0, bound=0.0)
    assert alternative_lines(Suggestion((done,)))[0].head == "1: nothing to add"
    back = structs.replace(PLAIN, shift=(5.0, -5.0))
    assert "5 mm to the right, 5 mm to the front" in alternative_lines(Suggestion((back,)))[0].under


def test_where_one_differs_from_the_first_is_told() -> None:
    first = structs.replace(PLAIN, sorts=(("a", "end", 0, "stop-1"), ("a", "clamp", -1, "c")))
    same = structs.replace(first, score=121.0)
    other = structs.replace(first, sorts=(("a", "end", 2, "stop-1"), ("a", "clamp", -1, "c")))
    told = alternative_lines(Suggestion((first, same, other)))
    assert ["Unlike 1" in line.under for line in told] == [False, False, True]
    assert "Unlike 1: other pieces, or other sides, at a\n" in told[2].under
    job = laid(*(plate(name, 100, 100) for name in "abcde"))
    many = structs.replace(PLAIN, job=job, sorts=tuple((n, "end", 0, "stop-1") for n in "abcde"))
    (_, last) = alternative_lines(Suggestion((structs.replace(many, sorts=()), many)))
    assert "at a, b, c and 2 more" in last.under


def test_each_piece_says_why_and_what_is_missing_is_named() -> None:
    lacking = structs.replace(PLAIN, missing=(Lack("a", "clamp", "No clamp reaches it."),))
    part, why, lack = reason_lines(lacking)
    assert (part.head, part.right, part.ids) == ("a", "1 piece", ("a", "p"))
    assert (why.head, why.right, why.under) == ("locating pin", "D4", "It stops a.")
    assert why.ids == ("p", "a")
    assert (lack.head, lack.under, lack.level) == ("Missing at a", "No clamp reaches it.", "look")


def test_a_line_stands_for_one_piece_or_for_all_of_a_part() -> None:
    both = structs.replace(PLAIN, why=(*PLAIN.why, Because("q", "a", "end", "It stops a too.")))
    lines = reason_lines(both)
    assert [pieces_of_line(both, line.key) for line in lines] == [{"p", "q"}, {"p"}, {"q"}]
    assert pieces_of_line(both, "missing a 0") == frozenset()


def test_the_numbers_stand_under_each_picture() -> None:
    over = structs.replace(PLAIN, face_down=True, missing=(Lack("a", "clamp", "None."),))
    first, second = card_lines(Suggestion((PLAIN, over)))
    assert first == (
        "1: 2 pieces, no packing", "120 points, nothing missing", "The work stays where it is",
    )  # fmt: skip
    assert second[1:] == ("120 points, 1 missing", "Moves: face down")
    (aside,) = card_lines(Suggestion((structs.replace(PLAIN, shift=(5.0, -12.5), turn=90.0),)))
    assert aside[-1] == "Moves: turned 90°, 5 mm right, 12.5 mm front"


def test_where_there_is_nothing_to_add_it_says_why() -> None:
    done = structs.replace(PLAIN, pieces=0, added=(), why=())
    assert not done.changes
    (line,) = reason_lines(done)
    assert line.head == "There is nothing to add"
    assert "do all that is asked for" in line.under
    assert pieces_of_line(done, line.key) == frozenset()
    lacking = structs.replace(done, missing=(Lack("a", "clamp", "No clamp reaches it."),))
    first, lack = reason_lines(lacking)
    assert first.head == "Nothing can be added"
    assert "the rack has left" in first.under
    assert lack.head == "Missing at a"
    assert PLAIN.changes
    assert structs.replace(done, shift=(5.0, 0.0)).changes


def test_weldments_that_move_by_themselves_are_named() -> None:
    job = structs.replace(JOB, weldments=(Weldment(id="w1"), Weldment(id="w2", name="Hook")))
    hook, other = Moved("w2", (0.0, -5.0), 90.0), Moved(job.weldments[0].id, (2.5, 0.0), 0.0)
    one = structs.replace(PLAIN, job=job, moves=(hook,))
    both = structs.replace(one, moves=(hook, other))
    first, second = alternative_lines(Suggestion((one, both)))
    assert "Hook moves: turned 90°, 5 mm to the front\n" in first.under
    told = "Each weldment moves by itself: Hook turned 90°, 5 mm to the front; Weldment 1 2.5 mm"
    assert f"{told} to the right\n" in second.under
    short, shorter = card_lines(Suggestion((one, both)))
    assert short[-1] == "Hook moves: turned 90°, 5 mm front"
    assert shorter[-1] == "2 weldments move, each by itself"
    assert one.changes


def test_why_there_is_none_comes_first() -> None:
    lines = none_lines(Suggestion((), ("The rack has no stop.", "One stop more would do.")))
    assert [(one.head, one.level) for one in lines] == [
        ("The rack has no stop.", "stop"),
        ("One stop more would do.", "look"),
    ]
