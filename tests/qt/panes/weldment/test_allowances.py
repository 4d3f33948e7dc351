"""What is allowed for at joints and members, typed in their forms."""

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.joints import set_welds
from gridjig.qt.panes.properties.member_form import MemberForm
from gridjig.qt.panes.weldment.joints_page import JointsPage
from gridjig.qt.widgets.fields import TypedField
from gridjig.qt.widgets.layout import in_column
from gridjig.session.document import Document
from gridjig.solve.weldment.welds import welded
from tests.proof.frames import jigged
from tests.qt.formhands import LOOK


def typed(field: TypedField, text: str) -> None:
    field.edit.setText(text)
    field.edit.setModified(True)
    field.apply()


@pytest.fixture
def page(qtbot: QtBot) -> Iterator[JointsPage]:
    over = QWidget()
    made = JointsPage(Document(jigged()), LOOK)
    in_column(made, over=over)
    qtbot.addWidget(over)
    over.resize(420, 900)
    over.show()
    made.refresh()
    yield made
    assert over is not None  # it keeps the page


def test_a_joint_says_what_it_closes_by_and_takes_the_shops_own_value(page: JointsPage) -> None:
    document, form = page.document, page.form
    page.list.go_to("front/left")
    assert form.measured.edit.text() == ""
    assert "by published rules, which are rough" in form.closing.text()
    typed(form.measured, "0.6")
    typed(form.spread, "0.25")
    typed(form.opened, "0.5")
    assert document.undo_name == "Set open J1"
    (own,) = document.job.allowances.joints
    assert {own.a, own.b} == {"front", "left"}
    assert (own.measured, own.spread, own.opened) == (0.6, 0.25, 0.5)
    page.refresh()
    assert form.closing.text() == "J1 closes by 0.4 mm to 0.9 mm, measured in this shop."
    assert form.spread.edit.text() == "0.25 mm"
    typed(form.measured, "")
    assert document.job.allowances.joints[0].measured is None
    page.refresh()
    typed(form.spread, "0.1")
    assert "type what the joint closes by first" in form.spread.complaint.text().lower()


def test_a_depth_is_set_only_where_there_is_one(page: JointsPage) -> None:
    """The first of the chosen joints says what is typed: here the depth of a butt weld."""
    document, form = page.document, page.form
    document.do(set_welds(document.job, kind="fillet"), "All fillets")
    document.do(set_welds(document.job, {"front/left"}, kind="butt"), "One butt")
    page.refresh()
    form.every.setChecked(True)
    first, *others = page.chosen()
    assert first.joint.id == "front/left"
    typed(form.leg, "4")
    assert document.undo_name == "Change the depth of J1"
    sizes = {one.joint.id: one.leg for one in welded(document.job)}
    assert sizes.pop("front/left") == 4.0
    assert set(sizes.values()) == {6.0}  # as they were
    assert len(sizes) == len(others) > 1


def test_all_joints_are_allowed_for_at_once(page: JointsPage) -> None:
    document, form = page.document, page.form
    page.list.go_to("front/left")
    typed(form.opened, "0.5")
    page.refresh()
    form.every.setChecked(True)
    assert form.opened.edit.text() == "0 mm"
    typed(form.measured, "0.6")
    assert [one.measured for one in document.job.allowances.joints] == [0.6] * 4
    assert [one.opened for one in document.job.allowances.joints] == [0.5, 0.0, 0.0, 0.0]
    assert document.undo_name == "Measure the closing of 4 joints"


def test_a_member_is_cut_longer(qtbot: QtBot) -> None:
    document = Document(jigged())
    form = MemberForm(document)
    qtbot.addWidget(form)
    form.show_thing("left")
    assert form.longer.edit.text() == "0 mm"
    typed(form.longer, "1.5")
    (own,) = document.job.allowances.parts
    assert (own.part, own.longer) == ("left", 1.5)
    assert document.job.parts == jigged().parts
