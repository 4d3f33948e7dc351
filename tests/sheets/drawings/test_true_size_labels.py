"""The labels of a drawing for other programs: each is there once, and none is over another."""

from pathlib import Path

import ezdxf
import pytest
from msgspec import structs

from gridjig.files.exports.dxf import dxf_bytes
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.geometry.layered import LayeredText
from gridjig.model import Job
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.sheets.drawings.true_size import setup_drawing
from gridjig.sheets.drawings.true_size_labels import text_box
from tests.sheets.setup.crowded import crowded_job
from tests.workshop import laid, pin

JOBS = [*(load_job(path) for path in samples().values()), crowded_job()]


def labels(job: Job) -> list[LayeredText]:
    return [one for one in setup_drawing(job).shapes if isinstance(one, LayeredText)]


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.name)
def test_no_label_is_over_another_and_every_name_is_there(job: Job) -> None:
    found = labels(job)
    assert len(found) > 50
    boxes = sorted((text_box(one), one.text) for one in found)
    over = [
        (one[1], other[1])
        for k, one in enumerate(boxes)
        for other in boxes[k + 1 :]
        if other[0][0] < one[0][2] and one[0][1] < other[0][3] and other[0][1] < one[0][3]
    ]
    assert over == []
    told = [one.text for one in found]
    for placement in job.placements:
        assert title(job, placement.id) in told
        assert all(address(job.table, seat.hole) in told for seat in placement.seats)
    assert all(part.name in told for part in job.parts)


def test_pieces_in_one_place_are_named_one_below_the_other() -> None:
    job = laid(pin("p", 6, 6), structs.replace(pin("q", 6, 6), name="Another of that place"))
    found = {one.text: text_box(one) for one in labels(job)}
    a, b = found[title(job, "p")], found["Another of that place"]
    assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3])
    assert [one.text for one in labels(job)].count("G7") == 1


def test_a_turned_label_has_the_box_of_its_corners() -> None:
    flat = LayeredText("L", (10.0, 20.0), "ABCD", 5.0)
    assert text_box(flat) == pytest.approx((0.0, 17.5, 20.0, 22.5))
    assert text_box(structs.replace(flat, anchor="left")) == pytest.approx((10, 17.5, 30, 22.5))
    assert text_box(structs.replace(flat, anchor="right", turn=90.0)) == pytest.approx(
        (7.5, 0.0, 12.5, 20.0)
    )


@pytest.mark.source("library", "ezdxf 1.4", "the layers and texts that it reads, and its audit")
def test_layers_and_labels_are_as_another_program_reads_them(tmp_path: Path) -> None:
    job, path = JOBS[0], tmp_path / "job.dxf"
    path.write_bytes(dxf_bytes(setup_drawing(job), "mm"))
    document = ezdxf.readfile(path)  # type: ignore[attr-defined]
    assert document.audit().errors == []
    names = [layer.dxf.name for layer in document.layers]
    assert len(names) == len(set(names))
    assert {"TABLE", "HOLES", "PIECES", "PINS", "MEMBERS", "LABELS"} <= set(names)
    texts = document.modelspace().query('TEXT[layer=="LABELS"]')
    assert sorted(one.dxf.text for one in texts) == sorted(one.text for one in labels(job))
