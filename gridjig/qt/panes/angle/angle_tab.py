"""The tab of the angle pane; the pane is created when it is first needed."""

from typing import TYPE_CHECKING

from gridjig.qt.widgets.late_tab import LateTab

if TYPE_CHECKING:
    from gridjig.cutplates.asked import PlateOf

    from .angle_pane import AnglePane


class AngleTab(LateTab):
    """Holds the angle pane's place until the pane is created."""

    _made: "AnglePane | None" = None

    @property
    def pane(self) -> "AnglePane":
        """Return the pane, creating it if necessary."""
        if self._made is None:
            from .angle_pane import AnglePane  # noqa: PLC0415 - it loads numpy

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

    def plate(self) -> "PlateOf | None":
        """Return the plate that is highlighted, or any that makes the angle wanted; None without an
        angle.
        """
        return None if self._made is None else self.pane.answers.plate()

    def make(self) -> None:
        """Create the pane if it does not exist yet."""
        self.pane.show()
