"""The line on which plan after plan of one window is judged: a question, its answer, the next question.

A question that takes long can be overtaken: then it is answered with that word alone, and the next one may come.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Awaitable, Callable
from contextlib import suppress
from functools import partial
from typing import Any

import msgspec
from starlette.websockets import WebSocket, WebSocketDisconnect

from coursecheck.board.answer import difference
from coursecheck.board.bodies import MalformedError, told_of
from coursecheck.errors import CoursecheckError
from coursecheck.path.overtaking import OvertakenError

__all__ = ["OVERTAKEN", "converse"]

OVERTAKEN = "overtaken"
"""What the page says when a newer plan waits."""

Judged = Callable[[str, Callable[[], bool]], Awaitable[dict[str, Any]]]
"""Answers a question, unless it is overtaken."""


async def converse(socket: WebSocket, judged: Judged) -> None:
    """Answers question after question with what is new against the answer before, until the window is gone."""
    await socket.accept()
    told: dict[str, Any] = {}
    heard = asyncio.ensure_future(socket.receive_text())
    try:
        with suppress(WebSocketDisconnect):
            while True:
                question = await heard
                heard = asyncio.ensure_future(socket.receive_text())
                if question == OVERTAKEN:
                    continue  # too late: it was answered
                overtaken = threading.Event()  # by whatever is heard meanwhile, also that the window is gone
                heard.add_done_callback(partial(_set, overtaken))
                try:
                    answer = await judged(question, overtaken.is_set)
                except OvertakenError:
                    news = {OVERTAKEN: True}
                except (MalformedError, CoursecheckError) as error:
                    news = told_of(error)
                else:
                    news = {"whole": not told, **difference(told, answer)}
                    told = answer
                await socket.send_text(msgspec.json.encode(news).decode())
    finally:
        heard.cancel()


def _set(event: threading.Event, _heard: asyncio.Future[str]) -> None:
    event.set()
