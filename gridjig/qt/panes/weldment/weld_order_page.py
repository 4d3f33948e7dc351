"""The order of tacking and of welding: proposed, and changed by dragging or with keys."""

from collections.abc import Mapping
from typing import cast

from gridjig.edits.paperwork import Turn, clear_order, set_order
from gridjig.model import JointOf
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.layout import REST
from gridjig.qt.widgets.order_list import OrderEntry, OrderList
from gridjig.qt.widgets.plain import Button
from gridjig.session.document import Document
from gridjig.sheets.drawings.weld_order import draw_order
from gridjig.sheets.text.joint_text import parts_words, weld_words
from gridjig.solve.weldment.weld_order import tacks_of, welds_of
from gridjig.solve.weldment.welds import Welded

from .weldment_page import WeldmentPage

_RULES: Mapping[Turn, str] = {
    "tacks": "Proposed: outside before inside, opposite ends first, braces last.",
    "welds": "Proposed: balanced about the middle, from the middle outwards, braces last.",
}
_OWN = "The shop's own order. A joint that comes up later follows at the end."


class WeldOrderPage(WeldmentPage):
    """All welded joints of the current weldment in the order of tacking or of welding."""

    topic = "joints"

    def __init__(self, document: Document, appearance: Appearance) -> None:
        super().__init__(document, appearance)
        self.turn_choice = Choices("Order of", (("tacks", "tacks"), ("welds", "welds")))
        self.turn_choice.set_value("tacks")
        self.turn_choice.chosen.connect(lambda _: self.show_job())
        self.add_row(self.turn_choice)
        self.told = self.label()
        self.order = OrderList("Joints in order")
        self.order.ordered.connect(self._on_order)
        self.order.list.currentRowChanged.connect(lambda _: self._draw(lead=True))
        self.column.addWidget(self.order, 1)
        self.proposed = Button("Proposed order", about="Go back to the proposed order")
        self.proposed.clicked.connect(self._propose)
        self.add_row(self.proposed, REST)
        self.setFocusProxy(self.order)

    @property
    def turn(self) -> Turn:
        """Whether the tacks or the welds are shown."""
        return cast(Turn, self.turn_choice.value())

    def joints(self) -> tuple[Welded, ...]:
        """Return the joints of the current weldment in the order shown."""
        find = tacks_of if self.turn == "tacks" else welds_of
        return find(self.document.job, self.document.weldment)

    def show_job(self) -> None:
        """Show the order as it is now."""
        job = self.document.job
        joints = self.joints()
        self.order.show_entries(
            tuple(
                OrderEntry(
                    one.joint.id,
                    f"{number}   {one.name}   {parts_words(job, one.joint)}"
                    f"   {weld_words(one, job.display)}",
                )
                for number, one in enumerate(joints, 1)
            )
        )
        mine = {one.joint.a for one in joints} | {one.joint.b for one in joints}
        chosen = any(one.a in mine for one in getattr(job.weld_plan, self.turn))
        if not joints:
            self.told.setText("A tack needs a joint; draw two parts that meet.")
        else:
            self.told.setText(_OWN if chosen else _RULES[self.turn])
        self.proposed.setEnabled(chosen)
        self._draw()

    def _draw(self, lead: bool = False) -> None:
        """Draw the numbers on the plan; with `lead`, bring the current joint into view."""
        joints = self.joints()
        key = self.order.current()
        one = next((each for each in joints if each.joint.id == key), None)
        self.show_on_plan(
            draw_order(joints, key), [one.joint.place] if one is not None and lead else []
        )

    def _on_order(self, keys: tuple[str, ...]) -> None:
        by_id = {one.joint.id: one.joint for one in self.joints()}
        order = [JointOf(j.a, j.b, j.nth) for k in keys if (j := by_id.get(k)) is not None]
        job = set_order(self.document.job, self.turn, self.document.weldment, order)
        self.document.do(job, f"Change the order of {self.turn}")

    def _propose(self) -> None:
        job = clear_order(self.document.job, self.turn, self.document.weldment)
        self.document.do(job, f"Propose the order of {self.turn}")

    def focus_first(self) -> None:
        """Put the focus on the list."""
        self.order.list.setFocus()

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.appearance = appearance
