"""What a soundcheck says, and the three phrases it has repeated, in Korean: part of the sentences."""

from __future__ import annotations

from collections.abc import Mapping

SOUNDCHECK: Mapping[str, str] = {
    "soundcheck.hello": "요리하시는 자리에서 제 목소리가 들리나요?",
    "soundcheck.repeat": "따라 말해 주세요. {words}.",
    "soundcheck.1": "지금 뭐 하고 있어",
    "soundcheck.2": "계란 타이머 칠 분",
    "soundcheck.3": "십 분 뒤에 창문 열기 알려 줘",
    "soundcheck.taken": "“{heard}”로 들음",
    "soundcheck.not": "알아듣지 못함 ({why})",
    "soundcheck.understood": "알아들음",
    "soundcheck.line": "“{asked}”: {came}",
    "soundcheck.missed": "소리는 충분한데 {count}마디 중 {missed}마디를 못 알아들었어요. "
    "마이크를 보고 들은 대로 한 번에 말한 뒤 다시 점검하세요.",
    "soundcheck.dead": "마이크에서 아무 소리도 안 나요. 음소거되었거나, 다른 마이크가 기본인가요?",
    "soundcheck.lost": "마이크가 스피커 소리를 못 들어요. 소리를 키우거나 둘을 가까이 두세요.",
    "soundcheck.clipped": "마이크 소리가 넘쳐요. 입력을 줄이세요.",
    "soundcheck.loud": "방이 시끄러워요. 마이크를 환풍기에서 멀리 두세요.",
    "soundcheck.soft": "말소리가 너무 작아요. 마이크 입력을 키우거나 가까이 서세요.",
    "soundcheck.way": "스피커에서 마이크까지: {db} dB. 알맞게 크게 말하도록 적어 둬요.",
    "soundcheck.not.heard": "들리지 않음",
    "soundcheck.devices": "마이크: {input}, 스피커: {output}",
    "soundcheck.levels": "소음 {noise} dB, 말소리 {speech} dB, 제 목소리 {own} dB.",
    "soundcheck.round": "넘친 시간 {share} %. 한 바퀴: {way}.",
    "soundcheck.well": "다 좋아요.",
    "soundcheck.ready": "목소리와 귀를 준비하는 중 ...",
    "soundcheck.quiet": "{seconds}초 동안 조용히 해 주세요 ...",
    "soundcheck.listen": "들어 보세요 ...",
    "soundcheck.now": "이제 말해 보세요, 요리할 때만큼 크게: “{words}”",
    "soundcheck.why.does not fit the time it took": "걸린 시간과 맞지 않음",
    "soundcheck.why.explained better as free talk": "다른 말에 더 가까움",
    "soundcheck.why.half understood outside the answer window": "반만 알아들음",
    "soundcheck.why.kitchend's own voice": "제 목소리",
    "soundcheck.why.no command in it": "명령이 아님",
    "soundcheck.why.no speech": "말소리 없음",
    "soundcheck.why.not a whole command": "명령이 다가 아님",
    "soundcheck.why.not addressed": "부르는 말이 없음",
    "soundcheck.why.part of longer talk": "긴 이야기의 일부",
    "soundcheck.why.too long for a command": "명령치고 너무 김",
    "soundcheck.why.too short": "너무 짧음",
}
