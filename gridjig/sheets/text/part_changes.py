"""What changed about a part, a weldment or a weld, in words: one function for each thing said."""

import math

from gridjig.contact.titles import side_title
from gridjig.edits.comparison import shift_of
from gridjig.geometry.part_outline import part_edge
from gridjig.geometry.part_solids import PartFace
from gridjig.geometry.shapes import bounds
from gridjig.model import Display, FaceOf, Job, Member, Plate, Section, Weld, Weldment
from gridjig.model.titles import hand_words, title, weldment_title
from gridjig.solve.layout.remainders import EXACT
from gridjig.units import format_count, format_length
from gridjig.units.spelling import spelled

from .bar_orientation import lying_in_words
from .cut_text import cut_in_words
from .hole_text import hole_size_words
from .move_text import shift_words
from .pair_words import Between, Words, angle_pair, count_pair, counted, length_pair, told_pair


def moved(at: Between, a: Member | Plate, b: Member | Plate) -> str:
    """Return how far a part moved and turned in plan."""
    by = shift_of(a, b)
    said = []
    if max(abs(by.dx), abs(by.dy)) >= EXACT:
        said.append(f"moved {shift_words(by.dx, by.dy, at.display)}")
    if a.turn != b.turn:
        said.append(angle_pair("turned from", a.turn, b.turn))
    return ", ".join(said) or "moved by less than can be shown"


def into_weldment(at: Between, a: Member | Plate, b: Member | Plate) -> str:
    """Return the weldments that a part left and joined."""
    before, after = weldment_title(at.old, a.weldment), weldment_title(at.new, b.weldment)
    return told_pair("from weldment", before, after)


def other_section(at: Between, a: Member, b: Member) -> str:
    """Return a member's sections, or the sizes that differ."""
    one, other = a.section, b.section
    if (one.name, one.kind) != (other.name, other.kind):
        return told_pair("section", f"{one.name} {one.kind}", f"{other.name} {other.kind}")
    sizes = (
        length_pair(name, getattr(one, name), getattr(other, name), at.display)
        for name in _SECTION_SIZES
        if getattr(one, name) != getattr(other, name)
    )
    return f"section {one.name}: {', '.join(sizes)}"


_SECTION_SIZES = tuple(name for name in Section.__struct_fields__ if name not in ("name", "kind"))


def length_words(at: Between, a: Member, b: Member) -> str:
    """Return a member's length: to the long point, unless its ends were cut otherwise too."""
    if math.isclose(b.long_point - a.long_point, b.length - a.length, abs_tol=EXACT):
        return length_pair("length to long point", a.long_point, b.long_point, at.display)
    return length_pair(spelled("length on the centre line"), a.length, b.length, at.display)


def end_cut(name: str) -> Words:
    """Return words for the cut of an end."""

    def words(at: Between, a: Member, b: Member) -> str:
        told = [cut_in_words(getattr(one, name), at.display, one.width) for one in (a, b)]
        return told_pair(f"{name} cut", *told)

    return words


def lies(at: Between, a: Member, b: Member) -> str:
    """Return how a member lies."""
    told = [lying_in_words(one.section, one.way_up, one.mirrored, at.display) for one in (a, b)]
    if told[0] != told[1]:
        return told_pair("lies", *told)
    return "mirrored" if a.mirrored != b.mirrored else angle_pair("way up", a.way_up, b.way_up)


def measured(at: Between, a: Member, b: Member) -> str:
    """Return the measured sizes of a member's bar."""

    def told(one: Member) -> str:
        if not any(one.measured):
            return "as listed"
        return " x ".join(format_length(v, at.display) if v else "listed" for v in one.measured)

    return told_pair("measured size", told(a), told(b))


def heights(at: Between, a: Plate, b: Plate) -> str:
    """Return a plate's height through and where its underside is."""
    said = []
    thick = [one.z_high - one.z_low for one in (a, b)]
    if not math.isclose(*thick, abs_tol=1e-9):
        said.append(length_pair("height through", thick[0], thick[1], at.display))
    if a.z_low != b.z_low:
        said.append(length_pair("underside", a.z_low, b.z_low, at.display))
    return ", ".join(said) or length_pair("top", a.z_high, b.z_high, at.display)


def shape(at: Between, a: Plate, b: Plate) -> str:
    """Return the size of a plate's outline."""
    told, counts = [], [len(one.corners) for one in (a, b)]
    for one in (a, b):
        x0, y0, x1, y1 = bounds(one.corners)
        told.append(f"{format_length(x1 - x0, at.display)} x {format_length(y1 - y0, at.display)}")
    said = told_pair("outline", *told)
    return said if counts[0] == counts[1] else f"{said}, {count_pair('corners', *counts)}"


def holes(at: Between, a: Plate, b: Plate) -> str:
    """Return the holes of a plate by size."""

    def told(one: Plate) -> str:
        return counted(hole_size_words(hole, at.display) for hole in one.holes)

    before, after = told(a), told(b)
    if before == after:
        moved = sum(one != other for one, other in zip(a.holes, b.holes, strict=False))
        return f"{format_count(moved)} of {format_count(len(b.holes))} holes moved"
    return told_pair("holes", before, after)


# -- weldments and welds ---------------------------------------------------------------------------


def hand(at: Between, a: Weldment, b: Weldment) -> str:
    """Return which hand a weldment is."""
    return told_pair("hand", hand_words(at.old, a), hand_words(at.new, b))


def datum(at: Between, a: Weldment, b: Weldment) -> str:
    """Return the datum faces of a weldment that were chosen otherwise."""
    said = []
    for letter, name in (("A", "long"), ("B", "end")):
        before, after = getattr(a.datum, name), getattr(b.datum, name)
        if before != after:
            told = [
                "proposed" if face is None else side_words(job, face)
                for job, face in ((at.old, before), (at.new, after))
            ]
            said.append(told_pair(f"datum {letter}", *told))
    return ", ".join(said)


def loading(at: Between, a: Weldment, b: Weldment) -> str:
    """Return the order of loading before and after, by the names of the parts."""
    told = [
        ", ".join(title(job, part) for part in one.loading) or "as proposed"
        for job, one in ((at.old, a), (at.new, b))
    ]
    return told_pair("order of loading", *told)


def side_words(job: Job, of: FaceOf) -> str:
    """Return a face of a part in words: Top rail, back face; the part alone if it has no such
    side.
    """
    part = job.find(of.part)
    if not isinstance(part, Member | Plate) or of.side >= len(part.corners):
        return f"{title(job, of.part)}, side {format_count(of.side + 1)}"
    (ax, ay), (bx, by) = part_edge(part, of.side)
    long = math.dist((ax, ay), (bx, by)) or 1.0
    normal = ((by - ay) / long, (ax - bx) / long, 0.0)
    return side_title(job, of.part, PartFace("side", of.side), normal)


def weld_sizes(at: Between, a: Weld, b: Weld) -> str:
    """Return the chosen sizes of a weld."""
    return told_pair("size", *(weld_size(one, at.display) for one in (a, b)))


def weld_size(weld: Weld, display: Display) -> str:
    """Return the chosen size of a weld: leg 6 mm, throat 4 mm, or none."""
    if weld.throat:
        return f"throat {format_length(weld.throat, display)}"
    return f"leg {format_length(weld.leg, display)}" if weld.leg else "none"


def weld_kind(at: Between, a: Weld, b: Weld) -> str:
    """Return the chosen kinds of weld."""
    return told_pair("weld", *(one.kind or "as suggested" for one in (a, b)))
