"""Readings from an MQTT broker, an extra: nothing of paho-mqtt is imported before the settings ask for one.

One run is one connection; the supervisor makes the next. A message is a number or a JSON object, as
everywhere; what it is of is what the settings say of its topic. A message that the broker had kept (MQTT
3.1.1, 3.3.1.3: retain) is of nobody knows when, so it is no reading.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from threading import Event
from typing import Any

from kitchend.errors import DeviceError
from kitchend.service.intake import Intake
from kitchend.service.newest import Newest
from kitchend.service.settings_sources import MqttWish, TopicWish
from kitchend.service.sources import Thermometers
from kitchend.service.taking import ReadingError, taking_of_line
from kitchend.service.wall_clock import running_s

LOOK_S = 0.25
GREETING_S = 10.0
"""How long a broker may take to answer, first the call and then the greeting."""
KEEPALIVE_S = 30
"""A broker that is not heard of for one and a half times this is away (MQTT 3.1.1, 3.1.2.10)."""

MAX_PAYLOAD = 4096
MAX_PASSWORD = 1024
HINT = "it is tried again and again"


def where_of(wish: MqttWish, topic: TopicWish) -> str:
    """How the status names a topic."""
    return f"mqtt {wish.host}:{wish.port} {topic.topic}"


class BrokerRun:
    """One connection, from its first call to its loss. `tell` hears of messages that are no readings."""

    def __init__(
        self, wish: MqttWish, thermometers: Thermometers, intake: Intake, tell: Callable[[str], None]
    ) -> None:
        self._wish = wish
        self._thermometers = thermometers
        self._intake = intake
        self._tell = tell
        self._stopped = Event()
        self._newest = Newest(wish.every_s, running_s)
        self._where: dict[str, str] = {}
        self._doubted: dict[str, str] = {}
        self._is_in = False
        self._refused = ""

    def work(self, alive: Callable[[], None]) -> None:
        """Listen until stopped; DeviceError when there is no broker, or it will not have us."""
        client = self._client()
        began_s = running_s()
        try:
            client.connect(self._wish.host, self._wish.port, keepalive=KEEPALIVE_S)
            while not self._stopped.is_set():
                code = client.loop(LOOK_S)
                if self._refused or code != 0:
                    raise self._trouble(self._refused or "the connection broke off")
                if self._is_in:
                    alive()
                elif running_s() - began_s > GREETING_S:
                    raise self._trouble("it does not answer; is it a broker?")
                self._hand_in()
        except (OSError, ValueError) as error:
            raise self._trouble(_why(error)) from None
        finally:
            client.disconnect()

    def stop(self) -> None:
        """Listen no more."""
        self._stopped.set()

    def _client(self) -> Any:
        paho = _paho()
        client = paho.Client(paho.CallbackAPIVersion.VERSION2, reconnect_on_failure=False)
        client.connect_timeout = GREETING_S
        wish = self._wish
        if wish.user is not None:
            client.username_pw_set(wish.user, self._password())
        if wish.tls:
            try:
                client.tls_set(ca_certs=wish.ca and str(Path(wish.ca).expanduser()))
            except OSError as error:
                raise self._trouble(
                    f"{wish.ca or 'the certificates of this machine'}: {_why(error)}"
                ) from None
        client.on_connect = self._greeted
        client.on_subscribe = self._subscribed
        for topic in wish.topics:
            client.message_callback_add(topic.topic, partial(self._heard, topic))
        return client

    def _password(self) -> str | None:
        if self._wish.password_file is None:
            return None
        path = Path(self._wish.password_file).expanduser()
        try:
            with path.open("rb") as file:
                raw = file.read(MAX_PASSWORD)
            return raw.decode("utf-8").splitlines()[0]
        except OSError as error:
            raise self._trouble(f"the password file {path}: {_why(error)}") from None
        except (UnicodeDecodeError, IndexError):
            raise self._trouble(f"the password file {path} has no password in its first line") from None

    def _greeted(self, client: Any, userdata: object, flags: object, reason: Any, more: object) -> None:
        if reason.is_failure:
            self._refused = f"it refuses us: {str(reason).lower()}"
            return
        self._is_in = True
        client.subscribe([(topic.topic, 0) for topic in self._wish.topics])

    def _subscribed(
        self, client: Any, userdata: object, number: int, reasons: list[Any], more: object
    ) -> None:
        for topic, reason in zip(self._wish.topics, reasons, strict=False):
            if reason.is_failure:
                self._refused = f"it does not let us hear {topic.topic}: {str(reason).lower()}"

    def _heard(self, topic: TopicWish, client: Any, userdata: object, message: Any) -> None:
        if message.retain:
            return
        where = where_of(self._wish, topic)
        try:
            if len(message.payload) > MAX_PAYLOAD:
                raise ReadingError("long", f"a message of more than {MAX_PAYLOAD} bytes is no reading")
            text = bytes(message.payload).decode("utf-8", errors="replace")
            taking = replace(taking_of_line(text, of=topic.of, scale=topic.unit), of=topic.of)
            self._newest.put(taking)
        except ReadingError as error:
            self._doubt(where, error)
        else:
            self._where[taking.of] = where

    def _hand_in(self) -> None:
        for taking in self._newest.due():
            where = self._where[taking.of]
            try:
                took = self._intake.hand_in(taking)
            except ReadingError as error:
                self._doubt(where, error)
            else:
                self._doubted.pop(where, None)
                self._thermometers.showed(where, took.celsius)

    def _doubt(self, where: str, error: ReadingError) -> None:
        """What came is no reading: told once for each kind in a row."""
        self._thermometers.lost(where, str(error))
        if self._doubted.get(where) != error.kind:
            self._doubted[where] = error.kind
            self._tell(f"{where}: {error}")

    def _trouble(self, problem: str) -> DeviceError:
        return DeviceError(f"mqtt {self._wish.host}:{self._wish.port}", problem, HINT)


def _why(error: Exception) -> str:
    words = getattr(error, "verify_message", "") or getattr(error, "strerror", "") or str(error)
    return words[:1].lower() + words[1:]


def _paho() -> Any:
    try:
        return importlib.import_module("paho.mqtt.client")
    except ImportError:
        hint = "install it with: pip install 'paho-mqtt>=2.1,<3', or take mqtt out of the settings"
        raise DeviceError("mqtt", "paho-mqtt is not installed", hint) from None
