"""How errors add up: hand-reckoned values, the exact non-linear pose, and random set-ups."""

import math
from collections.abc import Callable, Mapping
from itertools import product

import numpy as np
import pytest

from gridjig.proof.exact.sampling import sampled
from gridjig.proof.exact.spread import (
    Effects,
    ErrorSource,
    Sources,
    between,
    ellipse,
    farthest,
    row,
    spread,
    spread_2d,
)
from gridjig.proof.statics.rows import Floats
from gridjig.units.progress import Cancelled, Progress

PINS = (((50.0, 0.0), (0.0, 1.0)), ((250.0, 0.0), (0.0, 1.0)), ((0.0, 50.0), (1.0, 0.0)))
"""A rectangle 300 x 200 on two pins below and one at the left."""
G = np.array([row(p, n) for p, n in PINS])
INVERSE = np.linalg.inv(G)


def made(by_source: Mapping[ErrorSource, Floats]) -> Effects:
    """Effects, source by source."""
    return Effects(Sources(by_source), np.concatenate(list(by_source.values()), axis=1))


def effects(source: Callable[[int], ErrorSource]) -> Effects:
    """What an error of each pin along its push does to the rectangle."""
    return made({source(k): INVERSE[:, k : k + 1] for k in range(3)})


def line(limit: float) -> Callable[[int], ErrorSource]:
    return lambda k: ErrorSource(f"pin {k}", 1, limit)


@pytest.mark.source("method", "3 x 3 inverse of the locating matrix, by hand")
def test_the_matrix_of_three_pins() -> None:
    assert np.linalg.det(G) == pytest.approx(200.0)
    by_hand = [[-0.25, 0.25, 1.0], [1.25, -0.25, 0.0], [-0.005, 0.005, 0.0]]
    assert np.allclose(INVERSE, by_hand)
    assert np.allclose(INVERSE @ (0.1, -0.1, 0.2), (0.15, 0.15, -0.001))


@pytest.mark.source("method", "Newton steps on the exact distances from pin centres to the edges")
@pytest.mark.parametrize(
    ("times", "exact", "within"),
    [
        (1, (0.150154, 0.149854, -0.001), 0.0025),
        (10, (1.515252, 1.485247, -0.01), 0.02),
        (50, (7.865829, 7.116702, -0.049958), 0.06),
    ],
)
def test_the_linear_pose_against_the_exact_one(
    times: int, exact: tuple[float, float, float], within: float
) -> None:
    """Pins of radius 8: linear is good to 0.2 % for errors of 0.1 mm, to 5 % for 5 mm."""
    delta = np.array([0.1, -0.1, 0.2]) * times
    found = _exact_pose(delta, 8.0)
    assert found == pytest.approx(exact, abs=2e-6)
    assert INVERSE @ delta == pytest.approx(found, rel=within)


def _exact_pose(delta: Floats, radius: float) -> tuple[float, float, float]:
    """The pose in which each edge is tangent to its pin, moved by delta along its push."""
    centres = [
        (p[0] + n[0] * (d - radius), p[1] + n[1] * (d - radius))
        for (p, n), d in zip(PINS, delta, strict=True)
    ]
    q = np.zeros(3)
    for _ in range(20):
        c, s = math.cos(q[2]), math.sin(q[2])
        miss, rows = [], []
        for (p, n), (x, y) in zip(PINS, centres, strict=True):
            nx, ny = c * n[0] - s * n[1], s * n[0] + c * n[1]
            px, py = q[0] + c * p[0] - s * p[1], q[1] + s * p[0] + c * p[1]
            miss.append(nx * (px - x) + ny * (py - y) - radius)
            turn = -ny * (px - x) + nx * (py - y) + nx * (q[1] - py) + ny * (px - q[0])
            rows.append((nx, ny, turn))
        q = q - np.linalg.solve(np.array(rows), np.array(miss))
    return (float(q[0]), float(q[1]), float(q[2]))


@pytest.mark.source("method", "sums of the absolute coefficients; all eight corners of the box")
def test_worst_cases_of_the_rectangle() -> None:
    body = effects(line(0.1))
    corner, centre = (300.0, 200.0), (150.0, 100.0)
    along = [spread(between((body, row(corner, way)))).worst for way in ((1.0, 0.0), (0.0, 1.0))]
    assert along == pytest.approx([0.25, 0.15])
    along = [spread(between((body, row(centre, way)))).worst for way in ((1.0, 0.0), (0.0, 1.0))]
    assert along == pytest.approx([0.15, 0.10])
    found = spread_2d(body, corner).worst
    assert found == pytest.approx(0.291548, abs=1e-6)
    signs = [np.array(s) * 0.1 for s in product((-1.0, 1.0), repeat=3)]
    moved = [np.array([[1, 0, -200], [0, 1, 300]]) @ INVERSE @ delta for delta in signs]
    assert found == pytest.approx(max(float(np.hypot(*m)) for m in moved), abs=1e-12)


@pytest.mark.source("method", "twice the error over the spacing")
@pytest.mark.parametrize(
    ("spacing", "degrees"), [(50, 0.229183), (100, 0.114592), (200, 0.057296), (400, 0.028648)]
)
def test_the_angle_of_two_pins_falls_with_their_spacing(spacing: float, degrees: float) -> None:
    matrix = np.array([row((0, 0), (0, 1)), row((spacing, 0), (0, 1)), row((0, 0), (1, 0))])
    inverse = np.linalg.inv(matrix)
    body = made({ErrorSource(f"pin {k}", 1, 0.1): inverse[:, k : k + 1] for k in range(2)})
    turn = spread(between((body, np.array([0.0, 0.0, 1.0]))))
    assert math.degrees(turn.worst) == pytest.approx(degrees, abs=1e-6)
    assert turn.sigma == pytest.approx(0.1 / math.sqrt(3.0) * math.sqrt(2.0) / spacing)


def _with_play() -> Effects:
    """Pin play 0.15 and hole position 0.1, each over a disc, and 0.02 at the face."""
    found: dict[ErrorSource, Floats] = {}
    for k, (_, way) in enumerate(PINS):
        column = INVERSE[:, k : k + 1]
        found[ErrorSource(f"play {k}", 2, 0.15)] = column * np.array([way])
        found[ErrorSource(f"hole {k}", 2, 0.10)] = column * np.array([way])
        found[ErrorSource(f"face {k}", 1, 0.02)] = column
    return made(found)


@pytest.mark.source("method", "variances of a disc and of a uniform error; 200,000 random set-ups")
def test_play_hole_and_face_of_three_pins() -> None:
    one = [source for source in _with_play().sources.items if source.key.endswith("0")]
    pin = math.sqrt(sum(source.sigma**2 for source in one))
    assert pin == pytest.approx(0.090875, abs=2e-6)
    body = _with_play()
    x, y = (between((body, row((300.0, 200.0), way))) for way in ((1.0, 0.0), (0.0, 1.0)))
    assert spread(x).sigma == pytest.approx(0.132472, abs=2e-6)
    assert spread(y).sigma == pytest.approx(0.115844, abs=2e-6)
    assert spread(x).worst == pytest.approx(0.675)
    assert spread(y).worst == pytest.approx(0.405)
    tried = sampled(x, limit=0.4)
    assert tried.count == 200_000
    assert tried.sigma == pytest.approx(spread(x).sigma, rel=0.01)
    assert 0.4 < tried.greatest < 0.675
    assert 0.0 < tried.outside < 0.05
    assert tried.half < tried.most < tried.nearly_all < tried.greatest


@pytest.mark.source("method", "the sum of seven limits, and the root of the sum of their squares")
def test_an_error_budget() -> None:
    """Hole 0.1, play 0.1, face and shims 0.02, tube, cut and fit 0.05 each."""
    limits = (0.1, 0.1, 0.02, 0.02, 0.05, 0.05, 0.05)
    one = np.array([[1.0], [0.0], [0.0]])
    body = made({ErrorSource(f"{k}", 1, limit): one for k, limit in enumerate(limits)})
    found = spread(between((body, row((0.0, 0.0), (1.0, 0.0)))))
    assert found.worst == pytest.approx(0.39)
    assert found.rss == pytest.approx(0.17, abs=0.005)


def test_equal_errors_in_a_row_count_each() -> None:
    one = np.array([[1.0], [0.0], [0.0]])
    measure = between((made({ErrorSource("shims", 1, 0.02, 4): one}), row((0, 0), (1, 0))))
    pack = spread(measure)
    apart = made({ErrorSource(f"shim {k}", 1, 0.02): one for k in range(4)})
    assert pack == pytest.approx(spread(between((apart, row((0, 0), (1, 0))))))
    assert sampled(measure, 1.0, count=20_000).sigma == pytest.approx(pack.sigma, rel=0.03)


@pytest.mark.source("method", "the farthest of 20,000 random corners and rim points")
def test_the_worst_distance_of_discs_and_lines_together() -> None:
    random = np.random.default_rng(5)
    for _ in range(10):
        body: dict[ErrorSource, Floats] = {}
        for k in range(3):
            body[ErrorSource(f"line {k}", 1, 0.1 + 0.1 * k)] = random.normal(size=(3, 1))
            body[ErrorSource(f"disc {k}", 2, 0.2)] = random.normal(size=(3, 2))
        effect, p = made(body), (3.0, -2.0)
        found = spread_2d(effect, p)
        turns = np.linspace(0.0, math.tau, 20_000)
        ways = np.stack((np.cos(turns), np.sin(turns)), axis=1)
        there = np.array([[1.0, 0.0, -p[1]], [0.0, 1.0, p[0]]])
        reach = [
            np.linalg.norm(ways @ there @ value, axis=1) * source.limit
            for source, value in body.items()
        ]
        far = float(np.sum(reach, axis=0).max())
        assert found.worst == pytest.approx(far, rel=1e-6)
        assert found.sigma == pytest.approx(math.sqrt(np.linalg.eigvalsh(ellipse(effect, p))[-1]))
        assert found.worst > found.rss > found.sigma


def test_the_point_that_can_be_furthest_out_is_found() -> None:
    corners = [(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)]
    body = effects(line(0.1))
    which, found = farthest(body, corners)
    assert found.worst == max(spread_2d(body, p).worst for p in corners)
    assert found == spread_2d(body, corners[which])


def test_a_source_that_moves_both_ends_counts_once() -> None:
    slide = made({ErrorSource("slide", 1, 0.4): np.array([[1.0], [0.0], [0.0]])})
    way = row((0.0, 0.0), (1.0, 0.0))
    assert spread(between((slide, way), (slide, -way))).worst == 0.0
    assert spread(between((slide, way), (slide, way))).worst == pytest.approx(0.8)


def test_random_set_ups_can_be_cancelled_and_say_how_far_they_are() -> None:
    told: list[tuple[int, int | None]] = []
    measure = between((effects(line(0.1)), row((300.0, 200.0), (1.0, 0.0))))
    again = [
        sampled(measure, 0.1, Progress(lambda done, whole, _: told.append((done, whole))))
        for _ in range(2)
    ]
    assert again[0] == again[1]
    assert told[0] == (0, 200_000)
    assert told[-1] == (200_000, 200_000)
    with pytest.raises(Cancelled):
        sampled(measure, 0.1, Progress(is_cancelled=lambda: True))
