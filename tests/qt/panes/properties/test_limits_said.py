"""A value beyond a limit is said at the field that was typed in, in the person's unit."""

import pytest
from msgspec import structs
from pytestqt.qtbot import QtBot

from gridjig.edits.parts import polygon
from gridjig.model import Display
from gridjig.qt.panes.properties.several_form import SeveralForm
from gridjig.units import Unit
from tests.qt.panes.test_panes import enter, with_selected
from tests.workshop import EMPTY

FAR = 99_500.0


@pytest.mark.parametrize(("unit", "said"), [("millimetres", "mm"), ("inch fractions", '"')])
@pytest.mark.parametrize("name", ["right", "away"])
def test_parts_moved_too_far_are_refused_at_the_field(
    name: str, unit: Unit, said: str, qtbot: QtBot
) -> None:
    x, y = (FAR, 0.0) if name == "right" else (0.0, FAR)
    square = ((0.0, 0.0), (90.0, 0.0), (90.0, 60.0), (0.0, 60.0))
    parts = tuple(
        structs.replace(polygon(one, one, square, (0.0, 10.0)), x=x, y=y) for one in ("a", "b")
    )
    job = structs.replace(EMPTY, parts=parts, display=Display(unit=unit))
    window = with_selected(qtbot, job, "a", "b")
    form = window.workspace.properties.form()
    assert isinstance(form, SeveralForm)
    field = getattr(form, name)
    enter(qtbot, field, "900 mm")
    form._on_move()
    assert window.document.job is job
    assert said in field.complaint.text()
