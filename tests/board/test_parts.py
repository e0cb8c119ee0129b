"""The board's parts by themselves: what it remembers, how a dinner went, devices, plans, commands."""

from __future__ import annotations

import csv
import io
import socket
import stat
import threading
import urllib.request
from dataclasses import replace
from pathlib import Path

import pytest

from kitchend.board.after import last_story, story_csv, story_json, story_of
from kitchend.board.devices import MOST_DEVICES, Devices
from kitchend.board.plans_desk import PlansDesk
from kitchend.board.timeline_view import timeline_view
from kitchend.board.view import MOST_POINTS, view_of_dinner
from kitchend.board.watch import Watcher
from kitchend.core.board_words import ENGLISH
from kitchend.core.events import PhraseHeard
from kitchend.core.state import Reading
from kitchend.files.plan_yaml import read_plan
from kitchend.service.journal import open_journal
from kitchend.service.memory import MemoryPlans
from kitchend.service.planner import SolvingPlanner
from kitchend.service.wall_clock import Boot, wall_now
from tests.board.asking import ask, post
from tests.board.served import SUPPER, Served, places_in, served
from tests.cli.process import kitchend
from tests.service.kitchen import Kitchen, plan_in, quay_plan


def watched(kitchen: Kitchen) -> Watcher:
    watcher = Watcher(hears=True, speaks=True)
    kitchen.runner.watch(watcher.see)
    return watcher


def test_what_was_heard_by_chance_is_not_shown(tmp_path: Path) -> None:
    kitchen = Kitchen(quay_plan(tmp_path))
    watcher = watched(kitchen)
    started = kitchen.clock.now().instant
    kitchen.put(PhraseHeard(text="so the neighbours came round", started=started))
    assert [line.text for line in watcher.lines] == []
    kitchen.put(PhraseHeard(text="hey kitchen what's on", started=started))
    assert [line.text for line in watcher.lines] == ["hey kitchen what's on", "Nothing is on."]


def test_the_view_of_a_whole_dinner_is_always_complete(tmp_path: Path) -> None:
    kitchen = Kitchen(read_plan(plan_in(tmp_path, SUPPER)))
    watcher = watched(kitchen)
    shapes = set()

    def look() -> None:
        view = view_of_dinner(kitchen.runner.state, kitchen.clock.now(), watcher, ENGLISH)
        shapes.add(tuple(sorted(view)))
        drawn = timeline_view(kitchen.runner.state, kitchen.clock.now(), ENGLISH)
        dishes = drawn["dishes"] if drawn is not None else []
        bars = [bar for dish in dishes for line in dish["lines"] for bar in line["bars"]]
        assert all(bar["start"] <= bar["hands"] <= bar["end"] for bar in bars)

    look()
    kitchen.begin()
    for words in (
        "heat the oven is on",
        "score the ham is on",
        "score the ham is done",
        "bake the ham is on",
    ):
        kitchen.type(words)
        look()
        kitchen.wait(6)
        look()
    assert len(shapes) == 1


def test_of_the_thousands_a_thermometer_gives_the_view_has_what_a_line_can_show(tmp_path: Path) -> None:
    kitchen = Kitchen(quay_plan(tmp_path))
    kitchen.begin()
    readings = tuple(
        Reading(of="hob", celsius=float(n), at=kitchen.clock.now().instant + 10 * n) for n in range(4320)
    )
    state = replace(kitchen.runner.state, readings=readings)
    view = view_of_dinner(state, kitchen.clock.now(), watched(kitchen), ENGLISH)
    (plot,) = view["readings"]
    assert len(plot["points"]) <= MOST_POINTS
    assert plot["points"][-1]["celsius"] == 4319.0
    assert plot["points"] == sorted(plot["points"], key=lambda point: point["at"])


def cooked(tmp_path: Path) -> Path:
    """The journal beside which a whole dinner was put away."""
    path = tmp_path / "state" / "journal.sqlite3"
    journal = open_journal(path, wall=wall_now, complain=print)
    journal.begin_run(Boot(id="here"))
    kitchen = Kitchen(quay_plan(tmp_path), journal)
    kitchen.begin()
    kitchen.cook_it_all()
    assert kitchen.has_ended
    journal.close()
    return path


def test_how_it_went_stands_beside_what_was_planned(tmp_path: Path) -> None:
    story = last_story(cooked(tmp_path))
    assert story is not None
    told = story_json(story)
    assert told["plan"] == "Quay supper"
    assert [one["step"] for one in told["steps"]] == ["boil the rice", "trim the greens", "steam the greens"]
    assert all(one["state"] == "done" and one["was"][1] for one in told["steps"])
    rice = story.steps[0]
    assert rice.start is not None
    assert rice.end is not None
    assert rice.end - rice.start == 13 * 60
    assert told["steps"][0]["off_s"] == 60


def test_the_file_of_it_is_a_table_no_spreadsheet_runs(tmp_path: Path) -> None:
    story = last_story(cooked(tmp_path))
    assert story is not None
    rows = list(csv.reader(io.StringIO(story_csv(story))))
    assert [len(row) for row in rows] == [8] * 4
    assert rows[1][:3] == ["rice", "boil the rice", "done"]
    assert rows[1][7] == "60"


def test_nothing_is_told_of_a_journal_without_a_dinner(tmp_path: Path) -> None:
    assert story_of(()) is None
    assert last_story(tmp_path / "journal.sqlite3") is None
    (tmp_path / "2026-05-01-190000-dinner.sqlite3").write_bytes(b"no journal at all")
    assert last_story(tmp_path / "journal.sqlite3") is None


def test_the_page_after_a_dinner_is_served_and_saved(tmp_path: Path) -> None:
    journal = cooked(tmp_path)
    where = places_in(tmp_path).journal
    where.parent.mkdir(parents=True)
    for path in journal.parent.glob("*dinner*"):
        path.rename(where.parent / path.name)
    with served(Kitchen(quay_plan(tmp_path)), tmp_path) as up:
        assert ask(up.port, "GET", "/after/story").json["story"]["plan"] == "Quay supper"
        answer = ask(up.port, "GET", "/after/story.csv")
        assert answer.headers["content-disposition"] == 'attachment; filename="dinner.csv"'
        assert answer.body.startswith(b'"dish","step"')


def test_devices_are_listed_for_their_owner_alone_and_the_oldest_makes_room(tmp_path: Path) -> None:
    devices = Devices(tmp_path)
    cookies = [
        devices.add(f"tablet {number}", "2026-05-01T19:00:00")[1] for number in range(MOST_DEVICES + 1)
    ]
    assert len(devices.all()) == MOST_DEVICES
    assert devices.holder(cookies[0]) is None
    assert devices.holder(cookies[-1]) == devices.all()[-1]
    assert all(stat.S_IMODE(path.stat().st_mode) == 0o600 for path in tmp_path.iterdir())
    assert Devices(tmp_path).holder(cookies[-1]) is not None


def test_a_list_that_cannot_be_read_lets_nobody_in(tmp_path: Path) -> None:
    devices = Devices(tmp_path)
    _, cookie = devices.add("tablet", "2026-05-01T19:00:00")
    devices.path.write_text('[{"id": 3}]')
    assert devices.holder(cookie) is None
    devices.path.unlink()
    assert devices.holder(cookie) is None


@pytest.mark.parametrize(
    "name", ["../x.yaml", "x.txt", ".x.yaml", "x/y.yaml", "x.yaml\n", "", "a" * 80 + ".yaml"]
)
def test_a_plan_is_added_under_a_plain_name_only(on_wall: Served, name: str) -> None:
    desk = PlansDesk(on_wall.kitchen.plans, SolvingPlanner(), on_wall.folder, ENGLISH)
    assert desk.add(name, SUPPER.encode()).came == "name"
    assert sorted(path.name for path in on_wall.folder.iterdir()) == ["supper.yaml"]


def test_a_plan_that_cannot_be_cooked_is_not_added_and_none_is_overwritten(on_wall: Served) -> None:
    desk = PlansDesk(on_wall.kitchen.plans, SolvingPlanner(), on_wall.folder, ENGLISH)
    refused = desk.add("new.yaml", b"plan: [")
    assert refused.came == "refused"
    assert refused.problems[0].line == 1
    assert desk.add("supper.yaml", b"plan: X").came == "there"
    assert (on_wall.folder / "supper.yaml").read_text() == SUPPER
    assert desk.add("new.yaml", SUPPER.encode()).came == "done"
    assert PlansDesk(MemoryPlans({}), SolvingPlanner(), None, ENGLISH).add("x.yaml", b"").came == "closed"


def test_while_a_dinner_is_on_nothing_else_is_planned_or_started(on_wall: Served) -> None:
    on_wall.kitchen.begin()
    before = on_wall.kitchen.runner.state
    asked = {"plan": "Orchard supper", "serve": ""}
    for path in ("/plans/look", "/plans/start"):
        answer = post(on_wall.port, path, asked)
        assert (answer.status, "Orchard supper" in answer.json["error"]) == (409, True)
    assert ask(on_wall.port, "GET", "/plans/sheet?plan=Orchard+supper").status == 200
    assert ask(on_wall.port, "GET", "/plans/sheet?plan=Another").status == 409
    assert on_wall.kitchen.runner.run_pending() == 0
    assert on_wall.kitchen.runner.state is before


def test_a_port_that_is_taken_costs_the_board_and_one_line(on_wall: Served, tmp_path: Path) -> None:
    settings = tmp_path / "settings.yaml"
    settings.write_text(f"board_port: {on_wall.port}\n")
    with kitchend("run", "--settings", str(settings)) as process:
        process.wait_for("ready")
        for _ in range(300):
            if any("board" in line for line in process.errors):
                break
            threading.Event().wait(0.05)
        line = next(line for line in process.errors if "board" in line)
        assert "another program has it" in line
        assert line.endswith("so there is no board")


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as probe:
        return int(probe.getsockname()[1])


def test_the_service_serves_its_board_and_a_phrase_typed_there_is_answered(tmp_path: Path) -> None:
    port = free_port()
    settings = tmp_path / "settings.yaml"
    settings.write_text(f"board_port: {port}\nplans: {tmp_path}\n")
    with kitchend("run", "--settings", str(settings)) as process:
        process.wait_for(f"board: http://localhost:{port}")
        with urllib.request.urlopen(f"http://localhost:{port}/") as page:
            assert b"kitchend" in page.read()
        assert post(port, "/say", {"words": "what's on"}).json == {"said": ["Nothing is on."]}
        assert "Traceback" not in "".join(process.errors)


def test_devices_are_listed_and_revoked_on_the_command_line(own_folders: Path) -> None:
    from typer.testing import CliRunner

    from kitchend.cli import app
    from kitchend.service.places import places

    known = Devices(places().journal.parent)
    _, cookie = known.add("hall tablet", "2026-05-01T19:00:00+00:00")
    run = CliRunner().invoke
    assert "hall tablet" in run(app, ["board", "devices"]).output
    assert run(app, ["board", "devices", "--revoke", "nobody"]).exit_code == 2
    assert "may no longer see the board" in run(app, ["board", "devices", "--revoke", "hall tablet"]).output
    assert known.holder(cookie) is None
    assert run(app, ["board", "devices"]).output == "No device has been let in.\n"
