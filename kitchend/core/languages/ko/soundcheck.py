"""What a soundcheck says, and the three phrases it has repeated, in Korean: part of the sentences."""

from __future__ import annotations

from collections.abc import Mapping

SOUNDCHECK: Mapping[str, str] = {
    "soundcheck.hello": "요리하시는 자리에서 제 목소리가 들리나요?",
    "soundcheck.repeat": "따라 말해 주세요. {words}.",
    "soundcheck.1": "지금 뭐 하고 있어",
    "soundcheck.2": "계란 타이머 칠 분",
    "soundcheck.3": "십 분 뒤에 창문 열기 알려 줘",
}
