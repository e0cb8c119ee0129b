"""`kitchend cook` with two plans as a real process: one dinner with two passes, carried on after a stop."""

from __future__ import annotations

import signal
from pathlib import Path

from tests.cli.process import kitchend

SOUP = """
plan: {name}
cooks: [Mira, Jonas]
dishes:
  - dish: {name}
    steps:
      - step: stir the {name}
        hands: 2 min
        keeps: 20 min
"""


def plans(folder: Path) -> list[str]:
    paths = [folder / f"{name}.yaml" for name in ("barley", "quince")]
    for path in paths:
        path.write_text(SOUP.format(name=path.stem))
    return [str(path) for path in paths]


def test_two_plans_are_one_dinner_that_can_be_carried_on(tmp_path: Path) -> None:
    serves = ["--serve", "tomorrow 18:00", "--serve", "tomorrow 19:00"]
    with kitchend("cook", *plans(tmp_path), *serves) as process:
        process.wait_for("barley and quince: 2 steps, first call at ")
        process.wait_for("the passes at 18:00 tomorrow and 19:00 tomorrow.")
        process.type("when do we eat")
        process.wait_for("The passes are at six o'clock tomorrow and seven o'clock tomorrow.")
        assert process.end(signal.SIGTERM) == 0
    with kitchend("cook", *plans(tmp_path), *serves) as process:
        process.wait_for("Carrying on with barley and quince.")
        process.type("serve fifteen minutes later")
        process.wait_for("The passes are at six fifteen tomorrow and seven fifteen tomorrow.")
        assert process.end(signal.SIGTERM) == 0
