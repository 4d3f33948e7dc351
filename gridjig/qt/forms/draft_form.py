"""A form that works on a draft of the job: nothing changes until it is applied, as one undo step.

The draft is a separate document, so every change can also be undone inside the form.  The form
says what applying would do to the pieces on the table before it does it.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QWidget,
)

from gridjig.edits.table import newly_adrift
from gridjig.model import Job
from gridjig.model.titles import title
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import AnswerButton, QuestionDialog, Questions
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.layout import in_column, in_row
from gridjig.qt.widgets.plain import Label, tip, title_words
from gridjig.session.document import Document

_ALL_THE_SAME = "Change it anyway"


class DraftForm(FormDialog):
    """What the forms for the table, the rack and a piece share.

    `what` names the thing changed, such as "table".  `start` is the initial draft if it differs
    from the document's job; that difference alone does not count as a change.  `apply_words` is
    the label of the button that applies.
    """

    def __init__(
        self,
        window: QWidget,
        document: Document,
        appearance: Appearance,
        what: str,
        start: Job | None = None,
        apply_words: str = "",
    ) -> None:
        super().__init__(window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title_words(what[0].upper() + what[1:]))
        self.document = document
        self.appearance = appearance
        self._first = start or document.job
        self.draft = Document(self._first)
        self.questions = Questions(self)
        self._what = what
        self._apply_words = apply_words or f"Change the {what}"
        self._told: dict[str, str] = {}
        self._make_foot()
        self._unsubscribe = self.draft.subscribe(self._on_draft)
        self.finished.connect(self._on_finished)

    # -- the foot: messages, what would be lost, and the buttons ---------------------------------

    def _make_foot(self) -> None:
        self.said = Label()
        self.said.setAccessibleName("What happened")
        self.lost = Label(copied=True)
        self.lost.setProperty("role", "clash")
        self._lost_box = scrolled(self.lost)
        self._lost_box.setFixedHeight(self.fontMetrics().lineSpacing() * 2 + 6)
        # Its space is kept while it is empty, so that the picture never jumps.
        room = self._lost_box.sizePolicy()
        room.setRetainSizeWhenHidden(True)
        self._lost_box.setSizePolicy(room)
        self._lost_box.hide()
        self.apply_button = make_button(self._apply_words, self.apply, plain=False)
        self.apply_button.setDefault(True)
        self.cancel_button = make_button("Cancel", self.reject, plain=False)
        self.undo_button = make_button("Undo", self.undo, plain=False)
        self.redo_button = make_button("Redo", self.redo, plain=False)
        # The same keys as the window's undo and redo, on every platform.
        for button, keys in (
            (self.undo_button, ("Ctrl+Z",)),
            (self.redo_button, ("Ctrl+Y", "Ctrl+Shift+Z")),
        ):
            for key in keys:
                QShortcut(QKeySequence(key), self).activated.connect(button.click)
        for enter in ("Ctrl+Return", "Ctrl+Enter"):
            QShortcut(QKeySequence(enter), self).activated.connect(self.apply_button.click)

    def lay_out(self, body: QWidget) -> None:
        """Put the body above the foot, and take as much of the window as a form may."""
        row = in_row(
            self.undo_button,
            self.redo_button,
            (self.said, 1),
            self.cancel_button,
            self.apply_button,
        )
        in_column((body, 1), self._lost_box, row, over=self, margins="dialog")
        room = self.screen().availableGeometry().size()
        self.resize(min(1240, room.width() - 24), min(860, room.height() - 60))
        self._on_draft()

    # -- the draft -------------------------------------------------------------------------------

    def _on_finished(self) -> None:
        self._unsubscribe()
        focus = self.focusWidget()
        if focus is not None:
            # A field that is destroyed while it has the focus would still get a focus-out event.
            focus.clearFocus()

    def show_draft(self) -> None:
        """Show the draft; each form implements this."""

    def settle(self) -> bool:
        """Apply any pending text; if it is not accepted, focus its field and return False."""
        return True

    def _on_draft(self) -> None:
        draft = self.draft
        self.show_draft()
        lost = {} if draft.previewing else newly_adrift(self.document.job, draft.job)
        if not draft.previewing:
            self._show_lost(lost)
        self.update_buttons()

    def update_buttons(self) -> None:
        """Enable undo and redo if there is something to undo or redo, and name the step."""
        draft = self.draft
        for button, can, name in (
            (self.undo_button, draft.can_undo or self.unsettled(), draft.undo_name),
            (self.redo_button, draft.can_redo, draft.redo_name),
        ):
            word = button.text()
            button.setEnabled(can)
            button.setToolTip(tip(f"{word} {name}" if name else f"Nothing to {word.lower()}"))
            button.setAccessibleDescription(name)

    def unsettled(self) -> bool:
        """True while a typed value is kept out of the draft because it contradicts the others."""
        return False

    def show_message(self, words: str) -> None:
        """Show a line in the foot, and have a screen reader read it."""
        self.said.setText(words)
        announce(self, words)

    def undo(self) -> None:
        """Undo the last change made in this form."""
        self.said.clear()
        step = self.draft.undo()
        self._show_step(f"Undone: {step.name}." if step else "Nothing to undo.")

    def redo(self) -> None:
        """Redo what was undone last in this form."""
        self.said.clear()
        step = self.draft.redo()
        self._show_step(f"Redone: {step.name}." if step else "Nothing to redo.")

    def _show_step(self, words: str) -> None:
        """Show what was undone or redone, with what the form said about it, such as a text lost."""
        self.show_message(f"{words} {self.said.text()}".strip())

    # -- what would be lost ----------------------------------------------------------------------

    def _show_lost(self, lost: dict[str, str]) -> None:
        self._lost_box.setVisible(bool(lost))
        self.lost.setText(lost_words(self.draft.job, lost))
        again = bool(lost) and lost == self._told
        self.apply_button.setText(_ALL_THE_SAME if again else self._apply_words)

    # -- applying and closing --------------------------------------------------------------------

    def apply(self) -> None:
        """Apply the draft to the job as one undo step, after saying what would lose its holes."""
        if not self.settle():
            return
        lost = newly_adrift(self.document.job, self.draft.job)
        if lost and lost != self._told:
            self._told = lost
            self._show_lost(lost)
            announce(self, self.lost.text(), urgent=True)
            self.apply_button.setFocus()
            return
        if self.draft.job is not self.document.job:
            self.document.do(self.draft.job, self.step_name())
        self.accept()

    def step_name(self) -> str:
        """Return the name of the undo step: that of a single change, or one name for several."""
        return self.draft.undo_name if self.draft.undo_count == 1 else self._apply_words

    def changed(self) -> bool:
        """True if there is anything to apply."""
        return self.draft.job != self._first or self.unsettled()

    def reject(self) -> None:
        """Close, after asking about changes that were not applied and would be lost."""
        if not self.changed():
            super().reject()
            return
        question = QuestionDialog(
            f"The {self._what} has not been changed yet",
            "Apply the changes made in this form, or discard them.",
            (
                AnswerButton("apply", self._apply_words),
                AnswerButton("throw", "Discard the changes", losing=True),
                AnswerButton("stay", "Keep editing"),
            ),
            self,
        )
        answer = question.answered()
        if answer == "apply":
            self.apply()
        elif answer == "throw":
            super().reject()


def lost_words(job: Job, lost: dict[str, str]) -> str:
    """Say which placed pieces would no longer fit and why; return "" if all still fit."""
    if not lost:
        return ""
    head = "1 placed piece" if len(lost) == 1 else f"{len(lost)} placed pieces"
    one = len(lost) == 1
    fits = "no longer fits" if one else "no longer fit"
    each = " ".join(f"{title(job, i)}: {why.rstrip('.')}." for i, why in lost.items())
    stay, them = ("It stays", "it") if one else ("They stay", "them")
    return (
        f"✕ {head} {fits}. {each} {stay} in the job, marked as not fitting, until you move {them}."
    )
