"""The board's addresses, and what each answers. Reads the dinner; changes it only by saying phrases.

What takes long (planning, waiting for an answer, reading a journal) is done in threads, a few at a time.
"""

from __future__ import annotations

import asyncio
import json
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from threading import Event as Flag
from threading import Lock
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.routing import Route
from starlette.types import Receive, Scope, Send

from kitchend.board import pages
from kitchend.board.after import Story, last_story, story_csv, story_json
from kitchend.board.devices import Code, Devices
from kitchend.board.door import COOKIE, COOKIE_DAYS, MOST_BODY, Who, refusal
from kitchend.board.feed import Feed
from kitchend.board.plans_desk import PlansDesk, problems_json
from kitchend.board.view import view_of_dinner
from kitchend.board.watch import Watcher
from kitchend.core.board_words import words_in
from kitchend.core.events import DinnerStarted
from kitchend.core.quantities import QuantityError
from kitchend.errors import KitchendError, PlanError
from kitchend.reports.cautions import USUAL
from kitchend.reports.sheet import timeline_sheet
from kitchend.service.desk import RunnerDesk
from kitchend.service.guard import attempt, one_line
from kitchend.service.ports import Clock, Complain
from kitchend.service.runner import Runner, Stepped
from kitchend.service.typing_in import MAX_WORDS

STATIC = Path(__file__).parent / "static"
FILES = {
    "board.css": "text/css",
    "icon.svg": "image/svg+xml",
    **dict.fromkeys(("common.js", "board.js", "plans.js", "after.js", "door.js"), "text/javascript"),
}
BUSY_MOST = 6
"""Requests that take long, at once; further ones are sent away."""

SLOWLY_S = 10.0
"""How long the body of a request may take to come."""

ANSWER_S = 8.0
"""How long a page waits for what is said back; it comes as news anyway."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """What the pages show, and what they reach."""

    runner: Runner
    clock: Clock
    watcher: Watcher
    plans: PlansDesk
    journal: Path
    who: Who
    devices: Devices
    code: Code
    complain: Complain
    language: str = "en"


class Pages:
    """Answers requests that were let through."""

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self._words = words_in(parts.language)
        self._desk = RunnerDesk(parts.runner, parts.clock, ANSWER_S)
        self._busy = 0
        self._run = secrets.token_hex(4)
        self._starting = Lock()
        self._story: tuple[object, Story | None] = (None, None)
        self.devices = parts.devices
        self.feed = Feed(self.view)
        parts.watcher.on_news = self.feed.news

    def app(self) -> Starlette:
        """All addresses."""
        get, post = ["GET"], ["POST"]
        shown = {"/": pages.now_page, "/plans": pages.plans_page, "/after": pages.after_page}
        return Starlette(
            routes=[
                *(Route(path, partial(self._page, make), methods=get) for path, make in shown.items()),
                *(Route(f"/{name}", partial(_file, name, kind), methods=get) for name, kind in FILES.items()),
                Route("/events", _Events(self.feed, self._parts.who)),
                Route("/view", self._view, methods=get),
                Route("/say", self._say, methods=post),
                Route("/plans/list", self._list, methods=get),
                Route("/plans/look", self._look_at, methods=post),
                Route("/plans/start", self._start, methods=post),
                Route("/plans/sheet", self._sheet, methods=get),
                Route("/plans/add", self._add, methods=post),
                Route("/after/story", self._told, methods=get),
                Route("/after/story.csv", self._csv, methods=get),
                Route("/door", self._door, methods=get),
                Route("/door", self._try, methods=post),
            ],
            exception_handlers={
                404: lambda request, error: refusal(404, "there is no such page"),
                405: lambda request, error: refusal(405, "not in this way"),
            },
        )

    def view(self) -> bytes:
        """The dinner as it is, as JSON."""
        made: list[bytes] = []
        parts = self._parts

        def make() -> None:
            view = view_of_dinner(parts.runner.state, parts.clock.now(), parts.watcher, self._words)
            made.append(_json(view | {"run": self._run}))

        attempt(make, complain=parts.complain, doing="show the dinner on the board")
        return made[0] if made else b"{}"

    async def _page(self, make: Callable[[pages.Words, str], str], request: Request) -> Response:
        return _html(make(self._words, self._parts.language))

    async def _view(self, request: Request) -> Response:
        return Response(self.view(), media_type="application/json")

    async def _say(self, request: Request) -> Response:
        asked = await _asked(request, words=str)
        if isinstance(asked, Response):
            return asked
        words = " ".join(asked["words"].split())
        if not 0 < len(words) <= MAX_WORDS:
            return refusal(422, self._words["refused.words"].format(most=MAX_WORDS))
        return await self._long(lambda: JSONResponse({"said": list(self._desk.tell(words))}))

    async def _list(self, request: Request) -> Response:
        desk, state = self._parts.plans, self._parts.runner.state
        on = None if state.plan is None else state.plan.name
        return await self._long(
            lambda: JSONResponse({"folder": desk.folder_name, "on": on, "plans": desk.listed()})
        )

    async def _look_at(self, request: Request) -> Response:
        asked = await self._chosen(request)
        if isinstance(asked, Response):
            return asked
        now = self._parts.clock.now()
        return await self._long(
            lambda: JSONResponse(self._parts.plans.look(asked["plan"], asked["serve"], now))
        )

    async def _chosen(self, request: Request) -> dict[str, Any] | Response:
        """The plan and the pass asked for, or why not."""
        asked = await _asked(request, plan=str, serve=str)
        return asked if isinstance(asked, Response) else self._while_on() or asked

    def _while_on(self) -> Response | None:
        """A refusal while a dinner is on: the planner is there for that alone."""
        on = self._parts.runner.state.plan
        return None if on is None else refusal(409, self._words["plan.on"].format(plan=on.name))

    async def _start(self, request: Request) -> Response:
        """The same event as "cook …" gives."""
        asked = await self._chosen(request)
        if isinstance(asked, Response):
            return asked
        now = self._parts.clock.now()

        def begin() -> Response:
            started = self._parts.plans.planned(asked["plan"], asked["serve"], now)
            with self._starting:
                if (refused := self._while_on()) is not None:
                    return refused
                self._put(started)
            return JSONResponse({"started": asked["plan"]})

        return await self._long(begin)

    async def _sheet(self, request: Request) -> Response:
        plan, serve = request.query_params.get("plan", ""), request.query_params.get("serve", "")
        now, state = self._parts.clock.now(), self._parts.runner.state
        headers = {"content-security-policy": pages.sheet_policy()}

        def sheet() -> Response:
            if state.plan is None or state.timeline is None:
                page = self._parts.plans.sheet(plan, serve, now)
            elif state.plan.name == plan:
                page = timeline_sheet(state.plan, state.timeline, state.manners.rules or USUAL)
            else:
                return refusal(409, self._words["plan.on"].format(plan=state.plan.name))
            return Response(page, media_type="text/html", headers=headers)

        return await self._long(sheet)

    async def _add(self, request: Request) -> Response:
        if request.headers.get("content-type", "").partition(";")[0] != "application/yaml":
            return refusal(415, "a plan comes as application/yaml")
        contents = await _body(request)
        if contents is None:
            return refusal(408, self._words["refused.slow"])
        name = request.query_params.get("name", "")

        def put() -> Response:
            added = self._parts.plans.add(name, contents)
            shown = {"came": added.came, "why": added.why, "problems": problems_json(added.problems)}
            return JSONResponse(shown, status_code=200 if added.came == "done" else 422)

        return await self._long(put)

    async def _told(self, request: Request) -> Response:
        return await self._long(lambda: JSONResponse(_told(self._last_story())))

    async def _csv(self, request: Request) -> Response:
        def csv() -> Response:
            story = self._last_story()
            if story is None:
                return refusal(404, self._words["after.none"])
            headers = {"content-disposition": 'attachment; filename="dinner.csv"'}
            return PlainTextResponse(story_csv(story), media_type="text/csv", headers=headers)

        return await self._long(csv)

    async def _door(self, request: Request) -> Response:
        address = self._parts.runner.state.manners.address
        return _html(pages.door_page(self._words, self._parts.language, address))

    async def _try(self, request: Request) -> Response:
        asked = await _asked(request, words=str, name=str)
        if isinstance(asked, Response):
            return asked
        name = " ".join(asked["name"].split())[:40]
        if not self._parts.who.is_lan or not name or not name.isprintable():
            return refusal(422, self._words["refused.closed" if name else "refused.name"])
        tried = self._parts.code.try_words(asked["words"])
        if not tried.let_in:
            wait = str(max(1, round(tried.wait_s)))
            status = 429 if tried.why == "slow" else 403
            return JSONResponse({"why": tried.why, "wait_s": tried.wait_s}, status, {"retry-after": wait})
        since = self._parts.clock.now().wall.isoformat()

        def let_in() -> Response:
            _, cookie = self._parts.devices.add(name, since)
            answer = JSONResponse({"let_in": True})
            answer.set_cookie(
                COOKIE, cookie, max_age=COOKIE_DAYS * 86400, httponly=True, samesite="strict", path="/"
            )
            return answer

        return await self._long(let_in)

    def _put(self, event: DinnerStarted) -> None:
        """Hand an event in and wait until it was taken."""
        taken = Flag()

        def see(stepped: Stepped) -> None:
            if stepped.event is event:
                taken.set()

        end_watch = self._parts.runner.watch(see)
        try:
            self._parts.runner.put(event)
            taken.wait(ANSWER_S)
        finally:
            end_watch()

    def _last_story(self) -> Story | None:
        """The last dinner's story, read again only when there is another journal."""
        look = sorted(path.name for path in self._parts.journal.parent.glob("*-dinner*"))
        if self._story[0] != look:
            self._story = (look, last_story(self._parts.journal))
        return self._story[1]

    async def _long(self, job: Callable[[], Response]) -> Response:
        """Do what may take long, unless too much of it is being done."""
        if self._busy >= BUSY_MOST:
            return refusal(503, self._words["refused.busy"], {"retry-after": "2"})
        self._busy += 1
        answers: list[Response] = []

        def work() -> None:
            answers.append(_answered(job))

        try:
            await run_in_threadpool(attempt, work, complain=self._parts.complain, doing="answer the board")
        finally:
            self._busy -= 1
        return answers[0] if answers else refusal(500, self._words["refused.failed"])


def _answered(job: Callable[[], Response]) -> Response:
    """The answer; what a person wrote wrongly is answered with all there is to mend."""
    try:
        return job()
    except PlanError as error:
        problems = problems_json(error.problems)
        return JSONResponse({"error": one_line(error.problems[0].message), "problems": problems}, 422)
    except (KitchendError, QuantityError) as error:
        return refusal(422, one_line(str(error)))


class _Events:
    """The address at which pages listen."""

    def __init__(self, feed: Feed, who: Who) -> None:
        self._feed = feed
        self._who = who

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["method"] != "GET":
            await refusal(405, "not in this way", {"allow": "GET"})(scope, receive, send)
        elif self._feed.is_full:
            full = refusal(503, "fifty pages listen already", {"retry-after": "5"})
            await full(scope, receive, send)
        else:
            await self._feed.listen(receive, send, [], partial(self._who.admits, scope))


async def _asked(request: Request, **wanted: type) -> dict[str, Any] | Response:
    """The JSON object of a request with just these keys; else the answer that says what is wrong."""
    if request.headers.get("content-type", "").partition(";")[0] != "application/json":
        return refusal(415, "send JSON as application/json")
    body = await _body(request)
    if body is None:
        return refusal(408, "that came too slowly")
    shape = ", ".join(f'"{key}": text' for key in wanted)
    try:
        found = json.loads(body)
    except (ValueError, RecursionError):
        return refusal(400, f"not JSON; send {{{shape}}}")
    is_right = isinstance(found, dict) and set(found) == set(wanted)
    if not is_right or not all(isinstance(found[key], kind) for key, kind in wanted.items()):
        return refusal(422, f"send {{{shape}}}")
    if not all(_is_text(one) for one in found.values()):
        return refusal(422, "that holds letters that are none")
    return dict(found)


def _is_text(value: str) -> bool:
    """Whether it can be written down: no halves of pairs."""
    return not any("\ud800" <= letter <= "\udfff" for letter in value)


async def _body(request: Request) -> bytes | None:
    """The body, bounded by the door; None if it did not come in time."""
    parts, size = [], 0
    try:
        async with asyncio.timeout(SLOWLY_S):
            async for part in request.stream():
                size += len(part)
                if size > MOST_BODY:
                    return None
                parts.append(part)
    except TimeoutError:
        return None
    return b"".join(parts)


def _told(story: Story | None) -> dict[str, Any]:
    return {"story": None if story is None else story_json(story)}


async def _file(name: str, kind: str, request: Request) -> Response:
    return Response((STATIC / name).read_bytes(), media_type=f"{kind}; charset=utf-8")


def _html(page: str) -> Response:
    return Response(page, media_type="text/html; charset=utf-8")


def _json(value: object) -> bytes:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "replace")
