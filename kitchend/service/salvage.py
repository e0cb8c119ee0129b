"""What can still be read of a damaged journal: whole rows, by their checksums; whether its log has a hole.

Reads only, and never the file a dinner goes on with. What the rows mean is not asked, but a row that is no
event is no row.
"""

from __future__ import annotations

import sqlite3
import struct
import zlib
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from kitchend.service.keeping import event_of

WAL_HEADER, FRAME_HEADER = 32, 24
"""Bytes; see https://www.sqlite.org/fileformat2.html#walformat, where the checksum is given as well."""

COLUMNS = "number, boot, shift_s, instant_s, wall_s, offset_s, kind, event, checksum"
EVERY_ROW = f"SELECT {COLUMNS} FROM events JOIN runs ON runs.id = events.run ORDER BY number"


class Row(NamedTuple):
    """One event as it is kept; the checksum is over all but the number and itself."""

    number: int
    boot: str
    shift_s: float
    instant_s: float
    wall_s: float
    offset_s: int
    kind: str
    event: str
    checksum: int


def checksum(row: Row) -> int:
    """The sum that tells whether a row is as it was written: CRC-32 over its values."""
    numbers = (float(row.shift_s), float(row.instant_s), float(row.wall_s), int(row.offset_s))
    return zlib.crc32("\n".join((row.boot, *map(repr, numbers), row.kind, row.event)).encode())


def readable_rows(path: Path) -> list[Row]:
    """Every whole row of the file, in order: those before the damage and those after it."""
    with closing(sqlite3.connect(path)) as connection:
        connection.text_factory = bytes
        found = {
            row.number: row for direction in ("", " DESC") for row in _scan(connection, EVERY_ROW + direction)
        }
    return [found[number] for number in sorted(found)]


def _scan(connection: sqlite3.Connection, query: str) -> Iterator[Row]:
    """Whole rows from one end up to the first page that cannot be read."""
    try:
        # Without this a file that is shorter than its header says is not read at all.
        connection.execute("PRAGMA writable_schema=ON").close()
        for values in connection.execute(query):
            row = _whole(values)
            if row is not None:
                yield row
    except sqlite3.Error:
        return


def _whole(values: tuple[object, ...]) -> Row | None:
    """The row, None if it is not what was written."""
    try:
        row = Row(*(value.decode() if isinstance(value, bytes) else value for value in values))  # type: ignore[arg-type]  # its checksum tells
        is_whole = row.checksum == checksum(row)
        event_of(row.kind, row.event)
    except (ValueError, TypeError):
        return None
    return row if is_whole else None


def wal_is_broken(path: Path) -> bool:
    """Whether the journal's log holds frames behind a broken one: SQLite would leave them out unsaid."""
    try:
        raw = path.with_name(path.name + "-wal").read_bytes()
    except OSError:
        return False
    if len(raw) < WAL_HEADER:
        return False
    magic, _, page, _, salt1, salt2, sum1, sum2 = struct.unpack(">8I", raw[:WAL_HEADER])
    order = ">" if magic & 1 else "<"
    sums = _summed(raw[:24], (0, 0), order)
    is_whole = sums == (sum1, sum2)
    for start in range(WAL_HEADER, len(raw) - page - FRAME_HEADER + 1, page + FRAME_HEADER):
        frame = raw[start : start + FRAME_HEADER + page]
        _, size, *salts, sum1, sum2 = struct.unpack(">6I", frame[:FRAME_HEADER])
        if salts != [salt1, salt2]:
            return False
        if not is_whole and size:
            return True
        sums = _summed(frame[:8] + frame[FRAME_HEADER:], sums, order)
        is_whole = is_whole and sums == (sum1, sum2)
    return False


def _summed(data: bytes, sums: tuple[int, int], order: str) -> tuple[int, int]:
    """SQLite's checksum of a log, gone on with over `data`."""
    first, second = sums
    words = struct.unpack(f"{order}{len(data) // 4}I", data)
    for even, odd in zip(words[::2], words[1::2], strict=True):
        first = (first + even + second) & 0xFFFFFFFF
        second = (second + odd + first) & 0xFFFFFFFF
    return first, second
