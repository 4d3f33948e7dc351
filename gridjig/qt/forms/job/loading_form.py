"""The order in which the parts go into the jig: proposed, or as the shop wants it."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from gridjig.edits.loading import set_loading_order
from gridjig.model.by_weldment import weldment_of
from gridjig.model.titles import title, weldment_title
from gridjig.proof.located.ground import ground_of
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.layout import REST, in_column, in_row
from gridjig.qt.widgets.order_list import OrderEntry, OrderList
from gridjig.qt.widgets.plain import Label
from gridjig.session.document import Document


class LoadingForm(FormDialog):
    """Lists the parts of a weldment in the order of loading; drag, or Alt and an arrow, moves one.

    Applying it is one step.
    """

    topic = "check"

    def __init__(self, parent: QWidget, document: Document, appearance: Appearance) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Loading order")
        self._document = document
        self.appearance = appearance
        job = document.job
        ground = ground_of(job, document.placed_pieces, document.contacts)
        self._orders = {name: tuple(order) for name, order in ground.orders.items() if order}
        self._first = dict(self._orders)
        self._proposed: set[str] = set()
        self.which = Choices(
            "Weldment", ((weldment_title(job, name), name) for name in self._orders)
        )
        self.told = Label(
            "Each part is located by the pieces and by the parts that are loaded before it. Drag a"
            " part, or press Alt and an arrow.",
            "small",
        )
        self.order = OrderList("Parts in the order of loading")
        self.order.list.setMinimumHeight(self.fontMetrics().lineSpacing() * 10)
        self.as_proposed = make_button("As proposed", self.take_proposed)
        self.cancel = make_button("Cancel", self.reject, plain=False)
        self.use = make_button("Use this order", self.apply, plain=False)
        self.use.setDefault(True)
        row = in_row(self.as_proposed, REST, self.cancel, self.use)
        in_column(self.which, self.told, (self.order, 1), row, over=self)
        self.which.setVisible(len(self._orders) > 1)
        self.which.set_value(next(iter(self._orders), None))
        self.which.chosen.connect(lambda _: self._fill())
        self.order.ordered.connect(self._on_order)
        self._fill()
        self.order.setFocus()
        self.size_for(52, 24, (380, 420))

    @property
    def weldment(self) -> str:
        """The weldment whose order is shown."""
        return str(self.which.value())

    def _fill(self) -> None:
        job, order = self._document.job, self._orders[self.weldment]
        self.order.show_entries(
            tuple(OrderEntry(part, f"{k}. {title(job, part)}") for k, part in enumerate(order, 1))
        )

    def _on_order(self, keys: tuple[str, ...]) -> None:
        self._orders[self.weldment] = keys
        self._proposed.discard(self.weldment)
        self._fill()

    def take_proposed(self) -> None:
        """Show the order that the program proposes."""
        job = set_loading_order(self._document.job, self.weldment, ())
        ground = ground_of(job, self._document.placed_pieces, self._document.contacts)
        self._orders[self.weldment] = tuple(ground.orders[self.weldment])
        self._proposed.add(self.weldment)
        self._fill()

    def apply(self) -> None:
        """Load in these orders from now on."""
        job = self._document.job
        for name, order in self._orders.items():
            chosen = weldment_of(job, name).loading
            if name in self._proposed:
                job = set_loading_order(job, name, ()) if chosen else job
            elif order != self._first[name]:
                job = set_loading_order(job, name, order)
        if job is not self._document.job:
            self._document.do(job, "Change the loading order")
        self.accept()


def open_loading(parent: QWidget, document: Document, appearance: Appearance) -> None:
    """Open the form over the window."""
    LoadingForm(parent, document, appearance).open()
