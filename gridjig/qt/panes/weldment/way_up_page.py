"""Which way up and which hand: what lies flush, what risers are needed, turning over, mirroring.

The result is shown on the sheet as a ghost before it is carried out.
"""

from typing import Literal

from PySide6.QtCore import Qt

from gridjig.edits import weldment
from gridjig.edits.setup_mirror import MirroredSetup, mirror_line, mirror_setup
from gridjig.model import Job
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.plain import Button
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document
from gridjig.sheets.drawings.layout import draw_moved, draw_setup
from gridjig.sheets.text.symmetry_text import advice_words, follow_words, hand_words, way_line
from gridjig.solve.layout.ways_up import ways_up
from gridjig.solve.weldment.faces import Axis

from .weldment_page import WeldmentPage

WayUpAction = Literal["down", "hand"]
WORDS: dict[WayUpAction, tuple[str, str]] = {
    "down": ("Turn it face down", "Turn the weldment face down"),
    "hand": ("Make it the opposite hand", "Make the weldment the opposite hand"),
}
"""For each action, the label of its button and the name of its undo step."""


class WayUpPage(WeldmentPage):
    """Turns the weldment face down, or makes it the opposite hand."""

    topic = "where"

    def __init__(self, document: Document, appearance: Appearance) -> None:
        super().__init__(document, appearance)
        self.made: MirroredSetup | None = None
        self.advice = self.label("freedom")
        self.add_list("Ways up")
        self.hand = self.label()
        self.choice = Choices(
            "What to do", (("Turn it face down", "down"), ("Make it the opposite hand", "hand"))
        )
        self.axis = Choices("Swap", (("left and right", "x"), ("front and back", "y")))
        self.add_row(self.choice, self.axis)
        self.picks = Tick("Move the pieces too", "The pieces move to the mirrored holes", on=True)
        self.do = Button(WORDS["down"][0], "plain")
        self.add_row(self.picks, (self.do, 1))
        self.told = self.label("small")
        self.told.setAccessibleName("What changes")
        for box in (self.choice, self.axis):
            box.chosen.connect(lambda _: self.show_job())
        self.picks.toggled.connect(lambda _: self.show_job())
        self.do.clicked.connect(self.carry_out)
        self.list.setting.connect(self.do.click)
        self.list.chosen.connect(document.select)
        self.setFocusProxy(self.choice)

    # -- showing ---------------------------------------------------------------------------------

    def show_job(self) -> None:
        """Show the weldment both ways up, and what would change."""
        job = self.document.job
        there = bool(job.parts)
        ways = ways_up(job)
        self.advice.setText(advice_words(job, ways))
        self.list.show_lines([way_line(job, way) for way in ways] if there else [])
        self.list.setEnabled(there)
        self.hand.setText(hand_words(job))
        self.hand.setVisible(there)
        self.picks.setVisible(bool(job.placements))
        self.do.setEnabled(there)
        self.do.setText(WORDS[self._chosen()][0])
        self.made = self._mirrored(job) if there else None
        if self.made is None:
            self.told.setText("")
            self.show_on_sheet(())
            return
        down = self._chosen() == "down"
        self.told.setText("\n".join(follow_words(job, self.made, down)))
        after = self.made.job
        self.show_on_sheet((*draw_setup(job, after), *draw_moved(job, after)))

    def _chosen(self) -> WayUpAction:
        return "down" if self.choice.value() == "down" else "hand"

    def _mirrored(self, job: Job) -> MirroredSetup:
        """Return the mirrored job: about the weldment's middle or, with the pieces, a hole line."""
        axis: Axis = "x" if self.axis.value() == "x" else "y"
        x, y = weldment.middle(job)
        down = self._chosen() == "down"
        if job.placements and self.picks.isChecked():
            at = mirror_line(job, axis, x if axis == "x" else y)
            return mirror_setup(job, axis, at, face_down=down)
        end = (x, y + 1.0) if axis == "x" else (x + 1.0, y)
        change = weldment.flip if down else weldment.mirror
        return MirroredSetup(change(job, (x, y), end), (), (), ())

    def carry_out(self) -> None:
        """Carry it out as one undo step, and say how many pieces stayed where they were."""
        made = self.made
        if made is None:
            return
        stayed = len(made.stayed)
        words = WORDS[self._chosen()][1]
        self.document.do(made.job, words)
        more = f" {stayed} pieces stay where they are." if stayed > 1 else ""
        more = " 1 piece stays where it is." if stayed == 1 else more
        self.message.emit(f"{words}.{more} Ctrl+Z undoes it.")

    def focus_first(self) -> None:
        """Put the focus on the choice of what to do."""
        self.choice.box.setFocus(Qt.FocusReason.ShortcutFocusReason)
