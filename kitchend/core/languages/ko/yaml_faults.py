"""What is complained of where a file is no YAML, or none that a plan is, in Korean. Part of the sentences."""

from __future__ import annotations

from collections.abc import Mapping

YAML_FAULTS: Mapping[str, str] = {
    "yaml.tab": "값이나 키가 시작할 자리에 탭이 있어요",
    "yaml.tab.hint": "탭 말고 빈칸으로 들여 쓰세요",
    "yaml.sign": "파일 형식이 따로 쓰는 기호예요",
    "yaml.sign.hint": "기호로 시작하는 값은 따옴표로 묶으세요",
    "yaml.colon": "값이 올 수 없는 자리에 쌍점이 있어요",
    "yaml.colon.hint": "쌍점이 든 값은 따옴표로 묶고, 키는 줄을 맞추세요",
    "yaml.no.colon": "쌍점이 없는 키예요",
    "yaml.no.colon.hint": "`키: 값` 처럼 쌍점 뒤에 빈칸을 두세요",
    "yaml.uneven": "줄이 맞지 않아요",
    "yaml.uneven.hint": "한 묶음의 키는 같은 칸에서 시작해요",
    "yaml.second": "여기서 두 번째 문서가 시작돼요",
    "yaml.second.hint": "파일 하나에 계획 하나예요. `---` 줄을 빼세요",
    "yaml.quote": "여기서 연 따옴표가 닫히지 않았어요",
    "yaml.quote.hint": "같은 줄에서 닫으세요",
    "yaml.open": "목록이나 묶음이 닫히지 않았어요",
    "yaml.open.hint": "한 줄에 쓴 목록은 ] 로, 묶음은 }} 로 끝나요",
    "yaml.other": "계획으로 읽을 수 없어요: {said}",
    "yaml.other.hint": "그 앞뒤 줄을 살펴보세요",
    "yaml.alias": "계획에는 별명(*)을 쓰지 않아요",
    "yaml.alias.hint": "필요한 자리에 값을 그대로 쓰세요",
    "yaml.tag": "계획에는 꼬리표(!)를 쓰지 않아요",
    "yaml.tag.hint": "꼬리표 없이 값만 쓰세요",
    "yaml.values": "값이 {most}개가 넘어요",
    "yaml.values.hint": "계획 하나는 저녁 한 번이에요. 나누세요",
    "yaml.deep": "묶음이 {most}겹보다 깊어요",
    "yaml.deep.hint": "계획은 그렇게 깊을 일이 없어요",
    "yaml.character": "글에 쓸 수 없는 글자({code})예요",
    "yaml.character.hint": "그 글자를 빼세요",
    "yaml.escape": "아무 글자도 뜻하지 않는 표시(\\)예요",
    "yaml.escape.hint": "글자를 그대로 쓰세요",
}
"""By key; `said` is what the reader of YAML says, in English whatever the language."""
