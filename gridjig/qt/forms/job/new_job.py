"""The form for a new job: its name, table and rack."""

from collections.abc import Callable, Mapping

from PySide6.QtWidgets import (
    QWidget,
)

from gridjig.files.format.faults import SaveFault
from gridjig.files.library import user_library
from gridjig.files.library.assets import fits
from gridjig.files.library.default_job import NEW_NAME, display_for
from gridjig.model import Display, Job, Table
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import Questions
from gridjig.qt.panes.properties.job_form import table_words
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.cell import boxed
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.fields import TextField
from gridjig.qt.widgets.layout import REST, in_column, in_row
from gridjig.qt.widgets.plain import Label
from gridjig.rack import Rack


class NewJobForm(FormDialog):
    """Asks for what every job needs; `job()` returns the result.

    `rack_for` is the usual rack for a table; `first` is the table that is proposed.
    """

    topic = "files"

    def __init__(
        self,
        tables: Mapping[str, Table],
        racks: Mapping[str, Rack],
        rack_for: Callable[[Table], Rack],
        preferred: Display,
        parent: QWidget | None = None,
        first: Table | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("New job")
        self._tables = list(tables.values())
        self._racks = list(racks.values())
        self._own_tables = {t.name for key, t in tables.items() if key.startswith(user_library.OWN)}
        self._own_racks = {r.name for key, r in racks.items() if key.startswith(user_library.OWN)}
        self.questions = Questions(self)
        self._rack_for = rack_for
        self._preferred = preferred
        head = Label("New job", "heading")
        self.name = TextField("Name of the job", needed=True)
        self.name.set_value(NEW_NAME)
        self.table, self.rack = NoWheelComboBox(), NoWheelComboBox()
        self.table.addItems([table.name for table in self._tables])
        self.rack.addItems([rack.name for rack in self._racks])
        if first in self._tables:
            self.table.setCurrentIndex(self._tables.index(first))
        self.forget_table = make_button("Remove this table…", self._forget_table)
        self.forget_rack = make_button("Remove this rack…", self._forget_rack)
        self.about = Label()
        self.about.setMinimumHeight(self.about.fontMetrics().lineSpacing() * 3)
        start = make_button("Start the job", self._on_start, plain=False)
        start.setDefault(True)
        foot = in_row(REST, make_button("Cancel", self.reject, plain=False), start)
        table = in_row((boxed("Table", self.table), 1), self.forget_table)
        rack = in_row((boxed("Rack", self.rack), 1), self.forget_rack)
        in_column(head, self.name, table, rack, self.about, foot, over=self)
        self.size_for(60, 16, (460, 0))
        self.table.currentIndexChanged.connect(self._on_table)
        self.rack.currentIndexChanged.connect(self._tell)
        self.name.edit.entered.connect(self._on_start)
        self._on_table()
        self.name.edit.selectAll()

    def _on_table(self) -> None:
        fitting = self._rack_for(self._tables[self.table.currentIndex()])
        names = [rack.name for rack in self._racks]
        self.rack.setCurrentIndex(names.index(fitting.name) if fitting.name in names else 0)
        self._tell()

    def _tell(self) -> None:
        table = self._tables[self.table.currentIndex()]
        rack = self._racks[self.rack.currentIndex()]
        words = table_words(table, display_for(table, self._preferred))
        said = "" if fits(rack, table) else " Its pins are made for other holes."
        # Only the person's own tables can be forgotten, not those that ship with the program.
        self.forget_table.setVisible(table.name in self._own_tables)
        self.forget_rack.setVisible(rack.name in self._own_racks)
        self.resize(self.size().expandedTo(self.sizeHint()))
        self.about.setText(f"{words}. Rack: {len(rack.pieces)} kinds of piece.{said}")

    def _forget_table(self) -> None:
        table = self._tables[self.table.currentIndex()]
        if self._forgotten("table", table.name, user_library.forget_table):
            self._own_tables.discard(table.name)
            self._tables.remove(table)
            self.table.removeItem(self.table.currentIndex())

    def _forget_rack(self) -> None:
        rack = self._racks[self.rack.currentIndex()]
        if self._forgotten("rack", rack.name, user_library.forget_rack):
            self._own_racks.discard(rack.name)
            self._racks.remove(rack)
            self.rack.removeItem(self.rack.currentIndex())

    def _forgotten(self, what: str, name: str, forget: Callable[[str], None]) -> bool:
        if not self.questions.forget(what, name):
            return False
        try:
            forget(name)
        except SaveFault as fault:
            self.about.setText(f"✕ {fault}")
            return False
        return True

    def _on_start(self) -> None:
        self.name.apply()
        if not self.name.has_complaint():
            self.accept()

    def job(self) -> Job:
        """Return the new job, with nothing on its table."""
        table = self._tables[self.table.currentIndex()]
        return Job(
            name=str(self.name.value()),
            table=table,
            rack=self._racks[self.rack.currentIndex()],
            display=display_for(table, self._preferred),
        )
