"""What `register.py` does: gathers the marks of the tests, without running one, and prints them."""

import argparse
import json
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

import environment
from installing import Setback, clean_variables
from sourcekinds import MEANING, SourceKind

EXPECTATIONS = environment.ROOT / "tests" / "expectations.txt"


class Register(NamedTuple):
    """Which tests carry which mark: sources by kind and text, expectations by their number."""

    sources: dict[SourceKind, dict[str, list[str]]]
    expectations: dict[int, list[str]]


def register_of(marks: Iterable[tuple[str, str, list[str | int]]]) -> Register:
    """Return the register of (test, mark, arguments of the mark); a test with many cases counts
    once.
    """
    sources: dict[SourceKind, dict[str, set[str]]] = {kind: {} for kind in SourceKind}
    expectations: dict[int, set[str]] = {}
    for test, mark, values in marks:
        name = test.partition("[")[0]
        if mark == "source":
            kind, *texts = map(str, values)
            text = ", ".join(texts)
            sources[SourceKind(kind)].setdefault(text, set()).add(name)
        else:
            for value in values:
                expectations.setdefault(int(value), set()).add(name)
    return Register(
        {
            kind: {text: sorted(tests) for text, tests in sorted(texts.items())}
            for kind, texts in sources.items()
        },
        {number: sorted(tests) for number, tests in sorted(expectations.items())},
    )


def read_expectations(path: Path = EXPECTATIONS) -> dict[int, str]:
    """Return the list of expectations: number and text."""
    lines = path.read_text(encoding="utf-8").splitlines()
    pairs = (line.split(" ", 1) for line in lines if line and not line.startswith("#"))
    return {int(number): text for number, text in pairs}


def lines_of(register: Register, texts: dict[int, str]) -> Iterable[str]:
    """Yield the register as it is printed: sources with their tests, then every expectation."""
    yield f"SOURCES: {sum(map(len, register.sources.values()))} that tests compare with"
    for kind, sources in register.sources.items():
        tests_of_kind = {test for tests in sources.values() for test in tests}
        yield f"{len(sources):5} {kind:9} in {len(tests_of_kind):3} tests: {MEANING[kind]}"
    for kind, sources in register.sources.items():
        yield f"\n== {kind}"
        for text, tests in sources.items():
            yield f"\n{text}"
            yield from (f"    {test}" for test in tests)
    covered = sum(number in register.expectations for number in texts)
    yield f"\nEXPECTATIONS: {covered} of {len(texts)} covered"
    for number, text in texts.items():
        tests = register.expectations.get(number, [])
        yield f"{'+' if tests else '-'} {number:3} {text}"
        yield from (f"        {test}" for test in tests)
    for number in sorted(register.expectations.keys() - texts.keys()):
        yield f"? {number} is not on the list: {', '.join(register.expectations[number])}"


def gather(python: Path, folders: list[str]) -> Register | None:
    """Return the register of the tests in those folders; None, with pytest's output shown, if that
    fails.
    """
    with tempfile.TemporaryDirectory() as folder:
        answer = Path(folder) / "marks.json"
        options = ["--collect-only", "-q", "-p", "registerplugin", f"--register={answer}"]
        done = subprocess.run(
            [python, "-m", "pytest", *options, *folders],
            cwd=environment.ROOT,
            env={**clean_variables(), "PYTHONPATH": str(Path(__file__).parent)},
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            print(done.stdout[-3000:], done.stderr[-1000:], file=sys.stderr)
            return None
        return register_of(json.loads(answer.read_text(encoding="utf-8")))


def main(arguments: list[str]) -> int:
    """Print the register; return 0, or 2 if the tests cannot be gathered."""
    parser = argparse.ArgumentParser(
        description="Print what the tests compare with, and which expectations they cover."
    )
    parser.add_argument("tests", nargs="*", metavar="TESTS", help="only these folders or files")
    chosen = parser.parse_args(arguments)
    try:
        python = environment.prepare("check")
    except Setback as setback:
        print(setback, file=sys.stderr)
        return 2
    register = gather(python, chosen.tests)
    if register is None:
        return 2
    print("\n".join(lines_of(register, read_expectations())))
    return 0
