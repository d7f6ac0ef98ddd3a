"""Who may talk to a desk: the browser that was given its address, from a page of its own.

A request needs the token in its path, the host of the desk, and no origin but the desk's. It may be
so large and no larger. Every answer forbids what the desk's pages do not need.
"""

from __future__ import annotations

import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LARGEST_BODY = 50_000_000
LONGEST_PATH = 2000
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}


class TooLargeError(Exception):
    """A body larger than a desk reads."""


class Guarded:
    """The application behind its token; `port` is the one that its address names."""

    def __init__(self, app: App, token: str, port: int) -> None:
        self._app = app
        self._token = token
        self._hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answers one request, or refuses it."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        headers = {name.decode("latin-1"): value for name, value in scope["headers"]}
        status = self._refused(scope, headers)
        if status:
            await _answer(send, status)
            return
        rest = scope["path"][1 + len(self._token) :]
        inside = dict(scope) | {"path": rest or "/", "raw_path": rest.encode(), "root_path": ""}
        await self._app(inside, _limited(receive), _with_headers(send))

    def _refused(self, scope: Scope, headers: dict[str, bytes]) -> int:
        """The status of a refusal, 0 where there is none."""
        host = headers.get("host", b"").decode("latin-1")
        if host not in self._hosts:
            return 421
        origin = headers.get("origin", b"").decode("latin-1")
        changing = scope["method"] not in ("GET", "HEAD")
        if origin not in ("", f"http://{host}") or (changing and not origin):
            return 403
        site = headers.get("sec-fetch-site", b"none").decode("latin-1")
        if site not in ("none", "same-origin"):
            return 403
        first, _, _ = scope["path"][1:].partition("/")
        if len(scope["path"]) > LONGEST_PATH or not self._is_token(first):
            return 403
        length = headers.get("content-length", b"0")
        if not length.isdigit():
            return 400
        return 413 if int(length) > LARGEST_BODY else 0

    def _is_token(self, given: str) -> bool:
        return secrets.compare_digest(given.encode(), self._token.encode())


def _limited(receive: Receive) -> Receive:
    """The body as it comes, up to the size that a desk reads."""
    read = 0

    async def limited() -> MutableMapping[str, Any]:
        nonlocal read
        message = await receive()
        read += len(message.get("body", b""))
        if read > LARGEST_BODY:
            raise TooLargeError
        return message

    return limited


def _with_headers(send: Send) -> Send:
    async def sent(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            own = [(name.encode(), value.encode()) for name, value in HEADERS.items()]
            message = {**message, "headers": [*message.get("headers", []), *own]}
        await send(message)

    return sent


async def _answer(send: Send, status: int) -> None:
    body = f"{status}\n".encode()
    headers = [(b"content-type", b"text/plain"), (b"content-length", str(len(body)).encode())]
    start = {"type": "http.response.start", "status": status, "headers": headers}
    await _with_headers(send)(start)
    await send({"type": "http.response.body", "body": body})
