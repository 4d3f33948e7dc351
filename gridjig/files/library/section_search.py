"""Finding a stock section by what a person types: sizes in either unit, and words for its kind.

`1.5x1.5x.125`, `1-1/2 x 1-1/2 x 1/8`, `50x50x3`, `2" sq` and `angle 50` all find something.
"""

import re
from collections.abc import Iterator, Sequence
from itertools import permutations

from msgspec import Struct

from gridjig.model import Section, SectionKind
from gridjig.model.stock import TUBES
from gridjig.units import ParseError, Unit, parse_length

from . import sections as library

NEAR = 0.06
"""Sizes that differ by less than this, mm, are the same: `.188` is 3/16 in."""

_KINDS: dict[str, frozenset[SectionKind]] = {
    **dict.fromkeys(("sq", "square", "shs"), frozenset[SectionKind](["square tube"])),
    **dict.fromkeys(
        ("rect", "rectangle", "rectangular", "rhs"), frozenset[SectionKind](["rectangular tube"])
    ),
    **dict.fromkeys(
        ("tube", "box", "hollow", "hss"), frozenset[SectionKind]([*TUBES, "round tube"])
    ),
    **dict.fromkeys(("pipe", "chs"), frozenset[SectionKind](["round tube"])),
    **dict.fromkeys(("round", "dia"), frozenset[SectionKind](["round tube", "round bar"])),
    **dict.fromkeys(("rod",), frozenset[SectionKind](["round bar"])),
    **dict.fromkeys(("bar",), frozenset[SectionKind](["round bar", "flat"])),
    **dict.fromkeys(("angle", "l"), frozenset[SectionKind](["angle"])),
    **dict.fromkeys(("channel", "c", "u"), frozenset[SectionKind](["channel"])),
    **dict.fromkeys(("flat", "strip", "fb"), frozenset[SectionKind](["flat"])),
}
_WORD = re.compile(r"[a-z]+")
_UNITS = {"in", "inch", "inches", "mm", "x", "by"}
_BETWEEN = re.compile(r"\s*(?:x|\*|\bby\b)\s*")
_SPACES = re.compile(r"(?<=[\d\"m])\s+(?=[\d.])")


class SectionSearch(Struct, frozen=True):
    """What was typed: sizes in mm, once as millimetres and once as inches, and kinds.

    `sizes` has one reading or two.  `kinds` is empty if none was named.
    """

    sizes: tuple[tuple[float, ...], ...]
    kinds: frozenset[SectionKind]


def read_search(text: str) -> SectionSearch | None:
    """Return what a text asks for, or None if it has words or sizes that say nothing."""
    plain = text.casefold().replace("×", " x ").replace("ø", " ").replace("⌀", " ")
    plain = plain.replace("”", '"').replace("″", '"')
    kinds: frozenset[SectionKind] | None = None
    for word in _WORD.findall(plain):
        if word in _UNITS:
            continue
        named = next((k for key, k in _KINDS.items() if key == word), None)
        if named is None:
            begun = [k for key, k in _KINDS.items() if len(word) > 1 and key.startswith(word)]
            if not begun:
                return None
            named = frozenset[SectionKind]().union(*begun)
        kinds = named if kinds is None else kinds & named
        plain = re.sub(rf"(?<![a-z]){word}(?![a-z])", " ", plain, count=1)
    numbers = [part for part in _BETWEEN.split(plain.strip()) if part.strip()]
    if len(numbers) == 1:
        numbers = [part for part in _SPACES.split(numbers[0]) if part.strip()]
    units: tuple[Unit, ...] = ("millimetres", "inch fractions")
    found = dict.fromkeys(filter(None, (_sizes(numbers, unit) for unit in units)))
    if numbers and not found:
        return None
    return SectionSearch(tuple(found), kinds or frozenset())


def _sizes(numbers: Sequence[str], unit: Unit) -> tuple[float, ...]:
    try:
        made = tuple(parse_length(number.strip(), unit) for number in numbers)
    except ParseError:
        return ()
    return made if all(size > 0 for size in made) else ()


def search_sections(text: str, offered: Sequence[Section] | None = None) -> tuple[Section, ...]:
    """Return the sections that a text may mean, those with just these sizes first.

    Without any size or kind the text is looked for in the names.  All are returned for no text.
    """
    every = library.sections() if offered is None else offered
    wanted = text.strip()
    if not wanted:
        return tuple(every)
    folded = _folded(wanted)
    named = [s for s in every if folded in _folded(f"{s.name}{s.kind}")]
    named.sort(key=lambda s: not _folded(f"{s.name}{s.kind}").startswith(folded))
    asked = read_search(wanted)
    if asked is None or not (asked.sizes or asked.kinds):
        return tuple(named)
    ranked: list[tuple[int, int]] = []
    for index, section in enumerate(every):
        rank = _rank(section, asked)
        if rank is not None:
            ranked.append((rank, index))
    found = [every[index] for _, index in sorted(ranked)]
    return tuple(dict.fromkeys((*found, *named)))


def _folded(text: str) -> str:
    return "".join(text.casefold().split())


def exact_sections(text: str, offered: Sequence[Section] | None = None) -> tuple[Section, ...]:
    """Return the sections with just the typed sizes and kind: nothing is left open but the kind."""
    every = library.sections() if offered is None else offered
    asked = read_search(text)
    if asked is None or not asked.sizes:
        return ()
    return tuple(s for s in every if _rank(s, asked) == 0)


def _rank(section: Section, asked: SectionSearch) -> int | None:
    """0 if all sizes of the section were typed, 1 if the first ones were; None if it differs."""
    if asked.kinds and section.kind not in asked.kinds:
        return None
    if not asked.sizes:
        return 1
    best: int | None = None
    for sizes in asked.sizes:
        for listed in _listed(section):
            if len(sizes) <= len(listed) and all(
                abs(a - b) <= NEAR for a, b in zip(sizes, listed, strict=False)
            ):
                whole = 0 if len(sizes) == len(listed) else 1
                best = whole if best is None else min(best, whole)
    return best


def _listed(section: Section) -> Iterator[tuple[float, ...]]:
    """The sizes of a section in every order in which they are written."""
    w, h, t = section.width, section.height, section.wall
    if section.kind in ("round tube", "round bar"):
        yield (w, t) if t else (w,)
        return
    for pair in dict.fromkeys(permutations((w, h))):
        yield (*pair, t) if t else pair
    if section.kind == "square tube":
        yield (w, t)
