"""How deep the pins of a placed piece go into the table."""

from gridjig.model import Placement
from gridjig.rack import Piece, Rack, Shank


def pin_depth(rack: Rack, piece: Piece, placement: Placement, feature: str | None) -> float:
    """How far below the table's top the pin of one mount feature goes, mm; 0 if nothing tells.

    Without a feature it is the locking pin that holds an arm's leaf.

    A piece that stands on risers or shims goes in less deep by their height, but the pins of the
    risers go in too.
    """
    own = feature is not None and isinstance(piece.mount(feature), Shank)
    pin = piece if own else rack.locking_pin(piece)
    stack = [found for one in placement.lift if (found := rack.find(one)) is not None]
    depths = [pin.below - sum(one.thickness for one in stack)] if pin is not None else []
    depths += [one.below - sum(k.thickness for k in stack[:i]) for i, one in enumerate(stack)]
    return max(0.0, *depths) if depths else 0.0
