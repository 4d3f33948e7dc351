"""The range that stands beside a field is the one that it takes: its ends are not refused."""

import pytest
from msgspec import structs
from pytestqt.qtbot import QtBot

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.qt.widgets.fields import LengthField, SizeField
from tests.qt.forms.test_limits_at_fields import enter
from tests.qt.windows import opened
from tests.workshop import plate


@pytest.mark.expectation(31)
def test_the_ends_of_every_range_are_taken_and_nothing_has_no_size(qtbot: QtBot) -> None:
    flat = plate("flat", 900, 900)
    job = load_job(next(iter(samples().values())))
    job = structs.replace(job, parts=(*job.parts, flat))
    tried, refused, empty = 0, [], []
    with opened(qtbot, job) as window:
        document, form = window.document, window.workspace.properties
        for thing in (job.parts[0], *job.placements, flat):
            document.select([thing.id])
            window.workspace.refresh()
            for field in form.findChildren(LengthField):
                if not field.isVisible():
                    continue
                name = f"{thing.id}: {field.label.text()}"
                if isinstance(field, SizeField):
                    said = enter(field, "0")
                    empty += [] if "more than" in said else [f"{name}: {said}"]
                    field.restore()
                    tried += 1
                for end in (field._low, field._high):
                    if end is None:
                        continue
                    said = enter(field, field._format(end))
                    tried += 1
                    if "too short" in said or "too long" in said or "more than" in said:
                        refused.append(f"{name}: {field._format(end)}: {said}")
                    field.restore()
                    while document.can_undo:
                        document.undo()
    assert tried > 10
    assert refused == []
    assert empty == []
