"""What `cook`, `timeline` and `rehearse` print beside the conversation, in Korean: part of the sentences."""

from __future__ import annotations

from collections.abc import Mapping

SCREENS: Mapping[str, str] = {
    "screen.changed": "그사이 계획 파일이 바뀌었어요. 이 저녁은 전 계획대로 이어 가요.",
    "screen.carrying": "{plan}~을 이어 가요.",
    "screen.planning": "{plan} 계획하는 중 ...",
    "screen.note": "알림: {note}.",
    "screen.was.on": "{plan}~이 {at}까지 진행 중이었어요.",
    "screen.lately": "조금 전",
    "screen.own.plan": "{was} 그 계획으로만 이어 갈 수 있어요",
    "screen.carry.on": "{was} 이어 갈까요? [네/아니요] ",
    "screen.leave": "{was} 그만두고 {plan}~을 시작할까요? [네/아니요] ",
    "screen.either": "{was} 이어 가려면 그 계획을 차리고, 그만두려면 `--afresh` 를 쓰세요",
    "screen.yes": "네 예 응 맞아요 ㅇ",
    "screen.begun": "{plan}: {steps}{first}, {passes}.",
    "screen.first": ", 첫 번째는 {at}",
    "screen.and": "{first}, {last}",
    "screen.how": "말하거나 써 넣으세요. `Ctrl-C` 로 멈추면 저녁은 그대로 남아요.",
    "screen.stopped": "멈췄어요. 저녁은 그대로 남아 있어요. 같은 계획을 차리면 이어 가요.",
    "screen.stopped.lost": "멈췄어요. 디스크에 쓸 수 없어서 저녁은 남아 있지 않아요.",
    "screen.no.lines": "더 써 넣을 줄이 없어요. 부르기는 계속해요. "
    "`kitchend tell` 로 답하고 `Ctrl-C` 로 멈추세요.",
    "screen.long.past": "상차림이 한참 지났는데 답이 없어 멈췄어요. 저녁은 그대로 남아 있어요.",
    "screen.written": "적었어요: {path}",
    "lived.steps": "순서 {steps}개 중 {done}개 끝.",
    "lived.calls": "{calls} 불렀고, 십 분에 많아야 {busiest}이에요.",
    "lived.once": "1번",
    "lived.twice": "2번",
    "lived.times": "{n}번",
    "lived.phrase": "말 {n}마디, {share} % 뜻대로 알아들음.",
    "lived.phrases": "말 {n}마디, {share} % 뜻대로 알아들음.",
    "lived.misheard": "“{said}” 말을 “{text}”라고 들음",
    "lived.not.taken": "“{said}” 말은 받지 않음",
    "lived.more": "그 밖에 {n}마디",
    "lived.lost": "잃은 타이머: {timers}.",
    "lived.unsaid": "말 없이 끝난 것: {steps}.",
    "lived.none": "없음",
    "lived.nothing": "없음",
    "lived.took": "{lasted} 걸린 저녁을 {took}초에 연습했어요.",
    "lived.pass": "상차림은 {at}이었어요",
    "lived.never": "{plan}, 끝내 차리지 못했어요. {passed}.",
    "lived.on.time": "{plan}, 제시간에 차렸어요. {passed}.",
    "lived.late": "{plan}, {time} 늦게 차렸어요. {passed}.",
    "lived.early": "{plan}, {time} 일찍 차렸어요. {passed}.",
}
"""By key; braces are filled in with names and with times as they are written."""
