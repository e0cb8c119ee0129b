"""The one door of the board: who is let through to it, and what every answer carries. Before any page.

Hosts and origins are checked against rebinding and forged forms, methods and bodies bounded, and every answer
forbids the page to fetch from, or be framed by, anybody else. https://www.w3.org/TR/CSP3/
"""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Mapping
from dataclasses import dataclass

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from kitchend.board.devices import Devices

COOKIE = "kitchend_board"
COOKIE_DAYS = 180
MOST_BODY = 262_144
"""Bytes; no plan is longer."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
ALWAYS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
    "cache-control": "no-store",
}
OPEN_TO_ALL = frozenset({"/door", "/board.css", "/icon.svg", "/door.js"})
"""What a device that is not let in may see: the way in."""

LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "[::1]"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Who:
    """Whom the door lets through: the machine itself, or also the devices of the house on the list."""

    is_lan: bool
    port: int
    devices: Devices

    def knows_host(self, host: str) -> bool:
        """Whether this is a name the board goes by; a number cannot be rebound to somebody else's page."""
        name, port = _parted(host)
        if port != self.port:
            return False
        if name in LOOPBACK_NAMES:
            return True
        return self.is_lan and (_is_number(name) or name in _own_names())

    def is_near(self, scope: Scope) -> bool:
        """Whether the other end is in the house: no address of the wide world is answered."""
        address = _address(scope)
        return address is not None and (address.is_loopback or (self.is_lan and address.is_private))

    def admits(self, scope: Scope) -> bool:
        """Whether the other end may see the board: the machine itself, or a device that was let in."""
        address = _address(scope)
        if address is not None and address.is_loopback:
            return True
        cookies = cookie_parser(Headers(scope=scope).get("cookie", ""))
        return self.is_lan and self.devices.holder(cookies.get(COOKIE, "")) is not None


class Door:
    """Wraps the pages."""

    def __init__(self, inside: ASGIApp, who: Who) -> None:
        self._inside = inside
        self._who = who

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here."""
        if scope["type"] != "http":
            return

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in ALWAYS.items():
                    headers.setdefault(name, value)
            await send(message)

        refused = self._refused(scope)
        if refused is not None:
            await refused(scope, receive, sent)
        else:
            await self._inside(scope, receive, sent)

    def _refused(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        if not self._who.is_near(scope):
            return refusal(403, "the board is for devices in the house")
        if len(headers.getlist("host")) != 1 or not self._who.knows_host(headers["host"]):
            return refusal(421, "the board is not served under this name")
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return refusal(405, "only GET, HEAD and POST", {"allow": "GET, HEAD, POST"})
        if scope["method"] == "POST" and (wrong := _wrong_post(headers)) is not None:
            return wrong
        if scope["path"] in OPEN_TO_ALL or self._who.admits(scope):
            return None
        if scope["method"] != "POST" and scope["path"] == "/":
            return RedirectResponse("/door", status_code=303)
        return refusal(401, "this device is not let in; open /door")


def _wrong_post(headers: Headers) -> Response | None:
    """What is wrong with a request that wants to change something; None if nothing is."""
    origins = headers.getlist("origin")
    if (
        origins != [f"http://{headers['host']}"]
        or headers.get("sec-fetch-site", "same-origin") != "same-origin"
    ):
        return refusal(403, "this did not come from the board's own page")
    length = headers.get("content-length", "")
    if "transfer-encoding" in headers or not (length.isascii() and length.isdigit()):
        return refusal(411, "say how long it is: Content-Length")
    if len(length) > 9 or int(length) > MOST_BODY:
        return refusal(413, f"{MOST_BODY} bytes at most")
    return None


def refusal(status: int, why: str, headers: Mapping[str, str] | None = None) -> Response:
    """A refusal as every one looks: one line that says why."""
    return JSONResponse({"error": why}, status_code=status, headers=headers)


def _parted(host: str) -> tuple[str, int]:
    name, colon, port = host.lower().rpartition(":")
    if not colon or not (port.isascii() and port.isdigit() and len(port) <= 5):
        return host.lower(), 80
    return name, int(port)


def _is_number(name: str) -> bool:
    try:
        ipaddress.ip_address(name.removeprefix("[").removesuffix("]"))
    except ValueError:
        return False
    return True


def _own_names() -> frozenset[str]:
    own = socket.gethostname().lower()
    return frozenset({own, f"{own.partition('.')[0]}.local"})


def _address(scope: Scope) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    client = scope.get("client")
    try:
        address = ipaddress.ip_address(str(client[0]).partition("%")[0]) if client else None
    except ValueError:
        return None
    mapped = getattr(address, "ipv4_mapped", None)
    return mapped or address
