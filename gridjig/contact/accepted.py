"""Gaps that the shop accepts: too thin for any shim, and left open on purpose."""

from gridjig.model import Placement

from .values import TOUCH, Contact, JobContacts

MOST = 2.0
"""The widest gap that can be accepted, mm: beyond it a piece does not hold the work."""


def open_gap(found: JobContacts, piece: str) -> float:
    """The gap in front of a piece that touches nothing, mm; 0 if there is none to accept.

    It is the one to the nearest upright face, if that is no wider than `MOST`.
    """
    own, role = found.pieces.get(piece), found.roles.get(piece)
    if own is None or role is None or role.what not in _OPEN or own.overlaps:
        return 0.0
    nearest = own.contacts[0]
    beside = nearest.means == "gap" and nearest.kind not in _NOT_BESIDE
    return nearest.gap if beside and nearest.feature != "tip" and nearest.gap <= MOST else 0.0


def is_accepted(placement: Placement, contact: Contact) -> bool:
    """True if this gap in front of a piece was accepted, or a wider one was."""
    return (
        contact.means == "gap"
        and contact.kind not in _NOT_BESIDE
        and contact.feature != "tip"
        and placement.accepted_gap > 0.0
        and contact.gap <= placement.accepted_gap + TOUCH
    )


_OPEN = ("blocks nothing", "stands off")
_NOT_BESIDE = ("rest under", "pad on top", "round in hole")
