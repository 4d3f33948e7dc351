"""The tab of the angle pane, which is made when it is first needed."""

from typing import TYPE_CHECKING

from gridjig.qt.widgets.late_tab import LateTab

if TYPE_CHECKING:
    from .angle_pane import AnglePane


class AngleTab(LateTab):
    """The angle pane's place."""

    _made: "AnglePane | None" = None

    @property
    def pane(self) -> "AnglePane":
        """The pane, made now if it was not before."""
        if self._made is None:
            from .angle_pane import AnglePane  # noqa: PLC0415 - it loads what counts with arrays

            self._made = made = AnglePane(self.document, self.appearance)
            self.keep(made, made, made.ask.angle)
        return self._made

    def show_part(self, part: int) -> None:
        """Bring a page of the pane to the front and focus its first field."""
        self.pane.turn_to(part)
        self.pane.focus_first()

    def pick_edge(self) -> None:
        """Let the user pick the edge whose angle is wanted."""
        self.pane.ask.pick_edge()

    def make(self) -> None:
        """Make the pane if it was not made before."""
        self.pane.show()
