"""`kitchend tell` and `kitchend status`: ask the running kitchend, and print what it answers."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from kitchend.reports.printing import json_text
from kitchend.reports.status import status_text
from kitchend.service.control import Answer, ask
from kitchend.service.guard import FINE, UseError

Show = Callable[[str], None]


def tell(words: str, socket: Path, *, as_json: bool, show: Show) -> int:
    """Say the words and print what was said back; the exit code."""
    answer = _answer(socket, {"tell": words})
    if as_json:
        show(json_text(answer))
        return FINE
    for line in answer["said"]:
        show(line)
    return FINE


def status(socket: Path, *, as_json: bool, show: Show) -> int:
    """Print how the dinner stands; the exit code."""
    answer = _answer(socket, {"status": True})
    show(json_text(answer["status"]) if as_json else status_text(answer["status"]))
    return FINE


def _answer(socket: Path, request: Answer) -> Answer:
    """The answer; UseError if the request was refused, DeviceError if nobody is there."""
    answer = ask(socket, request)
    if "error" in answer:
        raise UseError(answer["error"])
    return answer
