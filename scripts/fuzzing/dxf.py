"""DXF drawings, made from others by changing tags and swapping entities, then imported as a job."""

from collections.abc import Callable
from pathlib import Path
from random import Random

from gridjig.cli import main

from .corpus import drawings
from .kind import Find, Parts
from .said import Said, require_answer, said
from .texts import a_text
from .trees import raw, slices

Tag = tuple[int, str]
_UNITS = ["mm", "in", "m", "cm", "ft"]
_MOST = 200_000  # maximum bytes of a case
_RAW = 0.05
_HUGE = 0.15  # share of drawings that may be huge: one takes as long as a hundred others
_HEAD: list[Tag] = [(0, "SECTION"), (2, "ENTITIES")]
_FOOT: list[Tag] = [(0, "ENDSEC"), (0, "EOF")]


class Drawn:
    """Each case is a drawing of one kind for `gridjig import`."""

    def __init__(self, folder: Path, suffix: str, changed: Callable[[Random], bytes]) -> None:
        self._drawing = folder / f"drawing{suffix}"
        self._job = folder / "out.gridjig"
        self._changed = changed

    def make(self, chance: Random) -> bytes:
        """Return a drawing."""
        return self._changed(chance)

    def run(self, data: bytes) -> str:
        """Import it, in a unit chosen by its size."""
        self._drawing.write_bytes(data)
        self._job.unlink(missing_ok=True)
        unit = _UNITS[len(data) % len(_UNITS)]
        words = ["import", str(self._drawing), str(self._job), "--unit", unit, "--inner"]
        answer = said(main, words)
        require_answer(words, answer)
        if answer.code:
            if self._job.exists():
                raise Find("a drawing is refused and a job is written all the same")
            return "refused"
        listed = ["pull", str(self._job)]
        told: Said = said(main, listed)
        require_answer(listed, told)
        if told.code:
            raise Find(f"the job that was written cannot be read: {told.err}")
        return "read"

    def parts(self, data: bytes) -> Parts | None:
        """Split it into entities or tags if it is text, elements if it has any, else slices."""
        if b"<" in data[:2000] and self._drawing.suffix == ".svg":
            pieces = data.split(b"<")
            return Parts([b"<" + piece for piece in pieces[1:]], b"".join)
        try:
            tags = tags_of(data)
        except ValueError:
            return slices(data)
        groups = grouped(tags)
        if len(groups) < 12:
            return Parts([text_of([tag]) for tag in tags], b"".join)
        return Parts([text_of(group) for group in groups], b"".join)


def tags_of(data: bytes) -> list[Tag]:
    """Return the tags of a text drawing.  Raise ValueError if it is not one."""
    lines = data.decode("cp1252", "replace").splitlines()
    return [(int(lines[k]), lines[k + 1]) for k in range(0, len(lines) - 1, 2)]


def grouped(tags: list[Tag]) -> list[list[Tag]]:
    """Return tags in groups that begin with code 0: entities, and section markers."""
    groups: list[list[Tag]] = []
    for tag in tags:
        if tag[0] == 0 or not groups:
            groups.append([])
        groups[-1].append(tag)
    return groups


def text_of(tags: list[Tag]) -> bytes:
    """Return tags as written in a file."""
    return "".join(f"{code}\n{value}\n" for code, value in tags).encode("cp1252", "replace")


class Drawings:
    """Makes drawings from those of the tests, and from entities written here."""

    def __init__(self) -> None:
        every = [path.read_bytes() for path in drawings(".dxf")]
        self._binary = [data for data in every if data.startswith(b"AutoCAD Binary")]
        texts = [data for data in every if data not in self._binary]
        self._files = [grouped(tags_of(data)) for data in texts if len(data) < _MOST]
        self._pool = [
            group for groups in self._files for group in groups if group[0][1] not in _MARKS
        ]
        if not self._pool or not self._binary:
            raise Find("there are no drawings to begin with")

    def changed(self, chance: Random) -> bytes:
        """Return a drawing: one of the files, changed, or one of our own entities."""
        what = chance.random()
        if what < 0.03:
            return raw(chance, chance.choice(self._binary))
        data = text_of(self._of_a_file(chance) if what < 0.5 else self._own(chance))
        return raw(chance, data) if chance.random() < _RAW else data

    def _of_a_file(self, chance: Random) -> list[Tag]:
        groups = [list(group) for group in chance.choice(self._files)]
        for _ in range(1 + int(chance.expovariate(0.4))):
            at = chance.randrange(len(groups))
            match chance.randrange(6):
                case 0:
                    del groups[at : at + chance.choice([1, 1, 4])]
                case 1:
                    times = chance.choice([1, 1, 2, 30])
                    groups[at:at] = [list(groups[at]) for _ in range(times)]
                case 2:
                    groups.insert(at, list(chance.choice(self._pool)))
                case 3:
                    to = chance.randrange(len(groups))
                    groups[at], groups[to] = groups[to], groups[at]
                case _:
                    change_tags(chance, groups[at])
            groups = groups or [list(_FOOT)]
        return [tag for group in groups for tag in group]

    def _own(self, chance: Random) -> list[Tag]:
        """Return a drawing in the oldest format, with nested blocks and every kind of curve."""
        size = 10 ** chance.uniform(-3, 6 if chance.random() < _HUGE else 3)
        tags: list[Tag] = []
        blocks = [f"B{k}" for k in range(chance.choice([0, 0, 1, 3, 6]))]
        if chance.random() < 0.3:
            units = str(chance.choice([0, 1, 4, 5, 6, 21, -1, 99]))
            tags += [(0, "SECTION"), (2, "HEADER"), (9, "$INSUNITS"), (70, units), (0, "ENDSEC")]
        if blocks:
            tags += [(0, "SECTION"), (2, "BLOCKS")]
            for name in blocks:
                base = str(chance.choice([0, 0, 1, size, "nan", "1e308"]))
                tags += [(0, "BLOCK"), (2, name), (10, base), (20, "0")]
                tags += self._entities(chance, size, blocks, chance.randrange(4))
                tags.append((0, "ENDBLK"))
            tags.append((0, "ENDSEC"))
        many = chance.choice([1, 3, 10, 60])
        tags += [*_HEAD, *self._entities(chance, size, blocks, many), *_FOOT]
        return tags

    def _entities(self, chance: Random, size: float, blocks: list[str], many: int) -> list[Tag]:
        made: list[Tag] = []
        for _ in range(many):
            if blocks and chance.random() < 0.3:
                entity = insert(chance, size, blocks)
            elif chance.random() < 0.2:
                entity = list(chance.choice(self._pool))
            else:
                entity = chance.choice(_SHAPES)(chance, size)
            if chance.random() < 0.15:
                change_tags(chance, entity)
            made += entity
        return made


_MARKS = {"SECTION", "ENDSEC", "EOF", "TABLE", "ENDTAB"}


def change_tags(chance: Random, tags: list[Tag]) -> None:
    """Change one tag of an entity: its value, according to its code, or the whole tag."""
    at = chance.randrange(len(tags))
    code, value = tags[at]
    what = chance.random()
    if what < 0.1:
        del tags[at]
        if not tags:
            tags.append((999, "nothing"))
    elif what < 0.2:
        tags.insert(at, tags[chance.randrange(len(tags))])
    elif what < 0.25:
        tags[at] = (chance.choice([0, 1, 2, 8, 10, 40, 42, 70, 90, 210, 1000, -1, 9999]), value)
    elif 10 <= code < 60 or 210 <= code < 240:
        tags[at] = (code, real(chance, value))
    elif 60 <= code < 100:
        tags[at] = (code, whole(chance))
    else:
        tags[at] = (code, a_text(chance).replace("\n", " "))


def real(chance: Random, old: str = "1") -> str:
    """Return a decimal number as a file may contain it."""
    odd = [
        "0",
        "-0",
        "1e308",
        "-1e308",
        "1e150",
        "1e-300",
        "nan",
        "inf",
        "",
        "x",
        "1,5",
        "1e9",
        "-1",
    ]
    near = [
        "0.5",
        "1e4",
        "-1e4",
        f"{old}1",
        f"-{old}",
        f"{old}e3",
        f"{old}e-3",
        "1e6",
        "3.14159265",
    ]
    return chance.choice(chance.choice([odd, near]))


def whole(chance: Random) -> str:
    """Return a whole number as a file may contain it."""
    return chance.choice(
        [
            "0",
            "1",
            "2",
            "3",
            "4",
            "8",
            "16",
            "64",
            "128",
            "-1",
            "255",
            "1000",
            "32767",
            "99999",
            "x",
        ]
    )


def _xy(chance: Random, size: float, code: int = 10) -> list[Tag]:
    x, y = (f"{chance.uniform(-size, size):.6g}" for _ in range(2))
    return [(code, x), (code + 10, y)]


def line(chance: Random, size: float) -> list[Tag]:
    """Return a line."""
    return [(0, "LINE"), *_xy(chance, size), *_xy(chance, size, 11)]


def circle(chance: Random, size: float) -> list[Tag]:
    """Return a circle or an arc."""
    radius = f"{chance.choice([size, size / 50, size * 1000, 0]):.6g}"
    tags = [(0, "CIRCLE"), *_xy(chance, size), (40, radius)]
    if chance.random() < 0.5:
        angles = [f"{chance.uniform(-720, 720):.3f}" for _ in range(2)]
        tags = [(0, "ARC"), *tags[1:], (50, angles[0]), (51, angles[1])]
    return tags


def polyline(chance: Random, size: float) -> list[Tag]:
    """Return a lightweight polyline with some bulged sides."""
    many = chance.choice([1, 2, 3, 4, 12, 200])
    tags: list[Tag] = [(0, "LWPOLYLINE"), (90, str(many)), (70, chance.choice(["0", "1"]))]
    for _ in range(many):
        tags += _xy(chance, size)
        if chance.random() < 0.2:
            tags.append((42, chance.choice(["1", "-1", "0.1", "1e-9", "1e9", "300"])))
    return tags


def box(chance: Random, size: float) -> list[Tag]:
    """Return a closed rectangle, so that something can be imported."""
    x, y = chance.uniform(-size, size), chance.uniform(-size, size)
    w, h = size * chance.uniform(0.01, 1), size * chance.uniform(0.01, 1)
    tags: list[Tag] = [(0, "LWPOLYLINE"), (90, "4"), (70, "1")]
    for px, py in ((x, y), (x + w, y), (x + w, y + h), (x, y + h)):
        tags += [(10, f"{px:.9g}"), (20, f"{py:.9g}")]
    return tags


def ellipse(chance: Random, size: float) -> list[Tag]:
    """Return an ellipse."""
    ratio = chance.choice(["1", "0.5", "1e-6", "0", "-1", "5"])
    ends = [(41, "0"), (42, chance.choice(["6.283185307", "3", "-1", "100"]))]
    return [(0, "ELLIPSE"), *_xy(chance, size), *_xy(chance, size, 11), (40, ratio), *ends]


def spline(chance: Random, size: float) -> list[Tag]:
    """Return a spline by control points, by fit points, or by both, rational or not."""
    degree = chance.choice([1, 2, 3, 3, 5, 11])
    poles = chance.choice([degree + 1, degree + 3, 20, 150, 2])
    tags: list[Tag] = [(0, "SPLINE"), (70, chance.choice(["0", "1", "8", "11"])), (71, str(degree))]
    knots = [0] * degree + list(range(max(poles - degree + 1, 1)))
    knots += [knots[-1]] * degree
    if chance.random() < 0.7:
        tags += [(72, str(len(knots))), (73, str(poles)), *((40, str(knot)) for knot in knots)]
        for _ in range(poles):
            tags += _xy(chance, size)
            if chance.random() < 0.3:
                tags.append((41, chance.choice(["1", "2", "0", "1e-9", "-1"])))
    if chance.random() < 0.4:
        for _ in range(poles):
            tags += _xy(chance, size, 11)
    return tags


def insert(chance: Random, size: float, blocks: list[str]) -> list[Tag]:
    """Return a block insert, single or in rows, rotated and scaled."""
    tags = [(0, "INSERT"), (2, chance.choice(blocks)), *_xy(chance, size)]
    if chance.random() < 0.4:
        tags += [(41, real(chance)), (42, real(chance)), (43, "1")]
    if chance.random() < 0.3:
        tags.append((50, f"{chance.uniform(-360, 360):.2f}"))
    if chance.random() < 0.3:
        tags += [(70, whole(chance)), (71, whole(chance)), (44, real(chance)), (45, real(chance))]
    if chance.random() < 0.1:
        tags += [(210, "0"), (220, "0"), (230, "-1")]
    return tags


_SHAPES = [line, circle, polyline, box, box, ellipse, spline]


def reading(folder: Path) -> Drawn:
    """Return the trial for this kind."""
    return Drawn(folder, ".dxf", Drawings().changed)
