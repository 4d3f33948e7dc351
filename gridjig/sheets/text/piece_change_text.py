"""How two pieces with the same id differ, in words: for importing a rack and comparing jobs."""

from msgspec import structs

from gridjig.edits.sizes import sizes
from gridjig.edits.typed_sizes import typed_sizes
from gridjig.rack import Piece, kind_name
from gridjig.units import (
    Display,
    format_angle,
    format_force,
    format_length,
    format_mass,
    mass_words,
)


def count_words(piece: Piece) -> str:
    """Return a piece's size, count and bin, in words."""
    place = f"bin {piece.bin}" if piece.bin else "no bin"
    return ", ".join(t for t in (piece.size, f"{piece.owned} on hand", place) if t)


def differences(old: Piece, new: Piece, display: Display) -> str:
    """Return what differs between two pieces with the same id, in words."""
    told: list[str] = []
    for field, word in (
        ("name", "name"),
        ("size", "size in words"),
        ("owned", "on hand"),
        ("bin", "bin"),
        ("hand", "hand"),
    ):
        before, after = getattr(old, field), getattr(new, field)
        if before != after:
            told.append(f"{word} {_shown(before)} to {_shown(after)}")
    if old.kind != new.kind:
        told.append(f"kind {kind_name(old.kind)} to {kind_name(new.kind)}")
    told += _size_differences(old, new, display)
    if old.takes != new.takes:
        told.append("the pins it takes")
    if old.flips != new.flips:
        told.append("can be turned over" if new.flips else "cannot be turned over")
    if old.mass != new.mass:
        before, after = (format_mass(piece.mass, display) for piece in (old, new))
        told.append(f"{mass_words('mass', display)} {before} to {after}")
    if old.pin_length != new.pin_length:
        lengths = [_or_unknown(one.pin_length, display) for one in (old, new)]
        told.append(f"pin length {lengths[0]} to {lengths[1]}")
    forces = [piece.tip.force if piece.tip is not None else 0.0 for piece in (old, new)]
    if old.tip is not None and new.tip is not None and forces[0] != forces[1]:
        before, after = (format_force(one, display) if one else "not known" for one in forces)
        told.append(f"presses with {before} to {after}")
    plain = {"name": "x", "kind": new.kind, "size": "", "owned": 0, "bin": "", "hand": "none"}
    rest = {"takes": (), "flips": False, "mass": 0.0, "pin_length": 0.0, "typed": ()}
    bare = [structs.replace(_forceless(p), **plain, **rest) for p in (old, new)]
    if bare[0] != bare[1] and not _size_differences(old, new, display):
        told.append("its shape")
    if not told and old.typed != new.typed:
        kept = ", ".join(size.label for size in typed_sizes(new))
        told.append(f"sizes that stay as typed: {kept or 'none'}")
    return "; ".join(told)


def _size_differences(old: Piece, new: Piece, display: Display) -> list[str]:
    before = {size.id: size for size in sizes(old)}
    told = []
    for size in sizes(new):
        known = before.get(size.id)
        if known is not None and abs(known.value - size.value) > 1e-4:
            show = format_angle if size.unit == "deg" else lambda mm: format_length(mm, display)
            told.append(f"{size.label} {show(known.value)} to {show(size.value)}")
    return told


def _forceless(piece: Piece) -> Piece:
    """A piece without what its tip presses with."""
    if piece.tip is None:
        return piece
    return structs.replace(piece, tip=structs.replace(piece.tip, force=0.0))


def _or_unknown(mm: float, display: Display) -> str:
    return format_length(mm, display) if mm else "not known"


def _shown(value: object) -> str:
    return str(value) if value != "" else "none"
