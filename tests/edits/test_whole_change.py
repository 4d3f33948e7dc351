"""What became of a job as a whole: moved, mirrored, under other ids, or none of these."""

import pytest
from msgspec import structs

from gridjig.edits import selection, weldment
from gridjig.edits.setup_mirror import mirror_setup
from gridjig.edits.whole_change import whole_change
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Hole, Job
from gridjig.sheets.text.change_text import whole_words
from tests.workshop import EMPTY, laid, pin, plate, stop

JOB = laid(stop("s", 6, 6), pin("p", 9, 9), plate("bar", 300, 300))
SAMPLES = [load_job(path) for path in samples().values()]


def moved(job: Job, columns: int, rows: int) -> Job:
    ids = frozenset(placement.id for placement in job.placements)
    dx, dy = columns * job.table.pitch_x, rows * job.table.pitch_y
    return weldment.move(selection.shift(job, ids, columns, rows), dx, dy)


@pytest.mark.parametrize("steps", [(1, 0), (0, -2), (3, 2)])
def test_all_of_it_moved_by_whole_holes(steps: tuple[int, int]) -> None:
    for job in (JOB, *SAMPLES):
        found = whole_change(job, moved(job, *steps))
        assert found is not None
        assert (found.what, found.holes) == ("moved", Hole(*steps))
    assert whole_words(JOB, moved(JOB, 2, -1)) == (
        "Everything moved 2 holes to the right and 1 hole to the front; nothing is set otherwise."
    )


@pytest.mark.source("method", "symmetry: mirrored twice, a job is what it was")
@pytest.mark.parametrize("axis", ["x", "y"])
def test_all_of_it_mirrored(axis: str) -> None:
    job = laid(stop("s", 6, 6), pin("p", 9, 9), plate("bar", 300, 300))
    at = 400.0
    made = mirror_setup(job, axis, at)  # type: ignore[arg-type]
    assert made.stayed == ()
    found = whole_change(job, made.job)
    assert found is not None
    assert found.what == f"mirrored {axis}"
    assert "mirrored" in whole_words(job, made.job)
    back = mirror_setup(made.job, axis, at)  # type: ignore[arg-type]
    assert whole_change(job, back.job) is None


def test_the_same_things_under_other_ids() -> None:
    job = structs.replace(
        JOB,
        placements=tuple(structs.replace(p, id=f"new-{p.id}") for p in JOB.placements),
        parts=tuple(structs.replace(p, id=f"new-{p.id}") for p in JOB.parts),
    )
    found = whole_change(JOB, job)
    assert found is not None
    assert found.what == "renamed"
    assert whole_words(JOB, job) == "Everything is where it was, under other ids."


def test_anything_less_is_no_change_of_the_whole() -> None:
    one = selection.shift(JOB, {"s"}, 1, 0)
    assert whole_change(JOB, one) is None
    assert whole_words(JOB, one) == ""
    packed = structs.replace(
        moved(JOB, 1, 0),
        placements=tuple(
            structs.replace(p, packing=("shim",)) for p in moved(JOB, 1, 0).placements
        ),
    )
    assert whole_change(JOB, packed) is None
    assert whole_change(JOB, JOB) is None
    assert whole_change(EMPTY, EMPTY) is None
    fewer = structs.replace(JOB, placements=JOB.placements[:1])
    assert whole_change(JOB, fewer) is None
    coarse = structs.replace(JOB, table=structs.replace(JOB.table, pitch_x=40.0))
    assert whole_change(JOB, coarse) is None
    turned = structs.replace(
        moved(JOB, 1, 0),
        parts=tuple(structs.replace(p, turn=5.0) for p in moved(JOB, 1, 0).parts),
    )
    assert whole_change(JOB, turned) is None
