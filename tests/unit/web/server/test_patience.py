"""Slow clients are let go, whatever they are slow at; a client at its work is not."""

from __future__ import annotations

import asyncio
import socket
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import pytest
import uvicorn
from starlette.types import Receive, Scope, Send

from airwrit.web.server.patience import PATIENCE_S, PatientProtocol
from tests.unit.web.looping import result_of

BODY = b"x" * 40_000_000
REQUEST = b"GET / HTTP/1.1\r\nhost: here\r\n\r\n"
PART = b"POST / HTTP/1.1\r\nhost: here\r\ncontent-length: 10\r\n\r\n12"


class Quick(PatientProtocol):
    """The same with less patience, so that a test takes less time."""

    patience_s = 0.4
    look_s = 0.05


async def app(scope: Scope, receive: Receive, send: Send) -> None:
    """Reads all that is sent, thinks for longer than a client may keep it waiting, and answers."""
    while (await receive()).get("more_body"):
        pass
    await asyncio.sleep(0.8)
    body = BODY if scope["path"] == "/much" else b"answered"
    headers = [(b"content-length", str(len(body)).encode())]
    await send({"type": "http.response.start", "status": 200, "headers": headers})
    await send({"type": "http.response.body", "body": body})


@asynccontextmanager
async def serving() -> AsyncIterator[int]:
    """A server with little patience; its port."""
    listener = socket.socket()
    listener.bind(("127.0.0.1", 0))
    config = uvicorn.Config(app, http=Quick, lifespan="off", ws="none", log_level="critical")
    server = uvicorn.Server(config)
    task = asyncio.create_task(server.serve(sockets=[listener]))
    while not server.started:
        await asyncio.sleep(0.01)
    try:
        yield listener.getsockname()[1]
    finally:
        server.should_exit = True
        server.force_exit = True
        await task
        listener.close()


async def let_go_after(sends: list[bytes], pause_s: float) -> float:
    """How long a client that sends these, with pauses, is kept."""
    async with serving() as port:
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        begun = time.monotonic()
        try:
            for part in sends:
                writer.write(part)
                await writer.drain()
                await asyncio.sleep(pause_s)
            assert await asyncio.wait_for(reader.read(), 10) == b""
        except ConnectionError:
            pass
        finally:
            writer.close()
        return time.monotonic() - begun


@pytest.mark.parametrize(
    "sends",
    [
        [b""],
        [b"GET / HTTP/1.1\r\n"],
        [bytes([sign]) for sign in REQUEST[:-1]],
        [PART],
        [PART[:-2], *(b"1" for _ in range(9))],
    ],
    ids=["says nothing", "half a head", "a head in drops", "half a body", "a body in drops"],
)
def test_who_does_not_send_is_let_go(sends: list[bytes]) -> None:
    kept = result_of(let_go_after(sends, 0.1))
    assert 0.3 < kept < 5


def test_who_does_not_read_is_let_go() -> None:
    async def stays() -> bool:
        async with serving() as port:
            reader, writer = await asyncio.open_connection("127.0.0.1", port, limit=1024)
            writer.write(REQUEST.replace(b"/ ", b"/much "))
            await writer.drain()
            await asyncio.sleep(2.5)
            try:
                return len(await asyncio.wait_for(reader.read(), 10)) >= len(BODY)
            except ConnectionError:
                return False
            finally:
                writer.close()

    assert not result_of(stays())


def test_who_waits_for_an_answer_gets_it() -> None:
    async def answered() -> bytes:
        async with serving() as port:
            reader, writer = await asyncio.open_connection("127.0.0.1", port)
            writer.write(REQUEST)
            await writer.drain()
            head = await reader.readuntil(b"\r\n\r\n")
            body = await reader.readexactly(len(b"answered"))
            writer.close()
            return head + body

    told = result_of(answered())
    assert told.startswith(b"HTTP/1.1 200")
    assert told.endswith(b"answered")


def test_the_patience_is_thirty_seconds() -> None:
    assert PatientProtocol.patience_s == PATIENCE_S == 30
