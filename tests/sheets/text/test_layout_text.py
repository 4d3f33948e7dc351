"""Datum faces, what the grid leaves, and places, in words and on the sheet, on the trials."""

import pytest
from msgspec import structs

from gridjig.checks.stop_places import StopSearch, stop_before
from gridjig.edits import weldment
from gridjig.edits.joints import set_critical, set_datum
from gridjig.edits.parts import add_part, rectangle
from gridjig.geometry.display import Circle, Dimension, Polyline, Symbol, TextLabel
from gridjig.model import Datum, FaceOf, Job
from gridjig.model.labels import address
from gridjig.rack import Rack
from gridjig.sheets.drawings import layout
from gridjig.sheets.text import layout_text
from gridjig.sheets.text.list_line import ListLine
from gridjig.solve.layout.places import weldment_places
from gridjig.solve.layout.remainders import Remainders, remainders, the_stop
from gridjig.solve.weldment.datum import datum_faces
from gridjig.units import Display
from tests.trials.keyed import KEYED
from tests.trials.layout import INCH
from tests.workshop import EMPTY

HAND = "trial weldments, reckoned by hand"


def lines(job: Job, found: Remainders) -> list[ListLine]:
    return [layout_text.remainder_line(job, found, one) for one in found.found]


def line(job: Job, head: str) -> ListLine:
    return next(one for one in lines(job, remainders(job)) if one.head.startswith(head))


@pytest.mark.source("method", HAND)
def test_both_far_sides_of_the_butted_frame_need_exactly_one_inch() -> None:
    job = KEYED["T01"]()
    far = line(job, "Right face: D right")
    assert far.right == 'pack 1"'
    assert far.under.split("\n") == [
        'stop in column S · 24" from B, opposed to it',
        'needed: 1 × packing 1" thick or adjustable stop with its face 1-1/2" from the hole',
    ]
    assert far.level == "look"
    near = line(job, "Left face: C left")
    assert (near.right, near.level) == ("on the grid", "fine")
    assert near.under.startswith("stop in column F · datum B\n")
    inner = line(job, "Left face: D right")
    assert '22" from B, same side' in inner.under


@pytest.mark.source("method", HAND)
def test_the_datum_is_told_with_its_reason() -> None:
    job = KEYED["T01"]()
    words = layout_text.datum_words(job, datum_faces(job), "long")
    assert words.startswith("A bottom, front face (proposed: nothing in front of it, uncut mill")
    # Two stops 25 mm from the ends of 24": 559.6 mm apart; atan(0.1 / 559.6) = 0.61'.
    assert words.endswith(
        'Two stops go ≈22-1/16" apart; an error of .004" at one of them tilts the work by 0.6′.'
    )
    end = layout_text.datum_words(job, datum_faces(job), "end")
    assert end.startswith("C left, left face")
    assert "apart" not in end
    chosen = set_datum(job, Datum(long=FaceOf("member-2", 0)))
    assert "(chosen; nothing" in layout_text.datum_words(chosen, datum_faces(chosen), "long")
    assert layout_text.datum_words(EMPTY, datum_faces(EMPTY), "long").startswith("No face")


def test_a_sawn_end_and_a_slope_are_told_so() -> None:
    from gridjig.solve.weldment.faces import faces

    job = KEYED["T08"]()
    words = {layout_text.face_words(job, face) for face in faces(job.parts)}
    assert "TB top bar, left cut end" in words
    assert any("LL leg, face at 74.48°" in one for one in words)
    assert "welds on it" in " ".join(
        layout_text.reason_words(face, job.display) for face in faces(job.parts)
    )


def test_what_lies_across_the_grid_is_named() -> None:
    job = KEYED["T08"]()
    words = layout_text.summary_words(job, remainders(job))
    assert "across the grid, set by an angle: LL leg, TB top bar" not in words
    assert "set by angle: LL leg, RL leg" in words
    assert "There is no weldment" in layout_text.summary_words(EMPTY, remainders(EMPTY))


def block(x: float, wide: float = 200.0, rack: Rack | None = None) -> Job:
    """A block 200 mm or so wide with its left face at x, far from any other."""
    part = rectangle("b", "block", (x, 325.0), (x + wide, 425.0), (0.0, 50.0))
    job = add_part(EMPTY, part)
    return job if rack is None else structs.replace(job, rack=rack)


def on_grid(job: Job) -> float:
    """A place where the first stop touches a face that looks to the left."""
    table, stop = job.table, the_stop(job.rack)
    return table.first_x + 2 * table.pitch_x + stop.face


@pytest.mark.source(
    "published", "ISO 13920:1996", "table 1, as a contract fabricator reproduces it"
)
def test_what_the_tolerance_lets_go_is_left() -> None:
    base = on_grid(EMPTY)
    face = the_stop(EMPTY.rack).face
    # The right face: a hole at a whole number of pitches, less the stop's face, less 0.4 mm.
    wide = 4 * EMPTY.table.pitch_x - 2 * face - 0.4
    job = block(base, wide)
    right = line(job, "Right face: block")
    assert right.right == "0.4 mm, leave as is"
    assert "within tolerance: class B allows the jig" in right.under
    over = line(block(base, wide + 0.8), "Right face: block")
    assert over.right == "0.4 mm, leave as is"
    assert "1 within tolerance" in layout_text.summary_words(job, remainders(job))


def test_where_the_rack_has_no_packing_it_is_said() -> None:
    bare = structs.replace(
        EMPTY.rack,
        pieces=tuple(p for p in EMPTY.rack.pieces if p.kind in ("fixed stop", "locking pin")),
    )
    job = block(on_grid(EMPTY) + 7.3, rack=bare)
    left = line(job, "Left face: block")
    assert "nothing on the rack makes it up" in left.under
    assert left.level == "stop"


def test_a_pack_that_is_not_exact_says_by_how_much() -> None:
    job = block(on_grid(EMPTY) + 10.3)
    every = lines(job, remainders(job))
    first = next(one for one in every if one.right == "pack 10.3 mm")
    assert "\nneeded: 4 × shim 1 mm or adjustable stop " in first.under
    assert ", the pack leaves 6.3 mm open (class B leaves the jig no tolerance" in first.under


def test_a_face_off_the_table_has_no_hole() -> None:
    job = block(2.0)
    left = line(job, "Left face: block")
    assert "stop off the table" in left.under
    assert "no free hole for a stop in front of it" in left.under
    low = add_part(EMPTY, rectangle("b", "block", (300, 2.0), (400, 100), (0.0, 50.0)))
    assert "stop off the table" in line(low, "Front face: block").under


def test_a_critical_line_says_so() -> None:
    job = set_critical(block(on_grid(EMPTY)), [FaceOf("b", 3)])
    assert line(job, "Left face: block").head == "Left face: block · critical"


def test_an_axis_without_datum_tells_no_dimension() -> None:
    """A triangle has one face along the grid, so its other axis has no datum."""
    from gridjig.edits.parts import polygon

    shape = polygon("t", "gusset", [(300, 300), (400, 300), (350, 380)], (0.0, 50.0))
    job = add_part(EMPTY, shape)
    (only,) = lines(job, remainders(job))
    assert " · datum A" in only.under
    turned = set_datum(job, Datum(long=FaceOf("t", 1), end=FaceOf("t", 2)))
    (bare,) = lines(turned, remainders(turned))
    assert " · " not in bare.under.split("\n")[0]


def test_many_names_are_cut_short() -> None:
    job = KEYED["T10"]()
    ids = [part.id for part in job.parts]
    assert layout_text.names_words(job, ids).endswith("and 6 more")
    assert layout_text.names_words(job, ids[:1] * 5) == "R1 rail"


# -- places ----------------------------------------------------------------------------------------


@pytest.mark.source("method", HAND)
def test_a_place_tells_its_move_and_what_it_leaves() -> None:
    job = KEYED["T02"]()
    found = weldment_places(job)
    first = layout_text.put_line(job, found, found.found[0])
    assert (first.head, first.right, first.level) == ("As placed", "1 packed", "fine")
    assert first.under == '1 of 4 lines packed, 1 piece of packing\nleaves 1" at D right'


def test_a_place_with_much_to_pack_is_cut_short_and_marked() -> None:
    job = KEYED["T10"]()
    found = weldment_places(job)
    first = layout_text.put_line(job, found, found.found[0])
    assert first.level == "look"
    assert first.under.endswith("and 1 more")
    assert "4 pieces of packing" in first.under


def test_a_place_over_the_edge_is_marked() -> None:
    job = weldment.move(KEYED["T01"](), 30 * INCH, 0.0)
    found = weldment_places(job)
    now = layout_text.put_line(job, found, found.now)
    assert now.level == "stop"
    assert "over the edge" in now.under


def test_a_block_on_the_grid_needs_nothing() -> None:
    base = on_grid(EMPTY)
    stop = the_stop(EMPTY.rack)
    table = EMPTY.table
    wide = 4 * table.pitch_x - 2 * stop.face
    deep = 4 * table.pitch_y - 2 * stop.face
    y = table.first_y + 2 * table.pitch_y + stop.face
    part = rectangle("b", "block", (base, y), (base + wide, y + deep), (0.0, 50.0))
    job = add_part(EMPTY, part)
    found = weldment_places(job)
    first = layout_text.put_line(job, found, found.found[0])
    assert first.right == "none packed"
    assert "every line on the grid" in first.under


# -- drawings --------------------------------------------------------------------------------------


def test_datum_faces_are_drawn_with_their_letters() -> None:
    job = KEYED["T01"]()
    drawn = layout.draw_datum(datum_faces(job))
    assert [w.text for w in drawn if isinstance(w, TextLabel)] == ["A", "B"]
    assert sum(isinstance(s, Polyline) and s.role == "face" for s in drawn) == 2
    assert layout.draw_datum(datum_faces(EMPTY)) == ()


def test_the_letter_stands_outside_and_the_sign_inside() -> None:
    job = set_datum(KEYED["T01"](), Datum(long=FaceOf("member-2", 0), end=FaceOf("member-4", 0)))
    drawn = layout.draw_datum(datum_faces(job))
    letters = [(w.text, w.anchor) for w in drawn if isinstance(w, TextLabel)]
    assert letters == [("A", "above"), ("B", "right")]
    assert [s.turn for s in drawn if isinstance(s, Symbol)] == pytest.approx([180.0, 90.0])


@pytest.mark.source("method", HAND)
def test_a_gap_is_drawn_as_a_dimension_to_where_the_stop_is() -> None:
    job = KEYED["T01"]()
    found = remainders(job).found
    far = next(r for r in found if r.line.axis == "x" and r.line.at > 35 * INCH)
    drawn = layout.draw_remainder(job, far)
    (gap,) = [s for s in drawn if isinstance(s, Dimension)]
    assert gap.text == '1"'
    assert [gap.a[0], gap.b[0]] == pytest.approx([35.5 * INCH, 36.5 * INCH])
    rings = [s for s in drawn if isinstance(s, Circle)]
    assert len(rings) == len(far.holes)
    up = next(r for r in found if r.line.axis == "y" and r.line.at > 35 * INCH)
    (gap,) = [s for s in layout.draw_remainder(job, up) if isinstance(s, Dimension)]
    assert [gap.a[1], gap.b[1]] == pytest.approx([35.5 * INCH, 36.5 * INCH])
    near = next(r for r in found if r.verdict == "on the grid")
    assert not any(isinstance(s, Dimension) for s in layout.draw_remainder(job, near))


def test_a_place_is_drawn_as_a_ghost_with_its_way() -> None:
    job = KEYED["T01"]()
    found = weldment_places(job)
    stays = layout.draw_put(job, found.found[0])
    assert sum(isinstance(s, Polyline) and s.role == "ghost" for s in stays) == 4
    assert not any(isinstance(s, Polyline) and s.role == "reach" for s in stays)
    moves = layout.draw_put(job, found.found[1])
    assert any(isinstance(s, Polyline) and s.role == "reach" for s in moves)
    assert layout.draw_moved(EMPTY, EMPTY) == ()


def test_millimetres_are_told_in_millimetres() -> None:
    job = structs.replace(KEYED["T01"](), display=Display(unit="millimetres"))
    assert line(job, "Right face: D right").right == "pack 25.4 mm"


def test_a_line_that_no_stop_can_be_set_before_says_why_and_what_touches_it() -> None:
    job = block(on_grid(EMPTY))
    [one] = [found for found in remainders(job).found if found.line.axis == "x"][:1]
    none = StopSearch(None, 3, 0, "every hole before it is taken")
    (only,) = layout_text.setting_lines(job, one, none)
    assert only.startswith("no stop or pin can be set ")
    assert only.endswith(": every hole before it is taken")
    assert layout_text.setting_level(none) == "stop"
    held = structs.replace(none, set_already=2)
    touching, more = layout_text.setting_lines(job, one, held)
    assert touching == "2 pieces touch it"
    assert more.startswith("nothing more can be set ")
    assert layout_text.setting_level(held) == "fine"


def test_a_stop_that_can_be_set_is_told_with_its_holes_and_its_packing() -> None:
    job = block(on_grid(EMPTY) + 10.0)
    every = [(one, stop_before(job, {}, one)) for one in remainders(job).found]
    told = [layout_text.remainder_line(job, remainders(job), one, search) for one, search in every]
    assert len(told) > 3
    for line in told:  # while another one is highlighted, one line of it is shown
        assert line.brief
        assert line.brief in line.under.split("\n")
    assert len(told) == len(every) >= 2
    settings = 0
    for (_, search), said in zip(every, told, strict=True):
        assert said.level == layout_text.setting_level(search)
        if search.setting is not None:
            settings += 1
            placement = search.setting.placement
            words = layout_text.setting_words(job, search.setting)
            assert f"set: {words}" in said.under
            for one_seat in placement.seats:
                assert address(job.table, one_seat.hole) in words
            assert ("packed with" in words) == bool(placement.packing)
    assert settings >= 1
