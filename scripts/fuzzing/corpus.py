"""The jobs and drawings that cases are made from: samples, old files, jobs of property tests."""

import json
from collections.abc import Iterator
from pathlib import Path

from gridjig.files.jobs.job_file import write_job
from gridjig.files.library.assets import samples
from gridjig.model import Job

from .kind import ROOT
from .richjobs import rich_jobs

FILES = ROOT / "tests" / "files"
_MADE = 24


def job_documents() -> list[bytes]:
    """Job files of every kind.  The lean ones come up more often: they are tried more quickly."""
    whole = [path.read_bytes() for path in samples().values()]
    whole += [write_job(job) for job in rich_jobs()]
    small = [lean(data, parts) for data in whole for parts in (1, 3, 100)]
    kept = [path.read_bytes() for path in sorted(FILES.rglob("*.gridjig"))]
    return [*whole, *small, *small, *kept, *(write_job(job) for job in made_jobs())]


def lean(data: bytes, most: int) -> bytes:
    """Return a job with at most that many parts and placements, and only the pieces
    that they use.
    """
    tree = json.loads(data)
    for name in ("parts", "placements", "welds", "critical"):
        tree[name] = tree.get(name, [])[:most]
    used = json.dumps(tree["placements"])
    takes: set[str] = set()
    for piece in tree["rack"]["pieces"]:
        if f'"{piece["id"]}"' in used:
            takes |= {piece["id"], *piece.get("takes", [])}
    pieces = tree["rack"]["pieces"]
    others = [piece for piece in pieces if piece.get("kind") in ("fixed stop", "shim", "riser")][:6]
    tree["rack"]["pieces"] = [p for p in pieces if p["id"] in takes or p in others]
    return json.dumps(tree, ensure_ascii=False).encode()


def made_jobs() -> list[Job]:
    """Return jobs drawn from the strategies of the property tests, the same in every run."""
    import hypothesis  # noqa: PLC0415 - the other kinds start without

    from tests.files.somejobs import jobs  # noqa: PLC0415 - likewise

    made: list[Job] = []

    @hypothesis.seed(1)
    @hypothesis.settings(
        max_examples=_MADE,
        database=None,
        deadline=None,
        phases=[hypothesis.Phase.generate],
        suppress_health_check=list(hypothesis.HealthCheck),
    )
    @hypothesis.given(jobs())
    def draw(job: Job) -> None:
        made.append(job)

    draw()
    return made


def drawings(suffix: str) -> Iterator[Path]:
    """The drawings of the tests."""
    yield from sorted((FILES / "drawings" / "dxf").glob(f"*{suffix}"))
