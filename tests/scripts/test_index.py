"""The lock alone decides what is installed, however much newer the index is.

The index is one on this machine; pip, the environment and the building of the project are real.
"""

import os
from collections.abc import Iterator
from importlib.metadata import distributions
from pathlib import Path

import pytest

import environment
import installing
import trywheel
from installing import Setback, python_in
from tests.scripts import smallindex
from tests.scripts.smallindex import Asked, hash_of, make_wheel

ASSETS = """
from pathlib import Path

def f():
    return [1]

def assets_dir():
    return Path(__file__).parents[2] / "assets"

starter_racks = ready_tables = samples = f
"""
RUN, TOOLS = ("plug", "hatchling"), ("cov", "pytest_cov")


@pytest.fixture(scope="module")
def wheels(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Every library as locked, 1.0, and newer; the newer ones ask for more."""
    folder = tmp_path_factory.mktemp("index")
    backend = smallindex.BACKEND.format(helper=str(Path(smallindex.__file__).parent))
    packed = {"hatchling/__init__.py": "", "hatchling/build.py": backend}
    for version in ("1.0", "99.0"):
        more = ["unlocked"] if version == "99.0" else []
        make_wheel(folder, "plug", version, more)
        make_wheel(folder, "hatchling", version, more, packed)
        make_wheel(folder, "cov", version, more)
        # Written as pytest-cov does: an extra, and a version from which on.
        make_wheel(folder, "pytest_cov", version, ["cov[toml]>=0.5", *more])
        make_wheel(folder, "unlocked", version)
        make_wheel(folder, "stranger", version)
    return folder


@pytest.fixture(scope="module")
def index(wheels: Path) -> Iterator[Asked]:
    with smallindex.serve(wheels) as asked, pytest.MonkeyPatch.context() as patch:
        for name in [name for name in os.environ if name.startswith("PIP_")]:
            patch.delenv(name)
        patch.setenv("PIP_CONFIG_FILE", os.devnull)
        patch.setenv("PIP_INDEX_URL", asked.address)
        patch.setenv("PIP_NO_CACHE_DIR", "1")
        patch.setenv("NO_PROXY", "127.0.0.1")
        patch.setattr(environment, "require_system", lambda on_a_screen, venv_too: None)
        yield asked


def write_lock(root: Path, wheels: Path, kind: environment.Kind, names: tuple[str, ...]) -> None:
    lock = environment.lock_file(kind, root)
    lock.parent.mkdir(parents=True, exist_ok=True)
    lines = [
        f"{name}==1.0 \\\n    --hash={hash_of(wheels / f'{name}-1.0-py3-none-any.whl')}\n"
        for name in names
    ]
    elsewhere = f"unlocked==1.0 ; sys_platform == 'nowhere' \\\n    --hash=sha256:{'0' * 64}\n"
    lock.write_text("".join([*lines, elsewhere]), encoding="utf-8")


@pytest.fixture(scope="module")
def checkout(wheels: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project with locks, built by a small backend that goes by the name of the real one."""
    root = tmp_path_factory.mktemp("a checkout")
    (root / "pyproject.toml").write_text(
        '[build-system]\nrequires = ["hatchling>=1"]\nbuild-backend = "hatchling.build"\n'
        '[project]\nname = "gridjig"\nversion = "1.0"\n',
        encoding="utf-8",
    )
    package = root / "gridjig"
    (package / "files").mkdir(parents=True)
    (package / "assets" / "icons").mkdir(parents=True)
    (package / "assets" / "icons" / "one.svg").touch()
    (package / "assets" / "one.txt").write_text("1", encoding="utf-8")
    (package / "__init__.py").write_text("def main():\n    return 0\n", encoding="utf-8")
    (package / "files" / "__init__.py").write_text("", encoding="utf-8")
    (package / "files" / "library").mkdir()
    (package / "files" / "library" / "__init__.py").touch()
    (package / "files" / "library" / "assets.py").write_text(ASSETS, encoding="utf-8")
    write_lock(root, wheels, "run", RUN)
    write_lock(root, wheels, "check", RUN + TOOLS)
    return root


def files_of(names: tuple[str, ...]) -> set[str]:
    return {f"{name}-1.0-py3-none-any.whl" for name in names}


def pages_of(names: tuple[str, ...]) -> set[str]:
    return {name.replace("_", "-") for name in names}


def test_nothing_but_the_locked_files_is_asked_for(
    checkout: Path, index: Asked, wheels: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    home = checkout / ".venv"

    # start.py, first run.
    python = environment.prepare("run", checkout)
    assert (index.names, index.files) == (pages_of(RUN), files_of(RUN))
    index.clear()

    # check.py adds the tools, builds the wheel and tries it.
    assert environment.prepare("check", checkout) == python
    assert index.files == files_of(TOOLS)
    assert index.names <= pages_of(RUN + TOOLS)
    index.clear()
    assert trywheel.try_wheel(python, checkout)
    assert (index.names, index.files) == (set(), set())
    assert "built gridjig-1.0-py3-none-any.whl" in capfd.readouterr().out

    # A second run of either asks for nothing.
    environment.prepare("run", checkout)
    environment.prepare("check", checkout)
    assert (index.names, index.files) == (set(), set())

    # What a person put in and no lock has goes with the next lock; the tools stay.
    installing.run_pip(home, ["install", "--no-deps", "stranger"])
    assert index.files == {"stranger-99.0-py3-none-any.whl"}  # the index does have newer ones
    with environment.lock_file("run", checkout).open("a", encoding="utf-8") as lock:
        lock.write("# another one\n")
    index.clear()
    environment.prepare("run", checkout)
    assert index.files == set()
    assert installing.strangers(home, environment.lock_file("check", checkout)) == []
    assert "removing what is not in the lock: stranger" in capfd.readouterr().out
    found = distributions(path=[str(installing.libraries_in(home))])
    listed = {installing.canonical(one.metadata["Name"]): one.version for one in found}
    assert {name: listed[name] for name in pages_of(RUN + TOOLS)} == dict.fromkeys(
        pages_of(RUN + TOOLS), "1.0"
    )
    assert not {"unlocked", "stranger"} & set(listed)

    # A lock that lacks something leaves an environment that is not used, and one sentence.
    write_lock(checkout, wheels, "check", (*RUN, "pytest_cov"))
    with pytest.raises(Setback, match=r"do not fit together \(pytest.cov 1\.0 requires cov") as end:
        environment.prepare("check", checkout)
    assert "\n" not in str(end.value)
    assert environment.read_stamp(home) is None
    assert python_in(home).exists()
