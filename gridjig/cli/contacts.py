"""`gridjig contacts`: what each placed piece touches, what it does, and what does nothing."""

import argparse
import json

from gridjig.contact.book import contacts
from gridjig.contact.overlap import Overlap
from gridjig.contact.values import Contact, JobContacts, PartContact, Role
from gridjig.model import Job
from gridjig.rack import Point
from gridjig.sheets.contact_text import (
    contact_text,
    overlap_text,
    placed_text,
    role_text,
    summary_text,
)
from gridjig.solve import Stands

from .columns import columns
from .given import the_job
from .verb import Refusal, Verb

ABOUT = (
    "Print what every placed piece of JOB does to the weldment: what it touches, with which face"
    " and over how much; how much is open to what it does not reach; and what overlaps."
)
JSON_HELP = (
    "print JSON, lengths in mm: pieces [{piece, role, parts, clamps}], touches [{piece, feature,"
    " part, face, kind, gap_mm, length_mm, z_mm [low, high], points_mm, normal}], idle [piece];"
    " then not_touching with the same fields and means, parts that meet, overlaps, and within_mm,"
    " how far in front of a feature was looked"
)


def as_text(job: Job, found: JobContacts) -> str:
    """The contacts as a table to read."""
    text = [f"{job.name}: {summary_text(job, found)}"]
    rows = []
    for piece, own in found.pieces.items():
        told = [contact_text(job, one) for one in own.contacts]
        first = [placed_text(job, piece), role_text(job, found.roles[piece])]
        rows.append([*first, told[0] if told else ""])
        rows += [["", "", more] for more in told[1:]]
    if rows:
        text += ["", columns([["piece", "does", "contact"], *rows])]
    lapped = [f"{overlap_text(job, one)}." for one in found.overlaps()]
    return "\n".join([*text, *(["", *lapped] if lapped else [])])


def as_json(found: JobContacts) -> str:
    """The same as stable JSON."""
    every = list(found.every())
    whole = {
        "pieces": [_piece(piece, role) for piece, role in found.roles.items()],
        "touches": [_contact(one) for one in every if one.touches],
        "idle": list(found.idle()),
        "not_touching": [{**_contact(one), "means": one.means} for one in every if not one.touches],
        "parts": [_parts(one) for one in found.parts],
        "overlaps": [_overlap(one) for one in found.overlaps()],
        "within_mm": _number(found.within),
    }
    return json.dumps(whole, indent=1, ensure_ascii=False)


def _piece(piece: str, role: Role) -> dict[str, object]:
    clamped = role.clamped
    return {
        "piece": piece,
        "role": role.what,
        "parts": list(role.parts),
        "clamps": None
        if clamped is None
        else {
            "part": clamped.part,
            "at_mm": _point(clamped.at),
            "z_mm": _number(clamped.z),
            "over": [
                {"what": s.what, "id": s.id, "distance_mm": _number(s.distance)}
                for s in clamped.supports
            ],
        },
    }


def _contact(one: Contact) -> dict[str, object]:
    return {
        "piece": one.piece,
        "feature": one.feature,
        "part": one.part,
        "face": one.face.label,
        "kind": one.kind,
        "gap_mm": _number(one.gap),
        "length_mm": _number(one.length),
        "z_mm": [_number(one.z_low), _number(one.z_high)],
        "points_mm": [_point(p) for p in one.points],
        "normal": [round(v, 9) + 0.0 for v in one.normal],
    }


def _parts(one: PartContact) -> dict[str, object]:
    faces = (one.face_a, one.face_b)
    return {
        "a": one.a,
        "b": one.b,
        "faces": [None if face is None else face.label for face in faces],
        "kind": one.kind,
        "gap_mm": _number(one.gap),
        "length_mm": _number(one.length),
        "z_mm": [_number(one.z_low), _number(one.z_high)],
        "points_mm": [_point(p) for p in one.points],
        "normal": None if one.normal is None else [round(v, 9) + 0.0 for v in one.normal],
    }


def _overlap(one: Overlap) -> dict[str, object]:
    return {
        "a": one.a,
        "b": one.b,
        "depth_mm": _number(one.depth),
        "height_mm": _number(one.height),
        "area_mm2": _number(one.area),
        "at_mm": _point(one.where),
    }


def _point(p: Point) -> list[float]:
    return [_number(p[0]), _number(p[1])]


def _number(value: float) -> float:
    return round(value, 4) + 0.0


def arguments(parser: argparse.ArgumentParser) -> None:
    """JOB [--json]."""
    parser.add_argument("job", metavar="JOB", help="a .gridjig file")
    parser.add_argument("--json", action="store_true", help=JSON_HELP)


def run(chosen: argparse.Namespace) -> None:
    """Print the contacts."""
    job = the_job(chosen.job)
    if not job.placements and not job.outlines:
        raise Refusal(f"{job.name} is empty; place a piece or draw a part first.")
    found = contacts(job, Stands().of(job))
    print(as_json(found) if chosen.json else as_text(job, found))


VERB = Verb("contacts", "print what each placed piece touches", arguments, run, ABOUT)
