"""The cells of one end of a member: how it is cut, and the sizes of that cut."""

from typing import cast

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from gridjig.edits.members import End, cut_of, member_of
from gridjig.model import EndCut, Member
from gridjig.model.endcut import MAX_CUT, CutKind, Side
from gridjig.units import Display, format_angle

from ..fields import AngleField, LengthField, TypedField
from .angle_fields import Choices
from .formbase import Form

_KINDS: tuple[tuple[str, object], ...] = (
    ("Square", "square"),
    ("Mitre", "mitre"),
    ("Cope", "cope"),
    ("Notch", "notch"),
)
_SIDES: tuple[tuple[str, object], ...] = (("Left", "left"), ("Right", "right"))
_MITRE = 45.0
"""What a mitre begins with before its angle is typed, degrees."""


class CutCells(QObject):
    """Adds its cells to a form; `changed` carries the cut and the field that it came from."""

    changed = Signal(object, object)

    def __init__(self, form: Form, end: End, display: Display) -> None:
        super().__init__(form)
        self._form = form
        self._end: End = end
        self._member: Member | None = None
        name = end.capitalize()
        self.kind = Choices(f"{name} cut", _KINDS)
        self.angle = AngleField(f"{name} angle", "° from square")
        self.around = LengthField(f"{name} fits round", display)
        self.along = LengthField(f"{name} notch along", display)
        self.across = LengthField(f"{name} notch across", display)
        self.side = Choices(f"{name} notch on its", _SIDES)
        form.pair(self.kind, self.angle, self.around)
        form.pair(self.along, self.across, self.side)
        self.kind.chosen.connect(lambda kind: self._give(self._fresh(kind), None))
        self.side.chosen.connect(lambda _: self._give(self._typed(), None))
        for field in self.fields():
            field.applied.connect(lambda _, f=field: self._give(self._typed(), f))

    def fields(self) -> tuple[TypedField, ...]:
        """The typed ones among its cells."""
        return (self.angle, self.around, self.along, self.across)

    def _cut(self) -> EndCut:
        """How the end is cut now; the cells follow a moment later."""
        assert self._member is not None
        return cut_of(member_of(self._form.desk.job, self._member.id), self._end)

    def _fresh(self, kind: CutKind) -> EndCut | ValueError:
        """A cut of another kind, with sizes that suit the member until others are typed."""
        member, old = self._member, self._cut()
        assert member is not None
        angled = kind in ("mitre", "cope") and old.kind in ("mitre", "cope")
        angle = old.angle if angled else _MITRE if kind == "mitre" else 0.0
        match kind:
            case "cope":
                return EndCut("cope", angle, member.depth)
            case "notch":
                return EndCut("notch", along=member.width, across=member.width / 2.0)
            case _:
                return EndCut(kind, angle)

    def _typed(self) -> EndCut | ValueError:
        """The cut with what stands in the fields now, or why that is none."""
        kind = cast(CutKind, self.kind.value())
        angle, around, along, across = (cast(float, f.value() or 0.0) for f in self.fields())
        if kind == "mitre" and abs(angle) > MAX_CUT:
            return ValueError(f"an end is cut at {format_angle(MAX_CUT)} from square at most")
        try:
            if kind == "notch":
                side = cast(Side, self.side.value())
                return EndCut("notch", 0.0, 0.0, along, across, side)
            if kind == "cope":
                return EndCut("cope", angle, around)
            return EndCut("mitre", angle) if angle else EndCut()
        except ValueError as fault:
            return fault

    def _give(self, cut: EndCut | ValueError, field: TypedField | None) -> None:
        if isinstance(cut, ValueError):
            if field is not None:
                field.complain(str(cut))
            return
        self.changed.emit(cut, field)

    def show_member(self, member: Member, display: Display, *, anew: bool) -> None:
        """Show that end of a member; `anew` drops what was typed for another one."""
        self._member = member
        cut = cut_of(member, self._end)
        if anew:
            for field in self.fields():
                field.restore()
        for length in (self.around, self.along, self.across):
            length.set_display(display)
            length.set_range(0.0, None)
        self.kind.set_value(cut.kind)
        self.angle.set_value(cut.angle)
        self.around.set_value(cut.around)
        self.along.set_value(cut.along)
        self.across.set_value(cut.across)
        self.side.set_value(cut.side)
        shown: dict[QWidget, bool] = {
            self.angle: cut.kind in ("mitre", "cope"),
            self.around: cut.kind == "cope",
            self.along: cut.kind == "notch",
            self.across: cut.kind == "notch",
            self.side: cut.kind == "notch",
        }
        for cell, on in shown.items():
            self._form.show_cell(cell, on)
