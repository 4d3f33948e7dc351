"""The numbers of a table, and standard tables to choose; contradictions show at their fields."""

from msgspec import structs
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.edits.table import replace_table
from gridjig.edits.table_draft import draft_of, faults, filled, made, mass, with_number
from gridjig.files.format.faults import ReadFault, SaveFault
from gridjig.files.library import user_library
from gridjig.files.library.assets import ready_tables
from gridjig.model import Display, Table
from gridjig.model.table import MOST
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.cell import boxed
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.fields import CountField, LengthField, TextField, TypedField
from gridjig.session.document import Document
from gridjig.tools.core.wording import sentence
from gridjig.units import INCH, format_mass
from gridjig.units.limits import LimitError
from gridjig.units.spelling import spelled

# Label, and the accepted range of each length: in inches, then in millimetres.  A plate of a
# thousand inches can still be shown whole on the plan.
_LENGTHS: dict[str, tuple[str, tuple[float, float], tuple[float, float]]] = {
    "width": ("Width, x", (INCH, 1000 * INCH), (10.0, 25_000.0)),
    "depth": ("Depth, y", (INCH, 1000 * INCH), (10.0, 25_000.0)),
    "thickness": ("Thickness", (INCH / 16, 20 * INCH), (1.0, 500.0)),
    "hole_diameter": ("Hole diameter", (INCH / 8, 10 * INCH), (2.0, 250.0)),
    "pitch_x": ("Pitch in x", (INCH / 4, 100 * INCH), (5.0, 2500.0)),
    "pitch_y": ("Pitch in y", (INCH / 4, 100 * INCH), (5.0, 2500.0)),
    "first_x": ("First hole, x", (0.0, 1000 * INCH), (0.0, 25_000.0)),
    "first_y": ("First hole, y", (0.0, 1000 * INCH), (0.0, 25_000.0)),
    "hole_tolerance": ("Position tolerance", (0.0, INCH), (0.0, 25.0)),
}
_LEAST_DENSITY, _MOST_DENSITY = 100, 25_000


class TableNumbers(CellForm):
    """The numbers of the draft's table.  Contradicting numbers stay here until they agree.

    `checked` carries whether there is a contradiction.
    """

    checked = Signal(bool)

    def __init__(self, draft: Document, parent: QWidget | None = None) -> None:
        super().__init__(draft, parent)
        self.plate = draft_of(draft.job.table)
        self._table = draft.job.table
        self._offered: list[tuple[str, Table]] = []
        self._own: frozenset[str] = frozenset()
        self._typed: set[str] = set()  # numbers of this table typed here
        self.ready = NoWheelComboBox()
        self.ready.setPlaceholderText("Choose a standard table")
        self.ready.activated.connect(self._on_ready)
        self.name = TextField("Name of the table", needed=True)
        self.fields: dict[str, TypedField] = {"name": self.name}
        display = draft.job.display
        for key, (label, _, _) in _LENGTHS.items():
            self.fields[key] = LengthField(label, display)
        self.fields["columns"] = CountField("Columns", 1, MOST)
        self.fields["rows"] = CountField("Rows", 1, MOST)
        self.fields["density"] = CountField(
            "Density", _LEAST_DENSITY, _MOST_DENSITY, "kg/m³; steel 7850"
        )
        self._lay_out()
        self.about = self.words("small")
        self.keep = make_button("Keep it for new jobs", self.keep_table)
        self.forget = make_button("Remove it", self.forget_table)
        self.pair(self.keep, self.forget)
        self.reflow()
        for key, field in self.fields.items():
            field.applied.connect(lambda value, key=key: self._on_applied(key, value))
            # The contradiction remains if the text is applied again without a change.
            field.edit.entered.connect(self.check)
            field.edit.left.connect(self.check)
        self._fill_ready()

    def _lay_out(self) -> None:
        f = self.fields
        self.across(boxed("Standard tables", self.ready), self.name)
        for one, two in (
            ("width", "depth"),
            ("thickness", "hole_diameter"),
            ("pitch_x", "pitch_y"),
            ("columns", "rows"),
            ("first_x", "first_y"),
        ):
            self.pair(f[one], f[two])
        self.fill = self.button(
            "Fill the plate with holes",
            self.fill_plate,
            about=spelled(
                "As many holes as fit at this pitch, from the first hole if it was typed,"
                " else centred"
            ),
        )
        self.pair(f["hole_tolerance"], f["density"])

    # -- showing ---------------------------------------------------------------------------------

    def show_draft(self) -> None:
        """Show the draft's table, unless it was made from these numbers."""
        job = self.document.job
        if job.table is not self._table:
            self._table = job.table
            self.plate = draft_of(job.table)
        self._set_ranges(job.display)
        self.fields["name"].set_value(job.table.name)
        for key in self.plate.__struct_fields__:
            value = getattr(self.plate, key)
            self.fields[key].set_value(round(value) if key == "density" else value)
        self.check()
        plate = format_mass(mass(job.table), job.display)
        holes = job.table.columns * job.table.rows
        words = f"The plate weighs {plate} with its {holes} holes cut, without legs and ribs."
        self.about.setText(words)
        self._show_ready(job.table)
        self.forget.setEnabled(job.table.name in self._own)

    def _show_ready(self, table: Table) -> None:
        """Name the standard table only while the numbers match it."""
        namesake = next((t for _, t in self._offered if t.name == table.name), None)
        same = namesake is not None and draft_of(namesake) == draft_of(table)
        at = [t for _, t in self._offered].index(namesake) if namesake and same else -1
        self.ready.setCurrentIndex(at)
        other = namesake is not None and not same
        self.name.set_accepts("the standard one has other numbers" if other else "")

    def _set_ranges(self, display: Display) -> None:
        metric = display.unit == "millimetres"
        fine = structs.replace(display, unit="millimetres" if metric else "inch decimals")
        for key, (_, inches, mm) in _LENGTHS.items():
            field = self.fields[key]
            assert isinstance(field, LengthField)
            # A tolerance is far smaller than the fractions of an inch.
            field.set_display(fine if key == "hole_tolerance" else display)
            field.set_range(*(mm if metric else inches))

    def _fill_ready(self) -> None:
        self._offered = [("", table) for table in ready_tables().values()]
        try:
            kept = user_library.load().tables
        except ReadFault as fault:
            kept = ()
            self.message.emit(str(fault))
        self._own = frozenset(table.name for table in kept)
        self._offered += [("own: ", table) for table in kept]
        self.ready.clear()
        for word, table in self._offered:
            self.ready.addItem(f"{word}{table.name}")

    # -- what was typed --------------------------------------------------------------------------

    def _on_applied(self, key: str, value: object) -> None:
        if key == "name":
            named = structs.replace(self.document.job.table, name=str(value))
            self.do(lambda job: replace_table(job, named), "Name the table", self.name)
            return
        assert isinstance(value, int | float)
        self.plate = with_number(self.plate, key, value)
        self._typed.add(key)
        label = self.fields[key].label.text().split(",")[0].lower()
        self._make(f"Change the {label} of the table", self.fields[key])

    def _make(self, name: str, field: TypedField | None = None) -> None:
        """Put the numbers into the draft, if they do not contradict each other.

        What is beyond a limit is said at the field that was typed in.
        """
        display = self.document.job.display
        if not faults(self.plate, display):
            try:
                table = made(self.document.job.table, self.plate)
            except LimitError as beyond:
                if field is not None:
                    field.complain(sentence(beyond.words(self.document.job.display)))
                else:
                    self.message.emit(sentence(beyond.words(self.document.job.display)))
                return
            self._table = table
            self.document.do(replace_table(self.document.job, table), name)
        self.check()

    def check(self) -> None:
        """Say at each field what its number contradicts."""
        found = faults(self.plate, self.document.job.display)
        for key in self.plate.__struct_fields__:
            field = self.fields[key]
            same = field.value() == getattr(self.plate, key)
            # A text that could not be read already has a complaint.
            if found.get(key) and same and not field.edit.isModified():
                field.complain(found[key])
            elif field in self._complained and not found.get(key):
                field.complain("")
        self._complained = {self.fields[key] for key in found}
        self.checked.emit(bool(found))

    _complained: set[TypedField] = set()  # noqa: RUF012  (replaced as a whole, never changed)

    def contradicts(self) -> bool:
        """True while the numbers do not describe a possible table."""
        return self.plate != draft_of(self.document.job.table)

    def restore(self) -> None:
        """Go back to the numbers of the draft's table."""
        self.plate = draft_of(self.document.job.table)
        self._typed.clear()
        for field in self.fields.values():
            field.restore()
        self.show_draft()

    def faulty(self) -> TypedField | None:
        """Apply any pending text; return the first field that is not accepted, or None."""
        super().faulty()
        self.check()
        return next((f for f in self.fields.values() if f.has_complaint()), None)

    # -- buttons ---------------------------------------------------------------------------------

    def fill_plate(self) -> None:
        """Fill the plate with holes; a first hole that was typed stays where it is."""
        for field in self.fields.values():
            field.apply()  # a number that is still being typed counts
        self.plate = filled(self.plate, self._typed)
        self._make("Fill the table with holes")
        self.show_draft()
        job = self.document.job
        self.message.emit(f"{job.table.columns} columns by {job.table.rows} rows of holes.")

    def _on_ready(self, index: int) -> None:
        table = self._offered[index][1]
        for field in self.fields.values():
            field.restore()
        self.plate = draft_of(self.document.job.table)
        self._typed.clear()
        self.document.do(replace_table(self.document.job, table), f"Use the table {table.name}")
        self.message.emit(f"{table.name} is used, with its own addresses and marked holes.")

    def keep_table(self) -> None:
        """Keep the draft's table, so that it is offered for new jobs."""
        faulty = self.faulty()
        if faulty is not None:
            faulty.setFocus()
            return
        table = self.document.job.table
        if table.name in {t.name for t in ready_tables().values()}:
            self.name.complain("A standard table has this name; give yours another.")
            self.name.setFocus()
            return
        try:
            user_library.keep_table(table)
        except SaveFault as fault:
            self.message.emit(str(fault))
            return
        self._fill_ready()
        self.show_draft()
        self.message.emit(f"{table.name} is kept and offered for new jobs.")

    def forget_table(self) -> None:
        """Forget the kept table."""
        name = self.document.job.table.name
        try:
            user_library.forget_table(name)
        except SaveFault as fault:
            self.message.emit(str(fault))
            return
        self._fill_ready()
        self.show_draft()
        self.message.emit(f"{name} is no longer offered; this job still uses it.")
