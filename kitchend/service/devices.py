"""Asks PortAudio whether a loudspeaker or microphone is there, before anybody relies on it. Opens nothing."""

from __future__ import annotations

from typing import Literal

from kitchend.errors import DeviceError


def check_device(device: str | int | None, *, kind: Literal["input", "output"]) -> str:
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
        raise DeviceError(name, f"there is {which}", "plug one in, then try: kitchend soundcheck") from None
