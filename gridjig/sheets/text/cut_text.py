"""How the ends of a bar are cut, in the words of the trade.

Loads no arrays: the member's form shows these words as soon as the window opens.
"""

from gridjig.model import Display, EndCut, Job
from gridjig.units import format_angle, format_length
from gridjig.units.spelling import spelled

from .sorting import natural


def saw_in_words(job: Job) -> str:
    """Return what is said of a cut that the shop's saw does not reach."""
    return f"beyond the shop's saw: {format_angle(job.saw)}"


def cuts_in_words(start: EndCut, end: EndCut, display: Display, width: float = 0.0) -> str:
    """Return how both ends of a bar are cut: square both ends; mitres opposed, 45° both ends.

    Mitres are opposed if the bar has a long and a short side, parallel if both sides are equal.
    `width` is that of the bar in plan, mm; where the tip of a point is, is left out if it is 0.
    """
    lean = "opposed" if start.angle * end.angle > 0 else "parallel"
    if start.kind == end.kind == "mitre" and start.plain and end.plain:
        one, other = sorted((format_angle(abs(cut.angle)) for cut in (start, end)), key=natural)
        return spelled(f"mitres {lean}, ") + (
            f"{one} both ends" if one == other else f"{other} and {one}"
        )
    several = start.more or end.more
    one, other = (cut_in_words(cut, display, width) for cut in (start, end))
    joint = "; " if several else " and "
    words = f"{one} both ends" if one == other else joint.join(sorted((one, other), reverse=True))
    return words if several or not start.angle or not end.angle else f"{words}, cuts {lean}"


def cut_in_words(cut: EndCut, display: Display, width: float = 0.0) -> str:
    """Return how one end is cut: square, mitre 45°, point, coped around 48.3 mm, notch ..."""
    angle = format_angle(abs(cut.angle))
    match cut.kind:
        case "square" | "mitre":
            if cut.more:
                return _several_in_words(cut, display, width)
            return f"{spelled('mitre')} {angle}" if cut.angle else "square"
        case "cope":
            at = f" at {angle}" if cut.angle else ""
            words = f"coped around {format_length(cut.around, display)}{at}"
        case _:  # a notch
            sizes = (format_length(v, display) for v in (cut.along, cut.across))
            words = f"notch {' x '.join(sizes)}"
    also = " and ".join(format_angle(abs(saw.angle)) for saw in cut.more)
    return f"{words}, also cut at {also}" if also else words


def scale_words(cut: EndCut) -> str:
    """Return what the saw's scale reads for an end, 0 for a square cut: 45°; 30° and 15°.

    A cope or a notch is cut after the saw has cut the end square.
    """
    angles = dict.fromkeys(format_angle(abs(saw.angle)) for saw in cut.saws)
    return " and ".join(angles or [format_angle(0.0)])


def _several_in_words(cut: EndCut, display: Display, width: float) -> str:
    """Return an end of several saw cuts: point, 18.43° and 18.43°, tip in the middle."""
    if not width:
        angles = [format_angle(abs(saw.angle)) for saw in cut.saws]
        return f"cut at {' and '.join(angles)}"
    faces = [(round(angle, 6), wide) for angle, wide in cut.facets(width)]
    if len(faces) == 1:
        return cut_in_words(EndCut("mitre" if faces[0][0] else "square", faces[0][0]), display)
    angles = [format_angle(abs(angle)) if angle else "square" for angle, _ in faces]
    name = "point, " if faces[0][0] > 0 > faces[-1][0] else ""
    if name and len(faces) == 2 and abs(faces[0][1] - faces[1][1]) < 0.05:
        one, other = sorted(angles, key=natural, reverse=True)
        return f"point, {one} and {other}, tip in the middle"
    each = [
        f"{angle} over {format_length(wide, display)}"
        for angle, (_, wide) in zip(angles, faces, strict=True)
    ]
    return name + " and ".join(min(each, each[::-1]))
