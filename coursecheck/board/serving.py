"""Serving the board on this machine until it is ended."""

from __future__ import annotations

import secrets
import socket
import webbrowser
from collections.abc import Callable
from pathlib import Path
from types import FrameType

import uvicorn

from coursecheck.board.app import Board
from coursecheck.board.desk import Desk
from coursecheck.board.gate import LIMIT_BYTES, Gate
from coursecheck.documents.causes import cause_words
from coursecheck.errors import UsageError
from coursecheck.language import say

__all__ = ["serve"]

HOST = "127.0.0.1"


class _Server(uvicorn.Server):
    """A server that lets go of its open streams when it is to end."""

    def __init__(self, config: uvicorn.Config, board: Board) -> None:
        super().__init__(config)
        self._board = board

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:  # noqa: ARG002  # fixed by the base class
        """Ends in good order, and at once when asked a second time; the signal is answered by that."""
        self.force_exit = self.should_exit
        self.should_exit = True
        self._board.windows.end()


def serve(file: Path, port: int, *, open_browser: bool, tell: Callable[[str], None]) -> None:
    """Serves the board on one file until Ctrl-C or SIGTERM; what was drawn is saved then.

    Args:
        file: the course file; it need not exist yet.
        port: where to listen, 0 for any free port.
        open_browser: whether to open the page in the user's browser.
        tell: tells the user something.

    Raises:
        CoursecheckError: the file cannot be taken, or the port is in use.
    """
    listening = _listen(port)
    with listening:
        number = listening.getsockname()[1]
        desk = Desk(file)
        token = secrets.token_urlsafe(24)
        board = Board(desk)
        address = f"http://{HOST}:{number}/{token}/"
        config = uvicorn.Config(
            Gate(board.app, token, number),
            log_config=None,
            access_log=False,
            server_header=False,
            date_header=False,
            timeout_graceful_shutdown=3,
            lifespan="on",
            ws="websockets-sansio",
            ws_max_size=LIMIT_BYTES,
            ws_per_message_deflate=False,  # between programs of one machine
        )
        tell(say("the drawing board of {file}: {address}", file=file, address=address))
        if not desk.ours:
            tell(say("another board has this file open; this one reads only"))
        if open_browser:
            webbrowser.open(address)
        _Server(config, board).run(sockets=[listening])


def _listen(port: int) -> socket.socket:
    # By its full name: only on such sockets does asyncio send at once; else each answer waits 40 ms in the kernel.
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((HOST, port))
        listening.listen()  # from now on a browser may call; it is answered as soon as everything is ready
    except OSError as error:
        listening.close()
        wrong = say("port {port} cannot be used: {cause}", port=port, cause=cause_words(error))
        raise UsageError(wrong) from error
    return listening
