"""Korean words of a plan that say what food it is, where it is, what is done to it, and where a fire burns.

Looked up a word at a time. Of the first key all words must be there, of the others one. Empty where Korean
has no one word for it.
"""

from __future__ import annotations

from collections.abc import Mapping

FOODS: Mapping[str, str] = {
    "washing hands": "손 씻기",
    "heaters": "오븐 화구 불 가스레인지 인덕션 찜기 냄비 그릴 숯불 에어프라이어",
    "keepers": "냉장고 냉동실 아이스박스 보온병 보온고",
    "cooking": "굽기 끓이기 찌기 볶기 튀기기 데치기 삶기 조리기 짓기 데우기",
    "chilling": "얼리기",
    "cooling": "식히기 얼리기 녹이기 해동하기",
    "reheating": "데우기",
    "not by name": "",
    "not by step": "",
    "baked": "",
    "perishable": "",
    "poultry": "닭 닭고기 오리 오리고기",
    "minced meat": "다진고기",
    "stuffed food": "",
    "fresh ham": "",
    "whole cuts of meat": "고기 소고기 쇠고기 돼지고기 갈비",
    "fish and shellfish": "생선 새우 조개 오징어",
    "egg dishes": "달걀 계란",
    "leftovers": "",
    "charcoal": "숯 숯불 연탄 번개탄",
    "gas": "가스 부탄가스 부탄",
    "open flame": "그릴 버너 난로 화로",
    "indoors": "실내 안 방 부엌 주방 거실 천막 텐트 차고 창고 베란다",
    "outdoors": "밖 바깥 밖에서 바깥에서 야외 야외에서 마당 마당에서 정원 옥상 강가 바닷가",
}
