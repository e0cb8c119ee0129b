"""What is complained of in durations, temperatures, times and measures, in Korean: read, never spoken.

Examples and units are the same in every language. Part of the sentences.
"""

from __future__ import annotations

from collections.abc import Mapping

AMOUNTS: Mapping[str, str] = {
    "amount.like": "`{example}` 처럼 쓰세요",
    "amount.say": "`{one}` 또는 `{other}` 라고 쓰세요",
    "amount.empty": "여기가 비었어요",
    "amount.too.long": "값 하나로는 너무 길어요",
    "amount.below": "{text}~은 영보다 작아요",
    "amount.below.hint": "시간은 영 이상이에요",
    "amount.no.unit": "{text}에 단위가 없어요",
    "amount.no.unit.in": "{text}에서 {part}에 단위가 없어요",
    "amount.ends": "{text}에 끝이 둘보다 많아요",
    "amount.backwards": "{text}~은 앞뒤가 바뀌었어요",
    "amount.backwards.hint": "양 끝에 단위를 쓰고 짧은 쪽을 먼저 쓰세요",
    "amount.range.unit": "{low}에서 {high}, 단위가 없어요",
    "amount.temperature": "{text}~은 온도가 아니에요",
    "amount.no.scale": "{text}에 온도 단위가 없어요",
    "amount.scale": "{text}~은 온도 단위가 아니에요",
    "amount.kitchen": "{text}~은 부엌에 있을 온도가 아니에요",
    "amount.clock": "{text}~은 시각이 아니에요",
    "amount.clock.hint": "시는 0에서 23, 분은 59까지예요",
    "amount.clock.write": '`"{time}"` 이라고 쓰세요',
    "amount.clock.like": '`"19:30"` 처럼 쓰세요',
    "amount.chance": "{text}~은 확률이 아니에요",
    "amount.anything": "{text}~으로는 뜻을 알 수 없어요",
    "amount.anything.hint": "`{text} %` 라고 쓰세요",
    "amount.promise": "{text}~을 약속할 수는 없어요",
    "amount.promise.hint": "50 %에서 99 %까지, 이를테면 90 %",
    "amount.unit": "{text}~은 시간 단위가 아니에요",
    "amount.unit.hint": "단위는 `s`, `min`, `h`, `days`, `weeks` 예요",
    "amount.order": "{text}의 단위 차례가 맞지 않아요",
    "amount.either": "{text}~은 분인지 시간인지 알 수 없어요",
    "amount.duration": "{text}~은 시간이 아니에요",
    "amount.iso": "{text}~은 `ISO 8601` 꼴의 시간이 아니에요",
    "amount.iso.hint": "`PT1H20M`, `P1DT12H`, `P2W` 처럼 쓰세요. 해와 달은 길이가 정해져 있지 않아요",
    "amount.decimals": "{text}에서는 마지막 값에만 소수를 쓸 수 있어요",
    "amount.or": "{one}` 또는 `{other}",
    "amount.three": "{one}`, `{other}`, `{third}",
    "measure.piece": "{text}~은 저녁 한 번에 쓸 덩이가 아니에요",
    "measure.piece.hint": "`20 g` 에서 `60 kg` 까지, `2.5 kg` 처럼",
    "measure.thick": "{text}~은 너무 얇거나 두꺼워요",
    "measure.thick.hint": "`5 mm` 에서 `40 cm` 까지, `9 cm` 처럼",
    "measure.shape": "{text}~은 모양이 아니에요",
    "measure.shape.hint": "납작하면 `flat`, 길게 말았으면 `long`, 둥글면 `round` 라고 쓰세요",
    "measure.weight": "{text}~은 무게가 아니에요",
    "measure.thickness": "{text}~은 두께가 아니에요",
    "measure.thickness.hint": "`9 cm` 또는 `3.5 in` 처럼, 가장 두꺼운 곳을 쓰세요",
    "amount.language": "{text}~은 여기 없는 언어예요",
    "amount.language.hint": "`{known}` 가운데 하나를 쓰세요",
    "measure.weight.hint": "`2.5 kg` 또는 `5 lb 8 oz` 처럼 쓰세요",
}
"""By key; braces are filled in with what was written."""
