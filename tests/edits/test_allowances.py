"""Edits of allowances, tolerance classes and shop values; copies and removals carry them along."""

import pytest
from msgspec import structs

from gridjig.edits.allowances import (
    SHOP_VALUES,
    add_point,
    allowance_of,
    longer_of,
    name_point,
    remove_point,
    set_linear_class,
    set_longer,
    set_measured,
    set_opened,
    set_shop_value,
    set_spread,
    set_straight_class,
)
from gridjig.edits.selection import copy, remove
from gridjig.model import (
    Accuracy,
    Allowances,
    ChosenPoint,
    Job,
    JointAllowance,
    PartAllowance,
)
from gridjig.sheets.lists.cut_list import cut_list
from gridjig.sheets.text.allowance_changes import SHOP_VALUE_NAMES
from gridjig.sheets.text.change_text import change_lines
from gridjig.units.limits import LimitError
from tests.stock import bar
from tests.workshop import laid

ONE, TWO = "one/two", "three/two"


def three() -> Job:
    """A bar in the middle of which two others end."""
    return laid(
        structs.replace(bar(length=600), id="two", name="two", x=100, y=125),
        structs.replace(bar(length=300), id="one", name="one", x=200, y=150, turn=90),
        structs.replace(bar(length=300), id="three", name="three", x=500, y=150, turn=90),
    )


def told(old: Job, new: Job) -> str:
    return "\n".join(line.words for line in change_lines(old, new))


def test_a_joint_is_measured_set_open_and_cleared() -> None:
    job = set_measured(three(), {ONE, TWO}, 0.6, 0.2)
    assert [one.measured for one in job.allowances.joints] == [0.6, 0.6]
    job = set_opened(job, {ONE}, 0.5)
    assert allowance_of(job, ONE) == JointAllowance(
        a="two", b="one", measured=0.6, spread=0.2, opened=0.5
    )
    job = set_spread(job, {TWO}, 0.1)
    assert allowance_of(job, TWO).spread == 0.1
    job = set_measured(job, {ONE, TWO}, None)
    assert job.allowances.joints == (JointAllowance(a="two", b="one", opened=0.5),)
    assert set_opened(job, {ONE}, 0.0).allowances == Allowances()
    assert set_opened(three(), {ONE}, 0.0) == three()
    with pytest.raises(KeyError):
        set_opened(job, {"no/joint"}, 1.0)
    with pytest.raises(ValueError, match="first"):
        set_spread(job, {TWO}, 0.1)
    with pytest.raises(LimitError):
        set_measured(job, {ONE}, -0.1)


def test_a_member_is_cut_longer() -> None:
    job = set_longer(three(), "one", 1.5)
    assert longer_of(job, "one") == 1.5
    assert longer_of(job, "two") == 0.0
    assert job.parts == three().parts
    assert set_longer(job, "one", 0.0) == three()
    with pytest.raises(KeyError):
        set_longer(job, "nobody", 1.0)


def test_classes_and_shop_values() -> None:
    job = set_straight_class(set_linear_class(three(), "A"), "E")
    assert (job.accuracy.linear, job.accuracy.straight) == ("A", "E")
    for name in SHOP_VALUES:
        assert getattr(set_shop_value(job, name, 0.3).accuracy, name) == 0.3
    assert set(SHOP_VALUES) == set(SHOP_VALUE_NAMES)
    with pytest.raises(KeyError):
        set_shop_value(job, "linear", 0.3)
    with pytest.raises(LimitError):
        set_shop_value(job, "face", -1.0)
    assert set_linear_class(job, "A") is job


def test_points_that_matter() -> None:
    point = ChosenPoint("one", 10.0, 0.0, "bolt hole")
    job = add_point(add_point(three(), point), structs.replace(point, name="dowel"))
    assert job.accuracy.points == (structs.replace(point, name="dowel"),)
    assert remove_point(job, point) == three()
    assert remove_point(three(), point) == three()
    two = add_point(job, ChosenPoint("two", 0.0, 0.0))
    named = name_point(two, job.accuracy.points[0], " hinge ")
    assert [one.name for one in named.accuracy.points] == ["hinge", ""]
    with pytest.raises(KeyError):
        add_point(job, ChosenPoint("nobody", 0.0, 0.0))


def rich() -> Job:
    job = set_opened(set_longer(three(), "one", 1.5), {ONE, TWO}, 0.5)
    return add_point(job, ChosenPoint("one", 10.0, 0.0))


def test_copies_are_allowed_for_as_their_originals_are() -> None:
    job, new = copy(rich(), {"one", "two", "three"}, 0, 6)
    assert len(new) == 3
    assert len(job.allowances.joints) == 4
    assert len(job.allowances.parts) == 2
    assert len(job.accuracy.points) == 2
    assert {one.part for one in job.allowances.parts} - {"one"} <= set(new)


def test_what_is_removed_takes_its_allowances_with_it() -> None:
    job = remove(rich(), {"one"})
    assert [(one.a, one.b) for one in job.allowances.joints] == [("two", "three")]
    assert job.allowances.parts == ()
    assert job.accuracy == Accuracy()
    kept = remove(set_opened(three(), {TWO}, 0.5), {"one"})
    assert kept.allowances == set_opened(three(), {TWO}, 0.5).allowances


def test_two_allowances_for_one_thing_are_refused() -> None:
    one = JointAllowance(a="a", b="b", opened=1.0)
    with pytest.raises(ValueError, match="two allowances"):
        Allowances(joints=(one, structs.replace(one, a="b", b="a")))
    with pytest.raises(ValueError, match="two allowances"):
        Allowances(parts=(PartAllowance(part="a"), PartAllowance(part="a", longer=1.0)))
    with pytest.raises(ValueError, match="two parts"):
        JointAllowance(a="a", b="a")


def test_every_change_has_its_words() -> None:
    old = three()
    assert "J1 set open by 0 mm to 0.5 mm" in told(old, set_opened(old, {ONE}, 0.5))
    measured = set_measured(old, {ONE}, 0.6, 0.2)
    assert "J1 closes by the published rules to 0.6 mm ± 0.2 mm" in told(old, measured)
    assert "one cut longer by 0 mm to 1.5 mm" in told(old, set_longer(old, "one", 1.5))
    assert "tolerance class B to A" in told(old, set_linear_class(old, "A"))
    assert "straightness class F to G" in told(old, set_straight_class(old, "G"))
    assert "hole position ± 0.1 mm to 0.2 mm" in told(old, set_shop_value(old, "hole", 0.2))
    pointed = add_point(old, ChosenPoint("one", 1.0, 2.0))
    assert "points that matter 0 to 1" in told(old, pointed)
    named = structs.replace(pointed, accuracy=Accuracy(points=(ChosenPoint("one", 1.0, 2.0, "x"),)))
    assert "points that matter changed" in told(pointed, named)
    many = set_longer(set_longer(set_opened(old, {ONE, TWO}, 0.5), "one", 1.0), "two", 1.0)
    assert "and more" in told(old, many)
    swapped = structs.replace(
        many, allowances=structs.replace(many.allowances, parts=many.allowances.parts[::-1])
    )
    assert "allowances in another order" in told(many, swapped)


def test_the_cut_list_says_what_is_sawn_longer() -> None:
    """As drawn and the allowance beside it, so that nobody adds it twice."""
    plain = cut_list(three()).bars
    assert [(line.names, line.count) for line in plain] == [(("two",), 1), (("one", "three"), 2)]
    longer = cut_list(set_longer(three(), "one", 1.5)).bars
    assert [line.names for line in longer] == [("two",), ("one",), ("three",)]
    assert [line.long_point for line in longer] == [600.0, 300.0, 300.0]
    assert longer[1].cuts == "square both ends; saw 1.5 mm longer than listed, for the welds"
    assert longer[2].cuts == "square both ends"
    shorter = cut_list(set_longer(three(), "one", -1.0)).bars
    assert "saw 1 mm shorter than listed" in shorter[1].cuts
