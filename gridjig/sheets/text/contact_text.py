"""Contacts in words: what a piece touches, with which face, over how much, and what it does."""

from collections.abc import Iterable, Mapping

from msgspec import Struct

from gridjig.checks.conflicts import overlap_words
from gridjig.checks.finding import told_apart
from gridjig.contact.accepted import is_accepted
from gridjig.contact.overlap import Overlap
from gridjig.contact.titles import face_title, side_title
from gridjig.contact.values import Contact, JobContacts, PartContact, Role, RoleName, Support
from gridjig.model import Job, Placement
from gridjig.model.labels import address
from gridjig.model.titles import thing_of, title
from gridjig.units import format_length, format_measure


class ContactLine(Struct, frozen=True):
    """What touches a part, as a line that links to it."""

    id: str
    name: str
    words: str


def contact_text(job: Job, contact: Contact, whose: bool = True) -> str:
    """Return one contact as a clause: "touches Top rail, back face, over 1-1/4 in".

    Without `whose` the part is not named.
    """
    named = side_title if whose else face_title
    face = named(job, contact.part, contact.face, contact.normal)
    if contact.means == "touches":
        return _touch_text(job, contact, face, title(job, contact.part) if whose else "it")
    if contact.means == "gap":
        left_open = ", accepted" if _is_accepted(job, contact) else ""
        return f"gap {format_measure(contact.gap, job.display)} to {face}{left_open}"
    if contact.means == "overlap":
        return f"{format_measure(-contact.gap, job.display)} inside {face}"
    if contact.means == "radius":
        return f"meets only the rounded edge of {face}"
    by = format_measure(abs(contact.gap), job.display)
    where = "too low" if contact.gap > 0.0 else "too high"
    return f"{face}, is {by} {where} for its tip"


def _is_accepted(job: Job, contact: Contact) -> bool:
    placement = thing_of(job, contact.piece)
    return isinstance(placement, Placement) and is_accepted(placement, contact)


def _touch_text(job: Job, contact: Contact, face: str, part: str) -> str:
    if contact.kind == "rest under":
        return f"supports {part}"
    if contact.kind == "pad on top":
        return f"presses on {part}"
    over = f", over {format_length(contact.length, job.display)}" if contact.length else ""
    return f"touches {face}{over}"


def piece_contact_lines(job: Job, found: JobContacts, piece: str) -> tuple[str, ...]:
    """Return what a piece touches or does not reach, one line each; none without a weldment."""
    own, role = found.pieces[piece], found.roles[piece]
    if not job.parts or role.what == "cannot stand":
        return ()
    lines = [overlap_text(job, one) for one in own.overlaps]
    if role.clamped is not None:
        x, y = (format_length(v, job.display) for v in role.clamped.at)
        name = title(job, role.clamped.part)
        behind = supports_text(job, role.clamped.supports)
        lines.append(f"presses on {name} at {x}, {y}, {behind}")
    lines += [contact_text(job, c) for c in own.touching if not role.clamped or c.feature != "tip"]
    if not lines:
        tips = [c for c in own.contacts if c.feature == "tip"]
        lines += [contact_text(job, c) for c in (tips or own.contacts)[:1]]  # the nearest
    reach = format_length(found.within, job.display)
    return tuple(dict.fromkeys(lines)) or (
        f"touches nothing: no part within {reach} in front of it",
    )


def part_contact_lines(job: Job, found: JobContacts, part: str) -> tuple[ContactLine, ...]:
    """Return all pieces that touch a part or only stand off it, then the other parts touching it.

    A piece that touches something has no line for what it does not touch.
    """
    lines = [
        ContactLine(c.piece, placed_text(job, c.piece), contact_text(job, c, whose=False))
        for c in found.of_part(part)
        if c.touches or not found.pieces[c.piece].touching
    ]
    for one in found.parts:
        if part in (one.a, one.b):
            other = one.b if one.a == part else one.a
            lines.append(ContactLine(other, told_apart(job, other), _meeting(job, one, part)))
    for lap in found.overlaps():
        if part in (lap.a, lap.b):
            other = lap.b if lap.a == part else lap.a
            by = overlap_words(job, lap)
            lines.append(ContactLine(other, placed_text(job, other), f"overlaps it by {by}"))
    return tuple(dict.fromkeys(lines))


def _meeting(job: Job, one: PartContact, part: str) -> str:
    if one.kind == "on top" and one.normal is not None:
        above = one.b if one.normal[2] > 0.0 else one.a
        return "supports it" if above == part else "rests on it"
    if one.normal is None or one.face_a is None or one.face_b is None:
        return "meets it at a corner"
    x, y, z = one.normal
    mine, out = (one.face_a, (x, y, z)) if one.a == part else (one.face_b, (-x, -y, -z))
    face = face_title(job, part, mine, out)
    return f"meets {face}, over {format_length(one.length, job.display)}"


def role_text(job: Job, role: Role) -> str:
    """Return what a piece does: "locates Top rail"; for a clamp what it presses, against what."""
    if role.clamped is not None:
        behind = supports_text(job, role.clamped.supports)
        return f"clamps {title(job, role.clamped.part)} {behind}"
    if role.what in ("locates", "carries"):
        does = "supports" if role.what == "carries" else role.what
        return f"{does} {_names(job, role.parts)}"
    if role.what == "stands off":
        return f"stands off {_names(job, role.parts)} by a gap that is accepted"
    if role.what == "blocks nothing" and role.parts:
        return f"blocks nothing: does not reach {_names(job, role.parts)}"
    return role.what


def supports_text(job: Job, supports: Iterable[Support]) -> str:
    """Return what takes a clamp's force: the nearest support, and how far off its line."""
    first = next(iter(supports), None)
    if first is None:
        return "with nothing directly behind that part"
    name = "the table" if first.what == "table" else placed_text(job, first.id)
    if first.distance <= 0.05:
        return f"against {name}" if first.what in ("locator", "part") else f"over {name}"
    return f"{format_length(first.distance, job.display)} beside {name}"


def overlap_text(job: Job, one: Overlap) -> str:
    """Return an overlap in words: "Lug and Left upright overlap by 1 in"."""
    a, b = placed_text(job, one.a), placed_text(job, one.b)
    return f"{a} and {b} overlap by {overlap_words(job, one)}"


def placed_text(job: Job, thing_id: str) -> str:
    """Return a thing's title; for a piece with the hole of its first pin, to identify it."""
    placement = next((p for p in job.placements if p.id == thing_id), None)
    name = title(job, thing_id)
    return f"{name} at {address(job.table, placement.seats[0].hole)}" if placement else name


def summary_text(job: Job, found: JobContacts) -> str:
    """Return how many pieces do what, in one line, with what was checked."""
    counts: dict[RoleName, int] = {}
    for role in found.roles.values():
        counts[role.what] = counts.get(role.what, 0) + 1
    told = ", ".join(f"{many} {_DO[what][many > 1]}" for what, many in counts.items())
    pieces = "1 piece" if len(found.roles) == 1 else f"{len(found.roles)} pieces"
    parts = "1 part" if len(job.parts) == 1 else f"{len(job.parts)} parts"
    reach = format_length(found.within, job.display)
    return (
        f"{pieces} against {parts}{': ' if told else ''}{told};"
        f" searched up to {reach} in front of each feature"
    )


_DO: Mapping[RoleName, tuple[str, str]] = {
    "locates": ("locates", "locate"),
    "stands off": ("stands off by an accepted gap", "stand off by accepted gaps"),
    "carries": ("supports", "support"),
    "clamps": ("clamps", "clamp"),
    "blocks nothing": ("blocks nothing", "block nothing"),
    "idle": ("is idle", "are idle"),
    "cannot stand": ("cannot stand", "cannot stand"),
}
"""What one piece does, and what several do."""


def _names(job: Job, parts: Iterable[str]) -> str:
    return ", ".join(title(job, part) for part in parts)
