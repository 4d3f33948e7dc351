"""The floor view: the plan and one piece after the other in large letters, for whoever sets them.

It shows a copy of the job, and its plan has no tool: whatever is clicked, dragged or typed here,
the job stays as it is.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QWidget

from gridjig.checks.finding import marked_ids, sign_places
from gridjig.proof.report import ProofReport
from gridjig.qt.canvas.covered_points import points_of
from gridjig.qt.canvas.plan_view import PlanView
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.entry_rows import SIGNS
from gridjig.qt.widgets.layout import REST, holder, in_column, in_grid, in_row
from gridjig.qt.widgets.plain import Label
from gridjig.session.document import Document
from gridjig.sheets.setup.numbering import setting_order
from gridjig.sheets.setup.piece_rows import PieceRow, piece_rows
from gridjig.sheets.setup.shown import Shown
from gridjig.sheets.text.placed_text import verdict

_PLAN_LETTERS = 1.4
"""How much larger the letters on the plan are than usual letters in the window: as large as the
border of the plan has room for.
"""
_TELLS = 30
"""Letters in the widest line of what is told beside the plan."""
_WHOLE_SCREEN = 1000
"""Letters and lines: more than any screen has, which the form is then cut to."""
_NEXT, _BACK = ("Right", "Down", "PgDown"), ("Left", "Up", "PgUp")


class FloorView(FormDialog):
    """Goes through the pieces in the order of setting, as the setup sheet numbers them."""

    topic = "sheet"

    def __init__(
        self,
        parent: QWidget,
        document: Document,
        appearance: Appearance,
        report: ProofReport | None,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Floor view")
        self._own = own = Document(document.job)
        self.steps = _steps(own)
        self.at = 0
        self.plan = PlanView(own, appearance.theme, appearance.metrics)
        font = self.plan.font()
        larger = max(1.0, _PLAN_LETTERS / appearance.metrics.letters)
        font.setPointSizeF(font.pointSizeF() * larger)
        self.plan.setFont(font)
        self.plan.setAccessibleName("Plan of the table")
        if report is not None:
            found = report.findings
            self.plan.set_findings(*marked_ids(found), sign_places(found))
        self.count = Label("", "bigTitle")
        self.holes = Label("", "floorHoles")
        self.piece = Label("", "bigTitle")
        self.lines = Label("", "floorLines")
        self.checked = Label(_checked(report), "heading")
        self.next = make_button("Next", self.go_on, plain=False)
        self.previous = make_button("Back", self.go_back, plain=False)
        self.leave = make_button("Leave", self.reject, plain=False)
        self.whole = make_button("Whole table", self.plan.fit_table)
        self.near = make_button("This piece", self.plan.fit_selection)
        self._lay_out()
        # Shortcuts, because a button would use the arrow keys to pass the focus on.
        for keys, act in ((_NEXT, self.go_on), (_BACK, self.go_back)):
            for key in keys:
                QShortcut(QKeySequence(key), self).activated.connect(act)
        self.next.setDefault(True)
        self.size_for(_WHOLE_SCREEN, _WHOLE_SCREEN)
        self._show()
        self.next.setFocus()

    def _lay_out(self) -> None:
        told = in_column(self.count, self.holes, self.piece, self.lines, REST, margins="form")
        page = scrolled(holder(told))
        page.setMinimumWidth(_TELLS * self.fontMetrics().averageCharWidth())
        ways = in_grid(self.previous, self.next, self.whole, self.near)
        side = in_column((page, 1), self.checked, ways, self.leave)
        in_row((self.plan, 2), (side, 1), over=self)

    @property
    def step(self) -> PieceRow:
        """What is told about the piece that is to be set now."""
        return self.steps[self.at]

    def go_on(self) -> None:
        """Show the next piece."""
        self._go(1)

    def go_back(self) -> None:
        """Show the piece before."""
        self._go(-1)

    def _go(self, by: int) -> None:
        at = min(max(self.at + by, 0), len(self.steps) - 1)
        if at != self.at:
            self.at = at
            self._show()
            self.plan.show_points(points_of(self._own, self._own.selection))
            announce(self, f"{self.count.text()}: {self.holes.text()}, {self.piece.text()}")

    def _show(self) -> None:
        step = self.step
        self.count.setText(f"{step.number} of {len(self.steps)}")
        self.holes.setText("\n".join(step.holes))
        self.piece.setText(f"{step.name}\n{step.piece}" if step.name else step.piece)
        bin_words = (f"from bin {step.bin}",) if step.bin else ()
        self.lines.setText("\n".join((*bin_words, *step.way, *step.setting)))
        self._own.select((step.placement,))
        last, first = self.at == len(self.steps) - 1, self.at == 0
        for button, ends in ((self.next, last), (self.previous, first)):
            if ends and self.focusWidget() is button:
                (self.previous if last else self.next).setFocus()
            button.setEnabled(not ends)


def _steps(document: Document) -> tuple[PieceRow, ...]:
    """The pieces as the setup sheet numbers and tells them."""
    job, placed = document.job, document.placed_pieces
    order = setting_order(job, placed, document.contacts)
    return piece_rows(job, placed, order, Shown(job.display))


def _checked(report: ProofReport | None) -> str:
    """What the check says of the set-up that is shown here."""
    if report is None:
        return "The check was not finished when this was opened."
    level, words = verdict(report.findings, report.looked_at)
    return f"{SIGNS[level]} Check: {words}"
