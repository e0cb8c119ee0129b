"""What `kitchend check` doubts in a plan, and what guidance says of it, in Korean: read, never spoken.

Names of keys stand in backticks or are filled in, for they are the same in every
language. Part of the sentences.
"""

from __future__ import annotations

from collections.abc import Mapping

CHECKS: Mapping[str, str] = {
    "caution.guidance": "참고할 안내일 뿐, 보장은 아니에요. 지역 규정이 먼저예요.",
    "doubt.mean": "혹시 화씨 {degrees}도인가요?",
    "doubt.oven": "{degrees}는 웬만한 오븐보다 뜨거워요",
    "doubt.core": "음식 속은 {degrees}까지 오르지 않아요",
    "doubt.letters": "이름에 든 {signs} 표시는 말하기도 듣기도 어려워요",
    "doubt.letters.hint": "숫자와 기호는 글자로 풀어 쓰세요",
    "doubt.early": "가장 늦을 때보다 {early} 먼저 될 수 있는데, 거기서 상차림까지 {room}만 둘 수 있어요",
    "doubt.early.hint": "이 순서나 다음 순서의 `keeps`를 늘리세요",
    "doubt.same": "{line}번째 줄의 순서와 이름이 같아, 말로는 구별되지 않아요",
    "doubt.same.hint": "이름에 음식을 넣으세요",
    "doubt.unused": "{item}~을 쓰는 순서가 없어요",
    "doubt.unused.hint": "빼거나, 순서에 `in:` 이나 `on:` 으로 적으세요",
    "doubt.say": "{word}~은 이 계획의 어느 이름에도 없어서 말할 일이 없어요",
    "doubt.say.hint": "계획에 적힌 대로 쓰거나 빼세요",
    "doubt.flood": "{start}부터 {end}까지는 십 분에 {most}번까지 부르게 돼요. 너무 잦아요",
    "doubt.flood.keeps": "얼마나 두어도 되는지 (`keeps:`) 적으면 몇 가지를 미리 할 수 있어요",
    "doubt.flood.join": "“{one}”, “{other}” 둘을 한 순서로 묶으세요",
    "doubt.sound.no": "이름이 어떻게 들리는지 알 수 없어요: {why}",
    "doubt.word": "귀가 “{word}”라는 낱말을 몰라요. {instead}",
    "doubt.word.phones": "{phones}~으로 들어 볼게요",
    "doubt.word.deaf": "들을 수 없어요",
    "doubt.word.hint": "못 알아들으면 `also:`에 쉬운 이름을 적으세요{such}",
    "doubt.alike": "“{one}”, “{other}” 둘은 비슷하게 들리는데 뜻이 달라요",
    "doubt.alike.hint": "하나에 `also:`로 다른 이름을 주고 그 이름으로 말하세요{such}",
    "doubt.such": " (이를테면 “{name}”)",
    "doubt.indoors": "숯불이나 가스불을 실내에서 피우나요?",
    "doubt.carbon": "일산화탄소는 냄새 없이 목숨을 앗아가요. 반드시 바깥에서만 피우세요",
    "doubt.charcoal": "숯불을 피우는데, 바깥이라는 말이 없어요",
    "doubt.charcoal.hint": "{caution}. 바깥이면 `look for`에 그렇게 적으세요",
    "doubt.hands": "날 {raw} 다음에 바로 “{step}”인데, 사이에 손 씻기가 없어요",
    "doubt.hands.hint": "일 분짜리 손 씻기 순서를 넣으세요. {source}",
    "doubt.local": "지역 규정이 먼저예요. 더 잘 아시면 더 적어 주세요",
    "doubt.under": "{degrees}는 안내보다 낮아요. 안내: {least}, {source}",
    "doubt.worth": "그 온도로 {needed} 두면 같은 값을 해요, {source}. 지역 규정이 먼저예요",
    "doubt.worth.held": "그 온도로 {needed} 두면 같은 값을 해요 (여기서는 {held}), {source}. "
    "지역 규정이 먼저예요",
    "doubt.unmeasured": "날 {raw}인데, 온도를 재고 끝나는 순서가 뒤에 없어요",
    "doubt.until": "안내: {least}. {source}",
    "doubt.holding": "{degrees} C는 음식을 뜨겁게 두기에 모자라요. 안내: {least}, {source}",
    "doubt.holding.hint": "더 뜨겁게 두거나 바로 내세요. 지역 규정이 먼저예요",
    "doubt.cooling": "{degrees}까지 식는 데 {time} 걸릴 수 있어요. 안내는 길어야 {limit}, {source}",
    "doubt.cooling.hint": "얕은 그릇에 담거나 얼음에 식히세요. 지역 규정이 먼저예요",
    "doubt.reheats": "다시 데우는데, 온도를 재고 끝나지 않아요",
    "doubt.reheating": "데우는 데 {time} 걸릴 수 있어요. 안내는 길어야 {limit}, {source}",
    "doubt.reheating.hint": "더 빨리 데우세요. 지역 규정이 먼저예요",
    "beside.packed.ham": "검사받는 공장에서 포장한 익힌 햄은 {degrees}, {source}. 지역 규정이 먼저예요",
    "beside.packed": "공장에서 익혀 포장한 것은 {degrees}, {source}. 지역 규정이 먼저예요",
    "beside.scotland": "스코틀랜드에서는 {degrees}, {source}. 지역 규정이 먼저예요",
    "doubt.roast.oven": "{until}에서 끝나는 구이에 {degrees}는 안내보다 낮아요. 안내: {least}, {source}",
    "doubt.roast.oven.hint": "습한 오븐은 {moist} 이하도 괜찮아요. 지역 규정이 먼저예요",
    "doubt.roast.oven.small": "팬이 없는 오븐은 {still}. 습한 오븐은 {moist} 이하도 괜찮아요. "
    "지역 규정이 먼저예요",
    "doubt.out.marked": "버릴 시각을 적어 두면 {time}까지, {cold} 이하의 찬 음식은 "
    "{longer}까지 나와 있어도 돼요, {source}",
    "doubt.out": "{time} 동안 나와 있을 수 있어요. 안내는 길어야 {limit}, {source}",
    "doubt.out.day": "하루 종일 나와 있을 수 있어요. 안내는 길어야 {limit}, {source}",
    "doubt.out.warm": "{time} 동안 나와 있을 수 있어요. {warm}보다 더우면 안내는 길어야 {limit}, {source}",
    "doubt.out.warm.day": "하루 종일 나와 있을 수 있어요. {warm}보다 더우면 안내는 길어야 {limit}, {source}",
    "doubt.out.hint": "{hot} 이상으로 두거나, 식혔다가 다시 데우세요. 지역 규정이 먼저예요",
    "least": "{kind} 속 {degrees}",
    "least.rest": "{kind} 속 {degrees}, 그리고 {time} 쉬기",
    "least.kept": "{kind} 속 {degrees}, 그 온도로 {time}",
    "cite.FDA Food Code": "미국 식품 규정",
    "cite.FDA Food Code 3-401.11(A)(1); roasts by the table of (B)(2)": (
        "미국 식품 규정 3-401.11. 덩어리 구이는 그 표에 따라"
    ),
    "cite.USDA FSIS safe minimum internal temperature chart, April 2025": (
        "미국 농무부 식품안전검사국, 최저 속 온도표, 2025년 4월"
    ),
    "cite.UK Food Standards Agency, core time and temperature": "영국 식품 기준청, 속 온도와 시간",
    "cite.UK Food Standards Agency, equivalents of 70 C for 2 minutes": (
        "영국 식품 기준청, 70 C 2분과 같은 값"
    ),
    "cite.ACMSF, safe cooking of burgers, 2007": "영국 식품 미생물 안전 자문위원회, 버거 조리, 2007",
    "cite.USDA two-hour rule": "미국 농무부, 두 시간 규칙",
    "cite.USDA: keep hot food at 140 F or more, cold food at 40 F or less": (
        "미국 농무부, 뜨거운 음식은 140 F 이상, 찬 음식은 40 F 이하"
    ),
    "cite.USDA: wash hands after raw meat": "미국 농무부, 날고기를 만진 뒤 손 씻기",
    "cite.Food Hygiene (Scotland) Regulations 2006 Sch. 4, as taught": (
        "스코틀랜드 식품 위생 규정 2006, 가르치는 값"
    ),
    "cite.Food Hygiene (Wales) Regulations 2006 Sch. 4 para. 6; 8 C as taught with the UK rules": (
        "웨일스 식품 위생 규정 2006. 8 C는 영국에서 가르치는 값"
    ),
}
"""By key; braces are filled in with names and with times as they are written."""
