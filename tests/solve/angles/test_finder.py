"""Finding holes for an angle: check values, order, limits, and completeness by brute force."""

import math
from itertools import combinations_with_replacement, product

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from gridjig.model import Hole, Table
from gridjig.solve.angles.answers import WAYS, AngleLimits, AngleResult, NoneOfWay
from gridjig.solve.angles.faults import AngleFault, BaseBeyondTable, TooFewHoles
from gridjig.solve.angles.finder import FREE_WAYS, answer_placements, answer_places, find_angles
from gridjig.solve.angles.wanted import as_edge, read_wanted
from gridjig.solve.placed.solver import solve_placement
from tests.anglekit import INCH, apart, body, grid_table, hole_pairs, rack_of, shim

BRUTE = "brute force over all hole pairs, exact rationals"
TABLE_2F = "computed apart from the program: best pairs of a square grid for usual angles"
PINS = rack_of(body(25.0, owned=6))
SIZES = rack_of(body(25.0), body(20.0), body(32.0), body(12.5))

# angle, steps and error in arc-minutes with a base up to 10 pitches, and anywhere on 24 x 24 holes
PAIRS = [
    ("5", (9, 1), 80.4, (23, 2), -1.8),
    ("7.5", (8, 1), -22.5, (23, 3), -4.1),
    ("10", (6, 1), -32.3, (17, 3), 0.5),
    ("12", (9, 2), 31.7, (14, 3), 5.7),
    ("15", (7, 2), 56.7, (15, 4), -4.1),
    ("4:12", (3, 1), 0, (3, 1), 0),
    ("20", (8, 3), 33.4, (11, 4), -1.0),
    ("25", (9, 4), -62.3, (15, 7), 1.0),
    ("6:12", (2, 1), 0, (2, 1), 0),
    ("30", (7, 4), -15.3, (19, 11), 4.1),
    ("32.5", (8, 5), -29.7, (11, 7), -1.7),
    ("8:12", (3, 2), 0, (3, 2), 0),
    ("35", (7, 5), 32.3, (10, 7), -0.5),
    ("9:12", (4, 3), 0, (4, 3), 0),
    ("37.5", (4, 3), -37.8, (13, 10), 4.1),
    ("40", (6, 5), -11.7, (19, 16), 6.1),
    ("45", (1, 1), 0, (1, 1), 0),
    ("60", (4, 7), 15.3, (11, 19), -4.1),
    ("67.5", (2, 5), 41.9, (5, 12), -7.2),
    ("72", (1, 3), -26.1, (7, 22), 21.0),
    ("75", (2, 7), -56.7, (4, 15), 4.1),
]


def pins_only(pitches: float, text: str, leg: float = 1000.0, short: float = 0.0) -> AngleResult:
    limits = AngleLimits(ways=("pins",), base_to=pitches * 2 * INCH, leg=leg, shorter_leg=short)
    return find_angles(grid_table(24, 24, 2 * INCH), PINS, read_wanted(text), limits)


@pytest.mark.source("method", TABLE_2F)
@pytest.mark.parametrize("row", PAIRS, ids=[row[0] for row in PAIRS])
def test_best_pairs_near_and_far(
    row: tuple[str, tuple[int, int], float, tuple[int, int], float],
) -> None:
    text, few, few_error, many, many_error = row
    for pitches, shortest, error in ((10.0, few, few_error), (math.inf, many, many_error)):
        ranked = pins_only(pitches, text).ranked
        # Two pairs may be equally near, one on either side; the longer base then comes first.
        best = next(a for a in ranked[:2] if a.multiples[-1] == shortest)
        assert abs(best.error_arcmin) == pytest.approx(abs(ranked[0].error_arcmin), abs=1e-6)
        assert best.error_arcmin == pytest.approx(error, abs=0.06)
        times = len(best.multiples)
        assert best.steps == (shortest[0] * times, shortest[1] * times)
        longer = math.hypot(*shortest) * (times + 1)
        assert longer > pitches or max(shortest) * (times + 1) > 23


@pytest.mark.source("method", TABLE_2F)
def test_two_pairs_may_be_as_near() -> None:
    first, second = pins_only(10, "22.5").ranked[:2]
    assert {first.multiples[-1], second.multiples[-1]} == {(5, 2), (7, 3)}
    assert sorted((first.error_arcmin, second.error_arcmin)) == pytest.approx(
        [-41.9, 41.9], abs=0.06
    )
    assert first.base_mm > second.base_mm  # equally near: the longer base first


@pytest.mark.source("method", "computed apart from the program, by a bounded Stern-Brocot walk")
@pytest.mark.parametrize(
    ("columns", "rows", "angle", "steps", "error"),
    [
        (24, 24, 30.0, (19, 11), 0.068583),
        (24, 24, 22.5, (17, 7), -0.119865),
        (12, 12, 30.0, (7, 4), -0.255119),
        (48, 24, 30.0, (26, 15), -0.018361),
        (48, 24, 60.0, (11, 19), -0.068583),
    ],
)
def test_best_vectors_in_a_box(
    columns: int, rows: int, angle: float, steps: tuple[int, int], error: float
) -> None:
    limits = AngleLimits(ways=("pins",))
    ranked = find_angles(grid_table(columns, rows), PINS, as_edge(angle), limits).ranked
    # Two may tie in hundredths of a mm; the value is among the very first then.
    best = next(a for a in ranked[:2] if a.multiples[-1] == steps)
    assert abs(best.error_arcmin) == pytest.approx(abs(ranked[0].error_arcmin), abs=1e-6)
    assert best.error_arcmin / 60 == pytest.approx(error, abs=5e-7)


@pytest.mark.source(
    "published", "ISO 13920:1996", "table 2, as a contract fabricator reproduces it"
)
def test_verdict_of_4_to_3_for_37_5() -> None:
    best = pins_only(10, "37.5", leg=600.0, short=508.0).ranked[0]
    assert best.verdict.finest == "C"
    assert best.error_mm == pytest.approx(600.0 * math.tan(math.radians(best.error_arcmin / 60)))
    strut = pins_only(10, "37.5", leg=508.0)
    assert abs(strut.ranked[0].error_mm) / INCH == pytest.approx(0.2199, abs=1e-4)


@pytest.mark.source("method", "angle play of two pins: c/L, a small angle")
@pytest.mark.parametrize(("clearance", "steps", "arcmin"), [(0.381, 2, 12.9), (0.381, 4, 6.4)])
def test_play_of_two_pins(clearance: float, steps: int, arcmin: float) -> None:
    bore = 19.05
    table = grid_table(steps + 1, 1, 2 * INCH, bore=bore)
    rack = rack_of(body(25.4, shank=bore - clearance))
    best = find_angles(table, rack, as_edge(0.0), AngleLimits(ways=("pins",), leg=1000.0)).ranked[0]
    assert best.play_arcmin == pytest.approx(arcmin, abs=0.05)
    assert best.play_mm == pytest.approx(1000.0 * math.tan(math.radians(best.play_arcmin / 60)))


# -- brute force ---------------------------------------------------------------------------------

grids = st.tuples(st.integers(3, 7), st.integers(2, 7), st.sampled_from([0.0, 40.0]))
angles = st.one_of(
    st.sampled_from([0.0, 26.565051177, 45.0, 90.0, 135.0, 179.5]), st.floats(0.0, 179.99)
)


@st.composite
def questions(draw: st.DrawFn) -> tuple[Table, float, AngleLimits]:
    columns, rows, pitch_y = draw(grids)
    holes = st.tuples(st.integers(0, columns - 1), st.integers(0, rows - 1))
    blocked = draw(st.lists(holes, max_size=columns * rows // 3, unique=True))
    low = draw(st.sampled_from([0.0, 0.0, 60.0, 90.0]))
    high = low + draw(st.sampled_from([math.inf, 45.0, 120.0]))
    table = grid_table(columns, rows, 50.0, pitch_y, blocked)
    # A triangle over most of the table, its sides through no hole.
    wedge = ((-1.0, -1.0), (table.width + 9.0, 13.0), (17.0, table.depth + 11.0))
    limited = draw(st.booleans())
    if limited:
        assume(next(hole_pairs(table, region=wedge), None) is not None)
    limits = AngleLimits(
        region=wedge if limited else (),
        base_from=low,
        base_to=high,
        leg=draw(st.sampled_from([200.0, 1000.0])),
        top=draw(st.sampled_from([1, 4, 30])),
        side=draw(st.sampled_from(["right", "left"])),
    )
    return table, draw(angles), limits


def directions_of(table: Table, limits: AngleLimits) -> set[tuple[int, int]]:
    """The distinct directions of all pairs of holes within the limits, as shortest steps."""
    found = set()
    for a, b, _, _ in hole_pairs(table, limits.base_from, limits.base_to, limits.region):
        m, n = b.col - a.col, b.row - a.row
        g = math.gcd(m, n) * (-1 if n < 0 or (n == 0 and m < 0) else 1)
        found.add((m // g, n // g))
    return found


def hundredths(degrees: float, leg: float) -> int:
    return round(leg * math.tan(math.radians(min(abs(degrees), 89.0))) / 0.01)


@pytest.mark.source("method", BRUTE)
@settings(max_examples=60)
@given(questions())
def test_two_equal_pins_are_complete(question: tuple[Table, float, AngleLimits]) -> None:
    table, angle, limits = question
    low = max(limits.base_from, 25.0)
    best: dict[tuple[int, int], tuple[int, float]] = {}
    count: dict[tuple[int, int], int] = {}
    for a, b, base, direction in hole_pairs(table, low, limits.base_to, limits.region):
        m, n = b.col - a.col, b.row - a.row
        g = math.gcd(m, n) * (-1 if n < 0 or (n == 0 and m < 0) else 1)
        count[m, n] = count.get((m, n), 0) + 1
        key = (hundredths(apart(direction, angle), limits.leg), -base)
        best[m // g, n // g] = min(best.get((m // g, n // g), key), key)
    limits = replace(limits, ways=("pins",))
    found = find_angles(table, PINS, as_edge(angle), limits)
    got = [(hundredths(r.error_arcmin / 60, limits.leg), -r.base_mm) for r in found.ranked]
    expected = sorted(best.values())[: limits.top]
    assert [g[0] for g in got] == [e[0] for e in expected]
    assert [g[1] for g in got] == pytest.approx([e[1] for e in expected])
    for answer in found.ranked:
        m, n = answer.steps
        assert answer.places == count.get((m, n), 0) + count.get((-m, -n), 0)
        here = answer_places(table, answer, limits=limits)
        assert len(here) == len(set(here)) == answer.places
        assert here[0] == answer.holes
        for first, second in here:
            assert (second.col - first.col, second.row - first.row) == answer.steps
            assert not {table.mark(first), table.mark(second)} - {None}


@pytest.mark.source("method", BRUTE)
@settings(max_examples=60)
@given(questions())
def test_the_count_of_what_was_looked_at(question: tuple[Table, float, AngleLimits]) -> None:
    table, angle, limits = question
    pairs = list(hole_pairs(table, limits.base_from, limits.base_to, limits.region))
    steps = set()
    for a, b, _, _ in pairs:
        m, n = b.col - a.col, b.row - a.row
        steps.add(max((m, n), (-m, -n), key=lambda v: (v[1], v[0])))
    looked_at = find_angles(table, PINS, as_edge(angle), limits).looked_at
    assert (looked_at.hole_pairs, looked_at.steps) == (len(pairs), len(steps))


@pytest.mark.source("method", BRUTE)
@settings(max_examples=40)
@given(questions())
def test_two_sizes_are_complete(question: tuple[Table, float, AngleLimits]) -> None:
    table, angle, limits = question
    limits = replace(limits, ways=("two sizes",))
    radii = [p.rounds[0].radius for p in SIZES.pieces]
    sign = 1 if limits.side == "right" else -1
    steps = {
        (b.col - a.col, b.row - a.row): base
        for a, b, base, _ in hole_pairs(table, limits.base_from, limits.base_to, limits.region)
    }
    steps = {max(v, (-v[0], -v[1]), key=lambda w: (w[1], w[0])): base for v, base in steps.items()}
    expected: list[tuple[int, float]] = []
    for ((m, n), base), (r1, r2) in product(steps.items(), product(radii, radii)):
        if r1 == r2 or base <= r1 + r2 + 1e-3:
            continue
        direction = math.degrees(math.atan2(n * table.pitch_y, m * table.pitch_x))
        # From the touching points of a line with both discs on its right.
        line = direction + sign * math.degrees(math.asin((r2 - r1) / base))
        expected.append((hundredths(apart(line, angle), limits.leg), -base))
    expected = sorted(expected)[: limits.top]
    got = find_angles(table, SIZES, as_edge(angle), limits).ranked
    assert [hundredths(a.error_arcmin / 60, limits.leg) for a in got] == [e[0] for e in expected]
    assert [-a.base_mm for a in got] == pytest.approx([e[1] for e in expected])


@pytest.mark.source("method", BRUTE)
@settings(max_examples=40)
@given(questions(), st.integers(1, 3))
def test_packing_is_complete(question: tuple[Table, float, AngleLimits], at_most: int) -> None:
    table, angle, limits = question
    rack = rack_of(body(25.0, owned=6), shim(0.5), shim(2.0), shim(3.175, 1), shim(10.0, 3))
    limits = replace(limits, ways=("shims",), shims_at_most=at_most)
    t = math.radians(angle)
    kinds = [(p.thickness, p.owned) for p in rack.pieces if p.kind == "shim"]
    stacks: dict[int, list[float]] = {}
    for k in range(1, at_most + 1):
        for chosen in combinations_with_replacement(range(len(kinds)), k):
            if all(chosen.count(i) <= kinds[i][1] for i in chosen):
                total = sum(kinds[i][0] for i in chosen)
                if total <= table.pitch_y / 2 + 1e-9 and total <= 25.0:
                    stacks.setdefault(k, []).append(total)
    expected = []
    steps = {
        max((m, n), (-m, -n), key=lambda v: (v[1], v[0]))
        for m, n in (
            (b.col - a.col, b.row - a.row)
            for a, b, base, _ in hole_pairs(table, limits.base_from, limits.base_to, limits.region)
        )
    }
    for m, n in steps:
        x, y = m * table.pitch_x, n * table.pitch_y
        base = math.hypot(x, y)
        if base <= 25.0 + 1e-3:
            continue
        aside = abs(y * math.cos(t) - x * math.sin(t))
        done: set[float] = set()
        for k in range(1, at_most + 1):
            # The nearest with at most k pieces; listed where no fewer pieces make the same.
            allowed = [0.0] + [s for j in range(1, k + 1) for s in stacks.get(j, [])]
            near = min(allowed, key=lambda s: (round(abs(s - aside), 9), s))
            error = math.degrees(math.asin(aside / base) - math.asin(near / base))
            if near and round(near, 6) not in done:
                done.add(round(near, 6))
                expected.append((hundredths(error, limits.leg), -round(base, 3), k + 2))
    expected = sorted(expected)[: limits.top]
    got = [
        (hundredths(a.error_arcmin / 60, limits.leg), -round(a.base_mm, 3), a.pieces)
        for a in find_angles(table, rack, as_edge(angle), limits).ranked
    ]
    assert [g[0] for g in got] == [e[0] for e in expected]
    assert got == expected


@settings(max_examples=40)
@given(questions())
@pytest.mark.source("method", "plane geometry: a line that touches two discs")
def test_every_line_of_pins_touches_its_discs(question: tuple[Table, float, AngleLimits]) -> None:
    table, angle, limits = question
    rack = rack_of(*SIZES.pieces, shim(1.0, 4), shim(7.0, 4))
    limits = replace(limits, ways=("pins", "two sizes", "shims"))
    ranked = find_angles(table, rack, as_edge(angle), limits).ranked
    every = directions_of(table, limits)  # each is possible with two equal pins
    assert min(limits.top, len(every)) <= len(ranked) <= limits.top
    assert bool(ranked) == bool(every)
    for a in ranked:
        (x1, y1), (x2, y2) = (table.at(h) for h in a.holes)
        t = math.radians(a.angle_deg)
        c, s = math.cos(t), math.sin(t)
        if (x2 - x1) * c + (y2 - y1) * s < 0:
            c, s = -c, -s
        # The left normal; the line is on that side of pins on its right.
        nx, ny = (-s, c) if limits.side == "right" else (s, -c)
        r1, r2 = a.line_mm
        assert (x2 - x1) * nx + (y2 - y1) * ny == pytest.approx(r1 - r2, abs=1e-6)
        sizes = [rack.piece(p.piece).rounds[0].radius for p in a.standing]
        packs = [sum(rack.piece(q).thickness for q in p.packing) for p in a.standing]
        assert (r1, r2) == pytest.approx([r + q for r, q in zip(sizes, packs, strict=True)])
        assert a.shims_mm == pytest.approx(packs)
        assert a.base_mm == pytest.approx(math.hypot(x2 - x1, y2 - y1))
        seats = a.seats()
        assert [seat.hole for piece in seats for seat in piece] == list(a.holes)


# -- check values of packing and of sizes --------------------------------------------------------


@pytest.mark.source(
    "method", "formula p (m sin T - n cos T), worked by hand for 2 in and 37.5 degrees"
)
@pytest.mark.parametrize(
    ("steps", "inches"), [((4, 3), 0.10997), ((5, 4), -0.25921), ((13, 10), -0.03927)]
)
def test_shim_that_makes_an_angle_exact(steps: tuple[int, int], inches: float) -> None:
    base = math.hypot(*steps) * 2 * INCH
    rack = rack_of(body(25.4), shim(abs(inches) * INCH))
    limits = AngleLimits(ways=("shims",), base_from=base - 0.1, base_to=base + 0.1)
    found = find_angles(grid_table(24, 24, 2 * INCH), rack, read_wanted("37.5"), limits)
    best = next(a for a in found.ranked if a.steps == steps)
    assert abs(best.error_arcmin) < 0.01
    near, far = best.shims_mm
    assert (far - near) / INCH == pytest.approx(inches, abs=5e-6)


@pytest.mark.source("method", "formula asin((d1 - d2)/(2 L)), worked by hand")
def test_two_sizes_of_pins_turn_the_line() -> None:
    rack = rack_of(body(25.4), body(19.05))
    limits = AngleLimits(ways=("two sizes",), base_from=10 * INCH, base_to=10 * INCH)
    found = find_angles(grid_table(24, 24, 2 * INCH), rack, read_wanted("0.7162"), limits)
    best = found.ranked[0]
    assert best.steps == (5, 0)
    assert abs(best.error_arcmin) < 0.01
    assert [s.piece for s in best.standing] == ["pin-19.05", "pin-25.4"]


@pytest.mark.source(
    "method", "sine bar: H = L sin T, worked by hand; one hundredth too much by dH/(L cos T)"
)
@pytest.mark.parametrize(
    ("angle", "length", "height", "too_much"),
    [
        (30.0, 100.0, 50.0, 0.0),
        (10.0, 200.0, 34.729636, 0.0),
        (45.0, 254.0, 179.605122, 0.0),
        (30.0, 100.0, 50.01, 0.006616),
    ],
)
def test_two_equal_pins_and_a_stack_are_a_sine_bar(
    angle: float, length: float, height: float, too_much: float
) -> None:
    limits = AngleLimits(
        ways=("shims",), base_from=length, base_to=length, packing_to=height, shims_at_most=1
    )
    table = grid_table(3, 1, length / 2)
    (best,) = find_angles(table, rack_of(body(25.0), shim(height)), as_edge(angle), limits).ranked
    assert best.steps == (2, 0)
    assert best.shims_mm == (0.0, height)
    assert best.error_arcmin / 60 == pytest.approx(too_much, abs=2e-6)


@pytest.mark.source("method", "Pythagorean triples: exact only where k k = a a + b b")
@pytest.mark.parametrize(
    ("pitches", "steps", "angle"),
    [
        (5, (4, 3), 36.869898),
        (10, (8, 6), 36.869898),
        (13, (12, 5), 22.619865),
        (17, (15, 8), 28.072487),
        (25, (24, 7), 16.260205),
        (29, (21, 20), 43.602819),
    ],
)
def test_pairs_of_a_whole_number_of_pitches(
    pitches: int, steps: tuple[int, int], angle: float
) -> None:
    limits = AngleLimits(ways=("pins",), base_from=pitches * 50.0, base_to=pitches * 50.0, top=40)
    ranked = find_angles(grid_table(30, 30), PINS, as_edge(angle), limits).ranked
    assert ranked[0].steps == steps
    assert abs(ranked[0].error_arcmin) < 1e-4
    assert {abs(a.steps[0]) ** 2 + a.steps[1] ** 2 for a in ranked} == {pitches**2}


# -- limits --------------------------------------------------------------------------------------


def test_only_holes_of_a_region_and_not_those_taken() -> None:
    table = grid_table(12, 12)
    corner = ((0.0, 0.0), (300.0, 0.0), (300.0, 300.0), (0.0, 300.0))
    limits = AngleLimits(ways=("pins",), region=corner, taken=frozenset({Hole(0, 0)}))
    found = find_angles(table, PINS, as_edge(45.0), limits)
    best = found.ranked[0]
    assert best.steps == (4, 4)  # from (0, 0) it would have been five
    assert set(answer_places(table, best, limits=limits)) == {
        (Hole(1, 1), Hole(5, 5)),
        (Hole(1, 0), Hole(5, 4)),
        (Hole(0, 1), Hole(4, 5)),
    }
    assert answer_places(table, best, frozenset({Hole(1, 1), Hole(1, 0)}), limits) == (
        (Hole(0, 1), Hole(4, 5)),
    )
    anywhere = replace(limits, only_free=False)
    assert find_angles(table, PINS, as_edge(45.0), anywhere).ranked[0].steps == (5, 5)


def test_the_place_nearest_to_a_wish_is_named_first() -> None:
    table = grid_table(12, 12)
    limits = AngleLimits(ways=("pins",), base_from=0, base_to=150.0, near=(500.0, 90.0))
    best = find_angles(table, PINS, as_edge(0.0), limits).ranked[0]
    assert best.holes == (Hole(8, 1), Hole(11, 1))


def test_only_what_is_left_on_the_rack() -> None:
    table, wanted = grid_table(24, 24), read_wanted("37.5")
    rack = rack_of(body(25.0, owned=2), body(20.0, owned=1), shim(2.0, 2), shim(5.5, 1))
    whole = find_angles(table, rack, wanted, AngleLimits())
    assert {a.way for a in whole.nearest} == {"pins", "two sizes", "shims", "plate"}
    assert all(a.on_rack for a in whole.nearest if a.way != "plate")
    used = (("pin-25", 1),)
    short = find_angles(table, rack, wanted, AngleLimits(used=used))
    pins = next(a for a in short.nearest if a.way == "pins")
    assert not pins.on_rack
    assert (pins.takes[0].piece, pins.takes[0].count, pins.takes[0].left) == ("pin-25", 2, 1)
    left = find_angles(table, rack, wanted, AngleLimits(used=used, only_left=True))
    assert {a.way for a in left.nearest} == {"two sizes"}
    assert NoneOfWay("pins", holes=True) in left.notes
    gone = find_angles(table, rack, wanted, AngleLimits(used=(("shim-5.5", 1),), only_left=True))
    shims = next(a for a in gone.nearest if a.way == "shims")
    assert {t.piece for t in shims.takes} <= {"pin-25", "shim-2"}


def test_two_pieces_of_one_size_make_an_equal_pair() -> None:
    rack = rack_of(body(25.0, owned=1, name="old"), body(25.0, owned=1, name="new"))
    found = find_angles(
        grid_table(5, 5), rack, as_edge(0.0), AngleLimits(ways=("pins",), only_left=True)
    )
    assert [t.piece for t in found.ranked[0].takes] == ["old", "new"]


def test_without_pins_on_the_rack_the_pair_is_still_told() -> None:
    found = find_angles(grid_table(5, 5), rack_of(), as_edge(45.0), AngleLimits())
    best = next(a for a in found.ranked if a.way == "pins")
    assert best.holes == (Hole(0, 0), Hole(4, 4))
    assert not best.on_rack
    assert best.takes == ()
    assert best.set_how == "any equal pins"
    assert len(found.notes) == len(WAYS) - 3  # astride needs a member


def test_order_is_error_then_longest_base_then_fewest_pieces() -> None:
    rack = rack_of(body(25.0), body(20.0), shim(2.5, 4), shim(1.0, 4), shim(1.5, 4))
    limits = AngleLimits(leg=400.0, top=60)
    ranked = find_angles(grid_table(24, 12), rack, as_edge(31.0), limits).ranked
    keys = [
        (
            hundredths((abs(a.error_arcmin) + a.setting_arcmin) / 60, 400.0),
            -round(a.base_mm, 3),
            a.pieces if a.way != "plate" else 3,
        )
        for a in ranked
    ]
    assert keys == sorted(keys)
    assert len(ranked) == 60


# -- the class -----------------------------------------------------------------------------------


def test_no_answer_within_the_class_says_so_and_offers_the_plate() -> None:
    limits = AngleLimits(ways=("pins",), base_to=260.0, angle_class="A", leg=500.0)
    found = find_angles(grid_table(24, 24), PINS, as_edge(37.2), limits)
    assert found.within is False
    assert found.ranked == ()
    assert found.nearest[0].multiples[-1] == (4, 3)
    assert found.offer is not None
    assert found.offer.way == "plate"
    assert found.offer.verdict.meets("A")
    wider = find_angles(grid_table(24, 24), PINS, as_edge(37.2), replace(limits, base_to=math.inf))
    assert wider.within
    assert wider.offer is None
    assert all(a.verdict.meets("A") for a in wider.ranked)
    tiny = replace(limits, base_to=51.0, region=((0, 0), (100, 0), (100, 50)))
    nothing = find_angles(
        grid_table(24, 24, 20.0), PINS, as_edge(37.2), replace(tiny, base_to=26.0)
    )
    assert nothing.offer is None
    assert nothing.within is False


# -- questions without an answer ------------------------------------------------------------------


@pytest.mark.expectation(85, 86, 87)
def test_what_cannot_be_answered_is_refused_with_its_field() -> None:
    table = grid_table(4, 4)
    with pytest.raises(AngleFault) as far:
        find_angles(table, PINS, as_edge(3.0), AngleLimits(base_from=5000.0))
    assert far.value.field == "base_from"
    assert isinstance(far.value.reason, BaseBeyondTable)
    assert far.value.reason.shortest == 5000.0
    full = grid_table(2, 2, blocked=[(0, 0), (1, 0), (0, 1)])
    with pytest.raises(AngleFault) as one:
        find_angles(full, PINS, as_edge(3.0))
    assert one.value.field == "only_free"
    assert one.value.reason == TooFewHoles(1, on_table=True)
    region = ((1000.0, 1000.0), (1001.0, 1000.0), (1001.0, 1001.0))
    with pytest.raises(AngleFault) as none:
        find_angles(table, PINS, as_edge(3.0), AngleLimits(region=region))
    assert none.value.field == "region"
    assert none.value.reason == TooFewHoles(0, on_table=False)


def test_a_base_that_no_two_holes_have_is_told_and_not_refused() -> None:
    found = find_angles(
        grid_table(4, 4), PINS, as_edge(3.0), AngleLimits(base_from=101.0, base_to=105.0)
    )
    assert found.ranked == found.nearest == ()
    assert (found.looked_at.hole_pairs, found.looked_at.answers) == (0, 0)
    assert len(found.notes) == len(FREE_WAYS)
    assert {note.holes for note in found.notes if isinstance(note, NoneOfWay)} == {False}


@given(questions())
def test_packed_pins_stand_with_the_packing_between_them_and_the_line(
    question: tuple[Table, float, AngleLimits],
) -> None:
    table, angle, limits = question
    rack = rack_of(body(30.0), shim(1.0, 4), shim(7.0, 4))
    limits = replace(limits, ways=("shims",))
    ranked = find_angles(table, rack, as_edge(angle), limits).ranked
    aside = {
        (b.col - a.col, b.row - a.row): base * math.sin(math.radians(apart(line, angle)))
        for a, b, base, line in hole_pairs(table, limits.base_from, limits.base_to, limits.region)
    }
    packed = [off for off in aside.values() if off > 0.51]  # nearer to the shim of 1 than to none
    assert min(limits.top, len(packed)) <= len(ranked) <= limits.top
    for a in ranked:
        t = math.radians(a.angle_deg)
        c, s = math.cos(t), math.sin(t)
        (x0, y0), (x1, y1) = (table.at(h) for h in a.holes)
        side = 1.0 if limits.side == "right" else -1.0
        side = math.copysign(side, side * ((x1 - x0) * c + (y1 - y0) * s))
        off = []
        for placement in answer_placements(a, [f"p{k}" for k in range(len(a.standing))]):
            found = solve_placement(table, rack, placement)
            assert found.fault is None
            (pin,) = found.rounds
            packing = [p for solid in found.solids if solid.role == "packing" for p in solid.points]
            centre = (pin.centre[1] - y0) * c - (pin.centre[0] - x0) * s
            beside = [side * ((y - y0) * c - (x - x0) * s - centre) for x, y in packing]
            far = max(beside, default=15.0)
            off.append(far)
        assert off == pytest.approx(a.line_mm)
