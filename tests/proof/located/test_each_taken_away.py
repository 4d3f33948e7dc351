"""Every piece of every trial taken away in turn: what is left is reckoned a second way."""

import numpy as np
import pytest

from gridjig.contact.book import Contacts
from gridjig.contact.values import JobContacts
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job
from gridjig.proof.located.grips import HOME
from gridjig.proof.located.report import located
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import LAYOUTS, Proved, layout, without


def rank_by_contacts(job: Job, contacts: JobContacts) -> int:
    """How many plan freedoms of the whole weldment its contacts hold, straight from the matrix."""
    points = np.array([p for part in job.parts for p in part_ring(part)])
    middle, size = points.mean(axis=0), float(np.ptp(points, axis=0).max())
    rows = []
    for contact in contacts.every():
        nx, ny, _ = contact.normal
        if contact.feature == "tip" or contact.means not in ("touches", "gap"):
            continue
        if contact.gap > HOME or abs(nx) + abs(ny) < 0.5:
            continue
        for point in contact.points:
            x, y = (np.array(point) - middle) / size
            rows.append((-nx, -ny, x * -ny - y * -nx))
    return int(np.linalg.matrix_rank(np.array(rows or [(0.0, 0.0, 0.0)]), tol=0.004))


@pytest.mark.parametrize("trial", list(LAYOUTS))
@pytest.mark.source("library", "numpy 2", "matrix_rank of all contacts of the weldment")
@pytest.mark.untraced
def test_the_weldment_is_loose_where_the_matrix_says_so(trial: str) -> None:
    job = layout(trial)
    stops = [p.name for p in job.placements if p.name and not p.piece.startswith("clamp")]
    assert len(stops) >= 5
    stood, kept = PlacedPieces(), Contacts()
    kept.of(job, stood.of(job))
    for name in stops:
        bare = without(job, name)
        found = kept.of(bare, stood.of(bare))
        (whole,) = located(bare, stood.of(bare), found).weldments
        rank = rank_by_contacts(bare, found)
        assert (whole.motion is None) == (rank == 3), name
        if whole.motion is not None and whole.motion.kind != "free":
            assert rank == 2, name


@pytest.mark.parametrize("trial", ["T01", "T02", "T04"])
def test_what_is_spare_can_go_and_what_is_not_cannot(trial: str) -> None:
    """Without all that is spare it is still located; then every one that is left is needed."""
    job = layout(trial)
    (whole,) = Proved(job).located.weldments
    names = {p.id: p.name for p in job.placements}
    bare = without(job, *(names[one] for one in whole.spare))
    (left,) = Proved(bare).located.weldments
    assert (left.located, left.spare) == ("located", ())
    assert len(left.contacts) == 3
    for one in left.contacts:
        (lacking,) = Proved(without(bare, names[one])).located.weldments
        assert lacking.located == "loose" or lacking.short is not None, names[one]
