"""What is said about several things at once, ahead of time, late, and how loudly kitchend speaks. Korean.

Part of the sentences; keys are facts, facts in braces.
"""

from __future__ import annotations

from collections.abc import Mapping

CALLS: Mapping[str, str] = {
    "things": "{count} 가지예요. {list}.",
    "things.up": "{list}, 다 됐어요.",
    "things.still": "{list}, 아직 그대로예요.",
    "things.then": "그다음, {list}.",
    "one.missed": "{step}.",
    "up.clause": "{thing}",
    "up.clause.late": "{thing}~은 {time} 전",
    "now.clause.hot": "{oven} 예열 끝, {step}",
    "now.clause.late": "{step}, {time} 늦었어요",
    "now.late": "{step}, {time} 늦었어요",
    "seen.of": "{thing}, {sign}?",
    "soon": "준비하세요. {step}, {time} 뒤예요.",
    "soon.of": "{cook} 님, 준비하세요. {step}, {time} 뒤예요.",
    "soon.place": "준비하세요. {thing}~을 꺼내고 {step}, {time} 뒤예요.",
    "soon.place.of": "{cook} 님, 준비하세요. {thing}~을 꺼내고 {step}, {time} 뒤예요.",
    "soon.clause": "{step} {time} 뒤",
    "soon.things": "준비하세요. {list}.",
    "louder": "더 크게 말할게요.",
    "louder.most": "더 크게는 못 해요.",
    "softer": "더 작게 말할게요.",
    "softer.most": "더 작게는 못 해요.",
    "whisper": "속삭일게요.",
    "whisper.off": "다시 보통으로 말할게요.",
    "quiet.for": "{time} 동안 조용히 할게요.",
}
