"""Who may touch the board: every sentence of the promise, tried from outside with plain requests."""

from __future__ import annotations

import json
import socket
import threading
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitchend.board.door import MOST_BODY
from kitchend.board.feed import MOST_LISTENERS
from tests.board.asking import ask, post
from tests.board.served import Served, served
from tests.service.kitchen import Kitchen

GETS = (
    "/",
    "/plans",
    "/after",
    "/view",
    "/plans/list",
    "/after/story",
    "/board.css",
    "/board.js",
    "/common.js",
)
POSTS = ("/say", "/plans/look", "/plans/start", "/plans/add?name=x.yaml", "/door")


def turning(kitchen: Kitchen) -> Iterator[None]:
    """A kitchen whose loop turns by itself."""
    thread = threading.Thread(target=kitchen.runner.run_forever, daemon=True)
    thread.start()
    yield
    kitchen.runner.stop()
    thread.join(10)


@pytest.fixture
def live(on_wall: Served) -> Iterator[Served]:
    running = turning(on_wall.kitchen)
    next(running)
    yield on_wall
    next(running, None)


def house_address() -> str:
    """An address of this machine that is not loopback; skips where there is none that is private."""
    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as probe:
        try:
            probe.connect(("10.255.255.255", 9))  # nothing is sent
            address = str(probe.getsockname()[0])
        except OSError:
            address = "127.0.0.1"
    if address.startswith("127."):
        pytest.skip("this machine has no address in a house")
    return address


def test_without_being_asked_it_listens_to_this_machine_alone(on_wall: Served) -> None:
    with pytest.raises(ConnectionRefusedError):
        ask(on_wall.port, "GET", "/", address=house_address())


@pytest.mark.parametrize("path", GETS)
def test_every_answer_forbids_what_a_page_here_never_needs(on_wall: Served, path: str) -> None:
    answer = ask(on_wall.port, "GET", path)
    assert answer.status == 200
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert answer.headers["cache-control"] == "no-store"
    assert "server" not in answer.headers


def test_refusals_and_errors_carry_the_same_headers(on_wall: Served) -> None:
    for answer in (
        ask(on_wall.port, "GET", "/nowhere"),
        ask(on_wall.port, "GET", "/", headers={"Host": "elsewhere.example"}),
        ask(on_wall.port, "PUT", "/"),
    ):
        assert "default-src 'none'" in answer.headers["content-security-policy"]
        assert set(answer.json) == {"error"}


@pytest.mark.parametrize(
    "host", ["elsewhere.example", "localhost", "127.0.0.1:1", "10.0.0.9", "", "127.0.0.1.elsewhere.example"]
)
def test_another_host_is_not_served(on_wall: Served, host: str) -> None:
    name = host if ":" in host or not host else f"{host}:{on_wall.port}"
    expected = 200 if host == "localhost" else 421
    assert ask(on_wall.port, "GET", "/view", headers={"Host": name}).status == expected


def test_a_request_without_a_host_is_not_served(on_wall: Served) -> None:
    assert ask(on_wall.port, "GET", "/view", headers={"Host": None}).status in (400, 421)


@pytest.mark.parametrize("origin", [None, "null", "http://elsewhere.example", "https://127.0.0.1:{port}"])
@pytest.mark.parametrize("path", POSTS)
def test_nothing_is_changed_from_another_page(on_wall: Served, path: str, origin: str | None) -> None:
    given_origin = None if origin is None else origin.format(port=on_wall.port)
    answer = post(on_wall.port, path, {"words": "undo"}, headers={"Origin": given_origin})
    assert answer.status == 403
    assert on_wall.kitchen.runner.run_pending() == 0


def test_a_cross_site_fetch_is_refused_even_with_the_right_origin(on_wall: Served) -> None:
    headers = {"Sec-Fetch-Site": "cross-site"}
    assert post(on_wall.port, "/say", {"words": "undo"}, headers=headers).status == 403


@pytest.mark.parametrize("path", [*GETS, "/plans/sheet?plan=Orchard+supper", "/after/story.csv"])
def test_no_get_changes_anything(on_wall: Served, path: str) -> None:
    before = on_wall.kitchen.runner.state
    ask(on_wall.port, "GET", path)
    assert on_wall.kitchen.runner.run_pending() == 0
    assert on_wall.kitchen.runner.state is before


@pytest.mark.parametrize("path", POSTS)
def test_what_changes_something_cannot_be_had_by_get(on_wall: Served, path: str) -> None:
    assert ask(on_wall.port, "GET", path).status == (200 if path == "/door" else 405)


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(on_wall: Served, method: str) -> None:
    assert ask(on_wall.port, method, "/view").status == 405


def test_bodies_are_bounded_and_must_say_how_long_they_are(on_wall: Served) -> None:
    long = {"Content-Length": str(MOST_BODY + 1)}
    assert ask(on_wall.port, "POST", "/say", headers=long).status == 413
    chunked = {"Transfer-Encoding": "chunked"}
    assert ask(on_wall.port, "POST", "/say", b"2\r\n{}\r\n0\r\n\r\n", headers=chunked).status == 411
    assert ask(on_wall.port, "POST", "/say", headers={"Content-Length": None}).status == 411


def test_a_form_cannot_say_anything(on_wall: Served) -> None:
    headers = {"Content-Type": "text/plain"}
    assert post(on_wall.port, "/say", {"words": "undo"}, headers=headers).status == 415


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"", 400), (b"{", 400), (b"\xff", 400), (b"[" * 20_000, 400), (b"[]", 422), (b"{}", 422),
        (b'{"words": 3}', 422), (b'{"words": "  "}', 422), (b'{"words": "x", "more": 1}', 422),
        (b'{"words": "\\ud800"}', 422), (json.dumps({"words": "x" * 3000}).encode(), 422),
    ],
)  # fmt: skip
def test_a_request_of_another_shape_is_told_what_to_send(on_wall: Served, body: bytes, status: int) -> None:
    answer = ask(on_wall.port, "POST", "/say", body)
    assert answer.status == status
    assert "\n" not in answer.json["error"]
    assert on_wall.kitchen.runner.run_pending() == 0


def test_words_are_answered_by_the_same_core(live: Served) -> None:
    assert post(live.port, "/say", {"words": "what's on"}).json == {"said": ["Nothing is on."]}


JSON = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False) | st.text(max_size=30),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
DESCRIBED = {"/say": ("words",), "/plans/look": ("plan", "serve"), "/plans/start": ("plan", "serve"),
             "/door": ("words", "name")}  # fmt: skip
"""What each address takes: an object with just these texts."""


@settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(path=st.sampled_from(sorted(DESCRIBED)), shaped=st.booleans(), data=st.data())
def test_made_up_requests_get_a_clear_answer(live: Served, path: str, shaped: bool, data: Any) -> None:
    text = st.text(max_size=40)
    asked = {key: data.draw(text) for key in DESCRIBED[path]} if shaped else data.draw(JSON)
    answer = ask(live.port, "POST", path, json.dumps(asked).encode("utf-8", "surrogatepass"))
    assert answer.status in {200, 400, 403, 409, 422, 429}
    assert isinstance(answer.json, dict)
    assert not live.complaints


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(path=st.text(st.characters(min_codepoint=33, max_codepoint=126), max_size=40))
def test_made_up_addresses_are_nowhere(on_wall: Served, path: str) -> None:
    answer = ask(on_wall.port, "GET", f"/x{path}")
    assert answer.status in {400, 404, 405}
    assert not on_wall.complaints


def listen(port: int) -> socket.socket:
    channel = socket.create_connection(("127.0.0.1", port), timeout=20)
    channel.sendall(f"GET /events HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode())
    return channel


def test_fifty_listen_and_two_hundred_more_are_refused_cleanly(on_wall: Served) -> None:
    channels = [listen(on_wall.port) for _ in range(MOST_LISTENERS)]
    try:
        assert all(b"200 OK" in channel.recv(65_536) for channel in channels)
        refused = [listen(on_wall.port) for _ in range(200)]
        answers = [channel.recv(4096) for channel in refused]
        assert all(answer.startswith(b"HTTP/1.1 503") for answer in answers)
        for channel in refused:
            channel.close()
        on_wall.kitchen.type("what's on")
        assert all(b"Nothing is on." in until(channel, b"Nothing is on.") for channel in channels)
    finally:
        for channel in channels:
            channel.close()
    wait_for_room(on_wall)


def until(channel: socket.socket, wanted: bytes) -> bytes:
    found = b""
    while wanted not in found and (part := channel.recv(65_536)):
        found += part
    return found


def wait_for_room(up: Served) -> None:
    """Until those who went are noticed and somebody else may listen."""
    for _ in range(100):
        with closing(listen(up.port)) as channel:
            if channel.recv(64).startswith(b"HTTP/1.1 200"):
                return
        threading.Event().wait(0.05)
    pytest.fail("nobody may listen any more")


def test_a_header_without_an_end_is_refused(on_wall: Served) -> None:
    with closing(socket.create_connection(("127.0.0.1", on_wall.port), timeout=20)) as channel:
        channel.sendall(b"GET / HTTP/1.1\r\nX: " + b"y" * 40_000)
        assert channel.recv(4096).startswith(b"HTTP/1.1 400")


# --- the house ----------------------------------------------------------------------------------------------


@pytest.fixture
def in_house(kitchen: Kitchen, tmp_path: Path) -> Iterator[tuple[Served, str]]:
    address = house_address()
    with served(kitchen, tmp_path, is_lan=True) as up:
        yield up, address


def spoken_words(up: Served) -> str:
    up.kitchen.type("let a tablet in")
    return up.kitchen.said[-1].removeprefix("The words are: ").removesuffix(".").lower()


def let_in(up: Served, address: str, words: str, name: str = "shelf") -> Any:
    return post(up.port, "/door", {"words": words, "name": name}, address=address)


def test_a_device_of_the_house_sees_only_the_way_in(in_house: tuple[Served, str]) -> None:
    up, address = in_house
    assert ask(up.port, "GET", "/", address=address).headers["location"] == "/door"
    assert ask(up.port, "GET", "/door", address=address).status == 200
    for path in ("/view", "/events", "/plans/list", "/after/story.csv", "/common.js"):
        assert ask(up.port, "GET", path, address=address).status == 401
    assert post(up.port, "/say", {"words": "undo"}, address=address).status == 401


def test_the_spoken_words_let_one_device_in_and_are_used_up(in_house: tuple[Served, str]) -> None:
    up, address = in_house
    words = spoken_words(up)
    assert len(words.split()) == 4
    answer = let_in(up, address, f" {words.upper()} ")
    assert answer.status == 200
    given_cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in given_cookie
    assert "samesite=strict" in given_cookie
    cookie = {"Cookie": answer.headers["set-cookie"].partition(";")[0]}
    assert ask(up.port, "GET", "/view", headers=cookie, address=address).status == 200
    assert let_in(up, address, words).json["why"] == "none"


def test_a_cookie_that_was_not_signed_here_is_none(in_house: tuple[Served, str]) -> None:
    up, address = in_house
    cookie = let_in(up, address, spoken_words(up)).headers["set-cookie"].partition(";")[0]
    name, _, mac = cookie.partition(".")
    for forged in (f"{name}.{'0' * 64}", f"{name}.", name, f"{cookie}0", f"kitchend_board=x.{mac}"):
        assert ask(up.port, "GET", "/view", headers={"Cookie": forged}, address=address).status == 401


def test_wrong_words_are_slowed_down_and_use_the_code_up(in_house: tuple[Served, str]) -> None:
    up, address = in_house
    words = spoken_words(up)
    waits = []
    for _ in range(5):
        answer = let_in(up, address, "acorn acorn acorn acorn")
        assert (answer.status, answer.json["why"]) == (403, "wrong")
        waits.append(answer.json["wait_s"])
        again = let_in(up, address, words)
        assert (again.status, again.json["why"]) == (429, "slow")
        assert int(again.headers["retry-after"]) >= 1
        up.kitchen.clock.advance(answer.json["wait_s"])
    assert waits == sorted(waits)
    assert waits[-1] >= 60
    assert let_in(up, address, words).json["why"] == "none"


def test_words_hold_for_five_minutes_only(in_house: tuple[Served, str]) -> None:
    up, address = in_house
    words = spoken_words(up)
    up.kitchen.clock.advance(301)
    assert let_in(up, address, words).json["why"] == "none"


def test_a_device_that_is_revoked_sees_nothing_from_then_on(in_house: tuple[Served, str]) -> None:
    up, address = in_house
    cookie = let_in(up, address, spoken_words(up), "hall").headers["set-cookie"].partition(";")[0]
    channel = socket.create_connection((address, up.port), timeout=20)
    with closing(channel):
        channel.sendall(
            f"GET /events HTTP/1.1\r\nHost: {address}:{up.port}\r\nCookie: {cookie}\r\n\r\n".encode()
        )
        until(channel, b"event: view")
        assert [one.name for one in up.board.pages.devices.remove("hall")] == ["hall"]
        up.kitchen.type("what's on")
        rest = until(channel, b"event: gone")
        assert b"event: gone" in rest
        assert b"Nothing is on." not in rest
    assert ask(up.port, "GET", "/view", headers={"Cookie": cookie}, address=address).status == 401


def test_the_house_too_is_asked_for_by_its_own_name(in_house: tuple[Served, str]) -> None:
    up, address = in_house
    elsewhere = {"Host": f"elsewhere.example:{up.port}"}
    assert ask(up.port, "GET", "/door", headers=elsewhere, address=address).status == 421
    own = {"Host": f"{socket.gethostname().lower()}:{up.port}"}
    assert ask(up.port, "GET", "/door", headers=own, address=address).status == 200


def test_a_closed_board_has_no_words_to_give(on_wall: Served) -> None:
    on_wall.kitchen.type("let a tablet in")
    assert on_wall.kitchen.said[-1].startswith("The board is not open to other devices.")
    answer = post(on_wall.port, "/door", {"words": "acorn", "name": "x"})
    assert answer.status == 422
