"""The microphone and its ears behind the service's port."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack

from kitchend.core.events import Event
from kitchend.core.phrases import Sayable
from kitchend.errors import DeviceError
from kitchend.service.devices import check_device
from kitchend.service.ports import Clock, Complain
from kitchend.service.settings import Settings


class HearingListener:
    def start(self, clock: Clock, put: Callable[[Event], None]) -> None: ...
    def listen_for(self, sayable: Sayable) -> None: ...
    def deaf(self, is_deaf: bool) -> None: ...


def open_ears(settings: Settings, stack: ExitStack, complain: Complain) -> HearingListener:
    check_device(settings.input, kind="input")
    raise DeviceError("microphone", "nothing can listen to it yet", "wait")
