"""All questions about files, in one place, so that a test can answer them.

Every question says what happened, why, and what can be done.  Buttons are verbs, and a button
that loses work is set apart.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Literal, Protocol

from msgspec import Struct
from PySide6.QtWidgets import (
    QFileDialog,
    QWidget,
)

from gridjig.files.jobs.autosave import AutosavedCopy
from gridjig.qt.widgets.layout import REST, in_column, in_row
from gridjig.qt.widgets.plain import Button, Label

from .dialog import FormDialog
from .recover import RecoverForm

JOB_FILTER = "Jobs (*.gridjig)"
OPEN_FILTER = "Jobs, and setup sheets with a job inside (*.gridjig *.pdf)"
CSV_FILTER = "Tables (*.csv)"
PDF_FILTER = "PDF (*.pdf)"
RACK_FILTER = "Racks (*.gridrack *.json)"
RACK_SOURCE_FILTER = "Racks, and jobs with their racks (*.gridrack *.json *.gridjig)"

Closing = Literal["save", "discard", "cancel"]
Locked = Literal["read", "take", "cancel"]
Overwrite = Literal["overwrite", "save_as", "cancel"]


class FileQuestions(Protocol):
    """The questions needed to read or write one file."""

    def open_path(self, folder: str, title: str, kinds: str) -> str:
        """Ask for a file to read; return "" if none was chosen."""

    def save_path(self, proposed: str, title: str, kinds: str) -> str:
        """Ask for a file to write; return "" if none was chosen."""

    def problem(self, title: str, body: str) -> None:
        """Report a failure that the person must acknowledge before going on."""


class AnswerButton(Struct, frozen=True):
    """A button: its answer and its verb.  `losing` sets it apart, because it loses work."""

    answer: str
    verb: str
    losing: bool = False


class QuestionDialog(FormDialog):
    """A title, a body, and a row of verbs.  Esc gives the same answer as the last button."""

    def __init__(
        self, title: str, body: str, choices: Sequence[AnswerButton], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("GridJig")
        self.setModal(True)
        self.answer = self._last = choices[-1].answer
        self.buttons: dict[str, Button] = {}
        head = Label(title, "heading")
        text = Label(body, copied=True)
        text.setMinimumWidth(380)
        losing = [self._button(choice) for choice in choices if choice.losing]
        others = [self._button(choice) for choice in choices if not choice.losing]
        in_column(head, text, 8, in_row(*losing, REST, 24, *others), over=self)
        first = next(c for c in choices if not c.losing)
        self.buttons[first.answer].setDefault(True)
        self.buttons[first.answer].setFocus()
        self.setAccessibleName(title)
        self.setAccessibleDescription(body)

    def answered(self) -> str:
        """Ask, and return the answer; that of the last button if the window goes meanwhile."""
        return self.answer if self.ask() else self._last

    def help_topic(self) -> str:
        """Return the topic of the form that asks, or the topic about files if the window asks."""
        return super().help_topic() if isinstance(self.parentWidget(), FormDialog) else "files"

    def _button(self, choice: AnswerButton) -> Button:
        button = Button(choice.verb, "losing" if choice.losing else "")
        button.setAutoDefault(False)
        button.clicked.connect(lambda: self._take(choice.answer))
        self.buttons[choice.answer] = button
        return button

    def _take(self, answer: str) -> None:
        self.answer = answer
        self.accept()


class Questions:
    """Asks the person in dialogs over a window."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def _ask(self, title: str, body: str, *choices: AnswerButton) -> str:
        return QuestionDialog(title, body, choices, self._parent).answered()

    def closing(self, name: str) -> Closing:
        """Ask whether to save a job's changes before it is closed."""
        return self._ask(
            f"“{name}” has changes that are not saved",
            "Save them, or they are lost when the job closes.",
            AnswerButton("save", "Save"),
            AnswerButton("discard", "Don't save", losing=True),
            AnswerButton("cancel", "Cancel"),
        )  # type: ignore[return-value]

    def locked(self, name: str, why: str) -> Locked:
        """A job is in use: ask whether to read it, take it over or leave it."""
        return self._ask(
            f"“{name}” is open elsewhere",
            f"{why} Open it read-only, or take it over: then whoever has it open can save only"
            " under another name.",
            AnswerButton("read", "Open read-only"),
            AnswerButton("take", "Take over", losing=True),
            AnswerButton("cancel", "Cancel"),
        )  # type: ignore[return-value]

    def take_over(self, name: str, why: str) -> bool:
        """Ask whether to take a job over from whoever has it open."""
        return (
            self._ask(
                f"Take “{name}” over?",
                f"{why} If you take it over, they can save only under another name.",
                AnswerButton("take", "Take over", losing=True),
                AnswerButton("cancel", "Keep it read-only"),
            )
            == "take"
        )

    def overwrite(self, name: str, gone: bool) -> Overwrite:
        """The file has changed on disk since it was opened: ask what to do."""
        if gone:
            title = f"“{name}” is no longer where it was"
            body = "It was moved, renamed or deleted since you opened it. Save it there again?"
            verb = "Save it there"
        else:
            title = f"“{name}” has changed on disk"
            body = (
                "Someone has saved it since you opened it. Save under another name to keep "
                "both; saving here replaces their changes."
            )
            verb = "Replace it"
        return self._ask(
            title,
            body,
            AnswerButton("save_as", "Save under another name"),
            AnswerButton("overwrite", verb, losing=True),
            AnswerButton("cancel", "Cancel"),
        )  # type: ignore[return-value]

    def forget(self, what: str, name: str) -> bool:
        """Ask whether to forget one of the person's own tables, racks or sections."""
        return (
            self._ask(
                f"Remove the {what} “{name}” from the list?",
                f"It will no longer be offered. Jobs that use this {what} keep it.",
                AnswerButton("forget", "Remove it", losing=True),
                AnswerButton("cancel", "Keep it"),
            )
            == "forget"
        )

    def problem(self, title: str, body: str) -> None:
        """Report a failure that the person must acknowledge before going on."""
        self._ask(title, body, AnswerButton("close", "Close"))

    def save_problem(self, name: str, body: str) -> bool:
        """Report that saving failed; return True to save somewhere else."""
        return (
            self._ask(
                f"“{name}” was not saved",
                body,
                AnswerButton("save_as", "Save under another name"),
                AnswerButton("cancel", "Leave it open"),
            )
            == "save_as"
        )

    def recover(
        self, copies: Sequence[AutosavedCopy]
    ) -> tuple[AutosavedCopy | None, tuple[AutosavedCopy, ...]]:
        """Ask which unsaved copy to open; return it and the copies to throw away."""
        form = RecoverForm(copies, self._parent)
        form.ask()
        return (form.chosen, form.thrown_away)

    def open_path(self, folder: str, title: str = "Open a job", kinds: str = OPEN_FILTER) -> str:
        """Ask for a file to read; return "" if none was chosen."""
        path, _ = QFileDialog.getOpenFileName(
            self._parent, title, folder, f"{kinds};;All files (*)"
        )
        return path

    def save_path(self, proposed: str, title: str = "Save the job", kinds: str = JOB_FILTER) -> str:
        """Ask for a file to write; return "" if none was chosen."""
        path, _ = QFileDialog.getSaveFileName(self._parent, title, proposed, kinds)
        return path


def with_suffix(path: str, suffix: str) -> Path:
    """Return the path, with the suffix added if it has none."""
    chosen = Path(path)
    return chosen if chosen.suffix else chosen.with_name(chosen.name + suffix)
