"""A connection that lets slow clients go: a request that does not come whole, or an answer that is not taken, in 30 seconds.

Without it whoever opens connections and says nothing, a sign a minute, or never reads holds each of them for as long as the
server runs. What comes in drops does not begin the time anew.
"""

from __future__ import annotations

import asyncio

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

PATIENCE_S = 30.0
"""For how long a client may keep the server waiting."""

_LOOK_S = 1.0


class PatientProtocol(H11Protocol):
    """The server's own protocol, with an end to its patience."""

    patience_s = PATIENCE_S
    look_s = _LOOK_S

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to look at the connection from time to time."""
        super().connection_made(transport)
        self._waits_since: float | None = self.loop.time()
        self._next_look = self.loop.call_later(self.look_s, self._look)

    def connection_lost(self, exc: Exception | None) -> None:
        """No longer look."""
        self._next_look.cancel()
        super().connection_lost(exc)

    def _look(self) -> None:
        """Let the client go that has kept the server waiting for too long."""
        now = self.loop.time()
        if not self._is_waiting():
            self._waits_since = None
        elif self._waits_since is None:
            self._waits_since = now
        elif now - self._waits_since >= self.patience_s:
            self.transport.abort()
            return
        self._next_look = self.loop.call_later(self.look_s, self._look)

    def _is_waiting(self) -> bool:
        """Whether it is the client's turn: to send the rest of a request, or to take the rest of an answer."""
        is_sending = self.conn.their_state in (h11.IDLE, h11.SEND_BODY)
        return is_sending or self.transport.get_write_buffer_size() > 0
