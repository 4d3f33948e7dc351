"""A plate cut for a member's face where it lies: pinned beside it, its edge on the face."""

import math

import numpy as np
from msgspec import structs

from gridjig.model import Hole

from .answers import AlongFace, AngleAnswer
from .beside import nearest_few
from .hole_field import beside_by, within
from .plate import LONGEST, SHORTEST, THICKNESS, edge_error, fastening, plate_answer
from .task import AngleTask, Batch, levels


def held_by_plate(task: AngleTask, along: AlongFace) -> list[Batch]:
    """Return every pair of holes beside the face that a plate can be cut for, without packing; of
    more than MOST_BESIDE holes those nearest to the face.
    """
    held = fastening(task) if "plate" in task.limits.ways else None
    if held is None or not along.meets(0.0, THICKNESS):
        return []
    g, (first_x, first_y) = task.field.grid, task.field.first
    rows, cols = np.nonzero(task.field.usable)
    x = np.asarray(first_x + cols * g.pitch_x, dtype=np.float64)
    y = np.asarray(first_y + rows * g.pitch_y, dtype=np.float64)
    far = beside_by(along, x, y)
    fits = np.flatnonzero(far >= held.clear)
    fits = fits[nearest_few(far[fits], far[fits])]
    one, two = (fits[k] for k in np.triu_indices(fits.size, 1))
    t = math.radians(task.angle)
    back = (x[two] - x[one]) * math.cos(t) + (y[two] - y[one]) * math.sin(t) < 0
    one, two = np.where(back, two, one), np.where(back, one, two)
    base = np.hypot(x[two] - x[one], y[two] - y[one])
    limits = task.limits
    keep = within(base, max(limits.base_from, SHORTEST), min(limits.base_to, LONGEST))
    one, two, base = one[keep], two[keep], base[keep]
    if not one.size:
        return []
    zero = np.zeros(one.size)
    setting = np.array([edge_error(min(length, LONGEST)) for length in base.tolist()])
    play = np.degrees(np.arcsin(np.minimum(1.0, held.play / base)))
    order = np.argsort(np.maximum(far[one], far[two]), kind="stable")  # the slimmest of equal ones
    one, two, base = one[order], two[order], base[order]
    setting, play = setting[order], play[order]

    def build(i: int) -> AngleAnswer:
        a, b = int(one[i]), int(two[i])
        holes = (Hole(int(cols[a]), int(rows[a])), Hole(int(cols[b]), int(rows[b])))
        made = plate_answer(task, held, holes, (float(far[a]), float(far[b])), 1, fixed=True)
        return structs.replace(made, gap_mm=0.0, open_mm=(0.0, 0.0))

    return [
        Batch(
            "plate",
            zero,
            setting,
            base,
            np.full(one.size, 3),
            build,
            int(one.size),
            gap=zero,
            place=[("plate", a, b) for a, b in zip(one.tolist(), two.tolist(), strict=True)],
            # It has to be cut, so whatever the rack has ranks before it.
            level=np.maximum(levels(task, zero, setting, play, np.zeros(one.size, bool)), 1),
        )
    ]
