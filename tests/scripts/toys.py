"""Fuzzers of toys, so that every kind of find can be made on purpose."""

import json
import os
from pathlib import Path
from random import Random

from fuzzing.kind import Find, Kind, Parts


class Toy:
    """Cases are lists of numbers; what a number does stands below."""

    held: bytes = b""

    def make(self, chance: Random) -> bytes:
        return json.dumps([chance.randrange(5) for _ in range(8)]).encode()

    def run(self, data: bytes) -> str:
        numbers = json.loads(data)
        if 13 in numbers:
            raise KeyError("thirteen")
        if 14 in numbers:
            raise Find("a job is lost: it was here")
        if 15 in numbers:
            while True:  # it takes the processor's time
                pass
        if 16 in numbers:
            os.abort()
        if 17 in numbers:
            Toy.held = b"x" * (300 * 1024 * 1024)
        return "odd" if sum(numbers) % 2 else "even"

    def parts(self, data: bytes) -> Parts | None:
        numbers = [str(number).encode() for number in json.loads(data)]
        return Parts(numbers, lambda kept: b"[" + b", ".join(kept) + b"]")


class Bad(Toy):
    """Every tenth case or so does what it should not."""

    def __init__(self, worst: int) -> None:
        self._worst = worst

    def make(self, chance: Random) -> bytes:
        data = super().make(chance)
        return data.replace(b"4, ", b"%d, " % self._worst, 1) if chance.random() < 0.5 else data


def good(folder: Path) -> Toy:
    return Toy()


def raising(folder: Path) -> Toy:
    return Bad(13)


def losing(folder: Path) -> Toy:
    return Bad(14)


def hanging(folder: Path) -> Toy:
    return Bad(15)


def dying(folder: Path) -> Toy:
    return Bad(16)


def growing(folder: Path) -> Toy:
    return Bad(17)


def _kind(name: str) -> Kind:
    place = f"tests.scripts.toys:{name.lower()}"
    return Kind(name, "", ".json", place, 8, 100, 5, seconds=0.25, megabytes=200)


GOOD, RAISING, LOSING = _kind("GOOD"), _kind("RAISING"), _kind("LOSING")
HANGING, DYING, GROWING = _kind("HANGING"), _kind("DYING"), _kind("GROWING")
