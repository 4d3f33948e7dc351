"""What is drawn of a weld order, and of everything that the proof found in the samples."""

import pytest
from msgspec import structs

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.geometry.display import TextLabel
from gridjig.proof.report import prove
from gridjig.sheets.drawings.proof import draw_proof
from gridjig.sheets.drawings.proof_motion import draw_moved, loose_ones, moved_rings
from gridjig.sheets.drawings.weld_order import draw_order
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.weldment.welds import welded

NAMES = sorted(samples())


def test_every_joint_has_its_number_and_one_stands_out() -> None:
    order = welded(load_job(samples()[NAMES[0]]))
    assert len(order) == 6
    drawn = draw_order(order, order[2].joint.id)
    labels = [one for one in drawn if isinstance(one, TextLabel)]
    assert [one.text for one in labels] == ["1", "2", "3", "4", "5", "6"]
    assert [one.role for one in labels].count("selected") == 1
    assert labels[2].size == "large"


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", ["motion", "reactions", "errors", "torch", "ways out"])
def test_each_drawing_of_a_sample_shows_something_or_there_is_nothing_to_show(
    name: str, kind: str
) -> None:
    job = load_job(samples()[name])
    report = prove(job, PlacedPieces().of(job))
    drawn = draw_proof(job, report, frozenset({kind}))  # type: ignore[arg-type]
    assert bool(drawn) or (kind == "motion" and not loose_ones(report)) or kind == "ways out"
    assert draw_proof(job, report, frozenset()) == ()


@pytest.mark.source("method", "a slide moves all points alike, and there and back is where it was")
@pytest.mark.parametrize("name", NAMES)
def test_what_is_left_loose_moves_and_comes_back(name: str) -> None:
    job = load_job(samples()[name])
    for taken in range(len(job.placements)):
        fewer = structs.replace(job, placements=job.placements[:taken])
        report = prove(fewer, PlacedPieces().of(fewer))
        loose = loose_ones(report)
        if loose:
            break
    else:
        loose, fewer = (), job
    assert loose
    for one in loose:
        still, there = moved_rings(fewer, one, 0.0), moved_rings(fewer, one, 1.0)
        assert still
        assert [len(ring) for ring in still] == [len(ring) for ring in there]
        assert draw_moved(fewer, one, 0.5)
