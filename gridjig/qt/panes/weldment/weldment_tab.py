"""The tab of the weldment pane; the pane is created when it is first needed."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from gridjig.qt.widgets.late_tab import LateTab

if TYPE_CHECKING:
    from .weldment_pane import WeldmentPane


class WeldmentTab(LateTab):
    """Holds the weldment pane's place until the pane is created."""

    revealed = Signal(object)
    _made: "WeldmentPane | None" = None

    @property
    def pane(self) -> "WeldmentPane":
        """Return the pane, creating it if necessary."""
        if self._made is None:
            from .weldment_pane import WeldmentPane  # noqa: PLC0415 - it loads numpy

            self._made = made = WeldmentPane(self.document, self.appearance)
            made.revealed.connect(self.revealed)
            self.keep(made, made, made.buttons[0])
        return self._made

    def show_part(self, part: int) -> None:
        """Bring a page of the pane to the front and focus its first field."""
        self.pane.turn_to(part)
        self.pane.page.focus_first()

    def show_beside(self) -> None:
        """Offer to put the other hand of the weldment beside it; its page is at the front."""
        self.pane.offer_beside()

    def make(self) -> None:
        """Create the pane if it does not exist yet."""
        self.pane.show()

    @property
    def topic(self) -> str:
        """Return the help topic of the page at the front."""
        return self._made.page.topic if self._made is not None else "joints"
