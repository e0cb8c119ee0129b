"""`kitchend timeline` with several plans and with exports, as a process: what it writes and refuses."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

from icalendar import Calendar

from tests.cli.process import done

SOUP = """
plan: {name}
equipment:
  hob: {{rings: {rings}}}
dishes:
  - dish: {name}
    steps:
      - step: boil the {name}
        hands: 2 min
        takes: 20 min
        on: hob
        keeps: 20 min
"""


def plan(folder: Path, name: str, rings: int = 2) -> str:
    path = folder / f"{name}.yaml"
    path.write_text(SOUP.format(name=name, rings=rings))
    return str(path)


def test_every_export_is_written_beside_what_is_printed(tmp_path: Path) -> None:
    files = {kind: tmp_path / f"evening.{kind}" for kind in ("svg", "html", "ics")}
    asked = ["--svg", str(files["svg"]), "--sheet", str(files["html"]), "--ics", str(files["ics"])]
    answer = done("timeline", plan(tmp_path, "barley"), "--serve", "tomorrow 19:30", *asked)
    assert answer.returncode == 0, answer.stderr
    assert answer.stdout.startswith("barley: the pass at 19:30 tomorrow")
    assert [line for line in answer.stdout.splitlines() if line.startswith("Written: ")] == [
        f"Written: {path}" for path in files.values()
    ]
    assert ElementTree.parse(files["svg"]).getroot().tag.endswith("svg")
    assert "boil the barley" in files["html"].read_text()
    assert len(Calendar.from_ical(files["ics"].read_bytes()).walk("VEVENT")) == 2
    again = done("timeline", plan(tmp_path, "barley"), "--serve", "tomorrow 19:30", "--json", *asked)
    assert again.returncode == 0, again.stderr
    assert json.loads(again.stdout)["feasible"] is True


def test_plans_that_share_a_kitchen_keep_their_own_pass(tmp_path: Path) -> None:
    paths = [plan(tmp_path, "barley", rings=1), plan(tmp_path, "quince", rings=2)]
    serves = ["--serve", "tomorrow 18:00", "--serve", "tomorrow 19:30"]
    answer = done("timeline", *paths, *serves, "--json")
    assert answer.returncode == 0, answer.stderr
    shape = json.loads(answer.stdout)
    assert [(one["at"][11:16], one["dishes"]) for one in shape["passes"]] == [
        ("18:00", ["barley"]),
        ("19:30", ["quince"]),
    ]
    assert shape["notes"] == [f"places of the hob differ (1 in {paths[0]}, 2 in {paths[1]}): planned with 1"]
    ends = {step["dish"]: step["end"][11:16] for step in shape["steps"]}
    assert ends["barley"] <= "18:00" < ends["quince"] <= "19:30"


def test_an_export_never_takes_a_plans_place(tmp_path: Path) -> None:
    path = plan(tmp_path, "barley")
    before = Path(path).read_text()
    answer = done("timeline", path, "--svg", path)
    assert (answer.returncode, answer.stdout) == (1, "")
    assert answer.stderr == (
        f"kitchend: --svg {path}: a file of another kind is there and was left as it is (name another file)\n"
    )
    assert Path(path).read_text() == before


def test_a_pass_gone_by_is_wrong_use_in_one_line(tmp_path: Path) -> None:
    for command in ("timeline", "cook"):
        answer = done(command, plan(tmp_path, "barley"), "--serve", "2020-12-24T19:30")
        assert answer.returncode == 2
        assert answer.stderr.startswith("kitchend: --serve 2020-12-24T19:30: that has gone by")
        assert len(answer.stderr.splitlines()) == 1
