"""What the board answers: the page, the plan, its judging, keeping and papers."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator, Awaitable, Callable
from functools import partial
from pathlib import Path
from typing import Any

import anyio
import msgspec
from anyio import CapacityLimiter, to_thread
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route, WebSocketRoute
from starlette.websockets import WebSocket

from coursecheck.board.answer import Judge
from coursecheck.board.bodies import MalformedError, object_in, tables_in, told_of
from coursecheck.board.catalogue import catalogue, rulebooks
from coursecheck.board.conversation import converse
from coursecheck.board.desk import Desk
from coursecheck.board.figures import stretch_of
from coursecheck.board.page import PAGE, InItsLanguage, page, words_of_page
from coursecheck.board.papers import PAPERS, make_paper
from coursecheck.board.tape import stretch_between
from coursecheck.board.windows import Windows
from coursecheck.errors import CoursecheckError, DocumentError
from coursecheck.language import LANGUAGES, say
from coursecheck.path.overtaking import until
from coursecheck.resources import folder

__all__ = ["Board"]

_TAPE_REACH_M = 0.6
_End = int | tuple[float, float]  # the number of a pass, or a point

MEDIA = {".js": "text/javascript", ".css": "text/css"}

REST_S = 1.0
"""How long the hand rests before the file is saved."""


class Board:
    """The board on one file.

    Args:
        desk: the file.
        rest_s: how long the hand rests before the file is saved.
    """

    def __init__(self, desk: Desk, rest_s: float = REST_S) -> None:
        self._desk = desk
        self._judge = Judge(desk.library, desk.file)
        self._rest_s = rest_s
        self._one_at_a_time = CapacityLimiter(1)
        self._one_at_the_desk = CapacityLimiter(1)
        self._saving: asyncio.Task[None] | None = None
        self._kept: object = None  # the page's number of the newest state
        self._not_saved = False  # whether the last save failed
        self.windows = Windows(may_draw=desk.ours)
        starlette = Starlette(
            routes=[
                Route("/api/start", self._start),
                Route("/api/rulebooks", self._rulebooks),
                Route("/api/events", self._events),
                WebSocketRoute("/api/judging", self._judging),
                Route("/api/ground", self._ground, methods=["POST"]),
                Route("/api/tape", self._tape, methods=["POST"]),
                Route("/api/walk", self._walk, methods=["POST"]),
                Route("/api/keep", self._keep, methods=["POST"]),
                Route("/api/settle", self._settle, methods=["POST"]),
                Route("/api/papers/{name}", self._paper),
                Route("/plan.css", _still(folder("reports") / "plan.css")),
                Route("/words.json", self._words),
                Route("/", self._page),
                Route("/index.html", self._page),
                *(Route(f"/{path.name}", _still(path)) for path in PAGE.parent.iterdir() if path != PAGE),
            ],
            exception_handlers={
                MalformedError: _malformed,
                DocumentError: _problems,
                CoursecheckError: _refused,
            },
            lifespan=self._lifespan,
        )
        self.app = InItsLanguage(starlette)

    async def _alone(self, work: Callable[..., Any], *arguments: Any) -> Any:
        """Runs something that takes its time, one thing after the other."""
        return await to_thread.run_sync(work, *arguments, limiter=self._one_at_a_time)

    async def _at_desk(self, work: Callable[..., Any], *arguments: Any) -> Any:
        """Runs something of the desk, one thing after the other: what is kept does not wait for what is judged."""
        return await to_thread.run_sync(work, *arguments, limiter=self._one_at_the_desk)

    @contextlib.asynccontextmanager
    async def _lifespan(self, _app: Starlette) -> AsyncIterator[None]:
        stop = anyio.Event()
        watching = asyncio.create_task(self._watch(stop))
        try:
            yield
        finally:
            stop.set()
            if self._saving is not None:
                self._saving.cancel()
            try:
                await self._at_desk(self._desk.close)  # first: a plan may be long in judging
                await self._alone(self._judge.close)
            finally:
                await watching

    async def _watch(self, stop: anyio.Event) -> None:
        """Tells the windows when somebody else changes the file."""
        from watchfiles import awatch

        file = self._desk.file.resolve()
        async for changes in awatch(file.parent, recursive=False, stop_event=stop, debounce=100, step=30):
            if not any(path == str(file) for _, path in changes):
                continue
            try:
                changed = await self._at_desk(self._desk.changed_outside)
            except CoursecheckError:  # it cannot be read for now; who draws is told when it cannot be saved either
                continue
            if not changed:
                if self._not_saved:  # what stood in the way may be gone
                    await self._save()
                continue
            if not self._desk.ours:
                with contextlib.suppress(
                    CoursecheckError
                ):  # a reader goes on with what it had until it is whole again
                    await self._at_desk(self._desk.take_theirs)
            self._tell_changed()

    async def _start(self, _request: Request) -> Response:
        desk = self._desk
        return JSONResponse(
            {
                "languages": dict(LANGUAGES),
                "file": str(desk.file),
                "name": desk.file.name,
                "exists": desk.exists,
                "plan": desk.current,
                "restored": desk.restored,
                "conflict": desk.conflict,
                "gone": desk.gone,
                **await self._at_desk(catalogue, desk.library, desk.current),
            }
        )

    async def _rulebooks(self, _request: Request) -> Response:
        # Not one after the other with judging: reading them all takes a while, and nobody waits for it.
        return JSONResponse(await to_thread.run_sync(rulebooks, self._desk.library, self._desk.current))

    async def _events(self, request: Request) -> Response:
        window = request.query_params.get("window", "")
        if not 8 <= len(window) <= 64 or not window.isalnum():
            raise MalformedError("a window needs a name of its own")
        return StreamingResponse(self.windows.stream(window), media_type="text/event-stream")

    async def _judging(self, socket: WebSocket) -> None:
        await converse(socket, partial(self._alone, self._judged))

    def _judged(self, question: str, overtaken: Callable[[], bool]) -> dict[str, Any]:
        """Everything that the page shows of the plan of a question."""
        body = object_in(question)
        course, book = self._desk.library.course(tables_in(body))
        with until(overtaken):
            return self._judge.answer(course, book, str(body.get("shown", "")))

    async def _ground(self, request: Request) -> Response:
        return JSONResponse(await self._alone(self._ground_of, await _body(request)))

    def _ground_of(self, body: dict[str, Any]) -> dict[str, Any]:
        """Where the obstacle of a request may stand."""
        from coursecheck.board.ground import free_ground_of

        course, book = self._desk.library.course(tables_in(body))
        name = body.get("id")
        if name not in {obstacle.id for obstacle in course.obstacles}:
            raise MalformedError("no such obstacle")
        return {"id": name, **free_ground_of(course, book, str(name))}

    async def _tape(self, request: Request) -> Response:
        return JSONResponse(await self._alone(self._taped, await _body(request)))

    def _taped(self, body: dict[str, Any]) -> dict[str, Any]:
        """The stretch of the line between the two ends of a request, where they lie on it."""
        course, book = self._desk.library.course(tables_in(body))
        try:
            ends = msgspec.convert(body.get("ends"), tuple[_End, _End])
        except msgspec.ValidationError as error:
            raise MalformedError(f"the ends of the tape: {error}") from error
        _, scene = self._judge.scene(course, book, str(body.get("shown", "")))
        stretch = stretch_between(scene, *ends, reach_m=_TAPE_REACH_M)
        return {} if stretch is None else stretch_of(stretch)

    async def _walk(self, request: Request) -> Response:
        return JSONResponse(await self._alone(self._walked, await _body(request)))

    def _walked(self, body: dict[str, Any]) -> dict[str, Any]:
        """The course walk of a plan, for the height class of a request."""
        from coursecheck.board.walking import walk_of

        course, book = self._desk.library.course(tables_in(body))
        return walk_of(course, book, *self._judge.scene(course, book, str(body.get("shown", ""))))

    async def _keep(self, request: Request) -> Response:
        body = await _body(request)
        self._require_pen(body)
        await self._at_desk(self._desk.keep, tables_in(body))
        self._kept = body.get("rev")
        if self._saving is not None:
            self._saving.cancel()
        if body.get("now") is True:
            return JSONResponse({"saved": await self._save()})
        self._saving = asyncio.create_task(self._save_at_rest())
        return JSONResponse({"saved": False})

    async def _save_at_rest(self) -> None:
        await asyncio.sleep(self._rest_s)
        # What has begun is finished: a save is not to be broken off by the next gesture.
        await asyncio.shield(asyncio.ensure_future(self._save()))

    async def _save(self) -> bool:
        kept = self._kept
        try:
            saved = bool(await self._at_desk(self._desk.save))
        except CoursecheckError as error:
            self._not_saved = True
            self.windows.tell({"type": "not-saved", "why": str(error)})
            return False
        self._not_saved = False
        if saved:
            self.windows.tell({"type": "saved", "rev": kept})
        else:
            self._tell_changed()
        return saved

    def _tell_changed(self) -> None:
        self.windows.tell({"type": "changed", "gone": self._desk.gone})

    async def _settle(self, request: Request) -> Response:
        """The user's word on a file that was changed outside, or on work that was restored."""
        body = await _body(request)
        self._require_pen(body)
        choice = body.get("choice")
        if choice == "theirs":
            return JSONResponse({"plan": await self._at_desk(self._desk.take_theirs)})
        if choice == "ours":
            await self._at_desk(self._desk.keep_ours, tables_in(body))
            self.windows.tell({"type": "saved", "rev": body.get("rev")})
            return JSONResponse({"saved": True})
        if choice == "discard":
            await self._at_desk(self._desk.discard)
            return JSONResponse({})
        raise MalformedError("choose theirs, ours or discard")

    def _require_pen(self, body: dict[str, Any]) -> None:
        if not self.windows.draws(str(body.get("window", ""))):
            raise CoursecheckError(say("another window draws on this file; this one reads only"))

    async def _paper(self, request: Request) -> Response:
        name = request.path_params["name"]
        if name not in PAPERS:
            raise MalformedError(f"there is no paper {name}")
        await self._at_desk(self._desk.save)
        data, media, filename = await self._alone(make_paper, name, self._desk.file)
        return Response(data, media_type=media, headers={"content-disposition": f'attachment; filename="{filename}"'})

    async def _page(self, _request: Request) -> Response:
        return HTMLResponse(page())

    async def _words(self, _request: Request) -> Response:
        return Response(words_of_page(), media_type="application/json")


def _still(path: Path) -> Callable[[Request], Awaitable[Response]]:
    """Answers with a file of the page, read once: opening each of many modules in a thread takes longer than that."""
    data = path.read_bytes()

    async def answer(_request: Request) -> Response:
        return Response(data, media_type=MEDIA[path.suffix])

    return answer


async def _body(request: Request) -> dict[str, Any]:
    return object_in(await request.body())


def _malformed(_request: Request, error: Exception) -> Response:
    return JSONResponse(told_of(error), 400)


def _problems(_request: Request, error: Exception) -> Response:
    return JSONResponse(told_of(error), 422)


def _refused(_request: Request, error: Exception) -> Response:
    return JSONResponse(told_of(error), 409)
