"""The control socket: one JSON object a line in, one a line out, for its owner and the group `kitchend`.

`{"tell": "words"}` is answered with `{"said": [...]}`, `{"status": true}` with `{"status": {...}}`,
`{"reading": {"of": "pork", "celsius": 58}}` with `{"taken": {...}, "said": [...]}`, or with `"taken": null`
and `"why"` where the dinner has no use for it, `{"forget": true}` with `{"forgotten": true}`, or false while
something is on; anything else with `{"error": "one line"}`. However many
connect and whatever they send, memory stays bounded: the one that has been silent longest makes room. What
the answers are is somebody else's business (`Desk`).
"""

from __future__ import annotations

import grp
import json
import os
import pwd
import socket
import socketserver
import struct
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Protocol

from kitchend.errors import DeviceError
from kitchend.service.guard import attempt
from kitchend.service.intake import Took
from kitchend.service.taking import ReadingError, Taking, taking_of

MAX_LINE = 4096
"""Bytes of one request at most; nothing a cook says is longer."""

MAX_ANSWER = 1_000_000
MAX_CONNECTIONS = 32
MAX_DRAINED = 200_000_000
"""Bytes of a line that is too long that are read, and forgotten, before its sender is cut off."""

GROUP = "kitchend"
MAX_OPTION = 1024
"""Bytes of a socket option at most, as Python has it: 256 groups."""
SO_PEERGROUPS = 59
"""The further groups of the peer, see include/uapi/asm-generic/socket.h; Python has no name for it."""

TRIES, TRY_AGAIN_S = 50, 0.1
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

    def reading(self, taking: Taking) -> Took:
        """Give a thermometer's reading to the dinner; ReadingError for what no thermometer gives."""
        ...

    def forget(self) -> bool:
        """Put away what was said, if nothing is on; whether it was."""
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


def _read(request: Answer, desk: Desk) -> Answer:
    try:
        took = desk.reading(taking_of(request["reading"], is_strict=True))
    except ReadingError as error:
        return {"error": str(error)}
    if not took.of:
        return {"taken": None, "why": took.why, "celsius": took.celsius, "said": list(took.said)}
    return {"taken": {"of": took.of, "celsius": took.celsius}, "said": list(took.said)}


def _request(line: bytes) -> Answer:
    if len(line) > MAX_LINE:
        raise RequestError(f"a request is at most {MAX_LINE} bytes")
    try:
        request = json.loads(line.decode("utf-8"))
    except (ValueError, RecursionError):
        raise RequestError('not JSON; a request is one line such as {"tell": "what\'s next"}') from None
    if not isinstance(request, dict) or set(request) not in ({"tell"}, {"status"}, {"reading"}, {"forget"}):
        raise RequestError(
            'a request is {"tell": "words"}, {"status": true}, {"reading": {...}} or {"forget": true}'
        )
    if "forget" in request and request["forget"] is not True:
        raise RequestError('"forget" takes true')
    if "tell" in request and not (isinstance(request["tell"], str) and request["tell"].strip()):
        raise RequestError('"tell" needs the words to say, as text')
    return request


def _answered(request: Answer, desk: Desk) -> Answer:
    if "tell" in request:
        return {"said": list(desk.tell(" ".join(request["tell"].split())))}
    if "reading" in request:
        return _read(request, desk)
    if "forget" in request:
        return {"forgotten": desk.forget()}
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
            _connect(channel, path)
            # Whoever refuses says why and hangs up without listening.
            with suppress(BrokenPipeError):
                channel.sendall(json.dumps(request).encode() + b"\n")
            line = channel.makefile("rb").readline(MAX_ANSWER)
    except (TimeoutError, BlockingIOError):
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


def _connect(channel: socket.socket, path: Path) -> None:
    """Connect; while more wait at the door than the system lets wait, try again for a while."""
    for _ in range(TRIES):
        try:
            channel.connect(str(path))
        except BlockingIOError:
            threading.Event().wait(TRY_AGAIN_S)
        else:
            return
    raise BlockingIOError


class _Server(socketserver.ThreadingMixIn, socketserver.UnixStreamServer):
    daemon_threads = True
    request_queue_size = 128
    desk: Desk

    def __init__(self, path: str, handler: type[socketserver.StreamRequestHandler]) -> None:
        super().__init__(path, handler)
        self._lock = threading.Lock()
        self._idle: dict[socket.socket, None] = {}
        self._busy: set[socket.socket] = set()

    def process_request(self, request: Any, client_address: Any) -> None:
        """Take a connection on, if its peer may talk and there is room or somebody to make it."""
        if not is_admitted(request):
            _refuse(request, "only its owner and the group kitchend may talk to this kitchend")
        elif not self._has_room_for(request):
            _refuse(request, "too many are talking to this kitchend at once; try again")
        else:
            super().process_request(request, client_address)
            return
        self.shutdown_request(request)

    def _has_room_for(self, request: socket.socket) -> bool:
        with self._lock:
            if len(self._idle) + len(self._busy) >= MAX_CONNECTIONS:
                if not self._idle:
                    return False
                oldest = next(iter(self._idle))
                del self._idle[oldest]
                with suppress(OSError):
                    oldest.shutdown(socket.SHUT_RDWR)
            self._idle[request] = None
            return True

    @contextmanager
    def busy(self, request: socket.socket) -> Iterator[None]:
        """While inside, this connection is not sent away to make room."""
        with self._lock:
            self._idle.pop(request, None)
            self._busy.add(request)
        try:
            yield
        finally:
            with self._lock:
                self._busy.discard(request)
                self._idle[request] = None

    def gone(self, request: socket.socket) -> None:
        """This connection has ended."""
        with self._lock:
            self._idle.pop(request, None)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A client that went away is no news."""


class _Connection(socketserver.StreamRequestHandler):
    timeout = IDLE_S

    def handle(self) -> None:
        assert isinstance(self.server, _Server)
        server, request = self.server, self.request
        try:
            while line := self.rfile.readline(MAX_LINE + 1):
                with server.busy(request):
                    answer = answer_to(line, server.desk)
                    self.wfile.write(json.dumps(answer, ensure_ascii=False).encode() + b"\n")
                if len(line) > MAX_LINE:
                    _drain(request)
                    return
        except OSError:
            return
        finally:
            server.gone(request)


def _drain(request: socket.socket) -> None:
    """Read on a little past a line that is too long, so that its sender gets to the answer."""
    left = MAX_DRAINED
    while left > 0 and (part := request.recv(65_536)):
        left -= len(part)


def _refuse(request: socket.socket, why: str) -> None:
    with suppress(OSError):
        request.settimeout(1.0)
        request.sendall(json.dumps({"error": why}).encode() + b"\n")


def is_admitted(request: socket.socket) -> bool:
    """Whether the process at the other end may talk: as our user, as root, or as one of the group."""
    size = struct.calcsize("3i")
    try:
        _, user, group = struct.unpack("3i", request.getsockopt(socket.SOL_SOCKET, socket.SO_PEERCRED, size))
    except OSError:
        return False
    return user in (os.geteuid(), 0) or group_id() in {group, *_further_groups(request, user)}


def _further_groups(request: socket.socket, user: int) -> set[int]:
    """The peer's other groups: as the kernel has them, or as the system lists them where it does not say."""
    with suppress(OSError):
        raw = request.getsockopt(socket.SOL_SOCKET, SO_PEERGROUPS, MAX_OPTION)
        return {group for (group,) in struct.iter_unpack("I", raw)}
    with suppress(KeyError, OSError):
        found = pwd.getpwuid(user)
        return set(os.getgrouplist(found.pw_name, found.pw_gid))
    return set()


def group_id() -> int | None:
    """The group whose members may talk to kitchend; None where the system has no such group."""
    try:
        return grp.getgrnam(GROUP).gr_gid
    except KeyError:
        return None


def _server(path: Path, desk: Desk) -> _Server:
    hint = "set XDG_RUNTIME_DIR to a folder of your own with a short path"
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        _clear_the_way(path)
        server = _Server(str(path), _Connection)
        _open_to_group(path)
    except OSError as error:
        raise DeviceError("control socket", f"cannot make {path}: {error.strerror or error}", hint) from None
    server.desk = desk
    return server


def _open_to_group(path: Path) -> None:
    """Let the group reach the socket where there is one and it is ours to give; else nobody but its owner."""
    group = group_id()
    path.chmod(0o600)
    if group is None:
        return
    with suppress(PermissionError):
        for place, mode in ((path.parent, 0o710), (path, 0o660)):
            os.chown(place, -1, group)
            place.chmod(mode)


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
