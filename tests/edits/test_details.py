import pytest

from gridjig.edits import details
from gridjig.model import Display
from gridjig.model.job import MOST_TEXT
from tests.workshop import EMPTY


def test_what_is_written_about_the_job_can_be_changed() -> None:
    job = details.rename_job(EMPTY, " Gate ")
    job = details.set_drawing(job, "G-12", "B")
    job = details.set_notes(job, "two off")
    assert (job.name, job.drawing, job.revision, job.notes) == ("Gate", "G-12", "B", "two off")


def test_an_empty_name_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="needs a name"):
        details.rename_job(EMPTY, "  ")


@pytest.mark.expectation(57)
def test_another_display_unit_changes_no_geometry() -> None:
    job = details.set_display(EMPTY, Display(unit="inch decimals"))
    assert job.table is EMPTY.table
    assert job.parts is EMPTY.parts
    assert job.placements is EMPTY.placements


def test_nothing_changed_is_the_same_job() -> None:
    assert details.rename_job(EMPTY, "Test") is EMPTY
    assert details.set_drawing(EMPTY, "", "") is EMPTY
    assert details.set_notes(EMPTY, "") is EMPTY
    assert details.set_display(EMPTY, Display(unit="millimetres")) is EMPTY


def test_a_paragraph_is_added_to_the_notes() -> None:
    job = details.add_to_notes(EMPTY, "Changes:\n- bar: moved")
    assert job.notes == "Changes:\n- bar: moved"
    assert details.add_to_notes(job, "More").notes == "Changes:\n- bar: moved\n\nMore"


def test_notes_that_would_be_too_long_are_refused_with_the_figures() -> None:
    job = details.set_notes(EMPTY, "n" * 3990)
    assert len(details.add_to_notes(job, "8 letter").notes) == 4000
    with pytest.raises(ValueError, match=r"can hold 4,000 characters; .* 1 over"):
        details.add_to_notes(job, "9 letters")


def test_a_job_takes_the_name_of_its_file_where_it_can() -> None:
    assert details.named_after_file(EMPTY, "gate left").name == "gate left"
    for stem in ("  ", "a\nb", "caf\udce9", "x" * (MOST_TEXT + 1)):
        assert details.named_after_file(EMPTY, stem) is EMPTY
