"""DXF files for tests, written with the library that also serves as the reference."""

from collections.abc import Callable
from pathlib import Path

from ezdxf.document import Drawing as Document
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

DXF = Path(__file__).parent / "dxf"
UNITS = {"mm": 4, "in": 1, None: 0}


def written(
    folder: Path,
    draw: Callable[[Document, Modelspace], object],
    unit: str | None = "mm",
    version: str = "R2010",
) -> Path:
    """A file with what `draw` puts into a new document."""
    document = new(version, units=UNITS[unit])
    draw(document, document.modelspace())
    path = folder / "drawn.dxf"
    document.saveas(path)
    return path


def text_file(folder: Path, *entities: str, header: str = "") -> Path:
    """A bare file of the oldest kind: one entity a text, group codes and values between commas."""
    lines = ["0", "SECTION", "2", "ENTITIES"]
    for entity in entities:
        lines += entity.split(",")
    lines += ["0", "ENDSEC", "0", "EOF"]
    path = folder / "bare.dxf"
    path.write_text(header + "\n".join(lines) + "\n", encoding="cp1252")
    return path
