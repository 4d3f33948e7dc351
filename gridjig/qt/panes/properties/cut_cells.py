"""The cells for one end of a member: the kind of cut and its sizes, and its further cuts."""

from functools import partial
from typing import cast

from msgspec import structs

from gridjig.edits.ends import drop_cut, set_more
from gridjig.edits.members import End, cut_of, member_of, set_cut
from gridjig.model import EndCut, Job, Member
from gridjig.model.endcut import MAX_CUT, MOST_MORE, CutKind, CutSide
from gridjig.qt.widgets.cell_form import ThingForm
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import AngleField, LengthField, SizeField, TypedField
from gridjig.sheets.text.cut_text import cut_in_words, saw_in_words
from gridjig.units import Display, format_angle
from gridjig.units.spelling import spelled

_KINDS: tuple[tuple[str, object], ...] = (
    ("Square", "square"),
    (spelled("Mitre"), "mitre"),
    ("Cope", "cope"),
    ("Notch", "notch"),
)
_SIDES: tuple[tuple[str, object], ...] = (("Left", "left"), ("Right", "right"))
_MITRE = 45.0
"""The angle of a new mitre until one is typed, degrees."""


_ORDINALS = ("2nd", "3rd", "4th")


class MoreCells:
    """The cells of one further cut of an end: its angle, where it lies, a button to remove it."""

    def __init__(self, form: ThingForm, end: End, index: int, display: Display) -> None:
        self._form, self._end, self._index = form, end, index
        name = f"{end.capitalize()} {_ORDINALS[index]} cut"
        self.angle = form.field(AngleField(name, "° from square"))
        self.past = form.field(LengthField("Past the end by", display))
        self.remove = form.button(
            f"Remove the {_ORDINALS[index]} cut of the {end}",
            self._remove,
            about="Remove this cut; the others stay",
        )
        for one in (self.angle, self.past):
            form.on(one.applied, partial(self._set, one))

    def _set(self, field: TypedField, _: object) -> None:
        angle, past = (cast(float, f.value() or 0.0) for f in (self.angle, self.past))
        self._form.do(
            lambda job: set_more(job, self._form.thing_id, self._end, self._index, angle, past),
            f"Cut the {self._end}",
            field,
        )

    def _remove(self) -> None:
        self._form.do(
            lambda job: drop_cut(job, self._form.thing_id, self._end, self._index + 1),
            f"Remove a cut of the {self._end}",
        )

    def show(self, cut: EndCut) -> None:
        """Show the cut of this number, or hide the cells if there is none."""
        here = self._index < len(cut.more)
        if here:
            self.angle.set_value(cut.more[self._index].angle)
            self.past.set_value(cut.more[self._index].past)
        for cell in (self.angle, self.past, self.remove):
            self._form.show_cell(cell, here)


class CutCells:
    """Adds its cells to a member's form; each change is a named undo step."""

    def __init__(self, form: ThingForm, end: End, display: Display) -> None:
        self._form = form
        self._end: End = end
        self._step = f"Cut the {end}"
        name, field = end.capitalize(), form.field
        self.kind = field(Choices(f"{name} cut", _KINDS))
        self.angle = field(AngleField(f"{name} angle", "° from square"))
        self.around = field(SizeField(f"{name} fits around", display))
        self.along = field(SizeField(f"{name} notch along", display))
        self.across = field(SizeField(f"{name} notch across", display))
        self.side = field(Choices(f"{name} notch on its", _SIDES))
        self.more = [MoreCells(form, end, k, display) for k in range(MOST_MORE)]
        self.add = form.button(
            f"Add a cut to the {end}",
            self._add,
            about="A second cut makes a point; type its angle then. Trimming to a second member"
            " adds one too",
        )
        self.said = form.words("small")
        form.on(self.kind.chosen, lambda kind: self._give(self._fresh(kind), None))
        form.on(self.side.chosen, lambda _: self._give(self._typed(), None))
        for one in self.fields():
            form.on(one.applied, lambda _, one=one: self._give(self._typed(), one))

    def _add(self) -> None:
        """Add a cut that leans the other way, so that the end is pointed."""
        thing_id, end = self._form.thing_id, self._end

        def pointed(job: Job) -> Job:
            cut = cut_of(member_of(job, thing_id), end)
            lean = -cut.angle if abs(cut.angle) > 0.5 else _MITRE
            past = 0.0 if not cut.more else member_of(job, thing_id).width / 4.0
            return set_more(job, thing_id, end, len(cut.more), lean, past)

        self._form.do(pointed, f"Cut the {end}")

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
            old = cut_of(self._member(), end)
            if old.more:
                cut = structs.replace(cut, more=old.more)
            self._form.do(lambda job: set_cut(job, thing_id, end, cut), self._step, field)
        elif field is not None:
            field.complain(str(cut))

    def _words(self, job: Job, member: Member) -> str:
        """Return the end in the words of the cut list, where the cells alone do not say it."""
        cut = cut_of(member, self._end)
        words = cut_in_words(cut, job.display, member.width) if cut.more else ""
        beyond = saw_in_words(job) if job.beyond_saw(cut) else ""
        said = "; ".join(filter(None, (words, f"▲ {beyond}" if beyond else "")))
        return f"{self._end.capitalize()}: {said}." if said else ""

    def show_member(self, job: Job, member: Member) -> None:
        """Show this end of a member."""
        cut = cut_of(member, self._end)
        self.kind.set_value(cut.kind)
        self.angle.set_value(cut.angle)
        self.around.set_value(cut.around)
        self.along.set_value(cut.along)
        self.across.set_value(cut.across)
        self.side.set_value(cut.side)
        for one in self.more:
            one.show(cut)
        show = self._form.show_cell
        show(self.add, len(cut.more) < MOST_MORE)
        words = self._words(job, member)
        self.said.setText(words)
        show(self.said, bool(words))
        show(self.angle, cut.kind in ("mitre", "cope"))
        show(self.around, cut.kind == "cope")
        for cell in (self.along, self.across, self.side):
            show(cell, cut.kind == "notch")
