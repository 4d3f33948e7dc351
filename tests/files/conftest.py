"""A folder that the person may read and not write, for real."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture
def read_only_folder(tmp_path: Path) -> Iterator[Path]:
    """A folder with a file `gate.gridjig` in which nothing may be made; root steps down for it."""
    if os.name == "nt":
        pytest.skip("permissions of folders are another matter there")
    folder = tmp_path / "share"
    folder.mkdir()
    (folder / "gate.gridjig").write_bytes(b"{}")
    (folder / "gate.gridjig").chmod(0o666)
    for above in (folder, *list(folder.parents)[:3]):
        above.chmod(0o755)
    folder.chmod(0o555)
    is_root = os.geteuid() == 0
    if is_root:
        os.seteuid(65_534)
    try:
        os.listdir(folder)  # noqa: PTH208
        yield folder
    except PermissionError:
        pytest.skip("the folder of the tests is closed to others")
    finally:
        if is_root:
            os.seteuid(0)
        folder.chmod(0o755)
