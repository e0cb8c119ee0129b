"""How a cook moves steps and answers, in Korean: named, on, done, heard, held, dropped, yes, no, undone.

A line is one pattern, perhaps with its weight among the lines of its rule ("3: 알았어"); slots name lexicons.
`_o`, `_s` and `_t` after a lexicon are its names as object, subject and topic. Spaces are for listeners and
voices; reading does without.
"""

from __future__ import annotations

from kitchend.core.commands import (
    CarryOn,
    Command,
    Drop,
    HeardIt,
    Hold,
    No,
    Pick,
    Quiet,
    Said,
    StepSaid,
    Undo,
    Yes,
)
from kitchend.core.forms import Gate, Maker, Phrase
from kitchend.core.grammar import Slots
from kitchend.core.languages.ko.forming import forms


def _step(how: Said) -> Maker:
    return lambda slots: StepSaid(name=slots.get("name"), how=how)


def _chosen(slots: Slots) -> Command:
    chosen: int | str = slots["chosen"]
    return Pick(place=chosen) if isinstance(chosen, int) else StepSaid(name=chosen)


STEPS: tuple[Phrase, ...] = (
    *forms("choice", Gate.CHOICES, _chosen, """
        8: {chosen=choice}
        {chosen=ordinal} (거|것|걸로|거요)
        0.3: {chosen=ordinal}
        0.3: {chosen=number} 번
    """),
    *forms("yes", Gate.ASKED, lambda slots: Yes(), """
        4: 네
        2: 네 맞아요
        예
        응
        맞아
        맞아요
        좋아
        좋아요
        그렇게 해
        0.5: 네 (좋아요|그렇게 해 주세요|그래요)
    """),
    *(phrase for gate in (Gate.ASKED, Gate.CALLED) for phrase in (
        *forms("okay", gate, lambda slots: Yes(is_okay=True), """
            2: 그래
            그래요
            그래 알았어
        """),
    )),
    *forms("no", Gate.ASKED, lambda slots: No(), """
        4: 아니요
        2: 아니
        아니야
        아뇨
        하지 마
        하지 마세요
        틀려
        틀렸어
        틀렸어요
        0.5: 아니요 (하지 마세요|틀렸어요)
    """),
    *forms("step", Gate.DINNER, _step(Said.NAME), """
        2: {name=action}
        {name=thing}
    """),
    *forms("heard", Gate.CALLED, lambda slots: HeardIt(), """
        5: 알았어
        2: 알겠어
        2: 알았어요
        2: 알겠어요
        알겠습니다
        네 알았어요
        네 알겠어요
        들었어
        들었어요
        오케이
        0.5: 할게
        0.5: 할게요
        0.5: 지금 할게
        0.5: 지금 할게요
    """),
    *forms("finish", Gate.DINNER, _step(Said.DONE), """
        3: {name=action} (끝났어요|끝|끝났어|다 했어요|다 했어|완료|했어요)
        4: {name=done}
        2: {name=past}
        4: {name=ended} 다 됐어요
        2: {name=ended_s} 다 됐어요
        2: {name=ended} 다 됐어
        {name=ended_s} 다 됐어
        {name=ended} (됐어요|됐어|끝났어요|끝났어|끝|완료|꺼냈어요|꺼냈어|익었어요|익었어)
        0.5: {name=ended_o} (꺼냈어요|꺼냈어|내렸어요|내렸어|뺐어요|껐어요)
        0.5: {name=ended} (내렸어요|내렸어|껐어요|껐어)
        0.5: {name=ended_s} (됐어요|됐어|끝났어요|끝났어|익었어요|익었어)
        0.5: {name=ended_t} (다 됐어요|다 됐어|됐어요|끝났어요)
    """),
    *forms("finish it", Gate.OPEN_STEP, _step(Said.DONE), """
        3: 다 됐어요
        2: 다 됐어
        다 했어요
        다 했어
        끝났어요
        끝났어
        끝
        완료
        0.5: 이거 다 됐어요
        0.5: 이제 됐어요
    """),
    *forms("start", Gate.DINNER, _step(Said.ON), """
        5: {name=begun} 올렸어요
        4: {name=begun} 시작했어요
        2: {name=begun} 넣었어요
        2: {name=begun_o} (올렸어요|시작했어요|넣었어요)
        {name=begun} (올렸어|시작했어|넣었어|시작|시작해요|켰어요)
        {name=begun_o} (올렸어|시작했어|넣었어|켰어요)
        2: {name=action} (시작|시작했어요|시작했어)
        {name=doing}
        0.5: {name=begun} {place=equipment}에 (올렸어요|넣었어요)
        0.5: {place=equipment}에 {name=begun} (올렸어요|넣었어요)
    """),
    *forms("start it", Gate.OPEN_STEP, _step(Said.ON), """
        2: 올렸어요
        2: 시작했어요
        넣었어요
        올렸어
        시작했어
        넣었어
        지금 하고 있어요
        하고 있어
    """),
    *forms("hold", Gate.RUNNING, lambda slots: Hold(name=slots.get("name")), """
        5: {name=holdable} 멈춰
        2: {name=holdable} (멈춰 줘|멈춰 주세요|잠깐 멈춰|잠깐 멈춰 줘)
        {name=holdable_o} (멈춰|멈춰 줘|잠깐 멈춰)
        {name=holdable} (일시 정지|잠깐만|정지)
        0.5: (잠깐 멈춰|멈춰|시간 멈춰|일시 정지)
    """),
    *forms("carry on", Gate.HELD, lambda slots: CarryOn(name=slots.get("name")), """
        5: {name=held} 계속해
        4: 계속해
        2: {name=held} (계속|계속해 줘|계속해 주세요|계속해요|다시 시작|다시 시작해|다시 시작해 줘)
        {name=held_o} (계속해|계속해 줘|다시 시작해)
        계속
        계속해 줘
        다시 시작해
        0.5: {name=held} 다시 (올렸어요|넣었어요)
    """),
    *forms("drop", Gate.ALWAYS, lambda slots: Drop(name=slots.get("name")), """
        5: {name=droppable} 빼 줘
        2: {name=droppable} (빼|빼 주세요|건너뛰어|건너뛰자|안 할래|하지 말자)
        {name=droppable_o} (빼 줘|빼|건너뛰어|건너뛰자)
        {name=droppable} (타이머 취소|타이머 꺼 줘|취소|취소해|취소해 줘)
    """),
    *forms("drop it", Gate.OPEN_STEP, lambda slots: Drop(name=None), """
        2: 그거 빼 줘
        그거 빼
        이거 빼 줘
        이거 건너뛰어
        건너뛰자
        건너뛰어
    """),
    *forms("undo", Gate.PAST, lambda slots: Undo(), """
        5: 취소해 줘
        취소
        취소해
        취소해 주세요
        2: 되돌려 줘
        되돌려
        되돌려 주세요
        방금 거 취소
        방금 거 취소해 줘
        잘못 말했어
        잘못 말했어요
        그거 아니야
    """),
    *forms("quiet", Gate.TALKING, lambda slots: Quiet(), """
        4: 조용히 해
        조용
        조용히
        조용히 해 줘
        조용히 해 주세요
        쉿
        그만
        그만해
        그만 말해
    """),
)  # fmt: skip
"""Forms that move steps or answer."""
