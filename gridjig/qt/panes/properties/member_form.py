"""The form of one member: its stock, its length between any of its points, both ends, how and where
it lies, and the resulting mass and centre of gravity.
"""

from functools import partial
from typing import cast

from PySide6.QtWidgets import QWidget

from gridjig.edits import members
from gridjig.edits.allowances import longer_of, set_longer
from gridjig.edits.members import FixedPoint, Over, member_of
from gridjig.edits.parts import rename_part, set_place
from gridjig.geometry.part_mass import load
from gridjig.model import Job, Member
from gridjig.qt.widgets.cell_form import ThingForm
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import AngleField, LengthField, SizeField, TextField
from gridjig.qt.widgets.section_box import SectionCell
from gridjig.qt.widgets.tick import Tick
from gridjig.session.document import Document
from gridjig.sheets.text.bar_orientation import listed_way, lying_in_words, ways_up
from gridjig.sheets.text.contact_text import part_contact_lines
from gridjig.sheets.text.cut_text import cuts_in_words
from gridjig.tools.core.wording import capital
from gridjig.units import format_length, format_mass
from gridjig.units.spelling import spelled

from .contact_lines import ContactLines
from .cut_cells import CutCells
from .repeat_cells import RepeatCells
from .weldment_cell import WeldmentCell

_HOLDS: tuple[tuple[str, object], ...] = (
    (spelled("Centre line"), "centre"),
    ("Left face", "left"),
    ("Right face", "right"),
)
_KEEPS: tuple[tuple[str, object], ...] = (
    ("Start", "start"),
    ("End", "end"),
    ("Middle", "middle"),
)


class MemberForm(ThingForm):
    """Shows the selected member; each field commits as a named undo step."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        display, field, its = document.job.display, self.field, self.its
        self.heading("Member")
        self.weight = self.words("freedom")
        self.name = field(
            TextField("Name", needed=True), "name", its(rename_part), "Name the member", wide=True
        )
        self.section = field(
            SectionCell(),
            "section",
            its(members.set_section),
            "Change the section",
            wide=True,
        )
        self.length = self._length_field(spelled("Centre line"), "length", "centre line")
        self.keep = field(Choices("Fixed end", _KEEPS))
        self.long = self._length_field("Long point", "long_point", "long point")
        self.short = self._length_field("Short point", "short_point", "short point")
        self.start = CutCells(self, "start", display)
        self.end = CutCells(self, "end", display)
        self.way_up = field(
            Choices("Way up"),
            lambda member: listed_way(member.section, member.way_up),
            its(members.set_way_up),
            "Turn the section",
            wide=True,
        )
        self.hold = field(
            Choices("Fixed line", _HOLDS),
            "line_kept",
            its(members.set_line),
            "Choose the fixed line",
            wide=True,
        )
        self.hand = field(
            Tick("Opposite hand"), "mirrored", self._mirrored, "Change the hand", True
        )
        self.at_x = field(
            LengthField("x of its start", display), "x", its(set_place, "x"), "Move the member"
        )
        self.at_y = field(
            LengthField("y of its start", display), "y", its(set_place, "y"), "Move the member"
        )
        self.turn = field(AngleField("Turn"), "turn", its(set_place, "turn"), "Turn the member")
        self.z_low = field(
            LengthField("Height above table", display),
            "z_low",
            its(members.set_z),
            "Change the height",
        )
        self.wide = field(
            LengthField("Measured width", display),
            lambda member: member.measured[0],
            lambda job, v: self._measure(job, v, self._member(job).measured[1]),
            "Change the measured width",
        )
        self.high = field(
            LengthField("Measured height", display),
            lambda member: member.measured[1],
            lambda job, v: self._measure(job, self._member(job).measured[0], v),
            "Change the measured height",
        )
        self.longer = field(
            LengthField("Cut and set longer by", display),
            lambda member: longer_of(self.document.shown, member.id),
            its(set_longer),
            "Change what the member is cut longer by",
            wide=True,
        )
        self.weldment = WeldmentCell(lambda: frozenset([self.thing_id]))
        self.across(self.weldment)
        self.on(
            self.weldment.chosen,
            lambda v: self.do(
                partial(self.weldment.moved, chosen=v), "Move parts to another weldment"
            ),
        )
        self.both = self.words("small")
        self.repeat = RepeatCells(self, display)
        self.contact = ContactLines()
        self.across(self.contact)
        self.contact.chosen.connect(lambda thing_id: self.document.select({thing_id}))
        self.words(
            "small",
            spelled(
                "Left and right are as seen looking from the start to the end. A mitre angle is"
                " measured from square; above 0 the long point is on the left. All cuts are"
                " upright: a cut that slopes through the thickness, as for a tube that leans,"
                " cannot be drawn. Measured sizes are those of the actual bar; 0 uses the listed"
                " size."
            ),
        )
        self.reflow()

    def _length_field(self, label: str, shows: str, over: Over) -> LengthField:
        return self.field(
            SizeField(label, self.document.job.display),
            shows,
            lambda job, v: members.set_length(job, self.thing_id, v, self._kept(), over),
            "Change the length",
        )

    # -- doing -----------------------------------------------------------------------------------

    def _member(self, job: Job) -> Member:
        return member_of(job, self.thing_id)

    def _kept(self) -> FixedPoint:
        return cast(FixedPoint, self.keep.value())

    def _measure(self, job: Job, width: float, height: float) -> Job:
        return members.set_measured(job, self.thing_id, width, height)

    def _mirrored(self, job: Job, mirrored: bool) -> Job:
        way_up = self._member(job).way_up
        return members.set_way_up(job, self.thing_id, way_up, mirrored=mirrored)

    def offer_sections(self) -> None:
        """Refill the list of sections after one was added."""
        self.section.box.offer(self.document.job.display.unit)

    # -- showing ---------------------------------------------------------------------------------

    def show_thing(self, thing_id: str) -> None:
        """Show the member with this id as the document has it now."""
        job = self.document.shown
        anew = self.turn_to(thing_id)
        member = self._member(job)
        if anew:
            self.section.show_complaint("")
        self.section.box.ready(job.display.unit)
        ways = ways_up(member.section)
        words = (lying_in_words(member.section, way, member.mirrored, job.display) for way in ways)
        self.way_up.set_choices(zip(map(capital, words), ways, strict=True))
        self.show_cell(self.way_up, len(ways) > 1)
        self.show_cell(self.hand, member.section.handed)
        self.show_values(job)
        self.start.show_member(job, member)
        self.end.show_member(job, member)
        cuts = cuts_in_words(member.start, member.end, job.display, member.width)
        self.both.setText(f"On the cut list: {cuts}.")
        self.repeat.show_parts(job, frozenset([thing_id]))
        self.show_cell(self.weldment, self.weldment.show_parts(job))
        self.contact.show_lines(part_contact_lines(job, self.document.contacts, thing_id))
        self._weigh(job, member)
        self.reflow()

    def _weigh(self, job: Job, member: Member) -> None:
        """Show mass and centre of gravity; not during a drag, because they take a while."""
        if self.document.previewing:
            return
        there = load(member)
        x, y, z = (format_length(v, job.display) for v in (there.x, there.y, there.z))
        self.weight.setText(
            f"{member.section.name} {member.section.kind},"
            f" {format_mass(there.mass, job.display)}."
            f" {spelled('Centre')} of gravity at {x}, {y}, {z} high."
        )
