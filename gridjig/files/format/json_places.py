"""Finds where something is in a JSON text: only used after an error, so it may be slow.

Works on text that a JSON reader has accepted; it does not check grammar itself.
"""

import json
import math
import re
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple, cast

JsonPath = tuple[str | int, ...]

# Possessive, so that megabytes of text leave no backtracking points.
_TEXT = r'"[^"\\]*+(?:\\.[^"\\]*+)*+"'
_TOKEN = re.compile(rf'[ \t\r\n]*+([{{}}\[\],:]|{_TEXT}|[^ \t\r\n{{}}\[\],:"]++)', re.DOTALL)
_KEYS = re.compile(rf"[{{}}\[\]]|({_TEXT})[ \t\r\n]*+(:)?", re.DOTALL)
_STEP = re.compile(r"\.([^.\[\]]+)|\[(\d+)\]")


def _key(token: str) -> str:
    """Return the key that a token writes, without escapes, to find duplicate keys.

    Raise ValueError if a key may not be written so.  Most are plain and need no JSON reader.
    """
    if token[0] == '"' and "\\" not in token and token.isprintable():
        return token[1:-1]
    return str(json.loads(token))


class JsonToken(NamedTuple):
    """A key or a value in the text: where it begins, its path, and how it is written."""

    at: int
    path: JsonPath
    token: str
    is_key: bool


class _Walk:
    """Goes over a text; `steps` lead from the root to what it is at.

    They are changed in place: a separate path for each of a million values would fill the memory.
    """

    def __init__(self, text: str) -> None:
        self._text = text
        self.steps: list[str | int] = []

    def __iter__(self) -> Iterator[tuple[int, str, bool]]:
        """Where each key and each value begins, how it is written, and whether it is a key.

        A text may stop being JSON after the wanted place; the walk ends there.
        """
        steps = self.steps
        kinds: list[str] = []
        wants_key = False
        for match in _TOKEN.finditer(self._text):
            token = match[1]
            if token == ",":
                if not kinds:
                    return
                wants_key = kinds[-1] == "{"
                if not wants_key:
                    steps[-1] = cast(int, steps[-1]) + 1
            elif token in "}]":
                if not kinds:
                    return
                kinds.pop()
                steps.pop()
                wants_key = False
            elif token == ":":
                if not kinds:
                    return
                wants_key = False
            elif wants_key:
                try:
                    steps[-1] = _key(token)
                except ValueError:
                    return
                yield match.start(1), token, True
            else:
                yield match.start(1), token, False
                if token in "{[":
                    kinds.append(token)
                    steps.append("" if token == "{" else 0)
                    wants_key = token == "{"


def walk(text: str) -> Iterator[JsonToken]:
    """Yield every key and every value of a JSON text, in order."""
    walked = _Walk(text)
    for at, token, is_key in walked:
        yield JsonToken(at, tuple(walked.steps), token, is_key)


def find(text: str, path: JsonPath) -> int | None:
    """Return where the value at a path begins, or None if the text has none."""
    walked = _Walk(text)
    steps, wanted, depth = walked.steps, list(path), len(path)
    alike = 0  # how many of the first steps match the path
    for at, _, is_key in walked:
        here = len(steps)
        alike = min(alike, max(here - 1, 0))
        if here and alike == here - 1 and here <= depth and steps[-1] == wanted[here - 1]:
            alike = here
        if not is_key and alike == here == depth:
            return at
    return None


class _Open:
    """A list or a group that is open: where it begins, the keys seen in it and the last of them."""

    __slots__ = ("begins", "key", "keys")

    def __init__(self, begins: int, is_group: bool) -> None:
        self.begins = begins
        self.keys: set[str] | None = set() if is_group else None
        self.key = ""


def find_doubled(text: str) -> JsonToken | None:
    """Return the first key that occurs a second time in the same object, or None."""
    opened: list[_Open] = []
    for match in _KEYS.finditer(text):
        token = match[0]
        if token in "{[":
            opened.append(_Open(match.start(), token == "{"))
        elif token in "}]":
            if not opened:
                return None
            opened.pop()
        elif match[2] and opened and opened[-1].keys is not None:
            inner = opened[-1]
            try:
                inner.key = _key(match[1])
            except ValueError:
                return None
            if inner.key in opened[-1].keys:
                return JsonToken(match.start(1), _path_to(text, opened), match[1], True)
            opened[-1].keys.add(inner.key)
    return None


def _path_to(text: str, opened: list[_Open]) -> JsonPath:
    """The path to the current key of the innermost open object."""
    steps: list[str | int] = []
    for outer, inner in pairwise(opened):
        if outer.keys is not None:
            steps.append(outer.key)
        else:
            before = text[outer.begins : inner.begins].rstrip(" \t\r\n,")
            steps.append(len(json.loads(before + "]")))
    return (*steps, opened[-1].key)


def find_boundless(text: str) -> JsonToken | None:
    """Return the first number that is too large to store, or None."""
    walked = _Walk(text)
    for at, token, _ in walked:
        if token[0] in "-0123456789":
            try:
                if math.isinf(float(token)):
                    return JsonToken(at, tuple(walked.steps), token, False)
            except ValueError:
                continue
    return None


def line_and_column(text: str, at: int) -> tuple[int, int]:
    """Return the line and column, from 1, of a place in a text."""
    return text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)


def parse_path(written: str) -> JsonPath:
    """Return the steps of a path written `$.placements[3].turn` or `placements[3].turn`."""
    dotted = written.removeprefix("$")
    if dotted and dotted[0] not in ".[":
        dotted = "." + dotted
    return tuple(int(index) if index else name for name, index in _STEP.findall(dotted))


def write_path(path: JsonPath) -> str:
    """Return a path for people to read: `placements[3].turn`."""
    parts = (f"[{step}]" if isinstance(step, int) else f".{step}" for step in path)
    return "".join(parts).removeprefix(".")
