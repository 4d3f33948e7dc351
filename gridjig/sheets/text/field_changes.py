"""What changed about one thing of a job, field by field, in words.

Each field of each kind of thing has its words in `FIELD_WORDS`; fields that mean one thing
together, such as x and y, share theirs.
"""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from gridjig.edits.comparison import face_moved, holes_moved
from gridjig.edits.typed_bars import bars_words
from gridjig.model import (
    Display,
    Hole,
    HoleMark,
    Job,
    LabelScheme,
    Member,
    Placement,
    Plate,
    Table,
    Weld,
    Weldment,
)
from gridjig.rack import Rack
from gridjig.units import format_count, format_force, format_length, format_number
from gridjig.units.masses import format_density

from . import allowance_changes, part_changes
from .hole_states import HOLE_STATES
from .pair_words import (
    Between,
    Words,
    angle_of,
    count_of,
    counted,
    either,
    length_of,
    length_pair,
    note_of,
    renamed,
    text_of,
    told_pair,
)
from .placed_text import place_words
from .shop_text import shop_changes


def field_words(between: Between, old: Struct, new: Struct, fields: Sequence[str]) -> list[str]:
    """Return what changed in these fields, each said once, in the order of the fields."""
    known = FIELD_WORDS[type(new)]
    return [words(between, old, new) for words in dict.fromkeys(known[name] for name in fields)]


# -- placed pieces ---------------------------------------------------------------------------------


def _pinned(at: Between, a: Placement, b: Placement) -> str:
    places = [place_words(job.table, one) for job, one in ((at.old, a), (at.new, b))]
    step = holes_moved(a, b)
    if step is not None and any(step):
        return f"moved {hole_steps(step)}, to {places[1]}"
    if sorted(places[0].split(" + ")) == sorted(places[1].split(" + ")):
        return f"pinned in the same holes by other features: {places[1]}"
    return told_pair("moved from", *places)


def hole_steps(step: Hole) -> str:
    """Return a move by whole holes: 2 holes to the right and 1 hole to the back."""
    said = [
        f"{format_count(abs(by))} {'hole' if abs(by) == 1 else 'holes'} to the {way}"
        for by, way in (
            (step.col, "right" if step.col > 0 else "left"),
            (step.row, "back" if step.row > 0 else "front"),
        )
        if by
    ]
    return " and ".join(said)


def _other_piece(at: Between, a: Placement, b: Placement) -> str:
    told = [_piece_name(job, one.piece) for job, one in ((at.old, a), (at.new, b))]
    return told_pair("piece", *told)


def _piece_name(job: Job, piece: str) -> str:
    found = job.rack.find(piece)
    return piece if found is None else " ".join(filter(None, (found.name, found.size)))


def _stack(label: str, name: str) -> Words:
    def words(at: Between, a: Placement, b: Placement) -> str:
        told = [
            counted(_piece_name(job, piece) for piece in getattr(one, name))
            for job, one in ((at.old, a), (at.new, b))
        ]
        if told[0] == told[1]:
            return f"{label} in another order"
        return _with_face(at, a, b, told_pair(label, *told))

    return words


def _force(at: Between, a: Placement, b: Placement) -> str:
    told = [format_force(one.force, at.display) if one.force else "not set" for one in (a, b)]
    return told_pair("presses with", *told)


def _slid(at: Between, a: Placement, b: Placement) -> str:
    moved = face_moved(at.old, at.new, a, b)
    if moved is None:
        return length_pair("slid along its slot", a.slide, b.slide, at.display)
    return length_pair("face from the hole", moved.before, moved.after, at.display)


def _with_face(at: Between, a: Placement, b: Placement, said: str) -> str:
    """The words, and how far the face is from its hole if a slide does not say so already."""
    moved = face_moved(at.old, at.new, a, b)
    if moved is None or a.slide != b.slide:
        return said
    return f"{said}, {length_pair('face from the hole', *moved, at.display)}"


# -- table and job ---------------------------------------------------------------------------------


def _marked(at: Between, a: HoleMark, b: HoleMark) -> str:
    return told_pair("marked", *(mark_words(one, at.display) for one in (a, b)))


def mark_words(mark: HoleMark, display: Display) -> str:
    """Return the state of a marked hole: blocked; shallow, 12 mm."""
    state = next(name for key, name, _ in HOLE_STATES if key == mark.state).lower()
    return f"{state}, {format_length(mark.size, display)}" if mark.size else state


_LABELS = {
    "along_x": "left to right",
    "along_y": "front to back",
    "zero": "counted from",
    "first": "written first",
    "skip_i_o": "I and O left out",
    "start": "first number",
    "operator": "operator at",
}


def _labels(at: Between, a: Table, b: Table) -> str:
    def told(scheme: LabelScheme, name: str) -> str:
        value = getattr(scheme, name)
        if isinstance(value, bool):
            return "yes" if value else "no"
        if name == "first":
            value = scheme.along_x if value == "x" else scheme.along_y
            return f"the {value} {'left to right' if scheme.first == 'x' else 'front to back'}"
        return format_count(value) if isinstance(value, int) else str(value)

    said = (
        told_pair(label, told(a.labels, name), told(b.labels, name))
        for name, label in _LABELS.items()
        if getattr(a.labels, name) != getattr(b.labels, name)
    )
    return f"hole labels: {', '.join(said)}"


def _shown(at: Between, a: Job, b: Job) -> str:
    def told(job: Job) -> str:
        fine = job.display.denominator
        finest = f" to 1/{format_count(fine)}" if job.display.unit == "inch fractions" else ""
        return f"{job.display.unit}{finest}"

    return told_pair("lengths shown in", told(a), told(b))


def _origin(at: Between, a: Job, b: Job) -> str:
    def told(job: Job) -> str:
        if job.origin is None:
            return "the table's front left corner"
        return ", ".join(format_length(v, at.display) for v in job.origin)

    return told_pair("typed points measured from", told(a), told(b))


def _sawing(at: Between, a: Job, b: Job) -> str:
    old, new = a.sawing, b.sawing
    said = []
    if old.bars != new.bars:
        told = [bars_words(one.bars, at.display) or "the usual length" for one in (old, new)]
        said.append(told_pair("bars", *told))
    if old.kerf != new.kerf:
        told = [
            "the usual" if one.kerf is None else format_length(one.kerf, at.display)
            for one in (old, new)
        ]
        said.append(told_pair("kerf", *told))
    if old.trim != new.trim:
        said.append(length_pair("trim of each bar", old.trim, new.trim, at.display))
    return ", ".join(said)


def _title_block(at: Between, a: Job, b: Job) -> str:
    old, new = a.title_block, b.title_block
    changed = [
        told_pair(_TITLE_WORDS[name], getattr(old, name) or "empty", getattr(new, name) or "empty")
        for name in old.__struct_fields__
        if getattr(old, name) != getattr(new, name)
    ]
    return f"title block: {', '.join(changed)}"


_TITLE_WORDS = {
    "owner": "owner",
    "number": "document number",
    "title": "title",
    "supplement": "supplementary title",
    "date": "date of issue",
    "created_by": "created by",
    "approved_by": "approved by",
    "department": "department",
    "reference": "technical reference",
    "status": "status",
    "way_up": "way up",
}


def _weld_plan(at: Between, a: Job, b: Job) -> str:
    changed = [
        words
        for words, old, new in (
            ("tacks", a.weld_plan.tacks, b.weld_plan.tacks),
            ("welds", a.weld_plan.welds, b.weld_plan.welds),
        )
        if old != new
    ]
    return f"order of {' and '.join(changed)}"


def _holding(at: Between, a: Job, b: Job) -> str:
    was, now = a.holding, b.holding
    said = []
    if was.clamp_force != now.clamp_force:
        forces = [format_force(one.clamp_force, at.display) for one in (was, now)]
        said.append(told_pair("force of a clamp", *forces))
    if was.friction != now.friction:
        said.append(told_pair("friction", *(format_number(one.friction) for one in (was, now))))
    return ", ".join(said)


def _parts_swapped(at: Between, a: Weld, b: Weld) -> str:
    return "its parts listed the other way round"


_PLACE: dict[str, Words] = {
    "name": renamed,
    "weldment": part_changes.into_weldment,
    "x": part_changes.moved,
    "y": part_changes.moved,
    "turn": part_changes.moved,
}
FIELD_WORDS: Mapping[type, Mapping[str, Words]] = {
    Job: {
        "name": renamed,
        "display": _shown,
        "drawing": text_of("drawing", "drawing"),
        "revision": text_of("revision", "revision"),
        "notes": note_of("notes", "notes"),
        "saw": angle_of("saw cuts up to", "saw"),
        "origin": _origin,
        "sawing": _sawing,
        "title_block": _title_block,
        "weld_plan": _weld_plan,
        "holding": _holding,
        "shop": shop_changes,
        "accuracy": allowance_changes.accuracy,
        "allowances": allowance_changes.allowances,
    },
    Weldment: {
        "name": renamed,
        "drawing": text_of("drawing", "drawing"),
        "note": note_of("note", "note"),
        "quantity": count_of("quantity", "quantity"),
        "opposite_of": part_changes.hand,
        "datum": part_changes.datum,
        "loading": part_changes.loading,
    },
    Member: {
        **_PLACE,
        "section": part_changes.other_section,
        "length": part_changes.length_words,
        "start": part_changes.end_cut("start"),
        "end": part_changes.end_cut("end"),
        "way_up": part_changes.lies,
        "mirrored": part_changes.lies,
        "measured": part_changes.measured,
        "z_low": length_of("underside", "z_low"),
        "line_kept": text_of("line kept", "line_kept"),
    },
    Plate: {
        **_PLACE,
        "corners": part_changes.shape,
        "holes": part_changes.holes,
        "z_low": part_changes.heights,
        "z_high": part_changes.heights,
    },
    Weld: {
        "a": _parts_swapped,
        "b": _parts_swapped,
        "name": renamed,
        "kind": part_changes.weld_kind,
        "leg": part_changes.weld_sizes,
        "throat": part_changes.weld_sizes,
        "sides": text_of("welded", "sides"),
    },
    Placement: {
        "piece": _other_piece,
        "seats": _pinned,
        "flipped": either("flipped", "turned over", "turned back over"),
        "turn": angle_of("turned from", "turn"),
        "slide": _slid,
        "leaf": angle_of("leaf", "leaf"),
        "reach": length_of("reach", "reach"),
        "lift": _stack("stack under it", "lift"),
        "packing": _stack("packing", "packing"),
        "clamped_by_hand": either(
            "clamped_by_hand", "clamped by hand", "no longer clamped by hand"
        ),
        "accepted_gap": length_of("gap accepted", "accepted_gap"),
        "force": _force,
        "name": renamed,
        "note": note_of("note", "note"),
    },
    Table: {
        "name": renamed,
        "width": length_of("width", "width"),
        "depth": length_of("depth", "depth"),
        "thickness": length_of("thickness", "thickness"),
        "pitch_x": length_of("pitch left to right", "pitch_x"),
        "pitch_y": length_of("pitch front to back", "pitch_y"),
        "columns": count_of("columns", "columns"),
        "rows": count_of("rows", "rows"),
        "first_x": length_of("first column from the left edge", "first_x"),
        "first_y": length_of("first row from the front edge", "first_y"),
        "hole_diameter": length_of("hole diameter", "hole_diameter"),
        "hole_tolerance": length_of("hole position tolerance", "hole_tolerance"),
        "density": lambda at, a, b: told_pair(
            "density", format_density(a.density), format_density(b.density)
        ),
        "labels": _labels,
    },
    HoleMark: {"state": _marked, "size": _marked},
    Rack: {
        "name": renamed,
        "walk": lambda at, a, b: told_pair(
            "order of the bins", ", ".join(a.walk) or "none", ", ".join(b.walk) or "none"
        ),
    },
}
"""The words of every field that can differ, by the kind of thing."""
