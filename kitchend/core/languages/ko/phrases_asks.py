"""What a cook asks, in Korean: how long, what is next, what is on, when we eat, are we on time, say again.

And for a tablet to be let in to the board. A line is one pattern; slots name lexicons.
"""

from __future__ import annotations

from kitchend.core.commands import (
    AskMissed,
    AskNext,
    AskOn,
    AskOnTime,
    AskPass,
    AskTimeLeft,
    LetIn,
    SayAgain,
)
from kitchend.core.forms import Gate, Phrase
from kitchend.core.languages.ko.forming import forms

ASKS: tuple[Phrase, ...] = (
    *forms("time left", Gate.ALWAYS, lambda slots: AskTimeLeft(name=slots.get("name")), """
        6: {name=known} 얼마나 남았어
        4: {name=known} 얼마나 남았어요
        2: {name=known} 몇 분 남았어
        2: {name=known} 몇 분 남았어요
        {name=known_t} (얼마나 남았어|얼마나 남았어요|몇 분 남았어|몇 분 남았어요)
        {name=known} (언제 돼|언제 다 돼|언제 돼요|언제 다 돼요)
        {name=known_s} (얼마나 남았어|언제 다 돼|언제 돼요)
        0.5: {name=known} (남은 시간|다 돼 가|다 돼 가요|어때)
        0.5: {name=known} 얼마나 더 (해|해요|걸려|걸려요)
    """),
    *forms("time left on it", Gate.RUNNING, lambda slots: AskTimeLeft(name=None), """
        3: 얼마나 남았어
        2: 얼마나 남았어요
        몇 분 남았어
        몇 분 남았어요
        남은 시간
        언제 다 돼
        언제 다 돼요
        0.5: 얼마나 더 걸려
    """),
    *forms("next", Gate.DINNER, lambda slots: AskNext(), """
        5: 다음 뭐야
        3: 다음은 뭐예요
        다음 뭐예요
        다음은 뭐야
        다음은
        이제 뭐 해
        이제 뭐 해요
        이제 뭐 하지
        이제 뭐 하면 돼
        다음에 뭐 해
        다음에 뭐 해요
        다음 순서 뭐야
        0.5: 그다음은
    """),
    *forms("what is on", Gate.ALWAYS, lambda slots: AskOn(), """
        5: 지금 뭐 하고 있어
        2: 지금 뭐 하고 있어요
        뭐가 돌아가고 있어
        뭐가 돌아가고 있어요
        뭐가 올라가 있어
        뭐가 올라가 있어요
        지금 뭐가 있어
        지금 뭐 하는 중이야
        타이머 뭐 있어
        타이머 알려 줘
    """),
    *forms("pass", Gate.DINNER, lambda slots: AskPass(), """
        5: 언제 먹어
        3: 언제 먹어요
        몇 시에 먹어
        몇 시에 먹어요
        언제 차려
        언제 차려요
        상차림 언제야
        상차림 언제예요
        상차림 몇 시야
        상차림 몇 시예요
        밥 언제 먹어
        저녁 언제 먹어
    """),
    *forms("on time", Gate.DINNER, lambda slots: AskOnTime(), """
        5: 제시간이야
        3: 제시간이에요
        우리 늦었어
        늦었어
        늦었어요
        우리 늦어
        얼마나 늦어
        얼마나 늦었어
        제시간에 돼
        제시간에 돼요
        시간 맞아
        시간 맞아요
        시간 괜찮아
    """),
    *forms("missed", Gate.CALLED, lambda slots: AskMissed(), """
        5: 뭐 놓쳤어
        내가 뭐 놓쳤어
        뭐 놓쳤어요
        놓친 거 있어
        놓친 거 있어요
        놓친 거 알려 줘
        뭐 기다리고 있어
        뭐가 남았어
        뭐가 남았어요
    """),
    *forms("say again", Gate.ALWAYS, lambda slots: SayAgain(), """
        5: 다시 말해 줘
        2: 다시 말해 주세요
        다시 말해
        한 번 더
        한 번 더 말해 줘
        뭐라고
        뭐라고요
        뭐라고 했어
        뭐라고 했어요
        못 들었어
        못 들었어요
    """),
    *forms("let in", Gate.ALWAYS, lambda slots: LetIn(), """
        3: (태블릿|전화기|휴대폰|화면) 들여보내 줘
        (태블릿|전화기|휴대폰|화면) (연결해 줘|연결해|추가해 줘)
    """),
)  # fmt: skip
"""Forms that ask."""
