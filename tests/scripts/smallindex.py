"""A package index on this machine, with small wheels made for a test, that notes what is asked."""

import base64
import hashlib
import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from zipfile import ZipFile

# A build backend that packs the folder `gridjig` of a project, or points to it.
BACKEND = """
import sys
sys.path.insert(0, {helper!r})
from pathlib import Path
from smallindex import make_wheel

COMMANDS = {{"gridjig": "gridjig:main", "gridjig-window": "gridjig:main"}}

def build_wheel(folder, settings=None, metadata=None):
    packed = [path for path in Path("gridjig").rglob("*") if path.is_file()]
    files = {{path.as_posix(): path.read_text("utf-8") for path in packed}}
    return make_wheel(Path(folder), "gridjig", "1.0", ["plug"], files, COMMANDS).name

def build_editable(folder, settings=None, metadata=None):
    files = {{"gridjig.pth": str(Path.cwd())}}
    return make_wheel(Path(folder), "gridjig", "1.0", ["plug"], files, COMMANDS).name
"""


def make_wheel(
    folder: Path,
    name: str,
    version: str,
    requires: Sequence[str] = (),
    files: Mapping[str, str] = {},
    commands: Mapping[str, str] = {},
) -> Path:
    """Write a wheel of plain Python; without files it has one module of its name."""
    info = f"{name}-{version}.dist-info"
    wanted = "".join(f"Requires-Dist: {each}\n" for each in requires)
    entries = "".join(f"{each} = {target}\n" for each, target in commands.items())
    extras = "Provides-Extra: toml\n"
    contents = {
        **(files or {f"{name}.py": f"VERSION = {version!r}\n"}),
        f"{info}/METADATA": f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n"
        f"{extras}{wanted}\n",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nGenerator: test\nRoot-Is-Purelib: true\n"
        "Tag: py3-none-any\n",
        f"{info}/entry_points.txt": f"[console_scripts]\n{entries}",
    }
    path = folder / f"{name}-{version}-py3-none-any.whl"
    record = ""
    with ZipFile(path, "w") as packed:
        for inside, text in contents.items():
            packed.writestr(inside, text)
            digest = base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).rstrip(b"=")
            record += f"{inside},sha256={digest.decode()},{len(text.encode())}\n"
        packed.writestr(f"{info}/RECORD", f"{record}{info}/RECORD,,\n")
    return path


def hash_of(wheel: Path) -> str:
    """The digest by which a lock and an index name a wheel."""
    return f"sha256:{hashlib.sha256(wheel.read_bytes()).hexdigest()}"


class Asked:
    """What an index was asked for: names of libraries, and names of files."""

    def __init__(self, address: str) -> None:
        self.address = address
        self.names: set[str] = set()
        self.files: set[str] = set()

    def clear(self) -> None:
        self.names.clear()
        self.files.clear()


@contextmanager
def serve(folder: Path) -> Iterator[Asked]:
    """Serve the wheels of a folder as an index while the block runs."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            kind, _, rest = self.path.strip("/").partition("/")
            if kind == "simple" and rest:
                asked.names.add(rest)
                wheels = sorted(folder.glob(f"{rest.replace('-', '_')}-*.whl"))
                page = "".join(
                    f'<a href="/files/{one.name}#{hash_of(one).replace(":", "=")}">{one.name}</a>\n'
                    for one in wheels
                )
                self.give(f"<!DOCTYPE html><html><body>{page}</body></html>".encode(), "text/html")
            elif kind == "files" and (folder / rest).is_file():
                asked.files.add(rest)
                self.give((folder / rest).read_bytes(), "application/octet-stream")
            else:
                self.send_error(404)

        def give(self, body: bytes, kind: str) -> None:
            self.send_response(200)
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, format: str, *args: object) -> None:
            """Say nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    asked = Asked(f"http://127.0.0.1:{server.server_port}/simple")
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield asked
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
