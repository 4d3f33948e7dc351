"""Edits of the title block and of the order of tacks and welds."""

import pytest
from msgspec import structs

from gridjig.edits.paperwork import clear_order, set_order, set_title_block, set_title_field
from gridjig.model import JointOf, TitleBlock, Weldment
from gridjig.units.limits import LimitError
from tests.workshop import EMPTY, plate

JOB = structs.replace(
    EMPTY,
    weldments=(Weldment(id="weldment-1"), Weldment(id="other")),
    parts=(
        plate("a", 0, 0),
        plate("b", 100, 0),
        structs.replace(plate("c", 0, 300), weldment="other"),
        structs.replace(plate("d", 100, 300), weldment="other"),
    ),
)


def test_a_field_of_the_title_block_is_set_alone() -> None:
    job = set_title_field(JOB, "owner", "  Our shop ")
    assert job.title_block == TitleBlock(owner="Our shop")
    assert set_title_field(job, "owner", "Our shop") is job
    assert set_title_block(job, job.title_block) is job
    with pytest.raises(LimitError, match="owner"):
        set_title_field(JOB, "owner", "x" * 81)


def test_an_order_of_one_weldment_leaves_the_others() -> None:
    first, second = JointOf("a", "b"), JointOf("c", "d")
    job = set_order(JOB, "tacks", "weldment-1", [first])
    job = set_order(job, "tacks", "other", [second])
    assert job.weld_plan.tacks == (first, second)
    assert job.weld_plan.welds == ()
    assert set_order(job, "tacks", "other", [second]) is job
    job = clear_order(job, "tacks", "weldment-1")
    assert job.weld_plan.tacks == (second,)
    assert clear_order(job, "tacks", "other").weld_plan == JOB.weld_plan
