"""The pieces at each part, kept from edit to edit."""

import pytest

from gridjig.contact.book import Contacts
from gridjig.contact.pieces_at import parts_of_piece, pieces_at
from gridjig.contact.values import JobContacts
from gridjig.edits.selection import shift
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import layout, piece_named


def one_by_one(contacts: JobContacts) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for piece, own in contacts.pieces.items():
        for part in parts_of_piece(own):
            found.setdefault(part, []).append(piece)
    return found


@pytest.mark.source("method", "every piece looked at one by one, after each move")
def test_a_piece_that_leaves_a_part_is_no_longer_at_it() -> None:
    job = layout("T04")
    pin = piece_named(job, "Pin I12")
    book, placed = Contacts(), PlacedPieces()
    first = pieces_at(book.of(job, placed.of(job)))
    steps = [shift(job, frozenset([pin]), by, 0) for by in (30, -30, 15, 1)]
    left = 0
    for step in (*steps, job):
        contacts = book.of(step, placed.of(step))
        at = pieces_at(contacts)
        assert {k: [own.piece for own in owns] for k, owns in at.items()} == one_by_one(contacts)
        assert (
            sum(at.get(k) is owns for k, owns in first.items()) > 0
        )  # most parts see nothing of it
        left += not any(own.piece == pin for owns in at.values() for own in owns)
    assert left > 0
