"""What is said for the cook's own safety: guidance with its source's name, never a promise. Korean.

Part of the sentences.
"""

from __future__ import annotations

from collections.abc import Mapping

SAFETY: Mapping[str, str] = {
    "below.target?": "{thing} 온도는 {degrees} 도였고 목표는 {target} 도예요. 그래도 {what}, 할까요?",
    "below.guidance?": (
        "{thing} 온도는 {degrees} 도였어요. {source} 안내는 {kind} {least} 도예요. 그래도 {what}, 할까요?"
    ),
    "below.both?": (
        "{thing} 온도는 {degrees} 도였어요. 목표는 {target} 도, {source} 안내는 {kind} {least} 도예요. "
        "그래도 {what}, 할까요?"
    ),
    "below.done": "끝",
    "source.the USDA": "미국 농무부",
    "source.the Food Code": "미국 식품 규정",
    "source.the Food Standards Agency": "영국 식품 기준청",
    "kind.poultry": "닭과 오리",
    "kind.minced meat": "다진 고기",
    "kind.stuffed food": "속을 채운 것",
    "kind.fresh ham": "생 햄",
    "kind.whole cuts of meat": "덩어리 고기",
    "kind.fish and shellfish": "생선과 조개",
    "kind.egg dishes": "달걀 요리",
    "kind.leftovers": "남은 음식",
    "stood": "조심하세요. {thing}~이 나와 있은 지 {time} 됐어요. {source} 안내는 길어야 {limit}~이에요.",
    "hands": "조심하세요. 손 씻고 나서 {step}. 날 {raw}~을 만졌어요.",
    "kept": "조심하세요. 뜨겁게 두는 {thing} 온도가 {degrees} 도예요. {source} 안내는 {least} 도 이상이에요.",
    "cooling.soon": (
        "조심하세요. {thing} 온도는 {degrees} 도였어요. {source} 안내는 불에서 내린 지 {limit} 안에 {aim} "
        "도예요. {left} 남았어요."
    ),
    "cooling.late": (
        "조심하세요. {thing} 온도가 {limit} 안에 {aim} 도까지 내려가지 않았어요. {source} 안내는 다시 "
        "데우거나 버리는 거예요."
    ),
    "cooling.late.total": (
        "조심하세요. {thing} 온도가 {limit} 안에 {aim} 도까지 내려가지 않았어요. {source} 안내는 버리는 "
        "거예요."
    ),
    "reheating": "조심하세요. {thing} 데운 지 {time} 됐어요. {source} 안내는 {limit} 안에 {least} 도예요.",
}
