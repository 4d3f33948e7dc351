"""What `check.py` does once the Python is known to be new enough: the steps and their summary."""

import argparse
import os
import random
import re
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO

import environment
import formatting
import names
import sizes
import trywheel
import vacuous
from installing import Setback

ROOT = environment.ROOT
FOLDERS = ["gridjig", "scripts", "tests"]
FLOOR = ROOT / "tests" / "coverage_floor.txt"
ABOVE = "gridjig/qt/*"  # the coverage floor does not apply to the window
LAYERS = "from importlinter.cli import lint_imports_command as main; main()"
TYPES = ("-m", "mypy", *FOLDERS)
COLLECT = ("-m", "pytest", "--collect-only", "-qq", "-p", "no:cacheprovider")
"""Compiles the tests: in a new environment each worker would otherwise compile all of them."""
EARLY: dict[str, tuple[str, ...]] = {"types": TYPES, "tests": COLLECT}
"""What is started at once and runs beside the steps before it, which use one processor."""
HUNG, DEEP_HUNG = 900, 3 * 3600  # seconds without a line after which tests are taken to hang


def tool_variables() -> dict[str, str]:
    """Return the environment variables of a step; bytecode is kept in .venv, not beside the
    sources.
    """
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    bytecode = str(ROOT / ".venv" / "bytecode")
    offscreen = {"QT_QPA_PLATFORM": "offscreen"}
    return {**offscreen, **kept, "PYTHONUTF8": "1", "PYTHONPYCACHEPREFIX": bytecode}


def stop_after(seconds: float, process: subprocess.Popen[str]) -> threading.Timer:
    """Start a timer that stops a process, and says so; return it."""

    def stop() -> None:
        print(f"\nStopped, since nothing more came for {seconds:.0f} s.", flush=True)
        process.kill()

    timer = threading.Timer(seconds, stop)
    timer.daemon = True
    timer.start()
    return timer


@dataclass
class Early:
    """A tool that was started before its step."""

    process: subprocess.Popen[bytes]
    output: IO[str]

    def ended(self) -> tuple[bool, str]:
        """Wait for its end and show its output; return the same as `Run.tool`."""
        code = self.process.wait()
        with self.output:
            self.output.seek(0)
            output = self.output.read()
        print(output, end="", flush=True)
        return code == 0, output


@dataclass
class Run:
    """The state that the steps of one run share."""

    python: Path
    coverage: bool
    raise_floor: bool = False
    deep: bool = False
    seed: int | None = None
    closing: str = ""
    notes: list[str] = field(default_factory=list)
    early: dict[tuple[str | Path, ...], "Early"] = field(default_factory=dict)

    def start(self, *command: str | Path) -> None:
        """Start a tool that a later step will ask for; its output is kept until then."""
        output = tempfile.TemporaryFile("w+", encoding="utf-8", errors="replace")  # noqa: SIM115
        process = subprocess.Popen(
            [self.python, *command],
            cwd=ROOT,
            env=tool_variables(),
            stdout=output,
            stderr=subprocess.STDOUT,
        )
        self.early[command] = Early(process, output)

    def stop(self) -> None:
        """Stop the tools that no step has asked for."""
        for one in self.early.values():
            one.process.kill()
            one.process.wait()
            one.output.close()
        self.early.clear()

    def finish(self, *command: str | Path) -> None:
        """Wait for a tool if it was started early; its result does not matter."""
        if command in self.early:
            one = self.early.pop(command)
            one.process.wait()
            one.output.close()

    def tool(self, *command: str | Path, hung: float = 1e6) -> tuple[bool, str]:
        """Run the environment's Python, show its output, and return whether it succeeded, with the
        output.  Stop it if it prints no line for `hung` seconds.
        """
        if command in self.early:
            return self.early.pop(command).ended()
        with subprocess.Popen(
            [self.python, *command],
            cwd=ROOT,
            env=tool_variables(),
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            encoding="utf-8",
            errors="replace",
        ) as process:
            timer = stop_after(hung, process)
            output = ""
            for line in process.stdout or ():
                timer.cancel()
                output += line
                print(line, end="", flush=True)
                timer = stop_after(hung, process)
            timer.cancel()
        return process.returncode == 0, output


def check_format(run: Run) -> bool:
    """The formatter would change nothing."""
    return run.tool("-m", "ruff", "format", "--check", *FOLDERS)[0]


def check_lint(run: Run) -> bool:
    """The linter finds nothing."""
    return run.tool("-m", "ruff", "check", *FOLDERS)[0]


def check_types(run: Run) -> bool:
    """The types fit, strictly."""
    return run.tool(*TYPES)[0]


def check_layers(run: Run) -> bool:
    """Each package imports only what it may."""
    return run.tool("-c", LAYERS)[0]


def check_names(run: Run) -> bool:
    """Every public class and alias has a name of its own."""
    faults = names.defined_twice(ROOT)
    for line in faults:
        print(line)
    return not faults


def check_size(run: Run) -> bool:
    """No file is too long to read in one sitting."""
    faults = sizes.too_long(ROOT)
    for line in (*faults, *sizes.long_functions(ROOT)):
        print(line)
    return not faults


def check_numbers(run: Run) -> bool:
    """Numbers that people read are made into text in one place."""
    faults = formatting.by_hand(ROOT)
    for line in faults:
        print(line)
    return not faults


def check_vacuous(run: Run) -> bool:
    """No test can pass without coming to an assertion."""
    tests, faults = vacuous.vacuous_tests(ROOT)
    print(*faults, f"{tests} tests looked at, {len(faults)} of them vacuous", sep="\n")
    return bool(tests) and not faults


def check_wheel(run: Run) -> bool:
    """The wheel, installed alone, runs and finds its assets."""
    return trywheel.try_wheel(run.python)


def closing_line(output: str) -> str:
    """Return pytest's last line, with the number of tests passed."""
    words = (" passed", " failed", " error", "no tests ran")
    lines = [line for line in output.splitlines() if any(word in line for word in words)]
    return lines[-1] if lines else "the tests gave no result"


def pytest_options(run: Run, workers: int, seed: int) -> list[str]:
    """Return the options for pytest; a given seed also decides the property tests' examples."""
    options = [f"--randomly-seed={seed}"]
    if workers > 1:
        options += ["-n", str(workers), "--dist", "worksteal"]
    if run.coverage:
        options += ["--cov", "--cov-branch", "--cov-report="]
    if run.deep:
        options += ["--hypothesis-profile=deep"]
    if run.seed is not None:
        options += [f"--hypothesis-seed={seed}"]
    return options


def check_tests(run: Run) -> bool:
    """The tests pass, in random order (its seed is printed), and no warning is raised."""
    seed = random.randrange(2**32) if run.seed is None else run.seed
    print(f"seed {seed}", flush=True)
    run.finish(*COLLECT)
    options = pytest_options(run, min(4, os.cpu_count() or 1), seed)
    passed, output = run.tool("-m", "pytest", *options, hung=DEEP_HUNG if run.deep else HUNG)
    run.closing = closing_line(output)
    if not passed:
        deep = " --deep" if run.deep else ""
        print(f"To run the tests in this order again: scripts/check.py{deep} --seed {seed} tests")
    return passed


def floor_verdict(measured: float, floor: float) -> str:
    """Return a sentence if the measured branch coverage is below the floor, or an empty string."""
    if measured >= floor:
        return ""
    return (
        f"Branch coverage outside gridjig/qt is {measured:.2f} %, below the floor of {floor:.2f} %:"
        " test what is new, the table above says where."
    )


def total_of(table: str) -> float | None:
    """Return the percentage in the last line of a coverage report, or None if there is none."""
    found = re.search(r"^TOTAL\s.*?([\d.]+)%$", table, re.MULTILINE)
    return float(found[1]) if found else None


def check_coverage(run: Run) -> bool:
    """Branch coverage outside the window's package is not below the floor."""
    if not run.coverage:
        print("left out, because of --fast")
        return True
    shown = ("--skip-covered", "-m", "--sort=cover", "--precision=2")
    done, table = run.tool("-m", "coverage", "report", f"--omit={ABOVE}", *shown)
    measured = total_of(table)
    if not done or measured is None:
        return False
    floor = float(FLOOR.read_text(encoding="utf-8"))
    fault = floor_verdict(measured, floor)
    print(fault or f"Branch coverage outside gridjig/qt: {measured:.2f} %, floor {floor:.2f} %.")
    if measured >= floor + 0.2 and not run.raise_floor:
        print("To raise the floor: python3 scripts/check.py --raise-floor tests coverage")
    if run.raise_floor and measured > floor:
        FLOOR.write_text(f"{measured:.2f}\n", encoding="utf-8")
        print(f"The floor is now {measured:.2f} %.")
    return not fault


def check_fuzz(run: Run) -> bool:
    """Nothing breaks under a short round of the fuzzers; half of it is new, but not in CI."""
    # A new seed is printed, and each find comes with the command that repeats it.  CI
    # tries the same cases every time, so that its verdict is about the change that it checks.
    workers = str(min(2, os.cpu_count() or 1))
    same = ["--seed", "2"] if os.environ.get("CI") else []
    command = ["scripts/fuzz.py", "all", "--short", "--workers", workers, *same]
    return run.tool(*command, hung=HUNG)[0]


STEPS: dict[str, Callable[[Run], bool]] = {
    "format": check_format,
    "lint": check_lint,
    "layers": check_layers,
    "names": check_names,
    "size": check_size,
    "numbers": check_numbers,
    "vacuous": check_vacuous,
    "wheel": check_wheel,
    "types": check_types,
    "tests": check_tests,
    "coverage": check_coverage,
    "fuzz": check_fuzz,
}


def run_steps(run: Run, names: list[str]) -> dict[str, tuple[bool, float]]:
    """Run the steps in order; return for each whether it passed and how long it took."""
    results = {}
    for name, command in EARLY.items():
        if name in names and len(names) > 1:
            run.start(*command)
    for name, step in STEPS.items():
        if name not in names:
            continue
        print(f"\n== {name}: {step.__doc__}", flush=True)
        began = time.monotonic()
        well = step(run)
        results[name] = (well, time.monotonic() - began)
    return results


def main(arguments: list[str]) -> int:
    """Run the requested steps and print the results; return 0 if all passed, 1 if not, 2 if they
    could not run.
    """
    try:
        return check(arguments)
    except Setback as setback:
        print(setback, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        return 130


def check(arguments: list[str]) -> int:
    """Run the requested steps and print the results.  Raise Setback if the environment cannot be
    made.
    """
    parser = argparse.ArgumentParser(description="Check the whole project.")
    parser.add_argument("--fast", action="store_true", help="do not measure coverage")
    parser.add_argument("--deep", action="store_true", help="try 80 times as many examples")
    parser.add_argument("--seed", type=int, metavar="N", help="repeat the order of an earlier run")
    parser.add_argument("--raise-floor", action="store_true", help="set the floor to what is there")
    parser.add_argument("steps", nargs="*", metavar="STEP", help=f"one of: {', '.join(STEPS)}")
    chosen = parser.parse_args(arguments)
    unknown = [name for name in chosen.steps if name not in STEPS]
    if unknown:
        parser.error(f"there is no step {unknown[0]}; the steps are {', '.join(STEPS)}")
    began = time.monotonic()
    python = environment.prepare("check")
    run = Run(
        python,
        coverage=not chosen.fast,
        raise_floor=chosen.raise_floor,
        deep=chosen.deep,
        seed=chosen.seed,
    )
    try:
        results = run_steps(run, chosen.steps or list(STEPS))
    finally:
        run.stop()
    print()
    for name, (well, seconds) in results.items():
        print(f"{'well   ' if well else 'NOT WELL'} {name:9} {seconds:6.1f} s")
    bad = [name for name, (well, _) in results.items() if not well]
    verdict = f"not well: {', '.join(bad)}" if bad else "all is well"
    print(f"{time.monotonic() - began:.0f} s in all; {verdict}")
    if run.closing:
        print(run.closing)
    return 1 if bad else 0
