from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.edits import table as edits
from gridjig.model import Display, Hole, HoleMark, LabelScheme
from tests.workshop import EMPTY, TABLE, laid, pin, stop

JOB = laid(stop("s", 3, 3), pin("p", 20, 10))
HOLES = st.frozensets(
    st.builds(Hole, st.integers(-2, TABLE.columns), st.integers(-2, TABLE.rows)), max_size=12
)


def test_a_smaller_table_keeps_every_placement_and_says_which_cannot_stand() -> None:
    small = structs.replace(TABLE, columns=10)
    job = edits.replace_table(JOB, small)
    assert job.placements is JOB.placements
    adrift = edits.newly_adrift(JOB, job)
    assert set(adrift) == {"p"}
    assert "off the table" in adrift["p"]
    assert edits.newly_adrift(job, job) == {}
    assert edits.replace_table(JOB, structs.replace(TABLE)) is JOB


def test_another_pitch_says_which_pieces_no_longer_span_their_holes() -> None:
    wide = structs.replace(TABLE, pitch_x=52, first_x=20)
    assert "apart" in edits.newly_adrift(JOB, edits.replace_table(JOB, wide))["s"]


@given(HOLES)
def test_marks_are_set_and_cleared_and_never_beyond_the_edge(holes: frozenset[Hole]) -> None:
    job = edits.mark_holes(JOB, holes, "blocked")
    there = {h for h in holes if TABLE.has(h)}
    assert {m.hole for m in job.table.marks} == there
    assert edits.mark_holes(job, holes, "blocked") is job
    assert edits.clear_holes(job, holes) == JOB
    if not there:
        assert job is JOB


def test_a_new_mark_takes_the_place_of_the_old_one() -> None:
    job = edits.mark_holes(JOB, {Hole(1, 1), Hole(2, 2)}, "blocked")
    job = edits.mark_holes(job, {Hole(1, 1)}, "oversize", 17)
    assert job.table.marks == (
        HoleMark(Hole(1, 1), "oversize", 17),
        HoleMark(Hole(2, 2), "blocked"),
    )


def test_marks_that_a_table_has_no_holes_for_are_left_behind() -> None:
    marks = (HoleMark(Hole(1, 1), "blocked"), HoleMark(Hole(20, 1), "blocked"))
    kept = edits.keep_marks(structs.replace(TABLE, columns=10), marks)
    assert kept.marks == marks[:1]


def test_other_labels_change_no_hole() -> None:
    job = edits.set_labels(EMPTY, LabelScheme(along_x="numbers"))
    assert structs.replace(job.table, labels=EMPTY.table.labels) == EMPTY.table
    assert edits.set_labels(EMPTY, LabelScheme()) is EMPTY


def test_the_size_of_a_mark_must_suit_the_table() -> None:
    mm, inches = Display(unit="millimetres"), Display()
    assert edits.size_range(TABLE, "blocked", mm) is None
    assert edits.size_fault(TABLE, "reserved", 0.0, mm) == ""
    assert edits.size_range(TABLE, "oversize", mm) == (TABLE.hole_diameter, TABLE.pitch_x)
    assert edits.size_fault(TABLE, "oversize", TABLE.hole_diameter, mm) == ""
    assert edits.size_fault(TABLE, "oversize", 3.0, mm) == (
        "The width of an oversize hole must be 16 mm to 50 mm on this table; 3 mm is out of range."
    )
    assert edits.size_fault(TABLE, "shallow", -25.4, inches) == (
        'The depth of a shallow hole must be 1/16" to \u22485/8" on this table;'
        ' −1" is out of range.'
    )
    assert edits.size_fault(TABLE, "shallow", TABLE.thickness, mm) == ""
