"""One dinner at a time in plain Python, by the same rules as the sampler: to check it and to race it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kitchend.core.plan import EquipmentId
from kitchend.planning.chance_rows import Row, Rows

NEXT_S = 1.0


def ready_by_hand(rows: Rows, lengths: Mapping[int, float], answers: Sequence[tuple[float, float]]) -> float:
    """When everything is at the pass, for drawn lengths and two answers a row. No second guess put back."""
    starts: list[float] = []
    ends: list[float] = []
    busy: list[tuple[float, float, int]] = []
    free: dict[EquipmentId, list[float]] = {name: [-1e9] * count for name, count in rows.places.items()}
    for place, row in enumerate(rows.rows):
        answer, word = answers[place]
        start = _begin(rows, row, starts, ends, free)
        length = lengths.get(place, float(row.length_s))
        if row.is_hands_only:
            length = answer + row.hands_s + word
            hands = length
        else:
            hands = float(row.hands_s)
        if row.hands_s:
            start = _when_free(start, hands, [(a, b) for a, b, cook in busy if cook == row.cook])
            busy.append((start, start + hands, row.cook))
        end = start + length
        if not row.is_hands_only:
            end += 0 if row.starts_itself else max(0.0, answer - row.hands_s)
            end += 0 if row.ends_itself else word
        starts.append(start)
        ends.append(end)
        for name, count in row.uses:
            free[name] = sorted(
                free[name][min(count, len(free[name])) :] + [end] * min(count, len(free[name]))
            )
    return max(end + row.before_pass_s for end, row in zip(ends, rows.rows, strict=True))


def _begin(
    rows: Rows, row: Row, starts: list[float], ends: list[float], free: Mapping[EquipmentId, list[float]]
) -> float:
    start = float(row.release_s)
    for before in row.after:
        gap = rows.answer_s if rows.rows[before].ends_itself else NEXT_S
        start = max(start, ends[before] + gap)
    if row.during is not None:
        start = max(start, starts[row.during] + row.at_s)
    for name, count in row.uses:
        start = max(start, free[name][min(count, len(free[name])) - 1])
    return start


def _when_free(start: float, length: float, busy: list[tuple[float, float]]) -> float:
    """The first moment from `start` with hands free for so long."""
    for begin, end in sorted(busy):
        if start < end and start + length > begin:
            start = end
    return start
