"""Tells systemd that the service is ready or stopping, if it asked to be told; whether it keeps our log.

The protocol is a datagram to the socket named in NOTIFY_SOCKET, see the manual page sd_notify(3). Without
that variable nothing happens; a failure is never an error.
"""

from __future__ import annotations

import os
import socket
from contextlib import suppress

STANDARD_OUTPUT = 1
READY = "READY=1"
STOPPING = "STOPPING=1"


def notify(message: str) -> bool:
    """Send one message; True if there was somebody to send it to."""
    address = os.environ.get("NOTIFY_SOCKET", "")
    if not address:
        return False
    where = "\0" + address[1:] if address.startswith("@") else address
    with suppress(OSError), socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as channel:
        channel.sendto(message.encode(), where)
        return True
    return False


def is_system_log(descriptor: int = STANDARD_OUTPUT) -> bool:
    """Whether what is written there goes to systemd's log, by JOURNAL_STREAM as systemd.exec(5) has it."""
    with suppress(OSError):
        there = os.fstat(descriptor)
        return os.environ.get("JOURNAL_STREAM") == f"{there.st_dev}:{there.st_ino}"
    return False
