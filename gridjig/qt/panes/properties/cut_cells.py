"""The cells for one end of a member: the kind of cut and its sizes."""

from typing import cast

from gridjig.edits.members import End, cut_of, set_cut
from gridjig.model import EndCut, Member
from gridjig.model.endcut import MAX_CUT, CutKind, CutSide
from gridjig.qt.widgets.cell_form import ThingForm
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import AngleField, LengthField, TypedField
from gridjig.units import Display, format_angle

_KINDS: tuple[tuple[str, object], ...] = (
    ("Square", "square"),
    ("Mitre", "mitre"),
    ("Cope", "cope"),
    ("Notch", "notch"),
)
_SIDES: tuple[tuple[str, object], ...] = (("Left", "left"), ("Right", "right"))
_MITRE = 45.0
"""The angle of a new mitre until one is typed, degrees."""


class CutCells:
    """Adds its cells to a member's form; each change is a named undo step."""

    def __init__(self, form: ThingForm, end: End, display: Display) -> None:
        self._form = form
        self._end: End = end
        self._step = f"Cut the {end}"
        name, field = end.capitalize(), form.field
        self.kind = field(Choices(f"{name} cut", _KINDS))
        self.angle = field(AngleField(f"{name} angle", "° from square"))
        self.around = field(LengthField(f"{name} fits around", display, 0.0))
        self.along = field(LengthField(f"{name} notch along", display, 0.0))
        self.across = field(LengthField(f"{name} notch across", display, 0.0))
        self.side = field(Choices(f"{name} notch on its", _SIDES))
        form.on(self.kind.chosen, lambda kind: self._give(self._fresh(kind), None))
        form.on(self.side.chosen, lambda _: self._give(self._typed(), None))
        for one in self.fields():
            form.on(one.applied, lambda _, one=one: self._give(self._typed(), one))

    def fields(self) -> tuple[TypedField, ...]:
        """Return the typed fields among the cells."""
        return (self.angle, self.around, self.along, self.across)

    def _member(self) -> Member:
        """Return the member as it is now; the cells are updated a moment later."""
        member = self._form.subject(self._form.document.job)
        assert isinstance(member, Member)
        return member

    def _fresh(self, kind: CutKind) -> EndCut | ValueError:
        """Return a cut of another kind, with sizes that suit the member until others are typed."""
        member = self._member()
        old = cut_of(member, self._end)
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
        """Return the cut that the fields describe, or the error if they describe none."""
        kind = cast(CutKind, self.kind.value())
        angle, around, along, across = (cast(float, f.value() or 0.0) for f in self.fields())
        if kind == "mitre" and abs(angle) > MAX_CUT:
            return ValueError(f"an end can be cut at most {format_angle(MAX_CUT)} from square")
        try:
            if kind == "notch":
                side = cast(CutSide, self.side.value())
                return EndCut("notch", 0.0, 0.0, along, across, side)
            if kind == "cope":
                return EndCut("cope", angle, around)
            return EndCut("mitre", angle) if angle else EndCut()
        except ValueError as fault:
            return fault

    def _give(self, cut: EndCut | ValueError, field: TypedField | None) -> None:
        if not isinstance(cut, ValueError):
            thing_id, end = self._member().id, self._end
            self._form.do(lambda job: set_cut(job, thing_id, end, cut), self._step, field)
        elif field is not None:
            field.complain(str(cut))

    def show_member(self, member: Member) -> None:
        """Show this end of a member."""
        cut = cut_of(member, self._end)
        self.kind.set_value(cut.kind)
        self.angle.set_value(cut.angle)
        self.around.set_value(cut.around)
        self.along.set_value(cut.along)
        self.across.set_value(cut.across)
        self.side.set_value(cut.side)
        show = self._form.show_cell
        show(self.angle, cut.kind in ("mitre", "cope"))
        show(self.around, cut.kind == "cope")
        for cell in (self.along, self.across, self.side):
            show(cell, cut.kind == "notch")
