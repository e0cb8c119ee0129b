"""Fetches a Vosk model where there is a network: size, checksum, resumed after a break, unpacked whole.

Never used by a dinner, which needs no network. A model is there completely or not at all: it is unpacked
beside its place and moved there in one step. What breaks off, stalls, is damaged or is something else ends in
one line; what has come so far is kept unless it is known to be wrong.
Run as `python -m kitchend.service.fetching FOLDER`.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import sys
import tempfile
import zipfile
import zlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from http.client import HTTPException, HTTPResponse
from pathlib import Path
from urllib.error import HTTPError, URLError
from urllib.parse import urlsplit
from urllib.request import Request, urlopen

from kitchend.errors import DeviceError
from kitchend.hearing.vosk_ear import checked
from kitchend.service.guard import FINE, MISSING, one_line

PATIENCE_S = 20.0
PIECE = 1 << 16
PARTIAL = 206
"""The status of an answer that goes on where an earlier one broke off, RFC 9110 section 15.3.7."""
BEYOND = 416
"""The status where nothing is left to go on with, RFC 9110 section 15.5.17."""
ROOM = 4
"""What a model needs of the disk while it is unpacked, in sizes of its archive."""

Progress = Callable[[int, int], None]
"""Told how many bytes have come of how many (0: the server does not say)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """Where a model comes from, the most its archive may be, and the SHA-256 it must have, in hex."""

    name: str
    url: str
    max_bytes: int
    sha256: str


SMALL_ENGLISH = Model(
    name="vosk-model-small-en-us-0.15",
    url="https://alphacephei.com/vosk/models/vosk-model-small-en-us-0.15.zip",
    max_bytes=100_000_000,
    # Whoever makes the models publishes MD5 only. This is what recipes of OpenEmbedded and of Arch's users
    # hold against the same address.
    sha256="30f26242c4eb449f948e42cb302dd7a686cb29a3423a8367f99ff41780942498",
)


class FetchError(DeviceError):
    """A model could not be fetched, or is not what it should be."""

    def __init__(self, model: Model, problem: str) -> None:
        hint = f"later: kitchend model get {model.name}, or unpack {model.url} into ~/.cache/vosk"
        super().__init__("Vosk model", f"{model.name} {problem}", hint)


def _silent(got: int, wanted: int) -> None:
    """Tell nobody."""


def fetch(
    model: Model, folder: Path, *, progress: Progress = _silent, patience_s: float = PATIENCE_S
) -> tuple[Path, str]:
    """The model's folder below `folder`, and the SHA-256 of what came ("" if it was there); FetchError.

    A server that sends nothing for `patience_s` seconds has stalled.
    """
    place = folder / model.name
    if place.is_dir():
        return checked(place), ""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        part = folder / f".{model.name}.zip.part"
        _download(model, part, progress, patience_s)
        digest = _sha256(part)
        if digest != model.sha256:
            part.unlink()
            raise FetchError(model, f"is damaged or another: its SHA-256 is {digest}")
        _unpack(model, part, place)
        part.unlink()
    except (OSError, HTTPException) as error:
        raise FetchError(model, f"cannot be fetched: {_reason(model, error)}") from None
    return place, digest


def _reason(model: Model, error: Exception) -> str:
    """Why, for a person: what the server said, that it fell silent, or that there is no way to it."""
    host = urlsplit(model.url).hostname or model.url
    if isinstance(error, HTTPError):
        return f"{host} says {error.code} {error.reason}"
    if isinstance(error, TimeoutError):
        return f"{host} fell silent; what has come is kept"
    if isinstance(error, URLError):
        return f"no way to {host}, is this machine online? ({one_line(str(error.reason))})"
    return one_line(str(error))


def _opened(model: Model, part: Path, patience_s: float) -> HTTPResponse:
    """The server's answer, from where an earlier try broke off; from the start if nothing more is there."""
    have = part.stat().st_size if part.exists() else 0
    request = Request(model.url, headers={"Range": f"bytes={have}-"} if have else {})
    try:
        answer: HTTPResponse = urlopen(request, timeout=patience_s)
    except HTTPError as error:
        if error.code != BEYOND or not have:
            raise
        error.close()
        part.unlink()
        answer = urlopen(model.url, timeout=patience_s)
    return answer


def _download(model: Model, part: Path, progress: Progress, patience_s: float) -> None:
    """Bring the file to its end, going on where an earlier try broke off."""
    with _opened(model, part, patience_s) as answer, part.open("ab") as file:
        have = file.tell()
        if have and answer.status != PARTIAL:
            file.truncate(0)
            have = 0
        wanted = have + int(answer.headers.get("Content-Length") or 0)
        if wanted > model.max_bytes:
            raise FetchError(model, f"is {wanted} bytes, more than the {model.max_bytes} it may be")
        free = shutil.disk_usage(part.parent).free
        if free < (ROOM + 1) * wanted - have:
            raise FetchError(model, f"needs {(ROOM + 1) * wanted - have} bytes of disk, there are {free}")
        got = _copied(answer, file.fileno(), have, wanted, model.max_bytes, progress)
    if got < wanted:
        raise FetchError(model, f"broke off after {got} of {wanted} bytes; the next try goes on from there")


def _copied(answer: HTTPResponse, handle: int, have: int, wanted: int, most: int, progress: Progress) -> int:
    """How many bytes there are when the answer ends."""
    while have <= most and (piece := answer.read1(PIECE)):
        os.write(handle, piece)
        have += len(piece)
        progress(have, wanted)
    return have


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _unpack(model: Model, archive: Path, place: Path) -> None:
    with tempfile.TemporaryDirectory(dir=place.parent, prefix=f".{model.name}.") as name:
        try:
            with zipfile.ZipFile(archive) as files:
                if sum(info.file_size for info in files.infolist()) > ROOM * model.max_bytes:
                    raise FetchError(model, "would unpack to more than a model holds")
                files.extractall(name)
        except (zipfile.BadZipFile, zlib.error, EOFError):
            archive.unlink()
            raise FetchError(model, "is no ZIP file, or damaged; it was thrown away") from None
        fresh = Path(name) / model.name
        checked(fresh)
        fresh.chmod(0o755)
        shutil.move(fresh, place)


def main(arguments: Sequence[str]) -> int:
    """Fetch the small English model into the folder named; the exit code."""
    try:
        place, digest = fetch(SMALL_ENGLISH, Path(arguments[0]))
    except DeviceError as error:
        print(f"kitchend: {one_line(str(error))}; until then the built-in first ear listens", file=sys.stderr)
        return MISSING
    print(f"Vosk model: {place}{' (SHA-256 as it should be)' if digest else ''}")
    return FINE


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
