"""Plain requests to a board, with exactly the headers a test gives."""

from __future__ import annotations

import http.client
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Answer:
    status: int
    headers: Mapping[str, str]
    body: bytes

    @property
    def json(self) -> Any:
        return json.loads(self.body)


def ask(
    port: int,
    method: str,
    path: str,
    body: bytes | None = None,
    headers: Mapping[str, str | None] | None = None,
    address: str = "127.0.0.1",
) -> Answer:
    """One request; a header given as None is left out, others stand beside what a page would send."""
    usual: dict[str, str | None] = {"Host": f"{address}:{port}"}
    if method == "POST":
        usual |= {"Origin": f"http://{address}:{port}", "Content-Type": "application/json"}
    wanted = usual | dict(headers or {})
    connection = http.client.HTTPConnection(address, port, timeout=20)
    try:
        connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        for name, value in wanted.items():
            if value is not None:
                connection.putheader(name, value)
        if body is not None and "Content-Length" not in wanted and "Transfer-Encoding" not in wanted:
            connection.putheader("Content-Length", str(len(body)))
        connection.endheaders(body)
        answer = connection.getresponse()
        return Answer(answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read())
    finally:
        connection.close()


def post(port: int, path: str, value: object, **more: Any) -> Answer:
    return ask(port, "POST", path, json.dumps(value).encode(), **more)
