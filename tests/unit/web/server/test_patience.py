"""Slow clients are let go, whatever they are slow at; a client at its work is not.

A clock that jumps from one thing planned to the next shows how long a client is kept: no load on the machine changes it. Two
clients of a real server show that it is built in.
"""

from __future__ import annotations

import asyncio
import selectors
import socket
from collections.abc import AsyncIterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager
from typing import Any

import pytest
import uvicorn
from starlette.types import Receive, Scope, Send
from uvicorn.server import ServerState

from airwrit.web.server.patience import PATIENCE_S, PatientProtocol
from tests.unit.web.looping import result_of

BODY = b"x" * 40_000_000
REQUEST = b"GET / HTTP/1.1\r\nhost: here\r\n\r\n"
PART = b"POST / HTTP/1.1\r\nhost: here\r\ncontent-length: 10\r\n\r\n12"
THINKS_S = 3 * PATIENCE_S


class _Jumping(selectors.SelectSelector):
    """Waits for nothing: the time that was to be waited has gone by."""

    now = 0.0

    def select(self, timeout: float | None = None) -> list[tuple[selectors.SelectorKey, int]]:
        ready = super().select(0)
        if not ready:
            self.now += timeout or 0.0
        return ready


class _Loop(asyncio.SelectorEventLoop):
    """An event loop whose clock jumps."""

    def __init__(self) -> None:
        self._jumping = _Jumping()
        super().__init__(self._jumping)

    def time(self) -> float:
        return self._jumping.now


class _Wire(asyncio.Transport):
    """A connection that keeps what is written to it, taken by the client or not, and when it was let go."""

    def __init__(self, loop: asyncio.AbstractEventLoop, *, is_read: bool = True) -> None:
        super().__init__()
        self._loop, self._is_read = loop, is_read
        self.written = bytearray()
        self.let_go_at: float | None = None

    def get_extra_info(self, name: str, default: Any = None) -> Any:
        return {"peername": ("127.0.0.1", 50_000), "sockname": ("127.0.0.1", 8000)}.get(name, default)

    def write(self, data: Any) -> None:
        self.written += data

    def get_write_buffer_size(self) -> int:
        return 0 if self._is_read else len(self.written)

    def abort(self) -> None:
        self.let_go_at = self.let_go_at or self._loop.time()

    def close(self) -> None: ...

    def is_closing(self) -> bool:
        return self.let_go_at is not None

    def pause_reading(self) -> None: ...

    def resume_reading(self) -> None: ...


async def app(scope: Scope, receive: Receive, send: Send) -> None:
    """Reads all that is sent, thinks for longer than a client may keep it waiting, and answers."""
    while (await receive()).get("more_body"):
        pass
    await asyncio.sleep(THINKS_S)
    await answer(scope, receive, send)


async def answer(scope: Scope, receive: Receive, send: Send) -> None:
    """Answers at once."""
    body = BODY if scope["path"] == "/much" else b"answered"
    headers = [(b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": 200, "headers": headers})
    await send({"type": "http.response.body", "body": body})


def kept(sends: Sequence[bytes], pause_s: float, *, for_s: float, is_read: bool = True) -> _Wire:
    """The connection of a client that sends these, with pauses, after some time of a clock that jumps."""
    with ThreadPoolExecutor(max_workers=1) as pool:
        return pool.submit(_kept, sends, pause_s, for_s, is_read).result()


def _kept(sends: Sequence[bytes], pause_s: float, for_s: float, is_read: bool) -> _Wire:
    loop = _Loop()
    wire = _Wire(loop, is_read=is_read)

    async def talk() -> None:
        config = uvicorn.Config(app, lifespan="off", log_level="critical")
        config.load()
        protocol = PatientProtocol(config, ServerState(), {}, loop)
        protocol.connection_made(wire)
        for part in sends:
            if not wire.is_closing():
                protocol.data_received(part)
            await asyncio.sleep(pause_s)
        await asyncio.sleep(for_s - loop.time())
        protocol.connection_lost(None)

    try:
        loop.run_until_complete(talk())
    finally:
        loop.close()
    return wire


@pytest.mark.parametrize(
    "sends",
    [
        [],
        [b"GET / HTTP/1.1\r\n"],
        [bytes([sign]) for sign in REQUEST[:-1]],
        [PART],
        [PART[:-2], *(b"1" for _ in range(9))],
    ],
    ids=["says nothing", "half a head", "a head in drops", "half a body", "a body in drops"],
)
def test_who_does_not_send_is_let_go(sends: list[bytes]) -> None:
    let_go = kept(sends, 4.5, for_s=200).let_go_at
    assert let_go is not None
    assert PATIENCE_S <= let_go <= PATIENCE_S + 2


def test_who_does_not_read_is_let_go() -> None:
    let_go = kept([REQUEST], 1, for_s=300, is_read=False).let_go_at
    assert let_go is not None
    assert THINKS_S + PATIENCE_S <= let_go <= THINKS_S + PATIENCE_S + 3


def test_who_waits_for_an_answer_gets_it() -> None:
    wire = kept([REQUEST], 1, for_s=THINKS_S + 1)
    assert wire.let_go_at is None
    assert wire.written.startswith(b"HTTP/1.1 200")
    assert wire.written.endswith(b"answered")


def test_the_patience_is_thirty_seconds() -> None:
    assert PatientProtocol.patience_s == PATIENCE_S == 30


class _Quick(PatientProtocol):
    """The same with less patience, for a real server."""

    patience_s = 0.2
    look_s = 0.05


@asynccontextmanager
async def serving() -> AsyncIterator[uvicorn.Server]:
    """A server with little patience, and its port."""
    listener = socket.socket()
    listener.bind(("127.0.0.1", 0))
    config = uvicorn.Config(answer, http=_Quick, lifespan="off", ws="none", log_level="critical")
    server = uvicorn.Server(config)
    task = asyncio.create_task(server.serve(sockets=[listener]))
    while not server.started:
        await asyncio.sleep(0.01)
    try:
        yield server
    finally:
        server.should_exit = True
        server.force_exit = True
        await task
        listener.close()


def test_a_server_lets_go_who_says_nothing_and_who_reads_nothing() -> None:
    async def comes(says: bytes) -> int:
        async with serving() as server:
            port = server.servers[0].sockets[0].getsockname()[1]
            reader, writer = await asyncio.open_connection("127.0.0.1", port, limit=1024)
            while not server.server_state.connections:
                await asyncio.sleep(0.01)
            writer.write(says)
            while server.server_state.connections:
                await asyncio.sleep(0.01)
            try:
                return len(await reader.read())
            except ConnectionError:
                return 0
            finally:
                writer.close()

    for says in (b"", REQUEST.replace(b"/ ", b"/much ")):
        assert result_of(asyncio.wait_for(comes(says), 60)) < len(BODY)
