"""Who may ask, and what an answer may do in a browser.

Without accounts the pages answer this machine alone: any other Host is refused, so that no page of another origin can
reach them by a name that points here, and what changes something has to come from these pages.
"""

from __future__ import annotations

from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

THIS_MACHINE = ("127.0.0.1", "localhost", "[::1]", "::1")
CHANGES_NOTHING = ("GET", "HEAD", "OPTIONS")
MOST_BYTES = 60_000_000
"""Largest body that is taken."""
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
}


class Guard:
    """Around the application: refuses strangers, sets what a browser may do with an answer.

    Parameters
    ----------
    application : ASGIApp
        the pages [-]
    hosts : tuple[str, ...]
        names that the pages are asked by [-]
    """

    def __init__(self, application: ASGIApp, hosts: tuple[str, ...] = THIS_MACHINE) -> None:
        self.application, self.hosts = application, hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answers one request."""
        if scope["type"] != "http":
            await self.application(scope, receive, send)
            return
        refusal = self._refusal(Headers(scope=scope), scope["method"])
        if refusal is not None:
            await PlainTextResponse(refusal[1], refusal[0], HEADERS)(scope, receive, send)
            return

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", "no-store")
            await send(message)

        await self.application(scope, receive, sent)

    def _refusal(self, headers: Headers, method: str) -> tuple[int, str] | None:
        host = headers.get("host", "")
        if _name_of(host) not in self.hosts:
            return 421, "these pages answer this machine alone; ask for them by 127.0.0.1 or localhost"
        if method in CHANGES_NOTHING:
            return None
        origin, site = headers.get("origin"), headers.get("sec-fetch-site")
        if (origin and urlsplit(origin).netloc != host) or (site and site not in ("same-origin", "none")):
            return 403, "a change has to come from these pages"
        if not origin and not site and not headers.get("x-airledger"):
            return 403, "a change has to say where it comes from"
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > MOST_BYTES:
            return 413, f"at most {MOST_BYTES // 1_000_000} MB are taken at once"
        return None


def _name_of(host: str) -> str:
    name, _, port = host.rpartition(":")
    return (name if port.isdecimal() and name else host).lower()
