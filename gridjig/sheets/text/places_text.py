"""The places found for the weldment, in words: how it is moved, the result, what was tried."""

from gridjig.solve.layout.places import WeldmentPlace, WeldmentPlaces
from gridjig.solve.layout.remainders import EXACT
from gridjig.units import Display, format_angle, format_length


def move_words(put: WeldmentPlace, display: Display) -> str:
    """Return how the weldment is moved to a place, with a capital and no full stop."""
    done = ["turned over"] if put.flipped else []
    if put.turn:
        done.append(f"turned {format_angle(put.turn)}")
    for by, ahead, back in ((put.dx, "right", "left"), (put.dy, "back", "forward")):
        if abs(by) > EXACT:
            done.append(f"{format_length(abs(by), display)} {ahead if by > 0 else back}")
    words = ", ".join(done) or "as it lies"
    return f"{words[0].upper()}{words[1:]}"


def result_words(put: WeldmentPlace, display: Display) -> str:
    """Return how the weldment then lies: what is packed, off the grid, blocked, over the edge."""
    lines = len(put.left)
    result = [f"{put.packed} of {lines} {'line' if lines == 1 else 'lines'} packed"]
    if put.off > put.packed:
        result.append(f"{put.off - put.packed} within tolerance")
    if put.critical_off:
        result.append(f"{put.critical_off} critical off the grid")
    if put.blocked:
        result.append(f"{put.blocked} without a hole for a stop")
    if put.over > EXACT:
        result.append(f"{format_length(put.over, display)} over the edge")
    return ", ".join(result)


def put_words(put: WeldmentPlace, display: Display) -> str:
    """Return the move and its result in one sentence."""
    return f"{move_words(put, display)}: {result_words(put, display)}."


def tried_words(found: WeldmentPlaces) -> str:
    """Return what was tried, what was found and what no shift can do, in sentences."""
    best, now, ways = found.found[0], found.now, found.orientations
    tried = (
        f"Tried {found.shifts} shifts in {ways} {'orientation' if ways == 1 else 'orientations'}:"
        f" all that bring one of the {len(found.lines)} lines of faces onto the grid."
    )
    if (best.over, best.critical_off, best.blocked, best.packed) >= (
        now.over,
        now.critical_off,
        now.blocked,
        now.packed,
    ):
        result = f"No place needs less packing than as it lies now: {now.packed} packed."
    else:
        result = f"Lines packed at the best place: {best.packed}; as it lies now: {now.packed}."
    said = [tried, result]
    if found.slanting:
        lie = "face lies" if found.slanting == 1 else "faces lie"
        said.append(
            f"{found.slanting} critical {lie} across the grid: set by an angle, not by a shift."
        )
    return " ".join(said)
