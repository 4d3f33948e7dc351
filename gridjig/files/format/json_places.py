"""Where in a JSON text a thing stands: only asked once something is wrong, so it may be slow.

Works on text that a JSON reader has accepted; it does not check grammar itself.
"""

import json
import math
import re
from collections.abc import Iterator
from typing import NamedTuple

JsonPath = tuple[str | int, ...]

_TOKEN = re.compile(r'[ \t\r\n]*([{}\[\],:]|"(?:[^"\\]|\\.)*"|[^ \t\r\n{}\[\],:"]+)')
_STEP = re.compile(r"\.([^.\[\]]+)|\[(\d+)\]")


class JsonToken(NamedTuple):
    """A key or a value in the text: where it begins, its path, and how it is written."""

    at: int
    path: JsonPath
    token: str
    is_key: bool


def walk(text: str) -> Iterator[JsonToken]:
    """Every key and every value of a JSON text, in order.

    A text may stop being JSON behind the place that is looked for; there the walk ends.
    """
    steps: list[str | int] = []  # from the root to the container that is open
    kinds: list[str] = []
    wants_key = False
    for match in _TOKEN.finditer(text):
        token, at = match[1], match.start(1)
        if token in "}],:" and not kinds:
            return
        if token in "}]":
            kinds.pop()
            steps.pop()
            wants_key = False
        elif token == ",":
            wants_key = kinds[-1] == "{"
            if not wants_key:
                last = steps[-1]
                steps[-1] = last + 1 if isinstance(last, int) else last
        elif token == ":":
            wants_key = False
        elif wants_key:
            try:
                steps[-1] = json.loads(token)  # undoes escapes, so that doubled keys are found
            except ValueError:
                return
            yield JsonToken(at, tuple(steps), token, True)
        else:
            yield JsonToken(at, tuple(steps), token, False)
            if token in "{[":
                kinds.append(token)
                steps.append("" if token == "{" else 0)
                wants_key = token == "{"


def find(text: str, path: JsonPath) -> int | None:
    """Where the value of a path begins, or None if the text has none."""
    for spot in walk(text):
        if not spot.is_key and spot.path == path:
            return spot.at
    return None


def find_doubled(text: str) -> JsonToken | None:
    """The first key that stands for the second time in the same object, or None."""
    seen: set[JsonPath] = set()
    for spot in walk(text):
        if spot.is_key:
            if spot.path in seen:
                return spot
            seen.add(spot.path)
    return None


def find_boundless(text: str) -> JsonToken | None:
    """The first number that is too large to be kept, or None."""
    for spot in walk(text):
        if spot.token[0] in "-0123456789":
            try:
                if math.isinf(float(spot.token)):
                    return spot
            except ValueError:
                continue
    return None


def line_and_column(text: str, at: int) -> tuple[int, int]:
    """Line and column, from 1, of a place in a text."""
    return text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)


def parse_path(written: str) -> JsonPath:
    """The steps of a path written as `$.placements[3].turn` or `placements[3].turn`."""
    dotted = written.removeprefix("$")
    if dotted and dotted[0] not in ".[":
        dotted = "." + dotted
    return tuple(int(index) if index else name for name, index in _STEP.findall(dotted))


def write_path(path: JsonPath) -> str:
    """A path as a person reads it: `placements[3].turn`."""
    parts = (f"[{step}]" if isinstance(step, int) else f".{step}" for step in path)
    return "".join(parts).removeprefix(".")
