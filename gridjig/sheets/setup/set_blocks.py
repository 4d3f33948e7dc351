"""The parts of a sheet about setting the pieces: identity, order of setting, readings, findings."""

from collections.abc import Sequence

from gridjig.checks.finding import Level
from gridjig.model.labels import GridLine, axis_of, column_label, row_label
from gridjig.sheets.lists.pull_list import PullLine, pull_list
from gridjig.units import Display, dual, format_count, format_measure, in_both

from .blocks import Heading, Note, Row, SheetBlock, SheetColumn, SheetTable
from .facing import direction_of, hole_words, towards
from .facts import SheetFacts
from .flow import letters_of
from .gauging import gauges
from .piece_rows import PieceRow, arm_chord, piece_rows
from .readings import Reading, readings
from .shown import Shown


def table_words(facts: SheetFacts) -> tuple[str, ...]:
    """Return what identifies the table, which corner is zero, which way its labels run, and where
    the operator stands: one line each.
    """
    table = facts.job.table
    shown = facts.shown
    if table.in_inches == (shown.display.unit == "millimetres"):
        shown = Shown(dual(shown.display))  # a pitch of 50 mm is no round number of inches
    scheme = table.labels
    pitch = shown.length(table.pitch_x)
    if table.pitch_y != table.pitch_x:
        pitch = f"{pitch} left to right, {shown.length(table.pitch_y)} front to back"
    first = "column" if scheme.first == "x" else "row"
    tight = scheme.along_x == scheme.along_y
    skipped = " (I and O left out)" if scheme.skip_i_o else ""
    return (
        f"Table: {table.name}",
        f"{format_count(table.columns)} columns x {format_count(table.rows)} rows of holes,"
        f" {shown.length(table.hole_diameter)} dia, pitch {pitch}",
        f"Plate {shown.length(table.width)} x {shown.length(table.depth)}; first hole"
        f" {shown.length(table.first_x)} from the left edge, {shown.length(table.first_y)} from the"
        " front edge",
        f"Zero corner: {scheme.zero} (black on the plan). Columns {_runs(facts, 'column')}; rows"
        f" {_runs(facts, 'row')}{skipped}",
        f"An address is the {first} first{', with a dash' if tight else ''}:"
        f" the zero corner is {_zero(facts)}",
        f"The operator stands at the {scheme.operator}",
    )


def _runs(facts: SheetFacts, line: GridLine) -> str:
    """Which way the labels of the columns or rows run, from what to what."""
    table = facts.job.table
    scheme = table.labels
    label = column_label if line == "column" else row_label
    last = (table.columns if line == "column" else table.rows) - 1
    back = scheme.zero.endswith("right") if line == "column" else scheme.zero.startswith("back")
    ends = (("left", "right") if line == "column" else ("front", "back"))[:: -1 if back else 1]
    low, high = (label(table, line_at) for line_at in ((last, 0) if back else (0, last)))
    what = axis_of(table, line)
    return f"are {what}, {low} at the {ends[0]} to {high} at the {ends[1]}"


def _zero(facts: SheetFacts) -> str:
    table = facts.job.table
    zero = table.labels.zero
    col = table.columns - 1 if zero.endswith("right") else 0
    row = table.rows - 1 if zero.startswith("back") else 0
    return hole_words(table, type(table.nearest(0.0, 0.0))(col, row))


SET_COLUMNS = (
    SheetColumn("Set", 0.55, kind="tick"),
    SheetColumn("No", 0.6, key=True),
    SheetColumn("Piece", 2.6),
    SheetColumn("Holes", 1.5, key=True),
    SheetColumn("Count from nearest edges", 1.7),
    SheetColumn("Which way round", 2.0),
    SheetColumn("Set to", 3.2),
)
NARROW_SET_COLUMNS = (
    *SET_COLUMNS[:2],
    SheetColumn("Piece", 3.0),
    SheetColumn("Holes", 1.0, key=True),
    SheetColumn("Count from nearest edges; which way round", 2.6),
    SheetColumn("Set to", 3.4),
)
_NARROW = 90.0
"""A page fewer capitals of its text wide than this has the columns of a narrow one."""


def set_blocks(facts: SheetFacts) -> list[SheetBlock]:
    """The order of setting: a row with a box to tick for each piece."""
    if not facts.order:
        return [Heading("Set the pieces"), Note("No piece is placed yet.")]
    rows = piece_rows(facts.job, facts.found.placed_pieces, facts.order, facts.shown)
    return [
        Heading("Set the pieces, in this order"),
        Note(
            "Clean the top and the holes first. Turns are counter-clockwise seen from above; at"
            " turn 0° a piece lies as its picture in the rack, and the packing beside a round pin"
            " to its right. Front, back, left and right are those of the plan; “you” is the"
            " operator. A face is measured square to it from the middle of the hole named."
        ),
        _set_table(facts, rows),
    ]


def _set_table(facts: SheetFacts, rows: Sequence[PieceRow]) -> SheetTable:
    """The list; on a narrow page with the count and the turn in one column."""
    cells = [set_cells(row) for row in rows]
    if facts.choices.size[0] / letters_of(facts.choices).text >= _NARROW:
        return SheetTable(SET_COLUMNS, tuple(map(Row, cells)))
    joined = [(*some[:3], "\n".join(some[3:5]), some[5]) for some in cells]
    return SheetTable(NARROW_SET_COLUMNS, tuple(map(Row, joined)))


def set_cells(row: PieceRow) -> tuple[str, ...]:
    """Return the texts of a row of the list, column by column."""
    piece = f"{row.piece} (bin {row.bin})" if row.bin else row.piece
    return (
        str(row.number),
        f"{row.name}\n{piece}" if row.name else piece,
        "\n".join(row.holes),
        ", ".join(row.count),
        "; ".join(row.way),
        "\n".join(row.setting),
    )


READ_COLUMNS = (
    SheetColumn("No", 0.5, key=True),
    SheetColumn("Measure", 4.6),
    SheetColumn("Should read", 1.7, key=True),
    SheetColumn("Limits", 1.3),
    SheetColumn("Reads", 1.4, kind="blank"),
    SheetColumn("OK", 0.6, kind="tick"),
)


def reading_blocks(facts: SheetFacts) -> list[SheetBlock]:
    """The readings that prove the set-up before the first tube."""
    found = readings(
        facts.order,
        facts.found.placed_pieces,
        facts.found.contacts,
        facts.job,
        facts.linear_class,
    )
    heading = Heading("Prove the set-up before the first tube")
    chords = _chord_rows(facts, len(found.every))
    chords += _gauge_rows(facts, len(found.every) + len(chords))
    if not found.every and not chords:
        return [
            heading,
            Note(
                "No two faces of the set-up look at each other, and nothing stands in two corners:"
                " prove each face from its own hole, as in the list above."
            ),
        ]
    rows = [_reading_row(facts, k, one) for k, one in enumerate(found.every, 1)]
    third = f"a third of class {facts.linear_class} of ISO 13920 for that length"
    told = (
        f"Clamps on, no work in. Limits: {third}; the rest is for the tube and the welding (common"
        " practice, no source)."
    )
    if len(found.diagonals) == 2:
        told += (
            " Take both diagonals with the same stretch of tape; equal ones prove nothing unless"
            " the opposite sides are equal too."
        )
    return [heading, Note(told), SheetTable(READ_COLUMNS, (*rows, *chords))]


def _reading_row(facts: SheetFacts, number: int, one: Reading) -> Row:
    words = _reading_words(facts, one)
    if one.kind == "line":
        return Row((str(number), words, "in line", "no light under it"))
    return Row(
        (str(number), words, facts.shown.setting(one.nominal), limit_words(facts, one.limit))
    )


def limit_words(facts: SheetFacts, limit: float | None) -> str:
    """Return a limit both ways as a length: ±1 mm, or ±1 mm (±.039\")."""
    if limit is None:
        return "none given"
    return _both_ways(limit, facts.shown.display)


@in_both
def _both_ways(mm: float, display: Display) -> str:
    return f"±{format_measure(mm, display)}"


def _reading_words(facts: SheetFacts, one: Reading) -> str:
    pieces = one.pieces
    match one.kind:
        case "line":
            return f"Straight-edge along the faces of {facts.numbered(pieces)}"
        case "face to face":
            return f"Face of {_no(facts, pieces[0])} to face of {_no(facts, pieces[1])}, square"
        case "over the pins":
            ends = " to ".join(
                f"the pin in {hole_words(facts.job.table, hole)} ({_no(facts, piece)})"
                for hole, piece in zip(one.holes, pieces, strict=True)
            )
            return f"Diagonal over the pins, outside to outside: {ends}"
        case "over the rounds":
            return (
                f"Diagonal over {_no(facts, pieces[0])} and {_no(facts, pieces[1])}, outside to"
                " outside"
            )
        case _:
            ends = " to ".join(
                f"the {_end(facts, piece, point)} end of the face of {_no(facts, piece)}"
                for piece, point in zip(pieces, one.points, strict=True)
            )
            return f"Diagonal, corner to corner: {ends}"


def _no(facts: SheetFacts, placement: str) -> str:
    return f"No {facts.numbers[placement]}"


def _end(facts: SheetFacts, piece: str, point: tuple[float, float]) -> str:
    """Which end of a face a point is: its left, right, front or back one."""
    for face in facts.found.placed_pieces[piece].faces:
        for at, other in ((face.a, face.b), (face.b, face.a)):
            if at == point:
                way = towards(facts.job.table, direction_of(at[0] - other[0], at[1] - other[1]))
                return "near" if way == "towards you" else way.removeprefix("to the ")
    return "outer"


def _chord_rows(facts: SheetFacts, before: int) -> list[Row]:
    rows = []
    for placement in facts.order:
        placed = facts.found.placed_pieces[placement]
        made = arm_chord(placed, facts.job.display)
        if made is None:
            continue
        before += 1
        out = facts.shown.setting(made.radius)
        words = f"Chord of {_no(facts, placement)}, from base to leaf, {out} out from the pivot"
        rows.append(
            Row((str(before), words, facts.shown.setting(made.length), "as near as you can read"))
        )
    return rows


def _gauge_rows(facts: SheetFacts, before: int) -> list[Row]:
    """From a hole to the face, for each piece that is turned by hand."""
    rows = []
    for number, one in enumerate(
        gauges(facts.job, facts.order, facts.found.placed_pieces), before + 1
    ):
        where = hole_words(facts.job.table, one.hole)
        end = _end(facts, one.placement, one.end)
        words = (
            f"To turn {_no(facts, one.placement)}: from the middle of hole {where} to the {end} end"
            " of its face"
        )
        told = facts.shown.setting(one.distance)
        rows.append(Row((str(number), words, told, "as near as you can read")))
    return rows


PULL_COLUMNS = (
    SheetColumn("Got", 0.6, kind="tick"),
    SheetColumn("Bin", 0.9, key=True),
    SheetColumn("Piece", 4.2),
    SheetColumn("Need", 0.8, key=True),
    SheetColumn("On hand", 0.9),
    SheetColumn("Short by", 1.0, key=True),
    SheetColumn("For No", 2.2),
)


def pull_blocks(facts: SheetFacts) -> list[SheetBlock]:
    """What to fetch from the rack, bin by bin, and what is short."""
    pulled = pull_list(facts.job, facts.found.placed_pieces)
    if not pulled.lines:
        return []
    rows = tuple(Row(_pull_cells(facts, line)) for line in pulled.lines)
    total = f"{format_count(pulled.needed)} things, {facts.shown.mass(pulled.mass)}"
    short = (
        f"{format_count(pulled.short)} short: borrow, make or substitute them before you start."
        if pulled.short
        else "nothing is short"
    )
    named = " Names of pieces and sections stay as the rack and the stock list give them."
    named = named if facts.shown.both else ""
    return [
        Heading("Pull list, in walking order"),
        Note(f"Rack: {pulled.rack}. {total}; {short}{'' if short.endswith('.') else '.'}{named}"),
        SheetTable(PULL_COLUMNS, rows),
    ]


def _pull_cells(facts: SheetFacts, line: PullLine) -> tuple[str, ...]:
    name = f"{line.name}, {line.size}" if line.size else line.name
    numbers = sorted(facts.numbers[one] for one in line.placements)
    return (
        line.bin or "no bin",
        name,
        format_count(line.needed),
        format_count(line.owned),
        f"{format_count(line.short)}" if line.short else "",
        _spans(numbers),
    )


def _spans(numbers: list[int]) -> str:
    """Numbers with runs of three or more joined: 1, 2, 5-9."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = []
    for run in runs:
        told += [f"{run[0]}-{run[-1]}"] if len(run) > 2 else [str(one) for one in run]
    return ", ".join(told)


CHECK_COLUMNS = (
    SheetColumn("", 0.9, key=True),
    SheetColumn("What", 5.0),
    SheetColumn("Do", 3.6),
)
_LEVELS: dict[Level, str] = {"stop": "STOP", "look": "LOOK", "note": "note", "fine": "fine"}


def check_blocks(facts: SheetFacts) -> list[SheetBlock]:
    """What the checks say."""
    found = facts.found.findings
    if not found:
        return []
    rows = tuple(Row((_LEVELS[one.level], one.what, one.do)) for one in found)
    return [Heading("What the checks say"), SheetTable(CHECK_COLUMNS, rows)]
