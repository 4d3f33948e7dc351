"""The set-up can be built from the PDF of its sheet and the rack alone.

The table too is the one that the sheet describes.
"""

import pytest
from hypothesis import settings

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Job, Placement, Table
from gridjig.qt.paint.sheet_pdf import pages_pdf
from gridjig.rack import Piece
from gridjig.sheets.setup.paper import SheetChoices
from gridjig.sheets.setup.sheet import setup_sheet
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from tests.pdftext import printed
from tests.sheets.setup.randomjobs import random_job
from tests.sheets.setup.rebuilding import built, cells_of, identity, placement_of

TURN = 0.0051
"""Degrees to which a turn is printed."""
LENGTH = {"millimetres": 0.0501, "inch fractions": 0.0128, "inch decimals": 0.0128}
"""mm to which a setting is printed: a tenth of a millimetre, a thousandth of an inch."""


DEEP = settings.get_current_profile_name() == "deep"
SEEDS = range(50 if DEEP else 4)
READER = pytest.mark.source("method", "a reader of the PDF that is given the rack and no job")


@pytest.mark.parametrize("name", sorted(samples()))
@READER
def test_a_sample_is_rebuilt_from_its_sheet(name: str, qapp: object) -> None:
    del qapp
    job = load_job(samples()[name])
    assert len(job.placements) > 10
    assert_rebuilt(job, SheetChoices())
    assert_rebuilt(job, SheetChoices(paper="A3", units="both", orientation="portrait"))


@pytest.mark.parametrize("seed", SEEDS)
@READER
def test_a_random_set_up_is_rebuilt_from_its_sheet(seed: int, qapp: object) -> None:
    del qapp
    job = random_job(seed)
    assert job.placements
    large = seed % 4 == 0
    assert_rebuilt(job, SheetChoices(paper="A3" if large else "A4", large=large))


def assert_rebuilt(job: Job, choices: SheetChoices) -> None:
    made = setup_sheet(job, choices)
    pages = printed(pages_pdf(made.title, made.pages))
    table = identity([line.words for line in pages[0]])
    assert table.labels == job.table.labels or _same_paint(job)
    assert (table.columns, table.rows) == (job.table.columns, job.table.rows)
    rows = built(cells_of(pages), table, job.rack)
    assert [row.number for row in rows] == list(range(1, len(job.placements) + 1))
    left = list(job.placements)
    for row in rows:
        again = placement_of(row, table, job.rack)
        match = next(p for p in left if _alike(p, again))
        left.remove(match)
        assert_same(job, table, match, again)
    assert not left


def _same_paint(job: Job) -> bool:
    """True if the start of the count or the letters left out cannot be seen on this table."""
    scheme = job.table.labels
    lettered = scheme.along_x == scheme.along_y == "letters"
    numbered = scheme.along_x == scheme.along_y == "numbers"
    return lettered or (numbered and scheme.skip_i_o)


def _alike(one: Placement, other: Placement) -> bool:
    return (one.piece, one.seats, one.name) == (other.piece, other.seats, other.name)


def assert_same(job: Job, table: Table, one: Placement, again: Placement) -> None:
    """The same choices, and bodies in the same places as finely as the sheet is printed."""
    for field in ("flipped", "lift", "packing", "clamped_by_hand"):
        assert getattr(one, field) == getattr(again, field), field
    a = solve_placement(job.table, job.rack, one)
    b = solve_placement(table, job.rack, again)
    assert a.fault is None
    assert b.fault is None
    assert len(a.solids) == len(b.solids)
    near = 2.0 * LENGTH[job.display.unit] + 2.0 * TURN / 57.0 * _size(a.piece)
    if _round(a):
        return
    for x, y in zip(a.solids, b.solids, strict=True):
        assert (x.z_low, x.z_high) == pytest.approx((y.z_low, y.z_high), abs=1e-6)
        for p, q in zip(x.points, y.points, strict=True):
            assert p == pytest.approx(q, abs=near)


def _round(placed: PlacedPiece) -> bool:
    return not placed.faces and placed.tip is None


def _size(piece: Piece | None) -> float:
    assert piece is not None
    return max(abs(v) for s in piece.solids for p in s.outline for v in p) + 250.0
