"""Copies of a whole weldment lie clear of all others, farther than a root gap."""

from itertools import combinations

import pytest
from msgspec import structs

from gridjig.edits.selection import things
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import covered
from gridjig.model import Job
from gridjig.model.by_weldment import parts_of
from gridjig.session.document import Document
from gridjig.solve.weldment.meeting import GAP
from gridjig.tools.core.tool import Commit, Nothing
from gridjig.tools.select.commands import paste
from tests.workshop import TABLE, laid, plate

JOB = laid(plate("upright", 200, 200, 50, 300), plate("arm", 250, 200, 150, 50))


def pasted(job: Job, *ids: str) -> Commit | Nothing:
    outcome = paste(job, Document(job).placed_pieces, things(job, set(ids)))
    assert isinstance(outcome, Commit | Nothing)
    return outcome


@pytest.mark.source("method", "brute force: the distances of all parts of different weldments")
def test_each_copy_lies_clear_until_the_table_is_full() -> None:
    job, made = JOB, 0
    while isinstance(outcome := pasted(job, "upright", "arm"), Commit):
        job, made = outcome.job, made + 1
    assert made >= 6
    assert "no free room on the table" in outcome.hint
    assert len(job.weldments) == made + 1
    for one, other in combinations(job.weldments, 2):
        for a in parts_of(job, one.id):
            for b in parts_of(job, other.id):
                assert covered(part_ring(a)).distance(covered(part_ring(b))) > GAP
    corners = [p for part in job.parts for p in part_ring(part)]
    assert all(0 <= x <= TABLE.width and 0 <= y <= TABLE.depth for x, y in corners)


def test_parts_of_it_may_be_copied_close_by() -> None:
    outcome = pasted(JOB, "arm")
    assert isinstance(outcome, Commit)
    assert len(outcome.job.weldments) == 1
    full = structs.replace(JOB, parts=JOB.parts[:1])
    lone = pasted(full, "upright")
    assert isinstance(lone, Commit)
    assert len(lone.job.weldments) == 1
