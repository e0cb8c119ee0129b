"""The control socket: one JSON object a line in, one a line out, for this user only.

`{"tell": "words"}` is answered with `{"said": [...]}`, `{"status": true}` with `{"status": {...}}`, anything
else with `{"error": "one line"}`. What the answers are is somebody else's business (`Desk`).
"""

from __future__ import annotations

import json
import socket
import socketserver
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Protocol

from kitchend.errors import DeviceError
from kitchend.service.guard import attempt

MAX_LINE = 4096
"""Bytes of one request at most; nothing a cook says is longer."""

MAX_ANSWER = 1_000_000
IDLE_S = 60.0
"""How long a connection may say nothing."""

Answer = dict[str, Any]


class Desk(Protocol):
    """Who answers what comes in by the socket."""

    def tell(self, words: str) -> tuple[str, ...]:
        """Say these words to the dinner; what kitchend said back."""
        ...

    def status(self) -> Answer:
        """How the dinner stands."""
        ...


class RequestError(ValueError):
    """A line that is no request; its text says what one looks like."""


def answer_to(line: bytes, desk: Desk) -> Answer:
    """The answer to one line; never raises for what the line holds."""
    try:
        request = _request(line)
    except RequestError as error:
        return {"error": str(error)}
    answers: list[Answer] = []
    failures: list[str] = []
    if attempt(lambda: answers.append(_answered(request, desk)), complain=failures.append, doing="answer"):
        return answers[0]
    return {"error": failures[0]}


def _request(line: bytes) -> Answer:
    if len(line) > MAX_LINE:
        raise RequestError(f"a request is at most {MAX_LINE} bytes")
    try:
        request = json.loads(line.decode("utf-8"))
    except (ValueError, RecursionError):
        raise RequestError('not JSON; a request is one line such as {"tell": "what\'s next"}') from None
    if not isinstance(request, dict) or set(request) not in ({"tell"}, {"status"}):
        raise RequestError('a request is {"tell": "words"} or {"status": true}')
    if "tell" in request and not (isinstance(request["tell"], str) and request["tell"].strip()):
        raise RequestError('"tell" needs the words to say, as text')
    return request


def _answered(request: Answer, desk: Desk) -> Answer:
    if "tell" in request:
        return {"said": list(desk.tell(" ".join(request["tell"].split())))}
    return {"status": desk.status()}


@contextmanager
def serving(path: Path, desk: Desk) -> Iterator[None]:
    """Serve the socket at `path` in threads while inside; DeviceError if it cannot be made or is taken."""
    with _server(path, desk) as server:
        thread = threading.Thread(target=server.serve_forever, args=(0.2,), name="control", daemon=True)
        thread.start()
        try:
            yield
        finally:
            server.shutdown()
            thread.join()
            path.unlink(missing_ok=True)


def ask(path: Path, request: Answer, *, patience_s: float = 40.0) -> Answer:
    """Send one request to the service at `path` and give its answer; DeviceError if nobody is there."""
    try:
        with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as channel:
            channel.settimeout(patience_s)
            channel.connect(str(path))
            channel.sendall(json.dumps(request).encode() + b"\n")
            line = channel.makefile("rb").readline(MAX_ANSWER)
    except TimeoutError:
        raise DeviceError(
            "service", f"no answer within {patience_s:g} s", "is it very busy? try again"
        ) from None
    except OSError:
        raise DeviceError("service", "none is running here", "start one with `kitchend run`") from None
    try:
        answer = json.loads(line)
    except ValueError:
        raise DeviceError("service", "it hung up without an answer", "try again") from None
    return answer if isinstance(answer, dict) else {"error": "the service gave an answer of no known shape"}


class _Server(socketserver.ThreadingMixIn, socketserver.UnixStreamServer):
    daemon_threads = True
    request_queue_size = 32
    desk: Desk

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A client that went away is no news."""


class _Connection(socketserver.StreamRequestHandler):
    timeout = IDLE_S

    def handle(self) -> None:
        assert isinstance(self.server, _Server)
        with suppress(OSError):
            while line := self.rfile.readline(MAX_LINE + 1):
                answer = answer_to(line, self.server.desk)
                self.wfile.write(json.dumps(answer, ensure_ascii=False).encode() + b"\n")
                if len(line) > MAX_LINE:
                    return


def _server(path: Path, desk: Desk) -> _Server:
    hint = "set XDG_RUNTIME_DIR to a folder of your own with a short path"
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        _clear_the_way(path)
        server = _Server(str(path), _Connection)
        path.chmod(0o600)
    except OSError as error:
        raise DeviceError("control socket", f"cannot make {path}: {error.strerror or error}", hint) from None
    server.desk = desk
    return server


def _clear_the_way(path: Path) -> None:
    """Remove a socket nobody serves any more; refuse one that somebody does."""
    if not path.exists():
        return
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as channel:
        channel.settimeout(2.0)
        try:
            channel.connect(str(path))
        except (ConnectionRefusedError, FileNotFoundError):
            path.unlink(missing_ok=True)
            return
    raise DeviceError("service", "another kitchend is already running", "talk to it with `kitchend tell`")
