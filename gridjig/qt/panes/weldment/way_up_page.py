"""Which way up and which hand: what lies flush, what risers are needed, turning over, mirroring.

The result is shown on the plan as a ghost before it is carried out.
"""

from collections.abc import Iterable
from typing import Literal, cast

from PySide6.QtCore import Qt

from gridjig.contact.belonging import pieces_of
from gridjig.edits import weldment
from gridjig.edits.setup_mirror import MirroredSetup, mirror_line, mirror_setup
from gridjig.geometry.display import DisplayList
from gridjig.geometry.part_mass import mass
from gridjig.model import Job
from gridjig.model.by_weldment import only, parts_of
from gridjig.model.titles import weldment_title
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.cells import FoldingRow
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.plain import Button
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document
from gridjig.sheets.drawings.layout import draw_ghosts, draw_moved, draw_setup
from gridjig.sheets.text.cautions import turning_caution
from gridjig.sheets.text.symmetry_text import advice_words, follow_words, hand_words, way_line
from gridjig.solve.layout.ways_up import ways_up
from gridjig.solve.weldment.faces import Axis
from gridjig.tools.select.beside import (
    SIDES,
    HandBeside,
    Side,
    axis_of,
    beside,
    line_words,
    lines,
    nearest,
    told,
)

from .weldment_page import WeldmentPage

WayUpAction = Literal["down", "hand", "beside"]
WORDS: dict[WayUpAction, tuple[str, str]] = {
    "down": ("Turn it face down", "Turn the weldment face down"),
    "hand": ("Make it the opposite hand", "Make the weldment the opposite hand"),
    "beside": ("Put its other hand beside it", "Put the other hand beside it"),
}
"""For each action, the label of its button and the name of its undo step."""


NEAREST: tuple[tuple[str, object], ...] = (("the nearest line where it fits", None),)
WHERE: dict[Side, str] = {
    "right": "to its right", "left": "to its left", "back": "behind it", "front": "in front of it",
}  # fmt: skip


class WayUpPage(WeldmentPage):
    """Turns the weldment face down, makes it the opposite hand, or puts that beside it."""

    topic = "where"

    def __init__(self, document: Document, appearance: Appearance) -> None:
        super().__init__(document, appearance)
        self.made: MirroredSetup | None = None
        self.beside: HandBeside | None = None
        self.advice = self.label("freedom")
        self.add_list("Ways up")
        self.hand = self.label()
        self.choice = Choices(
            "What to do", ((words, choice) for choice, (words, _) in WORDS.items())
        )
        self.axis = Choices("Swap", (("left and right", "x"), ("front and back", "y")))
        self.side = Choices("On which side", ((WHERE[side], side) for side in SIDES))
        self.line = Choices("Mirrored about", NEAREST)
        self.add_row(FoldingRow(self.choice, self.axis))
        self.add_row(FoldingRow(self.side, self.line))
        self.picks = Tick("Move the pieces too", "The pieces move to the mirrored holes", on=True)
        self.do = Button(WORDS["down"][0], "plain")
        self.add_row(FoldingRow(self.picks, self.do))
        self.told = self.label("small")
        self.told.setAccessibleName("What changes")
        self.side.chosen.connect(lambda _: self.line.set_value(None))
        for box in (self.choice, self.axis, self.side, self.line):
            box.chosen.connect(lambda _: self.show_job())
        self.picks.toggled.connect(lambda _: self.show_job())
        self.do.clicked.connect(self.carry_out)
        self.list.setting.connect(self.do.click)
        self.list.does = "Enter does what the button says"
        self.list.chosen.connect(document.select)
        self.setFocusProxy(self.choice)

    # -- showing ---------------------------------------------------------------------------------

    def show_job(self) -> None:
        """Show the weldment both ways up, and what would change."""
        job, one = self.document.job, self.document.weldment
        alone = only(job, one)
        there = bool(alone.parts)
        ways = ways_up(alone)
        self.advice.setText(advice_words(alone, ways))
        self.list.show_lines([way_line(alone, way) for way in ways] if there else [])
        self.list.setEnabled(there)
        self.hand.setText(hand_words(alone))
        self.hand.setVisible(there)
        self.picks.setVisible(bool(job.placements))
        self.do.setText(WORDS[self._chosen()][0])
        is_beside = self._chosen() == "beside"
        for box in (self.side, self.line):
            box.setVisible(is_beside)
        self.axis.setVisible(not is_beside)
        self.made = self.beside = None
        if not there:
            self._tell(())
        elif is_beside:
            self._show_beside(job, one)
        else:
            self._show_mirrored(job, one)
        self.do.setEnabled(
            self.made is not None or (self.beside is not None and not self.beside.in_the_way)
        )

    def _tell(self, words: Iterable[str], drawing: DisplayList = ()) -> None:
        self.told.setText("\n".join(words))
        self.show_on_plan(drawing)

    def _show_mirrored(self, job: Job, one: str) -> None:
        """Show the weldment as it would lie in place of what is there."""
        self.made = self._mirrored(job, one)
        after = self.made.job
        down = self._chosen() == "down"
        told = follow_words(job, self.made, down, len(self._pieces(job, one)))
        if down:
            told = (*told, self._caution(job, one))
        ghost = draw_moved(only(job, one), only(after, one))
        self._tell(told, (*draw_setup(job, after), *ghost))

    def _show_beside(self, job: Job, one: str) -> None:
        """Show the opposite hand across the chosen line, or across the nearest where it fits."""
        side = self._side()
        axis = axis_of(side)
        every = lines(job, one, side)
        self.line.set_choices((*NEAREST, *((line_words(job, axis, at), at) for at in every)))
        if self.line.value() is None:
            self.line.set_value(None)
        placed = self.document.placed_pieces
        pieces = self._pieces(job, one) if self.picks.isChecked() else frozenset()
        at = self.line.value()
        if at is None:
            self.beside = nearest(job, placed, one, pieces, side)
            if self.beside is None:
                self._tell(
                    [
                        f"✕ There is no line {WHERE[side]} about which it fits. Choose another"
                        " side, or a line, to see what is in the way."
                    ]
                )
                return
        else:
            self.beside = beside(job, placed, one, pieces, axis, cast(float, at))
        said = list(told(job, self.beside))
        if self.beside.in_the_way:
            free = nearest(job, placed, one, pieces, side)
            where = "nowhere on this side" if free is None else f"{line_words(job, axis, free.at)}"
            said.append(f"The nearest line where nothing is in the way: {where}.")
        after = self.beside.made.job
        parts = [part for part in after.parts if part.id in self.beside.made.made]
        self._tell(said, (*draw_setup(job, after), *draw_ghosts(parts)))

    def _chosen(self) -> WayUpAction:
        return cast(WayUpAction, self.choice.value() or "down")

    def _side(self) -> Side:
        return cast(Side, self.side.value() or "right")

    def _pieces(self, job: Job, one: str) -> frozenset[str]:
        """Return the pieces that belong to a weldment."""
        if not job.placements:
            return frozenset()
        return pieces_of(job, self.document.placed_pieces, self.document.contacts, one)

    def _mirrored(self, job: Job, one: str) -> MirroredSetup:
        """Return the mirrored job: about the weldment's middle or, with the pieces, a hole line."""
        axis: Axis = "x" if self.axis.value() == "x" else "y"
        x, y = weldment.middle(job, one)
        down = self._chosen() == "down"
        if job.placements and self.picks.isChecked():
            at = mirror_line(job, axis, x if axis == "x" else y)
            pieces = self._pieces(job, one)
            return mirror_setup(job, axis, at, face_down=down, weldment=one, pieces=pieces)
        end = (x, y + 1.0) if axis == "x" else (x + 1.0, y)
        change = weldment.flip if down else weldment.mirror
        return MirroredSetup(change(job, (x, y), end, one), (), (), ())

    def turn_to_beside(self) -> None:
        """Offer to put the other hand beside it, on the first side where it fits."""
        self.choice.set_value("beside")
        job, one = self.document.job, self.document.weldment
        self.line.set_value(None)
        if parts_of(job, one):
            placed = self.document.placed_pieces
            pieces = self._pieces(job, one) if self.picks.isChecked() else frozenset()
            fits = (s for s in SIDES if nearest(job, placed, one, pieces, s) is not None)
            self.side.set_value(next(fits, SIDES[0]))
        self.refresh()

    def carry_out(self) -> None:
        """Carry it out as one undo step, and say how many pieces stayed where they were."""
        words = WORDS[self._chosen()][1]
        if self.beside is not None and not self.beside.in_the_way:
            made = self.beside.made
            self.document.do(made.job, words, made.made)
            called = weldment_title(made.job, made.weldment)
            self.message.emit(f"{called} is beside it. Ctrl+Z undoes it.")
            return
        if self.made is None:
            return
        stayed = len(self.made.stayed)
        down = self._chosen() == "down"
        caution = self._caution(self.made.job, self.document.weldment) if down else ""
        self.document.do(self.made.job, words)
        more = f" {stayed} pieces stay where they are." if stayed > 1 else ""
        more = " 1 piece stays where it is." if stayed == 1 else more
        self.message.emit(f"{words}.{more} Ctrl+Z undoes it. {caution}".strip())

    def _caution(self, job: Job, one: str) -> str:
        return turning_caution(sum(mass(part) for part in only(job, one).parts), job.display)

    def focus_first(self) -> None:
        """Put the focus on the choice of what to do."""
        self.choice.box.setFocus(Qt.FocusReason.ShortcutFocusReason)
