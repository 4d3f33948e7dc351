"""Changing one size of a piece without changing those that were typed before."""

from collections.abc import Collection

from msgspec import structs

from gridjig.rack import Piece
from gridjig.units import MILLIMETRES, Display

from .sizes import AdjustableSize, remade, size_words, sizes, with_size
from .stretch import SAME


def with_size_alone(
    piece: Piece, size_id: str, value: float, typed: Collection[str], display: Display = MILLIMETRES
) -> Piece:
    """The piece with one size changed, and those that were typed as they are.

    Raises the errors of `with_size`, and ValueError if a typed size cannot stay.
    """
    changed = with_size(piece, size_id, value, display)
    before = {size.id: size for size in sizes(piece)}
    kept = [before[key] for key in before if key in typed and key != size_id]
    for size in kept:
        now = next((s for s in sizes(changed) if s.id == size.id), None)
        if now is not None and abs(now.value - size.value) > SAME:
            try:
                changed = with_size(changed, size.id, size.value, display)
            except ValueError as fault:
                raise ValueError(_unkept(size, display)) from fault
    after = {size.id: size.value for size in sizes(changed)}
    for key, wanted in ((size_id, value), *((size.id, size.value) for size in kept)):
        if abs(after.get(key, wanted) - wanted) > SAME:
            raise ValueError(_unkept(before[key], display))
    return changed


def with_size_typed(
    piece: Piece, size_id: str, value: float, display: Display = MILLIMETRES
) -> Piece:
    """The piece with one size as it was typed, those typed before as they are, and this one among
    them from now on.  Raises the errors of `with_size_alone`.
    """
    made = with_size_alone(piece, size_id, value, piece.typed, display)
    ids = {size.id for size in sizes(made)}
    typed = dict.fromkeys((*piece.typed, size_id))
    return structs.replace(made, typed=tuple(key for key in typed if key in ids))


def typed_sizes(piece: Piece) -> tuple[AdjustableSize, ...]:
    """The sizes that were typed, in form order."""
    return tuple(size for size in sizes(piece) if size.id in piece.typed)


def reshaped(piece: Piece, changed: Piece) -> Piece:
    """A piece whose shape was changed otherwise than by its sizes, with its new mass.

    A size that the new shape has otherwise is typed no longer.  Raises the errors of `remade`.
    """
    made = remade(piece, changed)
    if not piece.typed:
        return made
    old = {size.id: size.value for size in typed_sizes(piece)}
    new = {size.id: size.value for size in typed_sizes(made)}
    kept = (key for key in piece.typed if key in new and abs(new[key] - old[key]) <= SAME)
    return structs.replace(made, typed=tuple(kept))


def moved_along(before: Piece, after: Piece, size_id: str) -> tuple[AdjustableSize, ...]:
    """The sizes, other than the one that was changed, that a change has changed too."""
    old = {size.id: size.value for size in sizes(before)}
    return tuple(
        size
        for size in sizes(after)
        if size.id != size_id and abs(old.get(size.id, size.value) - size.value) > SAME
    )


def _unkept(size: AdjustableSize, display: Display) -> str:
    kept = size_words(size, display)
    label = size.label[0].upper() + size.label[1:]
    return (
        f"{label} was typed as {kept}, and there is no steel for this with it; change that first,"
        " or type another value here."
    )
