"""Checks that a weldment said to be the opposite hand of another still is its mirror image."""

from collections.abc import Iterator, Mapping

from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job, Part
from gridjig.model.by_weldment import parts_of
from gridjig.model.titles import thing_of, title, weldment_title
from gridjig.solve.placed.placed_piece import PlacedPiece

from .finding import Finding

_NAMED = 3
"""How many of the parts that differ are named."""


def hand_findings(job: Job, _placed: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
    """Find weldments that differ from the opposite hand of their original, and say in what."""
    for one in job.weldments:
        if one.opposite_of is None:
            continue
        from gridjig.solve.mirror.symmetry import unlike_opposite  # noqa: PLC0415 - only for hands

        mine, original = parts_of(job, one.id), parts_of(job, one.opposite_of)
        unlike = unlike_opposite(original, mine)
        if not unlike:
            continue
        names = [title(job, part) for part in unlike[:_NAMED]]
        more = f" and {len(unlike) - _NAMED} more" if len(unlike) > _NAMED else ""
        has = "has" if len(unlike) == 1 else "have"
        first = thing_of(job, unlike[0])
        where = part_ring(first)[0] if isinstance(first, Part) else None
        yield Finding(
            f"hand/{one.id}",
            "inexact",
            "look",
            f"{weldment_title(job, one.id)} is not the opposite hand of"
            f" {weldment_title(job, one.opposite_of)}: {', '.join(names)}{more} {has} no match in"
            " the mirrored other one.",
            where,
            unlike,
            "Change the one that is wrong, or say in the list of weldments that it is as drawn.",
        )
