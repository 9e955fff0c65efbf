"""Who may ask: this machine's own page and nobody else, and no more than a page needs to say."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.exceptions import HTTPException

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST_BYTES = 2_000_000
"""Of a request: a design of the largest size with its steps back and forth."""

HEADERS = {
    # a picture that the page was handed is shown from its own memory
    "content-security-policy": "default-src 'self'; img-src 'self' blob:; object-src 'none'; "
    "base-uri 'none'; frame-ancestors 'none'; form-action 'none'",
    "cache-control": "no-store",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "referrer-policy": "no-referrer",
    "x-content-type-options": "nosniff",
}


class Guard:
    """Refuses what comes under another name, from another page, or is too large."""

    def __init__(self, app: ASGIApp, *, hosts: frozenset[str]) -> None:
        self.app, self.hosts = app, hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        headers = {
            name.decode("latin-1"): value.decode("latin-1") for name, value in scope["headers"]
        }
        refusal = self._refusal(str(scope["method"]), headers)
        taken = 0

        async def counted() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > LARGEST_BYTES:
                raise HTTPException(413, "too much for a design")
            return message

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [
                    *message.get("headers", []),
                    *((k.encode(), v.encode()) for k, v in HEADERS.items()),
                ]
            await send(message)

        if refusal is not None:
            await _say(guarded, *refusal)
            return
        await self.app(scope, counted, guarded)

    def _refusal(self, method: str, headers: dict[str, str]) -> tuple[int, str] | None:
        if headers.get("host", "") not in self.hosts:
            return 421, "this page answers on this machine only"
        origin = headers.get("origin")
        if origin is not None and origin not in {f"http://{host}" for host in self.hosts}:
            return 403, "only the bench page itself may ask"
        if headers.get("sec-fetch-site", "none") not in ("none", "same-origin"):
            return 403, "only the bench page itself may ask"
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > LARGEST_BYTES:
            return 413, "too much for a design"
        if method == "POST" and headers.get("content-type", "") != "application/json":
            return 415, "only JSON is read here"
        return None


async def _say(send: Send, status: int, text: str) -> None:
    kind = [(b"content-type", b"text/plain; charset=utf-8"), (b"connection", b"close")]
    await send({"type": "http.response.start", "status": status, "headers": kind})
    await send({"type": "http.response.body", "body": f"{text}\n".encode()})
