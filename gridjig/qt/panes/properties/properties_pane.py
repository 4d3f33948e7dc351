"""The properties pane: one of five forms, depending on what is selected."""

from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QStackedWidget, QWidget

from gridjig.model import Member, Placement, Plate
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.fields import TextField
from gridjig.session.document import Document

from .job_form import JobForm

if TYPE_CHECKING:
    from collections.abc import Callable

    from .member_form import MemberForm
    from .placement_form import PlacementForm
    from .plate_form import PlateForm
    from .several_form import SeveralForm

AnyForm = TypeVar("AnyForm", bound=CellForm)


class PropertiesPane(QStackedWidget):
    """Shows the form for what is selected; each form is created when first needed."""

    message = Signal(str)
    action_wanted = Signal(str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self._areas: dict[CellForm, QScrollArea] = {}
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)

    # Forms are made when they are first shown, the others loaded then too: at the start that is the
    # job's form, when the pane is where it belongs (a form that is moved is styled again).

    @cached_property
    def job_form(self) -> JobForm:
        """The form of the job."""
        form = self._added(JobForm)
        form.action_wanted.connect(self.action_wanted)
        return form

    @cached_property
    def placement_form(self) -> "PlacementForm":
        """The form of one placed piece."""
        from .placement_form import PlacementForm  # noqa: PLC0415

        return self._added(PlacementForm)

    @cached_property
    def plate_form(self) -> "PlateForm":
        """The form of one plate."""
        from .plate_form import PlateForm  # noqa: PLC0415

        return self._added(PlateForm)

    @cached_property
    def member_form(self) -> "MemberForm":
        """The form of one member."""
        from .member_form import MemberForm  # noqa: PLC0415

        return self._added(MemberForm)

    @cached_property
    def several_form(self) -> "SeveralForm":
        """The form of several things."""
        from .several_form import SeveralForm  # noqa: PLC0415

        return self._added(SeveralForm)

    def _added(self, kind: "Callable[[Document, QWidget], AnyForm]") -> AnyForm:
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        # To be asked for Qt's own viewport, PySide loads every class of widget there is: 10 ms.
        room = QWidget()
        area.setViewport(room)
        self.addWidget(area)
        form = kind(self.document, room)
        form.message.connect(self.message)
        self._areas[form] = area
        area.setWidget(form)
        return form

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go back to the plan on Esc, if no field has used the key."""
        if event.key() == Qt.Key.Key_Escape:
            self.action_wanted.emit("go.plan")
        else:
            super().keyPressEvent(event)

    def refresh(self) -> None:
        """Show the document as it is now."""
        selection = self.document.about
        thing = self.document.shown.find(next(iter(selection))) if len(selection) == 1 else None
        if isinstance(thing, Placement):
            self.placement_form.show_thing(thing.id)
            self._turn_to(self.placement_form)
        elif isinstance(thing, Plate):
            self.plate_form.show_thing(thing.id)
            self._turn_to(self.plate_form)
        elif isinstance(thing, Member):
            self.member_form.show_thing(thing.id)
            self._turn_to(self.member_form)
        elif len(selection) > 1:
            self.several_form.show_things(selection)
            self._turn_to(self.several_form)
        else:
            self.job_form.show_job()
            self._turn_to(self.job_form)

    def _turn_to(self, form: CellForm) -> None:
        area = self._areas[form]
        if self.currentWidget() is not area:
            self.form().leave()  # what was refused there is not shown for another thing
            self.setCurrentWidget(area)
            area.verticalScrollBar().setValue(0)

    def form(self) -> CellForm:
        """Return the form that is shown."""
        return next(f for f, area in self._areas.items() if area is self.currentWidget())

    def focus_name(self) -> None:
        """Put the focus on the name of what is selected, ready to be typed over."""
        self.refresh()
        name = getattr(self.form(), "name", None)
        if isinstance(name, TextField):
            name.edit.setFocus(Qt.FocusReason.ShortcutFocusReason)
            name.edit.selectAll()

    def focus_first(self) -> None:
        """Put the focus on the first field of the form."""
        first = self.form().nextInFocusChain()
        for _ in range(200):
            if first is None or (self.isAncestorOf(first) and _takes_focus(first)):
                break
            first = first.nextInFocusChain()
        if first is not None:
            first.setFocus(Qt.FocusReason.ShortcutFocusReason)


def _takes_focus(widget: QWidget) -> bool:
    return (
        widget.isVisible()
        and widget.isEnabled()
        and bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
        and widget.focusProxy() is None
    )
