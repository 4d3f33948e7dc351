"""Dimensions of a weldment from its datum faces, along two sides of the plan.

Running dimensions as drafting has them (ISO 129-1): a ring at the datum, an arrow at each face, the
figure at the end of its extension line, turned to read from the right.  None is doubled, and no
line runs through a figure.
"""

from collections.abc import Sequence

from gridjig.geometry.page import FINE, PageDiscs, PageLine, PageLines, PageMark, PageText
from gridjig.model import Job
from gridjig.rack import Point
from gridjig.solve.weldment.datum import datum_faces
from gridjig.solve.weldment.faces import WorkFace, faces
from gridjig.units.measures import format_dimension

from .facts import SheetFacts
from .flow import Letters
from .letters import LINE, width_of
from .places import spread
from .plan_labels import TableWindow

_LEAST = 0.05
_LINE_AT = 1.5  # mm from the labels of the plan to the dimension line
_TEXT_AT = 3.0


def dimension_room(facts: SheetFacts, letters: Letters) -> tuple[float, float]:
    """Return the room that the dimensions take up above the plan and to its right, mm."""
    room = {"x": 0.0, "y": 0.0}
    for face in _datums(facts.job):
        longest = max(
            width_of(_words(facts, abs(place - face.at)), letters.text)
            for place in _places(facts.job, face)
        )
        room[face.axis or "x"] = _LINE_AT + _TEXT_AT + longest + 1.0
    return (room["x"], room["y"])


def _datums(job: Job) -> list[WorkFace]:
    """The datum faces of the first weldment that run along the table."""
    if not job.parts:
        return []
    datum = datum_faces(job)
    return [face for face in (datum.long, datum.end) if face is not None and face.axis is not None]


def _words(facts: SheetFacts, away: float) -> str:
    """A dimension's figure; millimetres stand bare, as the title block names them (ISO 129-1)."""
    if away <= _LEAST:
        return "0"
    metric = facts.job.display.unit == "millimetres" and not facts.shown.both
    return format_dimension(away, facts.job.display) if metric else facts.shown.setting(away)


def dimensions(facts: SheetFacts, view: TableWindow) -> tuple[list[PageMark], int]:
    """Return the dimensions of the first weldment, and how many there was no room for.

    They are left out if its datum faces do not run along the table.
    """
    marks: list[PageMark] = []
    left_out = 0
    for face in _datums(facts.job):
        made, missing = _run(facts, view, face)
        marks += made
        left_out += missing
    return marks, left_out


def _places(job: Job, datum: WorkFace) -> list[float]:
    """Where faces parallel to a datum face lie on the axis that it looks along, mm."""
    mine = {part.id for part in job.parts if part.weldment == job.weldments[0].id}
    found = {round(datum.at, 3)}
    for face in faces(job.parts):
        if face.axis == datum.axis and face.of.part in mine:
            found.add(round(face.at, 3))
    return sorted(found)


def _run(facts: SheetFacts, view: TableWindow, datum: WorkFace) -> tuple[list[PageMark], int]:
    """The running dimensions from one datum face: above the plan, or to its right."""
    above = datum.axis == "x"
    left, top, right, bottom = view.box
    size = view.letters.text
    low, high = (left, right) if above else (top, bottom)
    every = _places(facts.job, datum)
    paper = [_paper(view, place, above) for place in every]
    pairs = sorted(zip(paper, every, strict=True))
    shown = _thinned(pairs, datum.at, LINE * size * 0.9, high - low)
    spots = spread([at for at, _ in shown], LINE * size * 0.9, low, high) or []
    bands = view.bands(facts.job.table)
    edge = top - bands[1] - _LINE_AT if above else right + bands[0] + _LINE_AT
    out = -1.0 if above else 1.0
    zero = _paper(view, datum.at, above)
    ends = [at for at, _ in shown]
    strokes: list[tuple[Point, Point]] = (
        [_pair((min(ends), edge), (max(ends), edge), above)] if len(ends) > 1 else []
    )
    marks: list[PageMark] = []
    texts: list[PageText] = []
    for (at, place), spot in zip(shown, spots, strict=True):
        start = _start(view, facts.job, datum, place, above)
        strokes.append(_pair((at, start), (at, edge + out * 1.0), above))
        strokes.append(_pair((at, edge + out * 1.0), (spot, edge + out * (_TEXT_AT - 0.5)), above))
        away = abs(place - datum.at)
        words = _words(facts, away)
        if away > _LEAST:
            marks.append(_arrow(at, edge, zero, above))
        texts.append(_figure(spot, edge + out * _TEXT_AT, words, size, above=above))
    ring = (zero, edge) if above else (edge, zero)
    marks = [PageLines(tuple(strokes), FINE), *marks, PageDiscs((ring,), 0.8, FINE, fill="white")]
    return [*marks, *texts], len(pairs) - len(shown)


def _thinned(
    pairs: Sequence[tuple[float, float]], zero: float, apart: float, room: float
) -> list[tuple[float, float]]:
    """As many as have room, the datum and the farthest always among them."""
    most = max(2, int(room / apart))
    kept = list(pairs)
    while len(kept) > most:
        gaps = [
            (kept[k + 1][0] - kept[k - 1][0], k)
            for k in range(1, len(kept) - 1)
            if abs(kept[k][1] - zero) > _LEAST
        ]
        kept.pop(min(gaps)[1])
    return kept


def _paper(view: TableWindow, place: float, above: bool) -> float:
    x, y = view.frame.at((place, 0.0) if above else (0.0, place))
    return x if above else y


def _start(view: TableWindow, job: Job, datum: WorkFace, place: float, above: bool) -> float:
    """Where an extension line begins: a little off the end of the face nearest to the figures."""
    best = None
    for face in faces(job.parts):
        if face.axis == datum.axis and abs(face.at - place) <= _LEAST:
            along = [p[1] if above else p[0] for p in (face.a, face.b)]
            best = max(along) if best is None else max(best, *along)
    x, y = view.frame.at((0.0, best or 0.0) if above else (best or 0.0, 0.0))
    return y - 1.0 if above else x + 1.0


def _pair(one: Point, other: Point, above: bool) -> tuple[Point, Point]:
    """Two points (along, across) as a stroke on paper."""
    return (one, other) if above else ((one[1], one[0]), (other[1], other[0]))


def _arrow(at: float, edge: float, zero: float, above: bool) -> PageLine:
    back = at - 2.0 if at > zero else at + 2.0
    points = ((at, edge), (back, edge - 0.5), (back, edge + 0.5))
    if not above:
        points = tuple((y, x) for x, y in points)  # type: ignore[assignment]
    return PageLine(points, FINE, closed=True, fill="black")


def _figure(spot: float, out: float, words: str, size: float, *, above: bool) -> PageText:
    wide, high = width_of(words, size) + 0.4, 1.2 * size
    if above:
        return PageText(spot - high / 2, out - wide, high, wide, words, size, up=True)
    return PageText(out, spot - high / 2, wide, high, words, size)
