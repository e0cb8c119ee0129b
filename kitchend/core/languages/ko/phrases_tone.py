"""How a cook says how kitchend is to speak, in Korean: louder, softer, a whisper, quiet for a while.

A line is one pattern, perhaps with its weight among the lines of its rule; slots name lexicons.
"""

from __future__ import annotations

from kitchend.core.commands import Louder, QuietFor, Whisper
from kitchend.core.forms import Gate, Phrase
from kitchend.core.languages.ko.forming import forms

TONE: tuple[Phrase, ...] = (
    *forms("louder", Gate.ALWAYS, lambda slots: Louder(steps=1), """
        5: 더 크게
        2: 더 크게 말해 줘
        좀 더 크게
        좀 더 크게 말해 줘
        크게 말해 줘
        소리 키워 줘
        소리 좀 키워 줘
        소리 올려 줘
        잘 안 들려
        잘 안 들려요
    """),
    *forms("softer", Gate.ALWAYS, lambda slots: Louder(steps=-1), """
        5: 더 작게
        2: 더 작게 말해 줘
        좀 더 작게
        좀 더 작게 말해 줘
        작게 말해 줘
        소리 줄여 줘
        소리 좀 줄여 줘
        소리 낮춰 줘
        너무 커
        너무 커요
        너무 시끄러워
    """),
    *forms("whisper", Gate.ALWAYS, lambda slots: Whisper(is_on=True), """
        5: 속삭여 줘
        2: 속삭여
        속삭여 주세요
        속삭이듯 말해 줘
        귓속말로 해 줘
        귓속말로 말해 줘
        이제 속삭여 줘
        지금부터 속삭여 줘
        아주 작게 말해 줘
        목소리 낮춰 줘
    """),
    *forms("speak up", Gate.ALWAYS, lambda slots: Whisper(is_on=False), """
        5: 보통으로 말해 줘
        2: 다시 보통으로
        다시 보통으로 말해 줘
        그만 속삭여
        이제 그만 속삭여
        속삭이지 마
        속삭이지 말아 줘
        귓속말 그만해
        원래대로 말해 줘
        다시 원래대로 말해 줘
    """),
    *forms("quiet for", Gate.ALWAYS, lambda slots: QuietFor(seconds=slots["seconds"]), """
        5: {seconds=minutes} 동안 조용히 해
        2: {seconds=minutes}만 조용히 해 줘
        {seconds=minutes} 동안 조용히 해 줘
        {seconds=minutes}만 조용히 해
        {seconds=minutes} 동안 말하지 마
        {seconds=minutes}만 말하지 마
        {seconds=minutes} 동안 부르지 마
        {seconds=minutes} 동안 조용
        {seconds=minutes} 동안 가만히 있어
        {seconds=minutes}만 가만히 있어 줘
    """),
)  # fmt: skip
"""Forms about how kitchend speaks."""
