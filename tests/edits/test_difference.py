"""The things that differ between two jobs."""

from gridjig.edits.difference import differing
from gridjig.edits.selection import remove, shift
from tests.workshop import laid, pin, plate

JOB = laid(pin("a", 2, 2), pin("b", 5, 5), plate("part", 300, 300))


def test_the_same_job_differs_in_nothing() -> None:
    assert differing(JOB, JOB) == frozenset()


def test_moved_gone_and_new_things_differ() -> None:
    assert differing(JOB, shift(JOB, {"a"}, 1, 0)) == {"a"}
    assert differing(JOB, remove(JOB, {"part"})) == {"part"}
    assert differing(remove(JOB, {"b"}), JOB) == {"b"}
