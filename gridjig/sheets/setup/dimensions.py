"""Dimensions of each weldment from its datum faces, along two sides of the plan.

Running dimensions as drafting has them (ISO 129-1): a ring at the datum, an arrow at each face, the
figure at the end of its extension line, turned to read from the right.  None is doubled, and no
line runs through a figure.  Weldments that lie one behind the other have rows of their own.
"""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from gridjig.geometry.page import FINE, PageDiscs, PageLine, PageLines, PageMark, PageText
from gridjig.model import Job, Part
from gridjig.model.by_weldment import parts_of
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
_LINE_AT = 1.5  # mm from the labels of the plan, or from the row before, to the dimension line
_TEXT_AT = 3.0
_CLEAR = 0.3
"""How far a line stays from the letters that it is broken for, mm."""
_SHARE = 0.3
"""How much of the page's width or height the rows of dimensions may take."""


class _Run(Struct, frozen=True):
    """The running dimensions from one datum face: where parallel faces lie on its axis, mm.

    `weldments` are those that have exactly these.
    """

    datum: WorkFace
    places: tuple[float, ...]
    weldments: tuple[str, ...]

    @property
    def above(self) -> bool:
        """True if it stands above the plan, else to its right."""
        return self.datum.axis == "x"


class _Rows(Struct, frozen=True):
    """The runs of one side of the plan, row by row outwards, the depth of a row in mm on paper, and
    those for which there is no row.
    """

    rows: tuple[tuple[_Run, ...], ...]
    depth: float
    left_out: tuple[_Run, ...]


def dimension_room(facts: SheetFacts, letters: Letters) -> tuple[float, float]:
    """Return the room that the dimensions take up above the plan and to its right, mm."""
    room = []
    for above in (True, False):
        found = _rows(facts, letters, above=above)
        room.append(found.depth * len(found.rows))
    return (room[0], room[1])


def _runs(job: Job) -> list[_Run]:
    """The runs of all weldments from the datum faces that run along the table."""
    found: dict[tuple[object, ...], _Run] = {}
    for one in job.weldments:
        if not parts_of(job, one.id):
            continue
        datum = datum_faces(job, one.id)
        for face in (datum.long, datum.end):
            if face is None or face.axis is None:
                continue
            places = _places(job, face, one.id)
            key = (face.axis, round(face.at, 3), places)
            known = found.get(key)
            others = known.weldments if known is not None else ()
            found[key] = _Run(face, places, (*others, one.id))
    return list(found.values())


def _rows(facts: SheetFacts, letters: Letters, *, above: bool) -> _Rows:
    """The runs of one side in as few rows as keep them apart, at most a share of the page deep."""
    runs = [run for run in _runs(facts.job) if run.above == above]
    if not runs:
        return _Rows((), 0.0, ())
    longest = max(
        width_of(_words(facts, run, place), letters.text) for run in runs for place in run.places
    )
    depth = _LINE_AT + _TEXT_AT + longest + 1.0
    most = max(1, int(_SHARE * facts.choices.size[1 if above else 0] / depth))
    rows: list[list[_Run]] = []
    left_out: list[_Run] = []
    for run in sorted(runs, key=lambda run: run.places):
        row = next((one for one in rows if one[-1].places[-1] < run.places[0]), None)
        if row is not None:
            row.append(run)
        elif len(rows) < most:
            rows.append([run])
        else:
            left_out.append(run)
    return _Rows(tuple(map(tuple, rows)), depth, tuple(left_out))


def _words(facts: SheetFacts, run: _Run, place: float) -> str:
    """A dimension's figure; millimetres stand bare, as the title block names them (ISO 129-1).

    At the datum it is 0; the lines lead to the weldment that it is of.
    """
    away = abs(place - run.datum.at)
    if away <= _LEAST:
        return "0"
    metric = facts.job.display.unit == "millimetres" and not facts.shown.both
    return format_dimension(away, facts.job.display) if metric else facts.shown.setting(away)


def dimensions(
    facts: SheetFacts, view: TableWindow, texts: Sequence[PageText]
) -> tuple[list[PageMark], int]:
    """Return the dimensions of every weldment, and how many there was no room for.

    Extension lines are broken where they would run through one of the plan's `texts`.  Dimensions
    from a datum face that does not run along the table are left to the first-article form.
    """
    marks: list[PageMark] = []
    left_out = 0
    for above in (True, False):
        found = _rows(facts, view.letters, above=above)
        left_out += sum(len(run.places) - 1 for run in found.left_out)
        inner: list[_Figures] = []
        for number, row in enumerate(found.rows):
            bands = view.bands(facts.job.table)
            left, top, right, bottom = view.box
            first = top - bands[1] - _LINE_AT if above else right + bands[0] + _LINE_AT
            edge = first + (-1.0 if above else 1.0) * number * found.depth
            ends = (left, right) if above else (top, bottom)
            limits = _limits(view, row, ends)
            taken = [_span(text, above) for text in texts]
            done: list[float] = []
            for run, room in zip(row, limits, strict=True):
                made, spots, missing = _run(facts, view, run, edge, room, (inner, taken))
                marks += made
                done += spots
                left_out += missing
            inner.append(_Figures(edge, found.depth, tuple(done)))
    return marks, left_out


class _Figures(Struct, frozen=True):
    """The figures of a row: where its line is, how deep it is, and where the figures stand."""

    edge: float
    depth: float
    spots: tuple[float, ...]


class _Span(Struct, frozen=True):
    """What letters take up: across extension lines, and along them from low to high."""

    left: float
    right: float
    low: float
    high: float


def _span(text: PageText, above: bool) -> _Span:
    """The box of a text's letters; its words may be narrower than its box."""
    wide = min(width_of(text.words, text.size, text.bold), text.height if text.up else text.width)
    across, along = (text.size, wide) if text.up else (wide, text.size)
    x, y = text.x + text.width / 2, text.y + text.height / 2
    if text.align != "centre" and not text.up:
        x = text.x + wide / 2 if text.align == "left" else text.x + text.width - wide / 2
    if text.align != "centre" and text.up:
        y = text.y + text.height - wide / 2 if text.align == "left" else text.y + wide / 2
    box = (
        (x - across / 2, x + across / 2, y - along / 2, y + along / 2)
        if above
        else (y - along / 2, y + along / 2, x - across / 2, x + across / 2)
    )
    return _Span(box[0] - _CLEAR, box[1] + _CLEAR, box[2] - _CLEAR, box[3] + _CLEAR)


def _limits(
    view: TableWindow, row: Sequence[_Run], ends: tuple[float, float]
) -> list[tuple[float, float]]:
    """Between which places on paper each run of a row has its figures: half-way to the next."""
    above = row[0].above
    spans = [
        sorted(_paper(view, place, above) for place in (run.places[0], run.places[-1]))
        for run in row
    ]
    order = sorted(range(len(row)), key=lambda k: spans[k][0])
    limits = [ends] * len(row)
    for n, k in enumerate(order):
        low = (spans[order[n - 1]][1] + spans[k][0]) / 2 if n else ends[0]
        high = (spans[k][1] + spans[order[n + 1]][0]) / 2 if n + 1 < len(order) else ends[1]
        limits[k] = (low, high)
    return limits


def _places(job: Job, datum: WorkFace, weldment: str) -> tuple[float, ...]:
    """Where faces parallel to a datum face lie on the axis that it looks along, mm."""
    found = {round(datum.at, 3)}
    found |= {
        round(face.at, 3) for face in faces(parts_of(job, weldment)) if face.axis == datum.axis
    }
    return tuple(sorted(found))


def _run(
    facts: SheetFacts,
    view: TableWindow,
    run: _Run,
    edge: float,
    room: tuple[float, float],
    between: tuple[Sequence[_Figures], Sequence[_Span]],
) -> tuple[list[PageMark], list[float], int]:
    """One run with its line at `edge`: its marks, where its figures stand, how many are missing.

    `between` are the figures of inner rows and the plan's texts, which its lines do not cross.
    """
    inner, taken = between
    above, datum = run.above, run.datum
    size = view.letters.text
    apart = LINE * size * 0.9
    pairs = sorted((_paper(view, place, above), place) for place in run.places)
    shown = _thinned(pairs, datum.at, apart, room[1] - room[0])
    half = apart / 2 if len(shown) * apart <= room[1] - room[0] else 0.0
    spots = spread([at for at, _ in shown], apart, room[0] + half, room[1] - half) or []
    shown = shown[: len(spots)]
    out = -1.0 if above else 1.0
    zero = _paper(view, datum.at, above)
    ends = [at for at, _ in shown]
    strokes: list[tuple[Point, Point]] = (
        [_pair((min(ends), edge), (max(ends), edge), above)] if len(ends) > 1 else []
    )
    marks: list[PageMark] = []
    texts: list[PageText] = []
    parts = parts_of(facts.job, run.weldments[0])
    for (at, place), spot in zip(shown, spots, strict=True):
        start = _start(view, parts, datum, place, above)
        gaps = [
            (one.edge + out * (_TEXT_AT - 0.7), one.edge + out * (one.depth - _LINE_AT))
            for one in inner
            if any(abs(at - other) < apart * 0.75 for other in one.spots)
        ]
        gaps += [(one.low, one.high) for one in taken if one.left < at < one.right]
        for low, high in _pieces(start, edge + out * 1.0, gaps):
            strokes.append(_pair((at, low), (at, high), above))
        strokes.append(_pair((at, edge + out * 1.0), (spot, edge + out * (_TEXT_AT - 0.5)), above))
        if abs(place - datum.at) > _LEAST:
            marks.append(_arrow(at, edge, zero, above))
        words = _words(facts, run, place)
        texts.append(_figure(spot, edge + out * _TEXT_AT, words, size, above=above))
    ring = (zero, edge) if above else (edge, zero)
    marks = [PageLines(tuple(strokes), FINE), *marks, PageDiscs((ring,), 0.8, FINE, fill="white")]
    return [*marks, *texts], spots, len(pairs) - len(shown)


def _pieces(
    start: float, end: float, gaps: Sequence[tuple[float, float]]
) -> Iterator[tuple[float, float]]:
    """A line from start to end without its gaps, which may lie in any order and overlap."""
    way = 1.0 if end > start else -1.0
    at = start
    for near, far in sorted(sorted((one * way, other * way)) for one, other in gaps):
        low, high = max(near, at * way), min(far, end * way)
        if low < high:
            if low > at * way:
                yield (at, low * way)
            at = high * way
    if at != end:
        yield (at, end)


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


def _start(
    view: TableWindow, parts: Sequence[Part], datum: WorkFace, place: float, above: bool
) -> float:
    """Where an extension line begins: a little off the end of the face nearest to the figures."""
    best = None
    for face in faces(parts):
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
