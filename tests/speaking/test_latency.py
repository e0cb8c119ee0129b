"""The loudspeaker's buffer: long where that costs nothing, short where calls would begin late."""

from kitchend.speaking.player import LATENCY_S, SHORT_LATENCY_S, latency_after


def test_a_device_that_begins_at_once_keeps_its_long_buffer() -> None:
    assert latency_after(LATENCY_S, 0.004) == LATENCY_S


def test_a_device_that_plays_its_buffer_out_first_gets_a_short_one() -> None:
    assert latency_after(LATENCY_S, 0.2) == SHORT_LATENCY_S
    assert latency_after(0.05, 0.2) == 0.05
