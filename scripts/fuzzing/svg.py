"""SVG drawings, written here with every element that has a shape, and imported as a job."""

from pathlib import Path
from random import Random
from unittest import mock

from gridjig.qt.paint import svg_process, svg_reader

from .dxf import Drawn
from .texts import a_text
from .trees import raw

_RAW = 0.08
_HUGE = 0.15  # share of drawings that may be huge: one takes as long as a hundred others
_COLOURS = ["black", "#f00", "none", "rgb(1,2,3)", "url(#x0)", "inherit", "currentColor", "#zz"]
_STYLES = ["a{b:c}", "path{fill:none}", "@import 'x.css';", "*{", ".a,.b>c{stroke:red}", "/*"]


class Writer:
    """Writes one drawing."""

    def __init__(self, chance: Random) -> None:
        self.chance = chance
        self.size = 10 ** chance.uniform(-2, 5 if chance.random() < _HUGE else 3)
        self.named = 0

    def number(self) -> str:
        """Return a coordinate; sometimes one that no drawing should have."""
        if self.chance.random() < 0.03:
            odd = [
                "nan",
                "inf",
                "1e308",
                "-1e30",
                "1e-320",
                "",
                "x",
                "1e",
                "5%",
                "3em",
                "--1",
                "1e39",
            ]
            return self.chance.choice(odd)
        return f"{self.chance.uniform(-0.2, 1) * self.size:.6g}"

    def numbers(self, many: int) -> str:
        """Return several coordinates."""
        return " ".join(self.number() for _ in range(many))

    def path(self) -> str:
        """Return the data of a path."""
        made = [f"M {self.numbers(2)}"]
        takes = {
            "L": 2,
            "H": 1,
            "V": 1,
            "C": 6,
            "S": 4,
            "Q": 4,
            "T": 2,
            "A": 7,
            "Z": 0,
            "M": 2,
            "l": 2,
        }
        for _ in range(self.chance.choice([1, 3, 3, 8, 40])):
            letter = self.chance.choice(list(takes))
            if letter == "A":
                flags = f"{self.chance.randrange(2)} {self.chance.randrange(2)}"
                made.append(
                    f"A {self.numbers(2)} {self.chance.randrange(360)} {flags} {self.numbers(2)}"
                )
            else:
                made.append(f"{letter} {self.numbers(takes[letter])}")
        return " ".join([*made, "Z"])

    def transform(self) -> str:
        """Return an empty string or a transformation."""
        if self.chance.random() < 0.7:
            return ""
        n = self.numbers
        one = self.chance.choice(
            [
                f"translate({n(2)})",
                f"rotate({self.chance.randrange(-720, 720)})",
                f"scale({self.chance.choice(['2', '-1', '0', '1e-9', '1e9', '.5 3'])})",
                f"matrix({n(6)})",
                f"skewX({self.chance.randrange(-90, 91)})",
                "rotate(",
            ]
        )
        return f' transform="{one}"'

    def paint(self) -> str:
        """Return colour, width and name."""
        self.named += 1
        stroke, fill = self.chance.choice(_COLOURS), self.chance.choice(_COLOURS)
        return f' id="x{self.named}" stroke="{stroke}" fill="{fill}"{self.transform()}'

    def element(self, depth: int) -> str:  # noqa: PLR0911 - one for each element
        """Return one element with its contents."""
        n, paint = self.number, self.paint()
        what = self.chance.randrange(14)
        if what >= 10 and depth > 4:
            what = 0
        match what:
            case 0 | 1:
                return f'<rect x="{n()}" y="{n()}" width="{n()}" height="{n()}"{paint}/>'
            case 2:
                return f'<circle cx="{n()}" cy="{n()}" r="{n()}"{paint}/>'
            case 3:
                return f'<ellipse cx="{n()}" cy="{n()}" rx="{n()}" ry="{n()}"{paint}/>'
            case 4:
                return f'<line x1="{n()}" y1="{n()}" x2="{n()}" y2="{n()}"{paint}/>'
            case 5 | 6:
                name = self.chance.choice(["polygon", "polyline"])
                many = 2 * self.chance.choice([1, 3, 5, 100])
                return f'<{name} points="{self.numbers(many)}"{paint}/>'
            case 7 | 8 | 9:
                return f'<path d="{self.path()}"{paint}/>'
            case 10:
                to = self.chance.randrange(1, self.named + 1)
                return f'<use href="#x{to}" xlink:href="#x{to}" x="{n()}" y="{n()}"{paint}/>'
            case 11:
                return self._odd()
            case _:
                name = self.chance.choice(["g", "g", "g", "defs", "symbol", "svg", "clipPath", "a"])
                return f"<{name}{paint}>{self.elements(depth + 1)}</{name}>"

    def _odd(self) -> str:
        words = a_text(self.chance).replace("&", "&amp;").replace("<", "&lt;")
        return self.chance.choice(
            [
                f"<text>{words}</text>",
                f"<style>{self.chance.choice(_STYLES)}</style>",
                '<image href="x.png" width="5" height="5"/>',
                f"<!-- {words.replace('-', '')} -->",
                '<linearGradient id="x0"><stop offset="1"/></linearGradient>',
                "<animate attributeName='x' to='9' dur='1s'/>",
                "<unknown/>",
                "<![CDATA[ x ]]>",
            ]
        )

    def elements(self, depth: int = 0) -> str:
        """Return some elements."""
        many = self.chance.choice([1, 1, 2, 5] if depth else [1, 4, 4, 30])
        return "\n".join(self.element(depth) for _ in range(many))

    def drawing(self) -> str:
        """Return a whole drawing."""
        pick = self.chance.choice
        unit = pick(["mm", "in", "px", "", "cm", "pt", "%", "furlong"])
        size = f' width="{self.number()}{unit}" height="{self.number()}{unit}"'
        box = (
            f' viewBox="{pick(["0 0 100 100", self.numbers(4), "0 0 1e-9 1e9", "0 0 0 0", "1 2"])}"'
        )
        head = pick(["", "<?xml version='1.0'?>", "<!DOCTYPE svg [<!ENTITY a 'b'>]>"])
        names = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
        return f"{head}<svg {names}{pick([size, ''])}{pick([box, box, ''])}>{self.elements()}</svg>"


def changed(chance: Random) -> bytes:
    """Return a drawing, usually a valid one."""
    data = Writer(chance).drawing().encode()
    return raw(chance, data) if chance.random() < _RAW else data


class ReadHere(Drawn):
    """Reads drawings in this process, which may die of one too.

    A process for each case would take most of the time.
    """

    def run(self, data: bytes) -> str:
        """Import a drawing."""
        with mock.patch.object(svg_process, "sketch_of", svg_reader.sketch_of):
            return super().run(data)


def reading(folder: Path) -> Drawn:
    """Return the trial for this kind."""
    return ReadHere(folder, ".svg", changed)
