"""Asks PortAudio whether a loudspeaker or microphone is there, before anybody relies on it. Opens nothing.

PortAudio lists devices once, when it starts. What was plugged in later is found by starting it anew, which
ends every open stream: so whoever has one says so here, and is asked to let go first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Condition
from typing import Literal

from kitchend.errors import DeviceError, DeviceHeldError

Kind = Literal["input", "output"]

LET_GO_S = 2.0
"""How long to wait for open streams to be closed; else the list stays the old one until next time."""


def check_device(device: str | int | None, *, kind: Kind) -> str:
    """The name of the device, the default one for None; DeviceError if PortAudio knows no such."""
    name = "loudspeaker" if kind == "output" else "microphone"
    try:
        import sounddevice
    except OSError:
        hint = "install it with: sudo apt-get install libportaudio2"
        raise DeviceError(name, "the sound library PortAudio is missing", hint) from None
    try:
        return str(sounddevice.query_devices(device, kind=kind)["name"])
    except (sounddevice.PortAudioError, ValueError):
        which = "none" if device is None else f"none called {device!r}"
        # A device that another program holds is not in PortAudio's list either.
        hint = "plug one in, or close the program that holds it, then try: kitchend soundcheck"
        raise DeviceError(name, f"there is {which}", hint) from None


class Streams:
    """Who has a stream open. `restart` is what makes PortAudio list its devices anew."""

    def __init__(self, restart: Callable[[], None] | None = None) -> None:
        self._restart = restart or restart_portaudio
        self._changed = Condition()
        self._holders: list[Callable[[], None]] = []
        self._is_restarting = False
        self._was_free = False
        self._doubted: set[Kind] = set()

    @contextmanager
    def held(self, let_go: Callable[[], None]) -> Iterator[None]:
        """While inside, a stream may be open; `let_go` asks for it to be closed soon."""
        with self._changed:
            self._changed.wait_for(lambda: not self._is_restarting)
            self._holders.append(let_go)
        try:
            yield
        finally:
            with self._changed:
                self._holders.remove(let_go)
                self._changed.notify_all()

    def look_again(self) -> bool:
        """Have the devices listed anew once no stream is open; False if one is not let go in time.

        While somebody else has them listed, their list is waited for: it is as new as one's own.
        """
        with self._changed:
            if self._is_restarting:
                self._changed.wait_for(lambda: not self._is_restarting)
                return self._was_free
            self._is_restarting = True
            for let_go in tuple(self._holders):
                let_go()
            is_free = self._was_free = self._changed.wait_for(lambda: not self._holders, LET_GO_S)
            try:
                if is_free:
                    self._restart()
            finally:
                self._is_restarting = False
                self._changed.notify_all()
        return is_free

    def find(self, device: str | int | None, *, kind: Kind) -> str:
        """As `check_device`, but one that is not in the list, or failed lately, is looked for again."""
        if kind not in self._doubted:
            try:
                return self._check(device, kind)
            except DeviceError:
                self._doubted.add(kind)
        self.look_again()
        found = self._check(device, kind)
        self._doubted.discard(kind)
        return found

    def doubt(self, kind: Kind, error: DeviceError) -> None:
        """It has failed: what the list says of it may be old, but where it is only held by another program.

        Then the list is right, and the other device need not be let go for a new one at every try.
        """
        if not isinstance(error, DeviceHeldError):
            self._doubted.add(kind)

    def _check(self, device: str | int | None, kind: Kind) -> str:
        with self._changed:
            return check_device(device, kind=kind)


def restart_portaudio() -> None:
    """Start PortAudio anew, if it can be loaded at all; nobody may have a stream open."""
    try:
        import sounddevice
    except OSError:
        return
    # sounddevice has no public name for this; both are what it calls itself when it is imported and left.
    sounddevice._terminate()
    sounddevice._initialize()
