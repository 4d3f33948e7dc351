"""What is said of the answers for a face to hold: how many were tried, and what is listed."""

from functools import cache

from msgspec import structs

from gridjig.angle.question import ON_A_JOB, hold_face
from gridjig.angle.standing import answers_on
from gridjig.sheets.text.angle_coverage_text import complete_words, statement_words
from gridjig.solve.angles.answers import AngleResult
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.weldment.faces import faces
from tests.trials.layout import empty, load, with_members


@cache
def found() -> AngleResult:
    data = load("T08")
    job = with_members(empty(data), data)
    of = next(f.of for f in faces(job.parts) if f.axis is None and f.length > 150.0)
    question = hold_face(job, of, ON_A_JOB)
    wanted = question.wanted(job.display.unit)
    return answers_on(job, PlacedPieces().of(job), wanted, question.limits_on(job))


def test_the_pairs_beside_the_face_are_counted() -> None:
    answers = found()
    assert answers.ranked
    pairs = f"All {answers.looked_at.hole_pairs} pairs of holes beside the face were tried"
    assert statement_words(answers).startswith(f"{pairs}, with {answers.looked_at.answers} answers")
    assert complete_words(answers).startswith(f"{pairs}; everything listed can be set")


def test_if_none_can_be_set_that_is_said() -> None:
    none = structs.replace(found(), ranked=(), nearest=())
    pairs = f"{none.looked_at.hole_pairs} pairs of holes beside the face"
    assert statement_words(none) == f"None of the {pairs} gives an answer that fits."
    assert complete_words(none).startswith(f"None of {pairs} can be set.")
