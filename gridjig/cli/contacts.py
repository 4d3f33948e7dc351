"""`gridjig contacts`: what each placed piece touches and does, and which pieces do nothing."""

import argparse
from collections.abc import Mapping

from gridjig.cli.outputs.contacts import ContactsOutput, contacts_output
from gridjig.contact.belonging import pieces_of
from gridjig.contact.book import contacts
from gridjig.contact.values import JobContacts
from gridjig.model import Job
from gridjig.model.by_weldment import several
from gridjig.model.titles import hand_words, weldment_title
from gridjig.sheets.text.contact_text import (
    contact_text,
    overlap_text,
    placed_text,
    role_text,
    summary_text,
)
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece

from .columns import columns
from .given import JOB_HELP, shown, the_job
from .outputs import as_json
from .verb import JSON_HELP, Refusal, Verb

ABOUT = (
    "Print what each placed piece of JOB does to the weldment: what it touches, with which face "
    "and over what length; the gap to what it does not reach; and what overlaps."
)


def as_text(job: Job, placed_pieces: Mapping[str, PlacedPiece], found: JobContacts) -> str:
    """Return the contacts as a text table; of several weldments, which pieces each has."""
    text = [f"{job.name}: {summary_text(job, found)}"]
    for one in job.weldments if several(job) else ():
        mine = pieces_of(job, placed_pieces, found, one.id)
        names = ", ".join(placed_text(job, piece) for piece in found.pieces if piece in mine)
        text.append(f"{weldment_title(job, one.id)}, {hand_words(job, one)}: {names or 'no piece'}")
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


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB [--json]."""
    parser.add_argument("job", metavar="JOB", help=JOB_HELP)
    parser.add_argument("--json", action="store_true", help=JSON_HELP.format("contacts"))


def run(chosen: argparse.Namespace) -> None:
    """Print the contacts."""
    job = shown(the_job(chosen.job), chosen)
    if not job.placements and not job.parts:
        raise Refusal(f"{job.name} is empty; place a piece or draw a part first.")
    placed = PlacedPieces().of(job)
    found = contacts(job, placed)
    if chosen.json:
        print(as_json(contacts_output(job, placed, found)))
    else:
        print(as_text(job, placed, found))


VERB = Verb(
    "contacts", "print what each placed piece touches", arguments, run, ABOUT, (ContactsOutput,)
)
