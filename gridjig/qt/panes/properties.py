"""The "what is it, where is it" form: one of four, by what is selected."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QStackedWidget, QWidget

from gridjig.model import Outline, Placement
from gridjig.session.desk import Desk

from .formbase import Form
from .job_form import JobForm
from .outline_form import OutlineForm
from .placement_form import PlacementForm
from .several_form import SeveralForm


class PropertiesPane(QStackedWidget):
    """Shows the form for what is selected; made when first needed."""

    said = Signal(str)
    wanted = Signal(str)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.job_form = JobForm(desk)
        self.placement_form = PlacementForm(desk)
        self.outline_form = OutlineForm(desk)
        self.several_form = SeveralForm(desk)
        self._areas: dict[Form, QScrollArea] = {}
        forms: tuple[Form, ...] = (
            self.job_form,
            self.placement_form,
            self.outline_form,
            self.several_form,
        )
        for form in forms:
            form.said.connect(self.said)
            area = QScrollArea()
            area.setWidgetResizable(True)
            area.setFrameShape(QFrame.Shape.NoFrame)
            area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
            area.setWidget(form)
            area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            self._areas[form] = area
            self.addWidget(area)
        self.job_form.wanted.connect(self.wanted)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)

    def refresh(self) -> None:
        """Show the desk as it is now."""
        selection = self.desk.selection
        thing = self.desk.shown.find(next(iter(selection))) if len(selection) == 1 else None
        if isinstance(thing, Placement):
            self.placement_form.show_thing(thing.id)
            self._turn_to(self.placement_form)
        elif isinstance(thing, Outline):
            self.outline_form.show_thing(thing.id)
            self._turn_to(self.outline_form)
        elif len(selection) > 1:
            self.several_form.show_things(selection)
            self._turn_to(self.several_form)
        else:
            self.job_form.show_job()
            self._turn_to(self.job_form)

    def _turn_to(self, form: Form) -> None:
        area = self._areas[form]
        if self.currentWidget() is not area:
            self.setCurrentWidget(area)
            area.verticalScrollBar().setValue(0)

    def form(self) -> Form:
        """The form shown now."""
        return next(f for f, area in self._areas.items() if area is self.currentWidget())

    def focus_name(self) -> None:
        """Put the focus on the name, ready to be typed over."""
        form = self.form()
        if isinstance(form, PlacementForm | OutlineForm | JobForm):
            form.name.edit.setFocus(Qt.FocusReason.ShortcutFocusReason)
            form.name.edit.selectAll()

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
