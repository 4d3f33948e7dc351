"""Contacts in words: what a piece touches, with which face, over how much, and what it does."""

from collections.abc import Iterable

from gridjig.contact.overlap import Overlap
from gridjig.contact.titles import side_title
from gridjig.contact.values import Contact, JobContacts, Role, Support
from gridjig.model import Job
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.units import format_length, format_measure


def contact_text(job: Job, contact: Contact) -> str:
    """One contact as a clause: "touches Top rail, back face, over 1-1/4 in"."""
    face = side_title(job, contact.part, contact.face, contact.normal)
    if contact.means == "touches":
        return _touch_text(job, contact, face)
    if contact.means == "gap":
        return f"gap {format_measure(contact.gap, job.display)} to {face}"
    if contact.means == "overlap":
        return f"{format_length(-contact.gap, job.display)} inside {face}"
    if contact.means == "radius":
        return f"meets only the rounded edge of {face}"
    by = format_length(abs(contact.gap), job.display)
    where = "too low" if contact.gap > 0.0 else "too high"
    return f"{face}, is {by} {where} for its tip"


def _touch_text(job: Job, contact: Contact, face: str) -> str:
    if contact.kind == "rest under":
        return f"carries {title(job, contact.part)}"
    if contact.kind == "pad on top":
        return f"presses on {title(job, contact.part)}"
    over = f", over {format_length(contact.length, job.display)}" if contact.length else ""
    return f"touches {face}{over}"


def role_text(job: Job, role: Role) -> str:
    """What a piece does: "locates Top rail"; a clamp with what it presses and what takes that."""
    if role.clamped is not None:
        behind = supports_text(job, role.clamped.supports)
        return f"clamps {title(job, role.clamped.part)} {behind}"
    if role.what in ("locates", "carries"):
        return f"{role.what} {_names(job, role.parts)}"
    if role.what == "blocks nothing" and role.parts:
        return f"blocks nothing: does not reach {_names(job, role.parts)}"
    return role.what


def supports_text(job: Job, supports: Iterable[Support]) -> str:
    """What takes the push of a clamp: the nearest, and how far beside its line."""
    first = next(iter(supports), None)
    if first is None:
        return "with nothing straight behind that part"
    name = "the table" if first.what == "table" else placed_text(job, first.id)
    if first.distance <= 0.05:
        return f"against {name}" if first.what in ("locator", "part") else f"over {name}"
    return f"{format_length(first.distance, job.display)} beside {name}"


def overlap_text(job: Job, one: Overlap) -> str:
    """Two things in one another: "Lug and Left upright overlap by 1 in"."""
    a, b = placed_text(job, one.a), placed_text(job, one.b)
    return f"{a} and {b} overlap by {format_length(one.depth, job.display)}"


def placed_text(job: Job, thing_id: str) -> str:
    """A thing's title; of a piece with the hole of its first pin, which tells it apart."""
    placement = next((p for p in job.placements if p.id == thing_id), None)
    name = title(job, thing_id)
    return f"{name} at {address(job.table, placement.seats[0].hole)}" if placement else name


def summary_text(job: Job, found: JobContacts) -> str:
    """How many pieces do what, in one line, with what was looked at."""
    counts: dict[str, int] = {}
    for role in found.roles.values():
        counts[role.what] = counts.get(role.what, 0) + 1
    names = {"locates": "locate", "carries": "carry", "clamps": "clamp", "idle": "idle"}
    told = ", ".join(f"{many} {names.get(what, what)}" for what, many in counts.items())
    pieces = "1 piece" if len(found.roles) == 1 else f"{len(found.roles)} pieces"
    parts = "1 part" if len(job.parts) == 1 else f"{len(job.parts)} parts"
    reach = format_length(found.within, job.display)
    return (
        f"{pieces} against {parts}{': ' if told else ''}{told};"
        f" looked up to {reach} in front of each feature"
    )


def _names(job: Job, parts: Iterable[str]) -> str:
    return ", ".join(title(job, part) for part in parts)
