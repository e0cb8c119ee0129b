"""What is said about readings and forecasts, in Korean: part of the sentences."""

from __future__ import annotations

from collections.abc import Mapping

READINGS: Mapping[str, str] = {
    "until.inside": ", 속 온도 {target} 도까지",
    "until.table": ", 상에서 {target} 도로",
    "left.until.table": "{thing}, {time}, 상에서 {target} 도로.",
    "reading.soon": "{degrees} 도, {rest} 더 올라가야 해요. 언제일지는 아직 몰라요.",
    "reading.above": "{degrees} 도, {rest} 더 내려가야 해요.",
    "reading.off": "{degrees} 도, 불에서 내리세요. 나머지는 두면 익어요. {step}.",
    "reading.up": "{thing} {degrees} 도, 딱 됐어요. {step}.",
    "reading.up.off": "{thing} {degrees} 도, 불에서 내리세요. 나머지는 두면 익어요. {step}.",
    "reading.cannot": "{thing} {degrees} 도는 그럴 수 없어서 뺄게요. 다시 봐 주세요.",
    "forecast": "지금 {degrees} 도예요. {target} 도는 {when}쯤, 앞뒤로 {spread}.",
    "forecast.off": "지금 {degrees} 도예요. {pull} 도에서 내려요. {when}쯤, 앞뒤로 {spread}.",
    "forecast.told": "{thing} {degrees} 도예요. {target} 도는 {when}쯤, 앞뒤로 {spread}.",
    "forecast.off.told": "{thing} {degrees} 도예요. {pull} 도에서 내려요. {when}쯤, 앞뒤로 {spread}.",
    "plateau": (
        "{thing}~이 {degrees} 도에서 멈춰 있어요. 큰 덩어리는 그래요. 꼭 싸거나 불을 올리면 보통 나아요. "
        "다시 오를 때까지 시간은 말하지 않을게요."
    ),
    "plateau.still": "{degrees} 도, 아직 멈춰 있어요. 다시 오를 때까지 시간은 말하지 않을게요.",
    "out.of.reach": "{thing} {degrees} 도예요. 이 불로는 {target} 도까지 안 올라가요.",
    "left.forecast": "{thing}, {time} 남았어요. {target} 도는 {when}쯤, 앞뒤로 {spread}.",
    "left.forecast.off": "{thing}, {time} 남았어요. {pull} 도에서 내려요. {when}쯤, 앞뒤로 {spread}.",
    "left.plateau": "{thing}~이 {degrees} 도에서 멈춰 있어요. 다시 오를 때까지 시간은 말하지 않을게요.",
    "probe.silent": "{thing} 온도계가 {time} 동안 조용해요. 온도계를 봐 주시거나 온도를 말해 주세요.",
    "probe.back": "{thing} 온도계가 다시 돼요. {degrees} 도예요.",
    "left.out.of.reach": "{thing} {degrees} 도예요. 이 불로는 {target} 도까지 안 올라가요.",
}
