"""The door: this machine only, this server's own name only, one session, no write from elsewhere, no body too large.

What each check keeps out:
- a peer that is not loopback: other machines, should the socket ever be bound wider;
- a Host that is not ours: a page elsewhere that makes its own name point at 127.0.0.1;
- Sec-Fetch-Site and Origin that are not ours: a page elsewhere that sends forms or asks for pages here;
- no cookie of this run: other users and programs of this machine that find the port;
- a body over the page's limit: a form or file that fills memory or disk.
"""

from __future__ import annotations

import hmac
import ipaddress
import secrets
import threading
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble, plain, too_large

ENTER = "/open/"
STATIC = "/static/"

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    )
)
# same-origin, not no-referrer: with the latter a browser sends `Origin: null` with our own forms
POLICY_NAME = "content-security-policy"
SANDBOX = f"{POLICY}; sandbox"
"""The policy of a photo: as that of a page, and nothing it holds may run, even where it is opened by itself."""

HEADERS = {
    POLICY_NAME: POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(self), geolocation=(), microphone=()",
    "x-frame-options": "DENY",
}

Refuse = Callable[[Trouble, Scope, Receive, Send], Awaitable[None]]


@dataclass(slots=True)
class Session:
    """The launch token, good once, and the secret of the cookie that it is exchanged for."""

    token: str
    secret: str = field(default_factory=lambda: secrets.token_urlsafe(32))
    spent: bool = False
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def spend(self, token: str) -> bool:
        """Whether the token is right and was not used yet; it is used up by this."""
        with self._lock:
            right = hmac.compare_digest(token.encode(), self.token.encode()) and not self.spent
            self.spent = self.spent or right
            return right

    def knows(self, cookie: str) -> bool:
        """Whether a cookie is the one that was given."""
        return hmac.compare_digest(cookie.encode(), self.secret.encode())


@dataclass(slots=True)
class Guard:
    """ASGI middleware around the whole site; `most_bytes` tells how large a body an address takes."""

    app: ASGIApp
    session: Session
    port: int
    refuse: Refuse
    most_bytes: Callable[[str], int]

    @property
    def hosts(self) -> tuple[str, ...]:
        """The names under which this server may be called."""
        return tuple(f"{host}:{self.port}" for host in ("127.0.0.1", "localhost"))

    @property
    def cookie(self) -> str:
        """The cookie's name: cookies do not keep ports apart, so the name does."""
        return f"airwrit-{self.port}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or answer it here."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            raise RuntimeError(f"{scope['type']} is not served")
        guarded = _with_headers(send, scope["path"])
        trouble = self._against(scope)
        if trouble is not None:
            await self.refuse(trouble, scope, receive, guarded)
            return
        if scope["path"].startswith(ENTER):
            await self._enter(scope, receive, guarded)
            return
        most = self.most_bytes(scope["path"])
        try:
            await self.app(scope, _limited(receive, most, scope["path"]), guarded)
        except Refused as refused:
            await self.refuse(refused.trouble, scope, receive, guarded)

    def _against(self, scope: Scope) -> Trouble | None:
        """What speaks against a request; None when nothing does."""
        headers = Headers(scope=scope)
        if not _is_loopback(scope):
            return _forbidden(
                "the request came from another computer", "open the page on the computer that runs it"
            )
        if headers.get("host", "") not in self.hosts:
            return _forbidden("the link used another name for this computer", f"open http://{self.hosts[0]}/")
        if headers.get("sec-fetch-site", "none") not in ("same-origin", "none"):
            return _forbidden(
                "another website asked for this page",
                "use the link that airwrit printed, or a link on this page",
            )
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return plain(405, scope["path"])
        if scope["method"] == "POST" and not self._own_form(headers):
            return _forbidden(
                "the form didn't come from this page", "fill in the form on this page and send it"
            )
        if scope["path"].startswith((ENTER, STATIC)):
            return None
        if not self.session.knows(cookie_parser(headers.get("cookie", "")).get(self.cookie, "")):
            return _forbidden(
                "this browser didn't use the link that airwrit printed",
                "open that link, or run `airwrit open-page` again for a new one",
            )
        return _too_large(headers, self.most_bytes(scope["path"]), scope["path"])

    def _own_form(self, headers: Headers) -> bool:
        origin = headers.get("origin")
        if origin is None:
            return headers.get("sec-fetch-site") == "same-origin"
        return (
            origin in {f"http://{host}" for host in self.hosts}
            and origin.partition("//")[2] == headers["host"]
        )

    async def _enter(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Exchange the token for the cookie and go on to the first page."""
        known = cookie_parser(Headers(scope=scope).get("cookie", "")).get(self.cookie, "")
        right = self.session.knows(known) or (
            scope["method"] == "GET" and self.session.spend(scope["path"].removeprefix(ENTER))
        )
        if not right:
            trouble = _forbidden(
                "this link is wrong, or was already used. It works only once",
                "use the browser that opened it first, or run `airwrit open-page` again for a new link",
            )
            await self.refuse(trouble, scope, receive, send)
            return
        query = scope["query_string"].decode("latin-1")
        headers = [
            (b"location", f"/today{'?' + query if query else ''}".encode("latin-1")),
            (
                b"set-cookie",
                f"{self.cookie}={self.session.secret}; HttpOnly; SameSite=Strict; Path=/".encode("latin-1"),
            ),
            (b"content-length", b"0"),
        ]
        await send({"type": "http.response.start", "status": 303, "headers": headers})
        await send({"type": "http.response.body", "body": b""})


def _forbidden(what: str, do: str) -> Trouble:
    return Trouble(403, "You can't open this page", what, "", NOTHING_WRITTEN, do)


def _is_loopback(scope: Scope) -> bool:
    client = scope.get("client")
    try:
        return client is not None and ipaddress.ip_address(client[0]).is_loopback
    except ValueError:
        return False


def _too_large(headers: Headers, most: int, path: str) -> Trouble | None:
    told = headers.get("content-length", "0")
    if not (told.isascii() and told.isdigit()):
        return plain(400, path)
    return too_large(path, most) if len(told) > 12 or int(told) > most else None


def _limited(receive: Receive, most: int, path: str) -> Receive:
    """The same messages; Refused once more than `most` bytes came, whatever the header said."""
    seen = 0

    async def counted() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > most:
            raise Refused(too_large(path, most))
        return message

    return counted


def _with_headers(send: Send, path: str) -> Send:
    """The same answers, each with the headers that keep a page by itself; only what is no page may be kept by a browser."""

    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            sandboxed = headers.get(POLICY_NAME) == SANDBOX
            for name, value in HEADERS.items():
                headers[name] = value
            if sandboxed:
                headers[POLICY_NAME] = SANDBOX
            if not (path.startswith(STATIC) and message["status"] == 200):
                headers["cache-control"] = "no-store"
        await send(message)

    return sent
