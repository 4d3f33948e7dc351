"""The form of one member: its stock, length over any of its points, both ends, how and where it
lies, and what follows from that: mass and centre of gravity.
"""

from collections.abc import Callable
from typing import cast

from PySide6.QtWidgets import QCheckBox, QWidget

from gridjig.edits import members
from gridjig.edits.members import Hold, Keep, Over, member_of
from gridjig.edits.outlines import rename_part, set_place
from gridjig.geometry.steel import load
from gridjig.model import Job, Member, Section, WayUp
from gridjig.session.desk import Desk
from gridjig.sheets.lying import listed_way, lying_in_words, ways_up
from gridjig.tools.wording import capital
from gridjig.units import format_length, format_mass

from ..fields import AngleField, LengthField, TextField, TypedField
from ..sectionbox import SectionCell
from .angle_fields import Choices
from .cut_cells import CutCells
from .formbase import Form
from .repeat_cells import RepeatCells

_HOLDS: tuple[tuple[str, object], ...] = (
    ("Centre line", "centre"),
    ("Left face", "left"),
    ("Right face", "right"),
)
_KEEPS: tuple[tuple[str, object], ...] = (
    ("Start", "start"),
    ("End", "end"),
    ("Middle", "middle"),
)
_OVERS: tuple[Over, ...] = ("centre line", "long point", "short point")


class MemberForm(Form):
    """Shows the one selected member; every field commits as a named step."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._id = ""
        display = desk.job.display
        self.title = self.heading("Member")
        self.weight = self.words("freedom")
        self.name = TextField("Name", needed=True)
        self.section = SectionCell()
        self.length = LengthField("Centre line", display)
        self.long = LengthField("Long point", display)
        self.short = LengthField("Short point", display)
        self.keep = Choices("End that stays", _KEEPS)
        self.way_up = Choices("Way up", ())
        self._offered: tuple[tuple[str, object], ...] = ()
        self.hold = Choices("Line that stays", _HOLDS)
        self.hand = QCheckBox("Other hand")
        self.wide = LengthField("Measured width", display)
        self.high = LengthField("Measured height", display)
        self.at_x = LengthField("x of its start", display)
        self.at_y = LengthField("y of its start", display)
        self.turn = AngleField("Turn")
        self.z_low = LengthField("Height above table", display)
        self.across(self.name, self.section)
        self.pair(self.length, self.keep, self.long, self.short)
        self.start = CutCells(self, "start", display)
        self.end = CutCells(self, "end", display)
        self.across(self.way_up, self.hold, self.hand)
        self.pair(self.at_x, self.at_y, self.turn, self.z_low)
        self.pair(self.wide, self.high)
        self.repeat = RepeatCells(self, display)
        about = self.words("small")
        about.setText(
            "Left and right are seen from the start to the end. A mitre's angle is counted from"
            " square; more than 0 leaves the long point on the left. Measured sizes are those of"
            " the bar at hand; 0 takes the listed one."
        )
        self.reflow()
        self._connect()

    def _lengths(self) -> tuple[LengthField, ...]:
        return (
            self.length,
            self.long,
            self.short,
            self.wide,
            self.high,
            self.at_x,
            self.at_y,
            self.z_low,
        )

    def _connect(self) -> None:
        self._on(self.name, lambda job, v: rename_part(job, self._id, v), "Name the member")
        for field, over in zip((self.length, self.long, self.short), _OVERS, strict=True):
            self._on(
                field,
                lambda job, v, o=over: members.set_length(job, self._id, v, self._kept(), o),
                "Change the length",
            )
        self._on(
            self.wide,
            lambda job, v: self._measure(job, v, self._member(job).measured[1]),
            "Measure the width",
        )
        self._on(
            self.high,
            lambda job, v: self._measure(job, self._member(job).measured[0], v),
            "Measure the height",
        )
        self._on(self.at_x, lambda job, v: set_place(job, self._id, x=v), "Move the member")
        self._on(self.at_y, lambda job, v: set_place(job, self._id, y=v), "Move the member")
        self._on(self.turn, lambda job, v: set_place(job, self._id, turn=v), "Turn the member")
        self._on(self.z_low, lambda job, v: members.set_z(job, self._id, v), "Change the height")
        self.section.box.chosen.connect(self._on_section)
        self.way_up.chosen.connect(self._on_way_up)
        self.hand.clicked.connect(lambda on: self._on_hand(bool(on)))
        self.start.changed.connect(
            lambda cut, field: self.do(
                lambda job: members.set_cut(job, self._id, "start", cut), "Cut the start", field
            )
        )
        self.end.changed.connect(
            lambda cut, field: self.do(
                lambda job: members.set_cut(job, self._id, "end", cut), "Cut the end", field
            )
        )

    def _on(self, field: TypedField, edit: Callable[..., Job], name: str) -> None:
        field.applied.connect(lambda v: self.do(lambda job: edit(job, v), name, field))

    # -- doing -----------------------------------------------------------------------------------

    def _member(self, job: Job) -> Member:
        return member_of(job, self._id)

    def _kept(self) -> Keep:
        return cast(Keep, self.keep.value())

    def _held(self) -> Hold:
        return cast(Hold, self.hold.value())

    def _measure(self, job: Job, width: float, height: float) -> Job:
        return members.set_measured(job, self._id, width, height, self._held())

    def _on_section(self, section: Section) -> None:
        def edit(job: Job) -> Job:
            return members.set_section(job, self._id, section, self._held())

        if not self.do(edit, "Change the section"):
            self.section.box.show_section(self._member(self.desk.job).section)

    def _on_way_up(self, way_up: WayUp) -> None:
        done = self.do(
            lambda job: members.set_way_up(job, self._id, way_up, hold=self._held()),
            "Turn the section",
        )
        if not done:
            self._show_way_up(self.desk.job, self._member(self.desk.job))

    def _on_hand(self, mirrored: bool) -> None:
        def edit(job: Job) -> Job:
            way_up = self._member(job).way_up
            return members.set_way_up(job, self._id, way_up, mirrored=mirrored, hold=self._held())

        self.do(edit, "Change the hand")

    def offer_sections(self) -> None:
        """Fill the list of sections again: one was added."""
        self.section.box.offer(self.desk.job.display.unit)

    # -- showing ---------------------------------------------------------------------------------

    def show_thing(self, thing_id: str) -> None:
        """Show the member of that id as the desk has it now."""
        job = self.desk.shown
        member = member_of(job, thing_id)
        anew = thing_id != self._id
        self._id = thing_id
        if anew:
            for typed in (self.name, self.turn, *self._lengths()):
                typed.restore()
            self.section.complain("")
        for field in self._lengths():
            field.set_display(job.display)
        for field in (self.length, self.long, self.short):
            field.set_range(0.0, None)
        self.section.box.ready(job.display.unit)
        self.section.box.show_section(member.section)
        self.name.set_value(member.name)
        self.length.set_value(member.length)
        self.long.set_value(member.long_point)
        self.short.set_value(member.short_point)
        self._show_way_up(job, member)
        self.hand.setChecked(member.mirrored)
        self.show_cell(self.hand, member.section.handed)
        self.wide.set_value(member.measured[0])
        self.high.set_value(member.measured[1])
        self.at_x.set_value(member.x)
        self.at_y.set_value(member.y)
        self.turn.set_value(member.turn)
        self.z_low.set_value(member.z_low)
        self.start.show_member(member, job.display, anew=anew)
        self.end.show_member(member, job.display, anew=anew)
        self.repeat.show_parts(job, frozenset([thing_id]))
        self._weigh(job, member)
        self.reflow()

    def _show_way_up(self, job: Job, member: Member) -> None:
        """Offer the ways in which this very section lies differently, and show the one it has."""
        section, hand = member.section, member.mirrored
        ways = tuple(
            (capital(lying_in_words(section, way, hand, job.display)), way)
            for way in ways_up(section)
        )
        if ways != self._offered:
            self._offered = ways
            self.way_up.set_choices(ways)
        self.way_up.set_value(listed_way(section, member.way_up))
        self.show_cell(self.way_up, len(ways) > 1)

    def _weigh(self, job: Job, member: Member) -> None:
        """Mass and centre of gravity; not at every step of a drag, for it takes a while."""
        if self.desk.previewing:
            return
        there = load(member)
        x, y, z = (format_length(v, job.display) for v in (there.x, there.y, there.z))
        self.weight.setText(
            f"{member.section.name} {member.section.kind},"
            f" {format_mass(there.mass, job.display)}."
            f" Centre of gravity at {x}, {y}, {z} high."
        )
