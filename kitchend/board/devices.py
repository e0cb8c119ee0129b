"""The devices of the house that may see the board: their signed cookies, their list, and how one is let in.

A device is let in by four words that kitchend speaks aloud. Words hold for a few minutes, for one device, and
for a few wrong tries; every wrong try makes all wait longer for the next. Files are for their owner alone.
"""

from __future__ import annotations

import hmac
import json
import secrets
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, dataclass
from hashlib import sha256
from pathlib import Path
from threading import Lock
from typing import Any

from kitchend.core.clock import Now
from kitchend.core.tongue import language_of
from kitchend.errors import DeviceError

MOST_DEVICES = 40
WORDS_OF_CODE = 4
HOLDS_S = 300.0
MOST_WRONG = 5
PAUSES_S = (1.0, 2.0, 5.0, 15.0, 60.0)
"""After each wrong try; the last one stays."""

FORGIVEN_S = 900.0
"""After so long without a wrong try the pauses begin anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """A device that was let in: its name, and when (ISO 8601)."""

    id: str
    name: str
    since: str


class Devices:
    """The list on disk and the key that signs; both are read anew whenever the list's file changes."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / "board-devices.json"
        self._key_path = folder / "board-key"
        self._lock = Lock()
        self._seen: tuple[int, int] | None = None
        self._known: tuple[Device, ...] = ()

    def all(self) -> tuple[Device, ...]:
        """Every device that may see the board; a list that cannot be read lets nobody in."""
        with self._lock:
            look = _look(self.path)
            if look is None:
                self._seen, self._known = None, ()
            elif look != self._seen:
                self._seen, self._known = look, _read(self.path)
            return self._known

    def add(self, name: str, since: str) -> tuple[Device, str]:
        """Let a device in; it and its cookie. DeviceError where that cannot be kept."""
        device = Device(id=secrets.token_hex(8), name=name, since=since)
        self._write((*self.all(), device)[-MOST_DEVICES:])
        return device, f"{device.id}.{self._mac(device.id)}"

    def remove(self, which: str) -> tuple[Device, ...]:
        """Take devices off the list, by id or name; those that were taken off."""
        gone = tuple(one for one in self.all() if which in (one.id, one.name))
        if gone:
            self._write(tuple(one for one in self.all() if one not in gone))
        return gone

    def holder(self, cookie: str) -> Device | None:
        """The device a cookie was given to; None if it is not ours, or was taken off the list."""
        name, dot, mac = cookie.partition(".")
        if not dot or not cookie.isascii():
            return None
        known = next((one for one in self.all() if one.id == name), None)
        if known is None or not hmac.compare_digest(mac, self._mac(name)):
            return None
        return known

    def _mac(self, name: str) -> str:
        return hmac.new(self._key(), name.encode(), sha256).hexdigest()

    def _key(self) -> bytes:
        with suppress(OSError):
            key = self._key_path.read_bytes()
            if len(key) == 32:
                return key
        key = secrets.token_bytes(32)
        _put(self._key_path, key)
        return key

    def _write(self, devices: tuple[Device, ...]) -> None:
        text = json.dumps([asdict(one) for one in devices], ensure_ascii=False, indent=1)
        _put(self.path, text.encode())


def _look(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return (found.st_mtime_ns, found.st_ino)


def _read(path: Path) -> tuple[Device, ...]:
    try:
        listed: Any = json.loads(path.read_bytes())
        return tuple(
            Device(id=str(one["id"]), name=str(one["name"]), since=str(one["since"])) for one in listed
        )
    except (OSError, ValueError, KeyError, TypeError):
        return ()


def _put(path: Path, contents: bytes) -> None:
    """Whole or not at all, readable by its owner alone."""
    part = path.with_name(path.name + ".part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        part.unlink(missing_ok=True)
        part.touch(mode=0o600)
        part.write_bytes(contents)
        part.replace(path)
    except OSError as error:
        raise DeviceError(
            "board", f"cannot write {path}: {error.strerror}", "is its folder writable?"
        ) from None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What came of a try: `let_in`, else why not ("wrong", "slow", "none") and how long to wait."""

    let_in: bool = False
    why: str = ""
    wait_s: float = 0.0


class Code:
    """The four words that are waiting, if any, and the slowing down of wrong ones. Safe from any thread."""

    def __init__(self, now: Callable[[], Now], language: str = "en") -> None:
        self._now = now
        self._choices = language_of(language).door_words
        self._lock = Lock()
        self._words: tuple[str, ...] = ()
        self._until_s = 0.0
        self._wrong_on_this = 0
        self._wrong = 0
        self._closed_until_s = 0.0
        self._last_wrong_s = 0.0

    def make(self) -> str:
        """New words in place of any before, to be spoken aloud."""
        with self._lock:
            self._words = tuple(secrets.choice(self._choices) for _ in range(WORDS_OF_CODE))
            self._until_s = self._now().instant.s + HOLDS_S
            self._wrong_on_this = 0
            return " ".join(self._words)

    def try_words(self, text: str) -> Tried:
        """Try words; right ones are used up."""
        with self._lock:
            at_s = self._now().instant.s
            if at_s < self._closed_until_s:
                return Tried(why="slow", wait_s=self._closed_until_s - at_s)
            if not self._words or at_s >= self._until_s:
                self._words = ()
                return Tried(why="none")
            said = " ".join(text.lower().split())
            if hmac.compare_digest(said.encode(), " ".join(self._words).encode()):
                self._words, self._wrong = (), 0
                return Tried(let_in=True)
            return self._refuse(at_s)

    def _refuse(self, at_s: float) -> Tried:
        if at_s - self._last_wrong_s > FORGIVEN_S:
            self._wrong = 0
        pause_s = PAUSES_S[min(self._wrong, len(PAUSES_S) - 1)]
        self._wrong += 1
        self._wrong_on_this += 1
        self._last_wrong_s, self._closed_until_s = at_s, at_s + pause_s
        if self._wrong_on_this >= MOST_WRONG:
            self._words = ()
        return Tried(why="wrong", wait_s=pause_s)
