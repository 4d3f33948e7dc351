"""Which things differ between two jobs, by identity, as values never change in place."""

from gridjig.model import Job


def differing(one: Job, other: Job) -> frozenset[str]:
    """Ids of placements and parts that are in only one of the jobs, or differ between them."""
    mine = {thing.id: thing for thing in (*one.placements, *one.parts)}
    theirs = {thing.id: thing for thing in (*other.placements, *other.parts)}
    return frozenset(
        thing_id
        for thing_id in mine.keys() | theirs.keys()
        if mine.get(thing_id) is not theirs.get(thing_id)
    )
