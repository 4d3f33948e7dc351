"""Arguments on the terminal: every verb and option, with values that nobody would type.

The arguments of a verb come from its own parser, so a new verb or option is tried without being
named here.  Most calls are made in this process; some as a separate program, with an output that is
full, closed, or has no reader.
"""

import argparse
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from random import Random

from gridjig.cli import main
from gridjig.cli.command import all_verbs, parser_of
from gridjig.files.jobs.job_file import write_job
from gridjig.files.library.assets import ready_tables, samples, starter_racks

from .corpus import drawings
from .kind import Find, Parts
from .richjobs import rich_jobs
from .said import Said, require_answer, said
from .sheets import pdf_with
from .texts import ANGLES, LENGTHS, PLACES, SECTIONS, a_measure, a_text

_ALONE = 0.04  # share of calls made as a separate program
_SECONDS = 60
_BRIEFLY = {"suggest": ["--time", "1"]}  # it would go on looking for better ones for half a minute
_OUTPUTS = ["pipe", "closed", "gone"] + (["full"] if Path("/dev/full").exists() else [])
_ODD_FILES = [
    "nothing.gridjig", "folder", "folder.gridjig", "folder/x.gridjig", "empty.gridjig",
    "no/way/x.csv", "out.csv", "out.pdf", "out.gridjig", "x" * 300 + ".gridjig", "a\nb.gridjig",
    "job.gridjig.bak", ".", "..", "", "é\u0301.gridjig", "-", "out.pdf/", "nul\x00.gridjig",
    "bad.gridrack",
]  # fmt: skip


class Terminal:
    """Each case is a list of arguments, and where the output goes."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder / "desk"
        self._start = Path.cwd()
        self._hostile = hostile()
        self._lay_out()
        self._files = [*sorted(p.name for p in self._folder.iterdir()), *_ODD_FILES]
        self._verbs = {verb.name: _arguments(parser_of([verb]), verb.name) for verb in all_verbs()}
        tables, racks = list(ready_tables()), list(starter_racks())
        pieces = [piece.id for rack in starter_racks().values() for piece in rack.pieces]
        self._names = [tables, racks, pieces[:40]]

    def _lay_out(self) -> None:
        """Fill the folder with all the files that an argument can name; a verb may spoil them."""
        os.chdir(self._start)
        shutil.rmtree(self._folder, ignore_errors=True)
        (self._folder / "folder.gridjig").mkdir(parents=True)
        (self._folder / "folder").mkdir()
        (self._folder / "empty.gridjig").touch()
        (self._folder / "bad.gridrack").write_text("{}")
        for path in [*samples().values(), *drawings(".dxf")]:
            shutil.copy(path, self._folder)
        for number, job in enumerate(rich_jobs()):
            (self._folder / f"9-rich-{number}.gridjig").write_bytes(write_job(job))
        (self._folder / "box.svg").write_text(_BOX)
        for name, data in self._hostile.items():
            (self._folder / name).write_bytes(data)
        os.chdir(self._folder)

    def make(self, chance: Random) -> bytes:
        """Return a call."""
        if chance.random() < 0.04:
            words = [a_text(chance) for _ in range(chance.choice([1, 2, 4]))]
            words = [word for word in words if word] or ["?"]
        else:
            verb = chance.choice(list(self._verbs))
            words = [verb, *self._words(chance, self._verbs[verb]), *_BRIEFLY.get(verb, [])]
        case: dict[str, object] = {"words": words}
        if chance.random() < _ALONE:
            case["output"] = chance.choice(_OUTPUTS)
        return json.dumps(case).encode()

    def _words(self, chance: Random, actions: list[argparse.Action]) -> list[str]:
        words: list[str] = []
        for action in actions:
            if action.option_strings:
                if chance.random() < 0.18:
                    words += [chance.choice(action.option_strings), *self._values(chance, action)]
            elif chance.random() < 0.97:
                words += self._values(chance, action)
        if chance.random() < 0.05:
            words.insert(chance.randrange(len(words) + 1), a_text(chance))
        if chance.random() < 0.03:
            chance.shuffle(words)
        return words

    def _values(self, chance: Random, action: argparse.Action) -> list[str]:
        many = action.nargs if action.nargs is not None else 1
        if not isinstance(many, int):
            many = chance.choice([0, 1, 2])
        if chance.random() < 0.03:
            many = chance.choice([0, 1, 2, 3])
        return [self._value(chance, action) for _ in range(many)]

    def _value(self, chance: Random, action: argparse.Action) -> str:
        what = chance.random()
        if action.choices and what < 0.8:
            return str(chance.choice(list(action.choices)))
        if what < 0.7:
            return chance.choice(self._meant(chance, action))
        if what < 0.8:
            return chance.choice(self._files)
        if what < 0.85:
            return chance.choice(chance.choice(self._names))
        return a_measure(chance)

    def _meant(self, chance: Random, action: argparse.Action) -> list[str]:
        """Return a value that probably fits, judging by the argument's name and help."""
        name = str(action.metavar or action.dest).lower()
        about = str(action.help or "").lower()
        tables, racks, pieces = self._names
        if "out" in name:
            return ["out.gridjig", "out.csv", "out.pdf", "out.dxf", "out.svg"]
        jobs = [file for file in self._files if file[:1].isdigit()]
        if name == "sheet":
            return list(self._hostile)
        files = [file for file in self._files if file.lower().endswith((".dxf", ".svg"))]
        by_word = {"table": [*tables, *jobs], "rack": racks, "job": jobs, "draw": files}
        by_word |= {"section": SECTIONS, "weldment": ["1", "2", "spare", "weldment-2", "4"]}
        by_word |= {"old": jobs, "new": jobs}
        by_word |= {"piece": pieces, "hole": PLACES, "angle": ANGLES, "wanted": ANGLES}
        for word, names in by_word.items():
            if word in name or word in about.split(",")[0]:
                return names
        return chance.choice([LENGTHS[:12], ANGLES[:5], re.findall(r"[\w-]+", about) or [""]])

    def run(self, data: bytes) -> str:
        """Make the call."""
        case = json.loads(data)
        words = case["words"]
        if not words or (len(words) == 1 and Path(words[0]).is_file()):
            return "the window"  # which is not tested here
        try:
            if "output" in case:
                return alone(words, case["output"], self._folder)
            answer = said(main, words)
        except ValueError as fault:
            if "embedded null byte" in str(fault) and "output" in case:
                return "impossible"  # no system can start a program with that argument
            raise
        finally:
            if any("out" in word or word in self._files for word in words[1:]):
                self._lay_out()
        require_answer(words, answer)
        return "answered" if answer.code != 2 else "refused"

    def parts(self, data: bytes) -> Parts | None:
        """Split the call into its words."""
        case = json.loads(data)

        def join(kept: list[bytes]) -> bytes:
            return json.dumps({**case, "words": [json.loads(word) for word in kept]}).encode()

        return Parts([json.dumps(word).encode() for word in case["words"]], join)


def alone(words: list[str], output: str, folder: Path) -> str:
    """Call it as a program whose output is read, full, closed, or without a reader."""
    kept: int | None = None
    if output == "full":
        kept = os.open("/dev/full", os.O_WRONLY)
    elif output == "gone":
        reader, kept = os.pipe()
        os.close(reader)
    # The program closes a stream itself before it begins: no system call does so everywhere.
    closing = "sys.stdout.close(); sys.stdout = None; " if output == "closed" else ""
    code = f"import sys; {closing}from gridjig.cli import main; sys.exit(main(sys.argv[1:]))"
    try:
        ended = subprocess.run(
            [sys.executable, "-c", code, *words],
            cwd=folder,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE if kept is None else kept,
            stderr=subprocess.PIPE,
            timeout=_SECONDS,
            check=False,
        )
    finally:
        if kept is not None:
            os.close(kept)
    err = ended.stderr.decode("utf-8", "replace")
    if "Traceback" in err or "Exception ignored" in err:
        last = err.strip().splitlines()[-1]
        raise Find(f"a traceback with its output {output}, {last}: gridjig {words!r}: {err}")
    if output == "pipe":
        out = (ended.stdout or b"").decode("utf-8", "replace")
        require_answer(words, Said(ended.returncode, out, err))
    return f"output {output}"


def _arguments(parser: argparse.ArgumentParser, verb: str) -> list[argparse.Action]:
    """Return a verb's arguments as its parser has them."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            sub: argparse.ArgumentParser = action.choices[verb]
            return [one for one in sub._actions if "--help" not in one.option_strings]
    return []


def hostile() -> dict[str, bytes]:
    """Return files whose names and contents aim at a terminal, a spreadsheet and a browser."""
    tree = json.loads(write_job(rich_jobs()[0]))
    for thing in [tree, tree["table"], *tree["parts"], *tree["placements"], *tree["weldments"]]:
        if "name" in thing:
            thing["name"] = _NAME
    named = json.dumps(tree).encode()
    text = write_job(rich_jobs()[0])
    return {
        "8-named.gridjig": named,
        "8-cut.gridjig": text[: len(text) // 2],
        "8-\x1b[31m.gridjig": text,
        "8-infinite.gridjig": re.sub(rb"\d+\.\d+", b"1e999", text, count=1),
        "8-nested.gridjig": b"[" * 100_000,
        "8-one.pdf": pdf_with(("a.gridjig", named)),
        "8-two.pdf": pdf_with(("a.gridjig", text), ("b.gridjig", text)),
        "8-cut.pdf": pdf_with(("a.gridjig", text))[:-300],
    }


_NAME = "=1+1 <img src='x.png'>\x1b[31m\nPost \u202e"
_BOX = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">'
    '<path d="M0 0h9v9z" fill="red"/></svg>'
)


def typing(folder: Path) -> Terminal:
    """Return the trial for this kind."""
    return Terminal(folder)
