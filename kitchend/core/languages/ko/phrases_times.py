"""What a cook says with a number in it, in Korean: time given, readings, the pass, timers, reminders.

A line is one pattern, perhaps with its weight among the lines of its rule; slots name lexicons. Forms with
words of any kind ("any", for typed lines) come after those that can be heard.
"""

from __future__ import annotations

from kitchend.core.commands import (
    AwaySaid,
    Command,
    GiveTime,
    MovePassBy,
    MovePassTo,
    NumberSaid,
    ReadingSaid,
    RemindIn,
    StartDinner,
    TimeNew,
)
from kitchend.core.forms import Gate, Maker, Phrase
from kitchend.core.grammar import Slots
from kitchend.core.languages.ko.forming import forms
from kitchend.core.languages.ko.things import TIMER


def _degrees(slots: Slots) -> Command:
    factor, shift = slots.get("scale", (1.0, 0.0))
    degrees = (slots["degrees"] + slots.get("fraction", 0.0)) * factor + shift
    return ReadingSaid(name=slots.get("name"), degrees=round(degrees, 1))


def _give(sign: int) -> Maker:
    return lambda slots: GiveTime(name=slots.get("name"), seconds=sign * slots["seconds"])


def _move(slots: Slots) -> Command:
    return MovePassBy(seconds=slots["way"] * slots["seconds"])


def _dinner(slots: Slots) -> Command:
    return StartDinner(plan=slots["plan"], serve=slots.get("time"))


def _timer(slots: Slots) -> Command:
    return TimeNew(name=slots.get("name", TIMER), seconds=slots["seconds"])


def _reminder(slots: Slots) -> Command:
    return RemindIn(seconds=slots["seconds"], what=slots["what"])


TIMES: tuple[Phrase, ...] = (
    *forms("give", Gate.RUNNING, _give(+1), """
        6: {name=on} {seconds=minutes} 더
        3: {seconds=minutes} 더
        3: {name=on} {seconds=minutes}만 더
        2: {seconds=minutes}만 더
        {name=on}에 {seconds=minutes} 더 (줘|주세요)
        {name=on} {seconds=minutes} 더 (줘|주세요|해 줘|할게)
        0.5: {seconds=minutes} 더 (줘|주세요|해 줘)
        0.5: {name=on} {seconds=minutes} (추가|추가해|추가해 줘|늘려|늘려 줘)
        0.5: {seconds=minutes} (추가|추가해 줘|늘려 줘)
        0.3: {name=on} {seconds=more}
    """),
    *forms("take", Gate.RUNNING, _give(-1), """
        5: {name=on} {seconds=minutes} 줄여
        2: {name=on}에서 {seconds=minutes} 빼 줘
        {name=on} {seconds=minutes} (줄여 줘|빼 줘|덜|빼)
        {seconds=minutes} (줄여|줄여 줘|빼 줘)
    """),
    *forms("reading", Gate.ALWAYS, _degrees, """
        6: {name=core} [{scale}] {degrees=core_degrees} [{fraction}] (도|도예요|도야|도입니다)
        4: {name=core} 온도 [{scale}] {degrees=core_degrees} [{fraction}] (도|도예요|도야)
        2: {name=core_t} [지금] [{scale}] {degrees=core_degrees} [{fraction}] (도|도예요|도야)
        {name=core_s} [{scale}] {degrees=core_degrees} [{fraction}] (도|도예요|도야)
        1: 온도 [{scale}] {degrees=core_degrees} [{fraction}] (도|도예요|도야)
        0.3: [지금] [{scale}] {degrees=core_degrees} [{fraction}] (도|도예요|도야)
    """),
    *forms("oven reading", Gate.ALWAYS, _degrees, """
        5: {name=heated} [온도] [지금] [{scale}] {degrees=heated_degrees} (도|도예요|도야)
        2: {name=heated_t} [지금] [{scale}] {degrees=heated_degrees} (도|도예요|도야)
        {name=heated_s} [{scale}] {degrees=heated_degrees} (도|도예요|도야)
    """),
    *forms("cook", Gate.NO_DINNER, _dinner, """
        5: {plan=menu} 시작해
        3: {time=clock}에 {plan=menu} (시작해|시작|하자|해 줘|시작해 줘)
        2: {plan=menu} {time=clock}에 (시작해|먹자|차려|차려 줘|하자)
        {plan=menu} (시작|시작해 줘|하자|차리자|시작하자|해 줘)
        {time=clock}까지 {plan=menu} (해 줘|하자|차려 줘)
        0.5: {plan=menu} {time=clock}까지
    """),
    *forms("shift", Gate.DINNER, _move, """
        5: 상차림 {seconds=minutes} {way=shift}
        4: {seconds=minutes} {way} (먹자|차려|차리자|먹을게|먹을게요)
        2: 상차림 {seconds=minutes} {way}
        저녁 {seconds=minutes} {way=shift}
        {seconds=minutes} {way=shift}
    """),
    *forms("pass at", Gate.DINNER, lambda slots: MovePassTo(time=slots["time"]), """
        6: {time=clock}에 먹자
        4: {time=clock}에 (차려|차려 줘|차리자|먹을게|먹을게요)
        상차림 {time=clock}
        상차림 {time=clock}에
        상차림 {time=clock}으로 (바꿔|바꿔 줘|해 줘)
        상차림은 {time=clock}
    """),
    *forms("away", Gate.UNSURE, lambda slots: AwaySaid(seconds=slots["seconds"]), """
        4: {seconds=minutes} 꺼져 있었어
        3: {seconds=minutes} 꺼져 있었어요
        2: {seconds=minutes} 정도
        1: {seconds=minutes} (지났어|지났어요|쯤)
    """),
    *(phrase for name in ("new", "any") for phrase in (
        *forms("time", Gate.ALWAYS, _timer, f"""
            5: {{name={name}}} 타이머 {{seconds=minutes}}
            3: {{name={name}}} {{seconds=minutes}} 재 줘
            1: {{name={name}}} {{seconds=minutes}} (타이머|맞춰 줘|재 주세요)
            1: {{name={name}}} 타이머 {{seconds=minutes}} (맞춰 줘|맞춰|켜 줘)
        """),
    )),
    *forms("time", Gate.ALWAYS, _timer, """
        0.5: 타이머 {seconds=minutes} [(맞춰 줘|맞춰|켜 줘)]
        0.5: {seconds=minutes} 타이머 [(맞춰 줘|맞춰|켜 줘)]
        0.3: {seconds=spans} 타이머
    """),
    *forms("number", Gate.NUMBER, lambda slots: NumberSaid(words=slots["words"]), """
        3: {words=amount}
        2: (아니|아니요|네) {words=amount_and_unit}
        0.5: {words=amount_and_unit} (라고|라고 했어|라고요|이요|요)
    """),
    *(phrase for what in ("chore", "any") for phrase in (
        *forms("remind", Gate.ALWAYS, _reminder, f"""
            5: {{seconds=minutes}} 뒤에 {{what={what}}} 알려 줘
            3: {{seconds=minutes}} 뒤에 {{what={what}}} (알림|알려 주세요|말해 줘)
            1: {{seconds=minutes}} (뒤|후에|있다가) {{what={what}}} (알림|알려 줘)
        """),
    )),
)  # fmt: skip
"""Forms with numbers."""
