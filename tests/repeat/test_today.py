"""An old job on today's table and rack: what no longer holds, in values and in words."""

import pytest
from msgspec import structs

from gridjig.checks.finding import told_apart
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Hole, HoleMark, Job
from gridjig.model.labels import address
from gridjig.rack import Face, Piece, Rack
from gridjig.repeat.today import check_today
from gridjig.sheets.text.repeat_text import today_lines, today_summary
from tests.stock import bar
from tests.workshop import EMPTY, laid, pin, stop

JOB = laid(bar(x=300.0, y=400.0), stop("s", 12, 12), pin("p", 6, 6))


def rack_with(**changed: Piece | None) -> Rack:
    pieces = [changed.get(piece.id, piece) for piece in EMPTY.rack.pieces]
    return structs.replace(EMPTY.rack, pieces=tuple(p for p in pieces if p is not None))


@pytest.mark.parametrize("job", [load_job(p) for p in samples().values()], ids=lambda j: j.name)
def test_nothing_changed_and_everything_holds(job: Job) -> None:
    found = check_today(job, job.table, job.rack)
    assert found.holds
    assert found.changes == ()
    assert today_lines(job, found) == ()
    assert "everything still holds" in today_summary(found)


def test_what_the_rack_lost_is_counted() -> None:
    few = rack_with(stop=structs.replace(EMPTY.rack.piece("stop"), owned=0), pin=None)
    found = check_today(JOB, rack=few)
    short = {one.piece: (one.needed, one.short, one.gone) for one in found.short}
    assert short == {"stop": (1, 1, False), "pin": (1, 1, True)}
    told = today_lines(JOB, found)
    assert "fixed stop: 1 needed, 1 too few." in told
    assert "locating pin: 1 needed, and the rack no longer has it." in told
    assert {one.sort for one in found.changes} == {"piece of the rack"}


@pytest.mark.source("method", "arithmetic: a face 3 mm further out")
def test_a_face_that_wore_or_was_replaced_stands_elsewhere() -> None:
    old = EMPTY.rack.piece("stop")
    [face] = old.faces
    out = Face(face.id, (face.a[0], face.a[1] - 3.0), (face.b[0], face.b[1] - 3.0), 0, 50)
    found = check_today(JOB, rack=rack_with(stop=structs.replace(old, faces=(out,))))
    [moved] = found.faces
    assert moved.placement == "s"
    assert abs(moved.now - moved.before) == pytest.approx(3.0)
    assert any(
        "its face now stands 23 mm from its hole, not 20 mm" in t for t in today_lines(JOB, found)
    )


def test_a_size_that_was_typed_to_what_it_was_is_no_change() -> None:
    job = laid(stop("s1", 10, 5))
    typed = tuple(structs.replace(p, typed=("height",)) for p in job.rack.pieces)
    today = check_today(job, rack=structs.replace(job.rack, pieces=typed))
    assert today.changes == ()
    assert today.holds
    lower = tuple(structs.replace(p, mass=p.mass + 0.1) for p in typed)
    assert check_today(job, rack=structs.replace(job.rack, pieces=lower)).changes != ()


def test_a_hole_that_is_blocked_now_is_found() -> None:
    marked = structs.replace(JOB.table, marks=(HoleMark(Hole(6, 6), "blocked"),))
    found = check_today(JOB, marked)
    assert [one.ids for one in found.found] == [("p",)]
    assert not found.holds
    assert "1 thing does not hold any more" in today_summary(found)


def test_other_letters_on_the_table_are_told_for_each_piece() -> None:
    labels = structs.replace(JOB.table.labels, zero="front right")
    found = check_today(JOB, structs.replace(JOB.table, labels=labels))
    assert [(one.placement, one.before) for one in found.addresses] == [
        ("s", "M13 + N13"), ("p", "G7")
    ]  # fmt: skip
    assert any("painted" in line for line in today_lines(JOB, found))


def test_what_was_wrong_before_is_no_news() -> None:
    clashing = laid(pin("q", 6, 6), job=JOB)
    assert check_today(clashing, clashing.table).found == ()


def test_a_piece_whose_hole_the_table_lacks_is_told_by_where_it_was() -> None:
    job = laid(pin("p", 20, 6), pin("q", 3, 3))
    small = structs.replace(job.table, width=500.0, columns=9)
    lines = today_lines(job, check_today(job, small))
    gone = [line for line in lines if "does not fit there" in line]
    assert len(gone) == 1
    assert gone[0].startswith(f"{told_apart(job, 'p')} does not fit there.")
    assert address(job.table, Hole(20, 6)) in gone[0]
