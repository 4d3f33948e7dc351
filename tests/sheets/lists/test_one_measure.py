"""The face of a piece stands at one distance from its hole, wherever that is told."""

import pytest

from gridjig.checks.stop_places import stop_before
from gridjig.edits.placements import place
from gridjig.edits.typed_values import type_face_distance
from gridjig.model.labels import address, find_hole
from gridjig.sheets.lists.piece_settings import piece_settings, setting_words
from gridjig.sheets.lists.pull_list import pull_list, to_csv
from gridjig.sheets.setup.piece_rows import piece_rows
from gridjig.sheets.setup.shown import Shown
from gridjig.sheets.text import layout_text
from gridjig.solve.layout.remainders import remainders
from gridjig.solve.packing.stops import stops
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.face_distance import face_distance
from gridjig.tools.core.wording import slid
from gridjig.units import format_length
from tests.tools.touch.kit import frame


@pytest.mark.source("method", "arithmetic: from the centre of the hole to the face, square to it")
def test_the_face_of_an_adjustable_stop_is_the_same_in_every_list() -> None:
    job = frame()
    chosen = next(s for s in stops(job.rack) if s.piece == "stop-adjustable")
    found = [
        (one, setting)
        for one in remainders(job, chosen, "B").found
        if (setting := stop_before(job, PlacedPieces().of(job), one).setting) is not None
        and setting.placement.slide
    ]
    assert len(found) > 1
    for one, setting in found:
        after = place(job, setting.placement)
        stands = PlacedPieces().of(after)
        there = stands[setting.placement.id]
        line = one.line
        across = 0 if line.axis == "x" else 1
        at = min((abs(job.table.at(h)[across] - line.at), h) for h in there.holes)
        away, hole = format_length(at[0], job.display), address(job.table, at[1])
        told = f"face {away} from {hole}"
        assert told in layout_text.setting_words(job, setting)  # the list of stops
        (row,) = piece_settings(after, stands)
        assert told in setting_words(row, job.display)  # the pull list
        assert told.replace('"', '""') in to_csv(pull_list(after, stands))
        assert slid(after, there) == f"face {away} from the hole"  # drag and prompt
        form = face_distance(after, there)  # the form
        assert form is not None
        assert form.now == pytest.approx(at[0])
        assert find_hole(job.table, row.face_hole) == at[1]
        assert type_face_distance(after, there, form.now).says == ""
        shown = Shown(job.display)
        (told_on_sheet,) = piece_rows(after, stands, (there.placement.id,), shown)
        (of_face,) = (said for said in told_on_sheet.setting if said.startswith("face "))
        assert shown.setting(at[0]) in of_face
        assert hole in of_face
