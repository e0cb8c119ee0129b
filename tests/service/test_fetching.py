"""Fetching a model from a real server on this machine: whole, broken off, resumed, wrong, unreachable."""

from __future__ import annotations

import hashlib
import io
import threading
import zipfile
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest

from kitchend.errors import DeviceError
from kitchend.service.fetching import FetchError, Model, fetch

NAME = "vosk-model-tiny"


def archive(name: str = NAME) -> bytes:
    into = io.BytesIO()
    with zipfile.ZipFile(into, "w") as files:
        for part in ("am/final.mdl", "graph/HCLr.fst", "conf/mfcc.conf"):
            files.writestr(f"{name}/{part}", "x" * 5000)
    return into.getvalue()


class Shelf(HTTPServer):
    """Serves one file, breaking off after `stops_at` bytes of an answer where that is set."""

    data = archive()
    stops_at: int | None = None
    knows_ranges = True
    stalls = False

    def __init__(self) -> None:
        self.ranges: list[str | None] = []
        self.over = threading.Event()
        super().__init__(("127.0.0.1", 0), Reader)


class Reader(BaseHTTPRequestHandler):
    server: Shelf

    def do_GET(self) -> None:
        asked = self.headers.get("Range")
        self.server.ranges.append(asked)
        start = int(asked[6:-1]) if asked and self.server.knows_ranges else 0
        if asked and start >= len(self.server.data):
            self.send_error(416)
            return
        rest = self.server.data[start:]
        self.send_response(206 if start else 200)
        self.send_header("Content-Length", str(len(rest)))
        self.end_headers()
        self.wfile.write(rest[: self.server.stops_at])
        if self.server.stalls:
            self.wfile.flush()
            self.server.over.wait(10)

    def log_message(self, *_: object) -> None:
        return


@pytest.fixture
def shelf() -> Iterator[Shelf]:
    with Shelf() as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
        thread.start()
        yield server
        server.over.set()
        server.shutdown()
        thread.join()


def model(shelf: Shelf, *, sha256: str | None = None, max_bytes: int = 1_000_000) -> Model:
    url = f"http://127.0.0.1:{shelf.server_port}/model.zip"
    right = hashlib.sha256(shelf.data).hexdigest()
    return Model(name=NAME, url=url, max_bytes=max_bytes, sha256=sha256 or right)


def test_a_model_comes_whole_and_is_not_fetched_twice(shelf: Shelf, tmp_path: Path) -> None:
    right = hashlib.sha256(shelf.data).hexdigest()
    place, digest = fetch(model(shelf, sha256=right), tmp_path)
    assert (place, digest) == (tmp_path / NAME, right)
    assert (place / "am" / "final.mdl").read_text() == "x" * 5000
    assert [path.name for path in tmp_path.iterdir()] == [NAME]
    assert fetch(model(shelf), tmp_path) == (place, "")
    assert shelf.ranges == [None]


@pytest.mark.parametrize("knows_ranges", [True, False], ids=["goes on", "begins again"])
def test_what_broke_off_goes_on_next_time(shelf: Shelf, tmp_path: Path, knows_ranges: bool) -> None:
    shelf.stops_at = 100
    with pytest.raises(FetchError, match=r"broke off|cannot be fetched"):
        fetch(model(shelf), tmp_path)
    assert not (tmp_path / NAME).exists()
    shelf.stops_at, shelf.knows_ranges = None, knows_ranges
    assert fetch(model(shelf), tmp_path)[0] == tmp_path / NAME
    assert shelf.ranges == [None, "bytes=100-"]


def test_another_file_than_promised_is_refused_and_thrown_away(shelf: Shelf, tmp_path: Path) -> None:
    with pytest.raises(FetchError, match="is damaged or another: its SHA-256 is"):
        fetch(model(shelf, sha256="0" * 64), tmp_path)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("data", "max_bytes", "problem"),
    [
        (b"<html>no such thing</html>", 1_000_000, "is no ZIP file"),
        (archive(), 100, "more than the 100 it may be"),
        (archive("other"), 1_000_000, "is no folder"),
    ],
    ids=["a page", "too large", "another model inside"],
)
def test_what_is_no_model_is_refused(
    shelf: Shelf, tmp_path: Path, data: bytes, max_bytes: int, problem: str
) -> None:
    shelf.data = data
    with pytest.raises(DeviceError, match=problem):
        fetch(model(shelf, max_bytes=max_bytes), tmp_path)
    assert not (tmp_path / NAME).exists()


def test_offline_it_is_one_line_that_says_what_to_do(tmp_path: Path) -> None:
    nowhere = Model(name=NAME, url="http://127.0.0.1:9/model.zip", max_bytes=10, sha256="0" * 64)
    with pytest.raises(
        FetchError, match=r"no way to 127.0.0.1, is this machine online\? .*; later: kitchend model get"
    ):
        fetch(nowhere, tmp_path)


def damaged(data: bytes) -> bytes:
    """An archive with its middle bytes changed: what a bad line or a worn card makes of it."""
    middle = len(data) // 2
    return data[:middle] + bytes(byte ^ 0x55 for byte in data[middle : middle + 8]) + data[middle + 8 :]


def test_a_damaged_archive_is_thrown_away_and_the_next_try_begins_anew(shelf: Shelf, tmp_path: Path) -> None:
    whole = shelf.data
    shelf.data = damaged(whole)
    with pytest.raises(FetchError, match="is no ZIP file, or damaged; it was thrown away"):
        fetch(model(shelf), tmp_path)
    assert list(tmp_path.iterdir()) == []
    shelf.data = whole
    assert fetch(model(shelf), tmp_path)[0] == tmp_path / NAME
    assert shelf.ranges == [None, None]


def test_a_server_that_falls_silent_is_left_and_what_has_come_is_kept(shelf: Shelf, tmp_path: Path) -> None:
    shelf.stops_at, shelf.stalls = 100, True
    with pytest.raises(FetchError, match=r"127.0.0.1 fell silent; what has come is kept"):
        fetch(model(shelf), tmp_path, patience_s=0.2)
    shelf.over.set()
    shelf.stops_at, shelf.stalls = None, False
    assert fetch(model(shelf), tmp_path)[0] == tmp_path / NAME
    assert shelf.ranges == [None, "bytes=100-"]


def test_what_had_come_whole_before_a_power_cut_is_fetched_anew(shelf: Shelf, tmp_path: Path) -> None:
    (tmp_path / f".{NAME}.zip.part").write_bytes(shelf.data)
    assert fetch(model(shelf), tmp_path)[0] == tmp_path / NAME
    assert shelf.ranges == [f"bytes={len(shelf.data)}-", None]


def test_what_came_and_how_much_there_is_is_told_as_it_comes(shelf: Shelf, tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    fetch(model(shelf), tmp_path, progress=lambda got, wanted: told.append((got, wanted)))
    assert told[-1] == (len(shelf.data), len(shelf.data))
    assert told == sorted(told)


def test_a_server_that_does_not_have_it_is_quoted(shelf: Shelf, tmp_path: Path) -> None:
    (tmp_path / f".{NAME}.zip.part").write_bytes(b"x")
    shelf.data = b""
    with pytest.raises(FetchError):
        fetch(model(shelf), tmp_path)
    assert not (tmp_path / NAME).exists()
