"""Joints in words and on the sheet, on the trial weldments."""

import pytest
from msgspec import structs

from gridjig.edits.joints import name_joint, set_welds
from gridjig.edits.parts import add_part, rectangle
from gridjig.geometry.display import Polyline, Symbol, TextLabel, Ticks
from gridjig.model import Display, Job
from gridjig.sheets.drawings.joints import draw_joints
from gridjig.sheets.text.joint_text import WELDS, joint_lines, kind_words, total_words
from gridjig.sheets.text.weld_text import formula_words, size_words
from gridjig.solve.weldment.welding import weld_lines, weld_totals
from gridjig.solve.weldment.welds import KINDS, welded
from tests.trials.keyed import KEYED
from tests.trials.layout import INCH, load
from tests.workshop import EMPTY

MM = Display(unit="millimetres")
HAND = "trial weldments, reckoned by hand"


def two(*second: float, z: tuple[float, float] = (0.0, 50.0)) -> Job:
    """Two plates: one from (0, 0) to (100, 100), and another."""
    job = add_part(EMPTY, rectangle("a", "one", (0, 0), (100, 100), (0.0, 50.0)))
    x0, y0, x1, y1 = second
    return add_part(job, rectangle("b", "two", (x0, y0), (x1, y1), z))


@pytest.mark.source("method", HAND)
def test_the_joints_of_the_butted_frame() -> None:
    job = KEYED["T01"]()
    lines = joint_lines(job)
    wanted = load("T01")["joints"]
    assert [line.head.split("   ")[1] for line in lines] == [f"{j['a']} + {j['b']}" for j in wanted]
    assert [line.head.split()[0] for line in lines] == ["J1", "J2", "J3", "J4"]
    assert all('2" in plan' in line.under and "angle" in line.under for line in lines)
    assert lines[0].under.endswith('at 12-1/2", 13-1/2", 0" to 2" high')
    assert {line.right for line in lines} == {"fillet"}
    assert lines[0].ids == ("member-1", "member-3")
    # Round a 2" tube with corners of 1/4": 4 x 1.5 + pi / 2 = 7.57".
    assert all('all round ≈7-9/16": top' in line.under for line in lines)
    assert {line.brief for line in lines} == {'all round ≈7-9/16" · face to face'}
    assert total_words(job) == '4 joints, ≈30-5/16" of weld; 4 without a size.'


@pytest.mark.source("method", HAND)
def test_plates_below_rails_lie_one_on_the_other() -> None:
    lines = joint_lines(KEYED["T10"]())
    below = [line for line in lines if "foot plate" in line.head]
    assert len(below) == 4
    # 3" of the plate below 2" of the rail: 10" all round.
    assert all('one on the other · 10" all round' in line.under for line in below)
    assert all(line.under.endswith('3/8" high') for line in below)


def test_a_weld_that_is_chosen_is_told_with_its_leg() -> None:
    job = KEYED["T01"]()
    first = welded(job)[0].joint.id
    job = set_welds(job, {first}, kind="flare bevel", leg=INCH / 4)
    assert joint_lines(job)[0].right == 'flare bevel, depth 1/4"'
    job = set_welds(job, {first}, kind="none")
    assert joint_lines(job)[0].right == "no weld"
    assert total_words(job) == '4 joints, ≈22-11/16" of weld; 3 without a size.'


@pytest.mark.source("method", "by hand: 100 x 50 all round, of which the two uprights are welded")
def test_the_sides_that_are_welded_and_the_deposit_are_told() -> None:
    job = two(100, 0, 200, 100)
    key = {welded(job)[0].joint.id}
    job = set_welds(job, key, kind="fillet", leg=6, sides="uprights")
    (line,) = joint_lines(job)
    assert line.right == "fillet, leg 6 mm"
    assert "all round 300 mm: top 100 mm (from above), upright 2 × 50 mm" in line.under
    assert "; welded uprights, 100 mm" in line.under
    # 100 mm of 18 mm2 are 1.8 cm3; at 7.85 g/cm3 14 g.
    said = total_words(job)
    assert said == "1 joint, 100 mm of weld; about 14 g of deposit, 1.8 cm³."
    formula = formula_words(weld_totals(weld_lines(job)))
    assert "7850 kg/m³" in formula
    assert "leg² / 2 × sin" in formula
    (throat,) = joint_lines(set_welds(job, key, throat=4))
    assert throat.right == "fillet, throat 4 mm"
    one = welded(job)[0]
    assert size_words(one, MM) == "At 90°, leg 6 mm is throat 4.2 mm."
    assert size_words(structs.replace(one, leg=0.0, throat=3.0), MM).startswith(
        "At 90°, throat 3 mm is leg 4.2 mm"
    )
    assert size_words(structs.replace(one, kind="butt"), MM) == ""


def test_kinds_are_summed_apart() -> None:
    job = KEYED["T01"]()
    first = welded(job)[0].joint.id
    said = total_words(set_welds(job, {first}, kind="butt"))
    assert '(fillet ≈22-11/16", butt ≈7-9/16")' in said
    assert said.endswith("4 without a size.")


def test_names_are_sorted_as_people_count() -> None:
    job = KEYED["T10"]()
    named = name_joint(job, welded(job)[0].joint.id, "J20")
    assert [line.head.split()[0] for line in joint_lines(named)][-2:] == ["J10", "J20"]


def test_parts_in_one_another_are_told_and_hatched() -> None:
    job = two(50, 50, 150, 150)
    (line,) = joint_lines(job)
    assert line.level == "look"
    assert "overlapping · trim one of them" in line.under
    assert total_words(job) == "1 joint, 0 mm of weld; ▲ 1 overlapping."
    drawn = draw_joints(job)
    assert any(isinstance(s, Polyline) and s.role == "clash" and s.hatch == "clash" for s in drawn)


def test_a_gap_is_told_and_a_corner_has_a_height() -> None:
    (gapped,) = joint_lines(two(102, 0, 200, 100))
    assert "100 mm in plan, gap 2 mm" in gapped.under
    job = two(100, 100, 200, 200)
    (corner,) = joint_lines(job)
    assert "at a corner · over 50 mm of height" in corner.under
    assert any(isinstance(s, Symbol) and s.mark == "tick" for s in draw_joints(job))
    assert any(isinstance(s, Symbol) and s.mark == "ring" for s in draw_joints(job, corner.key))


def test_nothing_to_join_is_told() -> None:
    assert "needs two parts" in total_words(EMPTY)
    assert "No parts meet yet" in total_words(two(300, 300, 400, 400))


@pytest.mark.expectation(15, 78)
def test_each_weld_is_a_row_of_ticks_and_the_one_pointed_at_has_a_ring() -> None:
    job = KEYED["T01"]()
    drawn = draw_joints(job)
    rows = [s for s in drawn if isinstance(s, Ticks)]
    assert len(rows) == 4
    assert {w.text for w in drawn if isinstance(w, TextLabel)} == {"J1", "J2", "J3", "J4"}
    pointed = draw_joints(job, welded(job)[2].joint.id)
    ring = [s for s in pointed if isinstance(s, Symbol) and s.mark == "ring"]
    assert [s.at for s in ring] == [welded(job)[2].joint.place]
    assert [s.role for s in pointed if isinstance(s, Ticks)].count("selected") == 1


def test_a_joint_without_weld_is_a_hidden_line() -> None:
    job = set_welds(KEYED["T01"](), kind="none")
    drawn = draw_joints(job)
    assert not any(isinstance(s, Ticks) for s in drawn)
    assert sum(isinstance(s, Polyline) and s.role == "hidden" for s in drawn) == 4


def test_kinds_are_told_with_what_they_are() -> None:
    assert kind_words("fillet") == "fillet: in the corner between two faces"
    assert set(WELDS) == set(KINDS)


def test_a_part_without_a_name_is_called_what_it_is() -> None:
    job = two(100, 0, 200, 100)
    bare = structs.replace(job.parts[1], name="")
    job = structs.replace(job, parts=(job.parts[0], bare))
    assert "one + plate" in joint_lines(job)[0].head
