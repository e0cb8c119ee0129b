"""`kitchend tell`: words to the running kitchend, what it said back to the screen."""

from __future__ import annotations

from collections.abc import Callable

from kitchend.reports.printing import json_text
from kitchend.service.control import ask
from kitchend.service.guard import FINE, UseError
from kitchend.service.places import places


def tell(words: str, *, as_json: bool, show: Callable[[str], None]) -> int:
    """Say the words; UseError if they are refused as a request, DeviceError if nobody is there."""
    answer = ask(places().socket, {"tell": words})
    if "error" in answer:
        raise UseError(answer["error"])
    if as_json:
        show(json_text(answer))
        return FINE
    for line in answer["said"]:
        show(line)
    return FINE
