"""Who may talk to the board: pages that it served itself, on this machine, and nobody else."""

from __future__ import annotations

import hmac
from typing import TYPE_CHECKING

from starlette.responses import PlainTextResponse
from starlette.websockets import WebSocket

from coursecheck.language import say

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["LIMIT_BYTES", "Gate"]

LIMIT_BYTES = 1 << 20
"""Of a request; the largest plan that can be read is far smaller."""

_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self' {sockets}; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_HEADERS = (
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)


class Gate:
    """Lets a request through to the board, a socket's first one too, or answers it with a 4xx.

    Everything lies under a path that starts with a secret token, so that no other page or user can guess it. The
    host must be this machine by number or by name (a page that lets its own name point here is refused), an origin,
    where there is one, must be the board's own, and whatever changes something must name it.
    """

    def __init__(self, app: ASGIApp, token: str, port: int) -> None:
        self._app = app
        self._token = token.encode()
        hosts = [f"{name}:{port}" for name in ("127.0.0.1", "localhost")]
        self._hosts = {host.encode() for host in hosts}
        # by name, too: not in every browser are sockets among what is its own
        policy = _POLICY.format(sockets=" ".join(f"ws://{host}" for host in hosts))
        self._headers = ((b"content-security-policy", policy.encode()), *_HEADERS)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answers one request, or hands it on."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        refused = self._refusal(scope)
        if refused:
            status, why = refused
            answer = PlainTextResponse(f"{why}\n", status)
            if scope["type"] == "websocket":
                await WebSocket(scope, receive, send).send_denial_response(answer)
            else:
                await answer(scope, receive, self._with_headers(send))
            return
        inner = dict(scope)
        prefix = "/" + self._token.decode()
        inner["path"] = scope["path"][len(prefix) :]
        inner["root_path"] = ""
        await self._app(inner, receive, self._with_headers(send))

    def _refusal(self, scope: Scope) -> tuple[int, str] | None:
        headers: dict[bytes, bytes] = dict(scope["headers"])
        host, origin = headers.get(b"host", b""), headers.get(b"origin")
        if host not in self._hosts:
            return 421, say("this board answers on {host} alone", host="127.0.0.1")
        if origin is not None and origin != b"http://" + host:
            return 403, say("another page cannot use this board")
        first, slash, _ = scope["path"].lstrip("/").partition("/")
        if not slash or not hmac.compare_digest(first.encode("utf-8", "replace"), self._token):
            return 403, say("open the board by the address that the command printed")
        if scope["type"] == "websocket":
            return (403, say("another page cannot use this board")) if origin is None else None
        if scope["method"] in ("GET", "HEAD"):
            return None
        return self._refusal_of_change(scope["method"], headers, origin)

    def _refusal_of_change(
        self, method: str, headers: dict[bytes, bytes], origin: bytes | None
    ) -> tuple[int, str] | None:
        if method != "POST":
            return 405, "GET and POST are all there is"
        if origin is None:
            return 403, "a change must come from the board's own page"
        if headers.get(b"content-type", b"").split(b";")[0].strip() != b"application/json":
            return 415, "send JSON"
        length = headers.get(b"content-length", b"")
        if not length.isdigit():
            return 411, "say how long the request is"
        if int(length) > LIMIT_BYTES:
            return 413, f"more than {LIMIT_BYTES} bytes"
        return None

    def _with_headers(self, send: Send) -> Send:
        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                message = {**message, "headers": [*message.get("headers", []), *self._headers]}
            await send(message)

        return sending
