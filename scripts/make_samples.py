"""Writes the sample jobs in assets/samples: three set-ups of an invented shop by a harbour market.

They are laid out with the program's own edits, and each placement must be one that it allows.
"""

import math
from dataclasses import dataclass
from pathlib import Path

from msgspec import structs

from gridjig.checks.conflicts import refusal
from gridjig.checks.findings import findings
from gridjig.contact.touching import to_touch
from gridjig.edits.members import add, between
from gridjig.edits.placements import place
from gridjig.files.jobs.job_file import write_job
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.files.library.sections import find_section
from gridjig.model import Display, EndCut, FaceOf, Job, Placement, Seat
from gridjig.rack import Point
from gridjig.solve.placed.cache import PlacedPieces

FOLDER = Path(__file__).resolve().parent.parent / "assets" / "samples"
SQUARE = EndCut()


@dataclass
class Layout:
    """A job being laid out, in its own unit: 25.4 for inches, 1 for millimetres."""

    job: Job
    unit: float

    def member(
        self,
        name: str,
        size: str,
        a: Point,
        b: Point,
        low: float = 0.0,
        start: EndCut = SQUARE,
        end: EndCut = SQUARE,
    ) -> None:
        """Add a length of square tube, its centre line from point to point."""
        u = self.unit
        section = find_section(size, "square tube")
        assert section is not None, size
        ident = f"member-{len(self.job.parts) + 1}"
        line = ((a[0] * u, a[1] * u), (b[0] * u, b[1] * u))
        made = between(ident, name, section, *line, z_low=low * u)
        self.job = add(self.job, structs.replace(made, start=start, end=end))

    def put(
        self,
        name: str,
        piece: str,
        *seats: tuple[str, float, float],
        touch: tuple[str, int] | None = None,
        **more: object,
    ) -> None:
        """Place a piece in the holes at these points; lengths in `more` are in the layout's unit.

        `touch` is the side of a part that the piece is then moved against, as far as its pins
        allow.
        """
        for field in ("slide", "reach"):
            if field in more:
                more[field] = float(str(more[field])) * self.unit
        ident = f"{self.job.rack.piece(piece).kind.replace(' ', '-').lower()}"
        number = sum(p.id.startswith(ident) for p in self.job.placements) + 1
        whole = {
            "id": f"{ident}-{number}",
            "piece": piece,
            "name": name,
            "seats": tuple(self._seat(*s) for s in seats),
            **more,
        }
        placement = Placement(**whole)  # type: ignore[arg-type]
        if touch is not None:
            placement = to_touch(self.job, placement, FaceOf(*touch)).placement
        why = refusal(self.job, PlacedPieces().of(self.job), placement)
        if why:
            raise SystemExit(f"{self.job.name}: {name}: {why}")
        self.job = place(self.job, placement)

    def _seat(self, feature: str, x: float, y: float) -> Seat:
        hole = self.job.table.nearest(x * self.unit, y * self.unit)
        return Seat(feature, hole)

    def clamp(self, name: str, post: Point, at: Point) -> None:
        """Place a low down-clamp with its post in one hole and its tip at a point."""
        turn = round(math.degrees(math.atan2(at[1] - post[1], at[0] - post[0])), 4)
        reach = round(math.dist(post, at), 4)
        self.put(name, "clamp-down-low", ("post", *post), turn=turn, reach=reach)


def start(name: str, table: str, display: Display, notes: str, drawing: str) -> Layout:
    """Return an empty job on a ready-made table with its starter rack."""
    plate = ready_tables()[table]
    job = Job(
        name=name, table=plate, rack=rack_for(plate), display=display, notes=notes, drawing=drawing
    )
    return Layout(job, 1.0 if display.unit == "millimetres" else 25.4)


def trestle() -> Job:
    """Inches: a butted frame with a lower rail in the middle of its height."""
    lay = start(
        "Market trestle, end frame",
        "48x48-3/4",
        Display(),
        "End frame of a trestle table for the harbour market: 30 x 24 of 2 in square tube, butted,"
        " with a 1 in rail 11 in up.\n"
        "Look at: the square takes the datum corner, below the seam of the upright, so the far"
        " bottom stop has 1/2 in of packing to come to the same line, and so have the end stop of"
        " the top rail and the pins along the left upright. The middle rail is centred on the tube"
        " by 1/2 in risers. The far sides are met by adjustable stops. Every outside stop lets the"
        " frame come out.",
        "HM-101",
    )
    lay.member("Bottom rail", "2x2x1/8", (12, 13), (42, 13))
    lay.member("Top rail", "2x2x1/8", (12, 35), (42, 35))
    lay.member("Left upright", "2x2x1/8", (13, 14), (13, 34))
    lay.member("Right upright", "2x2x1/8", (41, 14), (41, 34))
    lay.member("Middle rail", "1x1x1/8", (14, 23), (40, 23), 0.5)
    lay.put(
        "Datum corner",
        "square-two-hole",
        ("corner", 11, 11),
        ("along", 13, 11),
    )
    lay.put(
        "Bottom, far", "stop-fixed", ("front", 35, 11), ("back", 35, 9), packing=("packing-1-2",)
    )
    for x in (17, 37):
        lay.put(
            f"Top, {'left' if x < 20 else 'right'}",
            "stop-adjustable",
            ("slot", x, 37),
            ("slot", x, 39),
            turn=180.0,
            slide=0.5,
        )
    lay.put(
        "Top, end",
        "stop-fixed",
        ("front", 11, 35),
        ("back", 9, 35),
        turn=-90.0,
        packing=("packing-1-2",),
    )
    for y in (19, 29):
        lay.put(
            f"Left, {'low' if y < 25 else 'high'}",
            "pin-1",
            ("shank", 11, y),
            turn=0.0,
            packing=("packing-1-2",),
        )
    lay.put(
        "Right end", "stop-adjustable", ("slot", 43, 23), ("slot", 45, 23), turn=90.0, slide=0.5
    )
    for x in (19, 33):
        lay.put(
            f"Middle rail, {'left' if x < 20 else 'right'}",
            "stop-fixed",
            ("front", x, 21),
            ("back", x, 19),
            packing=("packing-1",),
        )
    for x in (17, 37):
        lay.put(
            f"Under the middle rail, {'left' if x < 20 else 'right'}",
            "riser-1-2",
            ("centre", x, 23),
        )
    lay.clamp("Clamp, bottom rail", (27, 17), (27, 13))
    lay.clamp("Clamp, top rail", (27, 31), (27, 35))
    lay.clamp("Clamp, right upright", (37, 29), (41, 29))
    lay.clamp("Clamp, middle rail", (17, 27), (17, 23))
    return lay.job


def gate() -> Job:
    """Millimetres: a gate with a brace at 45 degrees against an arm with an arc slot."""
    lay = start(
        "Harbour gate, left leaf",
        "2400x1200-100",
        Display(unit="millimetres"),
        "Leaf of the harbour market's gate: 1500 x 850 of 50 mm square tube, with a 40 mm brace at"
        " 45 degrees.\n"
        "Look at: the arm's pivot and lock hole let it take any angle about 45 degrees, so the"
        " check says that nothing holds its angle: set it by a gauge and clamp it. 5 mm risers"
        " bring the brace to the middle of the tube. The push clamp seats the leaf on its left"
        " stop; the adjustable stop at the right only proves the length.",
        "HM-214",
    )
    lay.member("Bottom rail", "50x50x3", (275, 200), (1775, 200))
    lay.member("Top rail", "50x50x3", (275, 1000), (1775, 1000))
    lay.member("Left stile", "50x50x3", (300, 225), (300, 975))
    lay.member("Right stile", "50x50x3", (1750, 225), (1750, 975))
    edge = 200.0 - 25.0 * math.sqrt(2.0)  # the arm's face runs along x - y = edge
    far = edge - 40.0 * math.sqrt(2.0)
    mid = (edge + far) / 2
    level = (EndCut("mitre", 45), EndCut("mitre", -45))
    lay.member("Brace", "40x40x3", (225 + mid, 225), (975 + mid, 975), 5, *level)
    for x in (450, 1650):
        lay.put(
            f"Bottom, {'left' if x < 900 else 'right'}",
            "stop-fixed",
            ("front", x, 150),
            ("back", x, 50),
        )
    lay.put("Left end", "stop-fixed", ("front", 250, 650), ("back", 150, 650), turn=-90.0)
    lay.put("Top", "stop-fixed", ("front", 1050, 1050), ("back", 1050, 1150), turn=180.0)
    lay.put(
        "Right end",
        "stop-adjustable",
        ("slot", 1850, 650),
        ("slot", 1950, 650),
        turn=90.0,
        slide=50.0,
    )
    lay.put(
        "Push to the left stop",
        "clamp-push",
        ("front", 1850, 350),
        ("back", 1950, 350),
        turn=90.0,
        reach=75.0,
    )
    lay.put("Brace at 45 degrees", "arm-arc-400", ("pivot", 750, 550), ("arc", 950, 550), turn=45.0)
    for x in (450, 950):
        lay.put(
            f"Under the brace, {'low' if x < 900 else 'high'} end",
            "riser-5",
            ("centre", x, x - 100),
        )
    lay.clamp("Clamp, bottom rail", (1250, 350), (1250, 200))
    lay.clamp("Clamp, top rail", (1450, 850), (1450, 1000))
    lay.clamp("Clamp, left stile", (450, 550), (300, 550))
    beside = (900 + mid / 2, 900 - mid / 2)  # point on the brace's centre line nearest to the riser
    lay.clamp("Clamp, brace", (850, 850), beside)
    return lay.job


def bracket() -> Job:
    """Inches: a strut at 60 degrees against an arm with a leaf, read off its scale."""
    lay = start(
        "Lantern bracket",
        "48x48-5/8",
        Display(),
        "Bracket for the lanterns of the harbour market: a 24 in foot of 2 in tube and a 1-1/2 in"
        " strut at 60 degrees.\n"
        "Look at: the arm's base is pinned in two holes, and its leaf goes to any angle from 0 to"
        " 180 degrees by a scale that is good to half a degree. The strut is flush with the top of"
        " the foot on 1/2 in risers, so it passes over the arm's base. The stop at its end turns on"
        " one pin and is slid in until it touches the cut.",
        "HM-305",
    )
    lay.member("Foot", "2x2x1/8", (11.5, 12.5), (35.5, 12.5))
    c, s = 0.5, math.sqrt(0.75)
    pivot = (24.0, 17.0 + 0.5 + 0.7 * 0.625)
    face = (pivot[0] - 0.5 * s, pivot[1] + 0.5 * c)  # a point on the leaf's face at 60 degrees
    low = face[0] - (face[1] - 13.5) * c / s
    long = 21.4375
    foot = (low - 0.75 / s, 13.5)
    line = long + 0.75 * c / s
    top = (foot[0] + line * c, foot[1] + line * s)
    lay.member("Strut", "1-1/2x1-1/2x1/8", foot, top, 0.5, EndCut("mitre", 30))
    for x in (15, 33):
        lay.put(
            f"Foot, {'left' if x < 20 else 'right'}", "stop-fixed", ("front", x, 11), ("back", x, 9)
        )
    lay.put("Foot, left end", "stop-fixed", ("front", 11, 13), ("back", 9, 13), turn=-90.0)
    lay.put(
        "Foot, right end",
        "stop-adjustable",
        ("slot", 37, 13),
        ("slot", 39, 13),
        turn=90.0,
        slide=1.0,
    )
    lay.put("Strut at 60 degrees", "arm-leaf-8", ("left", 23, 17), ("right", 25, 17), leaf=60.0)
    lay.put("Strut, end", "stop-adjustable", ("slot", 31, 33), turn=150.0, touch=("member-2", 1))
    lay.put("Under the strut, low end", "riser-1-2", ("centre", 21, 15))
    lay.put("Under the strut, high end", "riser-1-2", ("centre", 27, 27))
    lay.clamp("Clamp, foot left", (17, 17), (17, 12.5))
    lay.clamp("Clamp, foot right", (31, 17), (31, 12.5))
    over = 0.5 * (27.0 - foot[0]) + s * (27.0 - foot[1])  # along the strut, beside its riser
    lay.clamp("Clamp, strut", (23, 27), (foot[0] + over * c, foot[1] + over * s))
    return lay.job


SAMPLES = {
    "1-market-trestle": trestle,
    "2-harbour-gate": gate,
    "3-lantern-bracket": bracket,
}


def main() -> None:
    """Write every sample, and print its findings."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, make in SAMPLES.items():
        job = make()
        (FOLDER / f"{name}.gridjig").write_bytes(write_job(job))
        for finding in findings(job, PlacedPieces().of(job)):
            print(f"{name}: {finding.level}: {finding.what}")


if __name__ == "__main__":
    main()
