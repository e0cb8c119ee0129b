"""Readings by MQTT, from a real Mosquitto: what comes through, what does not, a broker that is away."""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from threading import Event, Thread
from typing import Any

import pytest

from kitchend.core.quantities import Scale
from kitchend.service.intake import Intake
from kitchend.service.settings import Settings
from kitchend.service.settings_sources import MqttWish, TopicWish
from kitchend.service.sources import Thermometers, open_sources
from tests.service.kitchen import Kitchen, quay_plan
from tests.service.mosquitto import HOST, Publisher, a_client, broker, broker_command, free_port

RICE = "rice/boil-the-rice"
PROBE = TopicWish(topic="kitchen/probe", of="rice")


class Listening:
    """A dinner with rice on that takes readings from a broker on a free port."""

    def __init__(self, folder: Path) -> None:
        self.kitchen = Kitchen(quay_plan(folder))
        self.kitchen.begin()
        self.kitchen.type("rice is on")
        self.complaints: list[str] = []
        self.port = free_port()
        self._stack = ExitStack()
        self._loop = Thread(target=self.kitchen.runner.run_forever)
        self._loop.start()

    def to(self, *topics: TopicWish, **more: Any) -> Thermometers:
        wish = MqttWish(host=HOST, port=self.port, topics=topics or (PROBE,), **{"every_s": 0.0, **more})
        intake = Intake(self.kitchen.runner)
        opened = open_sources(Settings(mqtt=wish), intake, self.complaints.append, pauses_s=(0.1,))
        return self._stack.enter_context(opened)

    @property
    def readings(self) -> list[tuple[str, float]]:
        return [(one.of, round(one.celsius, 2)) for one in self.kitchen.runner.state.readings]

    def sends(
        self, publisher: Publisher, topic: str, payload: str | bytes, reading: tuple[str, float]
    ) -> None:
        """Publish until it is heard: a message before the subscription is in is lost, as MQTT has it."""

        def is_heard() -> bool:
            publisher.send(topic, payload)
            return reading in self.readings

        wait_until(is_heard, every_s=0.2)

    def close(self) -> None:
        self._stack.close()
        self.kitchen.runner.stop()
        self._loop.join(timeout=20)


@pytest.fixture
def listening(tmp_path: Path) -> Iterator[Listening]:
    broker_command()
    listening = Listening(tmp_path)
    yield listening
    listening.close()
    assert listening.kitchen.complaints == []


def wait_until(is_so: Callable[[], bool], within_s: float = 20.0, every_s: float = 0.05) -> None:
    for _ in range(round(within_s / every_s)):
        if is_so():
            return
        Event().wait(every_s)
    raise AssertionError("it never came to that")


def test_numbers_and_objects_are_readings_of_what_the_settings_say(
    listening: Listening, tmp_path: Path
) -> None:
    oven = TopicWish(topic="smoker/+/air", of="hob", unit=Scale.FAHRENHEIT)
    with broker(tmp_path, listening.port), Publisher(listening.port) as publisher:
        thermometers = listening.to(PROBE, oven)
        listening.sends(publisher, "kitchen/probe", "58.25", (RICE, 58.25))
        listening.sends(publisher, "kitchen/probe", '{"name": "probe 3", "temperature": 59.5}', (RICE, 59.5))
        listening.sends(publisher, "kitchen/probe", '{"fahrenheit": 140}', (RICE, 60.0))
        listening.sends(publisher, "smoker/left/air", "374", ("hob", 190.0))
        publisher.send("smoker/left/door", "20")
        publisher.send("kitchen/probe/battery", "3")
        assert {of for of, _ in listening.readings} == {RICE, "hob"}
        assert listening.complaints == []
        known = {one["where"]: (one["works"], one["celsius"]) for one in thermometers.status()}
        assert known == {
            f"mqtt {HOST}:{listening.port} kitchen/probe": (True, 60.0),
            f"mqtt {HOST}:{listening.port} smoker/+/air": (True, pytest.approx(190.0)),
        }


def test_a_message_that_the_broker_had_kept_is_no_reading(listening: Listening, tmp_path: Path) -> None:
    with broker(tmp_path, listening.port), Publisher(listening.port) as publisher:
        publisher.send("kitchen/probe", "21", retain=True)
        listening.to()
        listening.sends(publisher, "kitchen/probe", "58", (RICE, 58.0))
        assert (RICE, 21.0) not in listening.readings


def test_what_is_no_reading_is_told_once_until_there_is_one(listening: Listening, tmp_path: Path) -> None:
    with broker(tmp_path, listening.port), Publisher(listening.port) as publisher:
        thermometers = listening.to()
        listening.sends(publisher, "kitchen/probe", "58", (RICE, 58.0))
        for payload in ("warm", "hot", b"\xff\xfe", "", "1e9", "1e9", "x" * 100_000):
            publisher.send("kitchen/probe", payload)
        wait_until(lambda: len(listening.complaints) >= 3)
        told = [line.partition("kitchen/probe: ")[2] for line in listening.complaints]
        assert sorted(line[:30] for line in told) == [
            '"warm" is neither a number nor',
            "1000000000 C is nothing a kitc",
            "a message of more than 4096 by",
        ]
        assert all(len(line.splitlines()) == 1 for line in listening.complaints)
        assert thermometers.status()[0]["works"] is False
        listening.sends(publisher, "kitchen/probe", "59", (RICE, 59.0))
        assert thermometers.status()[0]["works"] is True
        assert {celsius for _, celsius in listening.readings} == {58.0, 59.0}


def test_of_a_flood_the_newest_counts(listening: Listening, tmp_path: Path) -> None:
    with broker(tmp_path, listening.port), Publisher(listening.port) as publisher:
        listening.to(every_s=600.0)
        listening.sends(publisher, "kitchen/probe", "58", (RICE, 58.0))
        for _ in range(500):
            publisher.send("kitchen/probe", "59")
        assert listening.readings == [(RICE, 58.0)]


def test_a_broker_that_goes_is_told_once_and_heard_again_when_it_is_back(
    listening: Listening, tmp_path: Path
) -> None:
    with broker(tmp_path, listening.port), Publisher(listening.port) as publisher:
        thermometers = listening.to()
        listening.sends(publisher, "kitchen/probe", "58", (RICE, 58.0))
    wait_until(lambda: thermometers.status()[0]["works"] is False)
    Event().wait(1.0)
    assert len(listening.complaints) <= 2  # it broke off; it is not there
    assert all(f"mqtt {HOST}:{listening.port}: " in line for line in listening.complaints)
    assert thermometers.status()[0]["celsius"] == 58.0
    with broker(tmp_path, listening.port), Publisher(listening.port) as publisher:
        listening.sends(publisher, "kitchen/probe", "59", (RICE, 59.0))
        assert listening.complaints[-1] == "mqtt: it is there again"


def test_without_a_broker_the_dinner_goes_on_and_says_so(listening: Listening) -> None:
    listening.to()
    wait_until(lambda: bool(listening.complaints))
    told = f"mqtt {HOST}:{listening.port}: connection refused; it is tried again and again"
    assert listening.complaints == [told]


def test_a_name_that_nobody_has_is_one_line(listening: Listening, tmp_path: Path) -> None:
    wish = MqttWish(host="no-such-broker.invalid", port=1883, topics=(PROBE,))
    complaints: list[str] = []
    intake = Intake(listening.kitchen.runner)
    with open_sources(Settings(mqtt=wish), intake, complaints.append, pauses_s=(0.1,)):
        wait_until(lambda: bool(complaints), within_s=60)
    assert complaints[0].startswith("mqtt no-such-broker.invalid:1883: ")
    assert len(complaints[0].splitlines()) == 1


def test_who_is_no_broker_is_not_waited_for_without_end(
    listening: Listening, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("kitchend.service.broker.GREETING_S", 0.5)
    with socket.create_server((HOST, listening.port)):
        listening.to()
        wait_until(lambda: bool(listening.complaints))
    assert "it does not answer; is it a broker?" in listening.complaints[0]


def passwords(folder: Path) -> tuple[str, str]:
    """The two lines of a broker that lets the cook in and nobody else."""
    file = folder / "passwords"
    file.write_text("cook:whisk\n")
    tool = shutil.which("mosquitto_passwd", path="/usr/bin:/bin:/usr/local/bin") or "mosquitto_passwd"
    subprocess.run([tool, "-U", str(file)], check=True, timeout=60)
    file.chmod(0o644)
    return "allow_anonymous false", f"password_file {file}"


def test_a_user_with_the_password_of_a_file_is_let_in(listening: Listening, tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.write_text("whisk\n")
    served = broker(tmp_path, listening.port, *passwords(tmp_path))
    with served, Publisher(listening.port, user="cook", password="whisk") as publisher:
        listening.to(user="cook", password_file=str(secret))
        listening.sends(publisher, "kitchen/probe", "58", (RICE, 58.0))
    assert "whisk" not in " ".join(listening.complaints)


@pytest.mark.parametrize("secret", ["spoon\n", None], ids=["a wrong password", "no user"])
def test_who_is_not_let_in_is_told_why(listening: Listening, tmp_path: Path, secret: str | None) -> None:
    more: dict[str, str] = {}
    if secret is not None:
        (tmp_path / "secret").write_text(secret)
        more = {"user": "cook", "password_file": str(tmp_path / "secret")}
    with broker(tmp_path, listening.port, *passwords(tmp_path)):
        listening.to(**more)
        wait_until(lambda: bool(listening.complaints))
    assert "it refuses us: not authorized; it is tried again and again" in listening.complaints[0]
    assert "spoon" not in listening.complaints[0]


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (None, "no such file or directory"),
        (b"", "has no password in its first line"),
        (b"\xff", "has no password"),
    ],
    ids=["missing", "empty", "no text"],
)
def test_a_password_file_without_a_password_is_one_line(
    listening: Listening, tmp_path: Path, content: bytes | None, told: str
) -> None:
    if content is not None:
        (tmp_path / "secret").write_bytes(content)
    listening.to(user="cook", password_file=str(tmp_path / "secret"))
    wait_until(lambda: bool(listening.complaints))
    assert told in listening.complaints[0]
    assert str(tmp_path / "secret") in listening.complaints[0]


def certificates(folder: Path) -> tuple[Path, tuple[str, ...]]:
    """A certificate for this machine, signed by itself, and the lines of a broker that shows it."""
    if shutil.which("openssl") is None:
        pytest.skip("openssl is not there: apt-get install openssl")
    key, shown = folder / "key.pem", folder / "cert.pem"
    what = "openssl req -x509 -newkey rsa:2048 -nodes -days 2 -subj /CN=kitchen"
    command = [*what.split(), "-addext", f"subjectAltName=IP:{HOST}", "-keyout", str(key), "-out", str(shown)]
    subprocess.run(command, check=True, capture_output=True, timeout=60)
    key.chmod(0o644)
    return shown, ("allow_anonymous true", f"certfile {shown}", f"keyfile {key}")


# The library leaves the socket of a handshake that failed to the garbage collector.
@pytest.mark.filterwarnings("ignore:unclosed <ssl.SSLSocket:ResourceWarning")
def test_with_tls_the_brokers_certificate_has_to_be_one_that_is_trusted(
    listening: Listening, tmp_path: Path
) -> None:
    _, lines = certificates(tmp_path)
    with broker(tmp_path, listening.port, *lines):
        thermometers = listening.to(tls=True)
        wait_until(lambda: bool(listening.complaints))
        assert "self-signed certificate; it is tried again and again" in listening.complaints[0]
        assert thermometers.status()[0]["works"] is False


def test_with_the_right_ca_readings_come_over_tls(listening: Listening, tmp_path: Path) -> None:
    shown, lines = certificates(tmp_path)
    with broker(tmp_path, listening.port, *lines):
        listening.to(tls=True, ca=str(shown))
        client = a_client()
        client.tls_set(ca_certs=str(shown))
        client.connect(HOST, listening.port)
        client.loop_start()

        def is_heard() -> bool:
            client.publish("kitchen/probe", "58", qos=1).wait_for_publish(10)
            return (RICE, 58.0) in listening.readings

        wait_until(is_heard, every_s=0.2)
        client.loop_stop()
        client.disconnect()


def test_a_ca_that_is_not_there_is_one_line(listening: Listening, tmp_path: Path) -> None:
    listening.to(tls=True, ca=str(tmp_path / "none.pem"))
    wait_until(lambda: bool(listening.complaints))
    assert f"{tmp_path}/none.pem: no such file or directory" in listening.complaints[0]


def test_without_the_extra_it_is_one_line_that_says_how_to_get_it(
    listening: Listening, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "paho.mqtt.client", None)
    listening.to()
    wait_until(lambda: bool(listening.complaints))
    (told,) = listening.complaints
    assert told.startswith(
        "mqtt: paho-mqtt is not installed; install it with: pip install 'paho-mqtt>=2.1,<3'"
    )
