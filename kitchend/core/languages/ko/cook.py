"""How the made-up cook of a rehearsal says things in Korean: every way for each, the plainest first.

Braces are filled in by the rehearsal. "chatter" is no command; kitchend should take none of it for one.
"""

from __future__ import annotations

from collections.abc import Mapping

COOK: Mapping[str, tuple[str, ...]] = {
    "on": ("{thing} 시작했어요", "{thing} 올렸어요"),
    "on.in": ("{thing} 넣었어요", "{thing}~을 시작했어"),
    "done.name": ("{name} 끝났어요", "{name} 다 했어요"),
    "done": ("{thing} 다 됐어요", "{thing}~이 다 됐어"),
    "heard": ("알았어", "네 알았어요", "알겠어요"),
    "reading": ("{thing} 온도 {degrees} 도", "{thing} {degrees} 도예요", "{thing}~은 {degrees} 도"),
    "give": ("{thing} {minutes} 분 더", "{thing} {minutes} 분만 더", "{thing}에 {minutes} 분 더 줘"),
    "give.one": ("{thing} 일 분 더", "{thing} 일 분만 더", "{thing}에 일 분 더 줘"),
    "time left": ("{thing} 얼마나 남았어", "{thing} 몇 분 남았어요", "{thing} 언제 다 돼"),
    "time": ("{thing} 타이머 {minutes} 분", "{thing} {minutes} 분 재 줘"),
    "remind": ("{minutes} 분 뒤에 {chore} 알려 줘", "{minutes} 분 뒤 {chore} 알림"),
    "hold": ("{thing} 멈춰", "{thing} 잠깐 멈춰 줘"),
    "carry on": ("{thing} 계속해", "{thing} 다시 시작해"),
    "undo": ("취소해 줘", "되돌려 줘", "방금 거 취소"),
    "later": ("상차림 {minutes} 분 늦춰", "{minutes} 분 늦게 먹자"),
    "earlier": ("상차림 {minutes} 분 당겨", "{minutes} 분 일찍 먹자"),
    "yes": ("네 맞아요", "맞아요", "그렇게 해", "네"),
    "no": ("하지 마", "아니요", "아니야"),
    "ask next": ("다음 뭐야", "다음은 뭐예요"),
    "ask on": ("지금 뭐 하고 있어", "뭐가 돌아가고 있어"),
    "ask pass": ("언제 먹어", "몇 시에 먹어요"),
    "ask on time": ("제시간이야", "우리 늦었어"),
    "ask again": ("다시 말해 줘", "뭐라고 했어"),
    "things": ("계란", "빵", "커피"),
    "chores": ("창문 열기", "상 차리기", "오븐 확인"),
    "chatter": (
        "아침에 강아지 밥 줬어",
        "항구에 또 비가 온다",
        "누나가 주말에 전화한대",
        "저 칼은 좀 갈아야겠다",
        "이 벽은 다른 색으로 칠하자",
        "어젯밤에 누가 대문을 열어 놨어",
    ),
}
