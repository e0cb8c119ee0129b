"""Korean words of plans: what is cooked, where food stands, what is done to it, and where a fire burns.

Never spoken; looked for in names, `raw` and places. What each key means stands in `core/food_words`.
"""

from __future__ import annotations

from collections.abc import Mapping

FOODS: Mapping[str, str] = {
    "heaters": "오븐 화구 불 가스레인지 인덕션 찜기 냄비 그릴 숯불 에어프라이어",
    "ovens": "오븐 에어프라이어 훈연기",
    "keepers": "아이스박스 보온병 보온고",
    "cold keepers": "냉장고 냉동실",
    "cooking": "굽기 끓이기 찌기 볶기 튀기기 데치기 삶기 조리기 짓기 데우기",
    "chilling": "얼리기",
    "thawing": "녹이기 해동하기",
    "cooling": "식히기 얼리기",
    "reheating": "데우기",
    "washing": "손 씻기",
    "baked": "빵 식빵 케이크",
    "perishable": "밥 우유 크림",
    "unsure": "햄 달걀 계란",
    "also.plants": "다진",
    "poultry": "닭 닭고기 오리 오리고기",
    "minced": "다진고기",
    "stuffed": "속채운 속을채운",
    "fresh ham": "뒷다리 뒷다리살",
    "whole cut": "고기 소고기 쇠고기 돼지고기 갈비",
    "fish": "생선 새우 조개 오징어",
    "eggs": "달걀 계란",
    "leftovers": "남은음식",
    "fires": "숯 숯에 숯불 숯불에 숯불로 숯불구이",
    "charcoal": "숯 숯불 연탄 번개탄",
    "gas": "가스 부탄가스 부탄",
    "flames": "그릴 버너 난로 화로",
    "indoors": "실내 안 방 부엌 주방 거실 천막 텐트 차고 창고 베란다",
    "outdoors": "밖 바깥 밖에서 바깥에서 야외 야외에서 마당 마당에서 정원 옥상 강가 바닷가",
}
"""Words apart by spaces, by key."""
