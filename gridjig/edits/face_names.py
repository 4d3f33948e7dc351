"""What the sizes of a piece call its faces."""

from gridjig.rack import Face, Piece
from gridjig.units import facing_words

from .stretch import angle_of, arrow


def face_size_name(piece: Piece, face: Face) -> str:
    """The name of the distance of a face from the first hole.

    A face that was ticked among the edges is named by where it faces, counted where several do.
    """
    if face.id == "face":
        return "face from hole"
    if not face.id.startswith("edge-"):
        return f"{face.id} face from hole"
    words = _facing(face)
    alike = [one.id for one in piece.faces if one.id.startswith("edge-") and _facing(one) == words]
    number = f" {alike.index(face.id) + 1}" if len(alike) > 1 else ""
    return f"{words} face{number} from hole"


def _facing(face: Face) -> str:
    x, y = arrow(face.a, face.b)
    return facing_words(angle_of((y, -x)))
