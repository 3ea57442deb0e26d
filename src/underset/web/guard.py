"""What stands before every request: host, size, rate, tokens against forged requests, headers."""

from __future__ import annotations

import hmac
import time
from collections import OrderedDict
from dataclasses import dataclass, field
from hashlib import sha256
from threading import Lock

from fastapi import Request, Response
from starlette.exceptions import HTTPException
from starlette.middleware.base import BaseHTTPMiddleware, RequestResponseEndpoint

from underset.errors import said
from underset.web.answers import refusal
from underset.web.options import ServeOptions

TRIES_A_MINUTE = 20
SAFE = ("GET", "HEAD", "OPTIONS")
TOKEN_FIELD, TOKEN_HEADER = "token", "x-underset-token"
SESSION_COOKIE, DEVICE_COOKIE = "underset-session", "underset-device"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'; manifest-src 'self'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}


@dataclass
class Rate:
    """Requests of one client in a sliding minute; old clients are forgotten."""

    limit: int
    seen: OrderedDict[str, list[float]] = field(default_factory=OrderedDict)
    lock: Lock = field(default_factory=Lock)

    def allows(self, client: str) -> bool:
        """Count one request; False when the client asks too often."""
        now = time.monotonic()
        with self.lock:
            times = [t for t in self.seen.pop(client, []) if now - t < 60.0]
            times.append(now)
            self.seen[client] = times[-self.limit - 1 :]
            while len(self.seen) > 1000:
                self.seen.popitem(last=False)
            return len(times) <= self.limit


def try_allowed(request: Request) -> None:
    """Count a try to sign in from one place, by page or program; 429 when there are too many.

    Decision: beside the wait of each account, so that one place cannot try many names.
    """
    rate: Rate = request.app.state.sign_in_rate
    if not rate.allows(request.client.host if request.client else "nobody"):
        raise HTTPException(429, said("at most {most} tries to sign in a minute", most=rate.limit))


class Guard(BaseHTTPMiddleware):
    """Refuses what no page of ours would send, and sets the headers of every answer."""

    def __init__(self, app: object, options: ServeOptions) -> None:
        super().__init__(app)  # type: ignore[arg-type]
        self.options, self.rate = options, Rate(options.rate_per_minute)

    async def dispatch(self, request: Request, call_next: RequestResponseEndpoint) -> Response:
        """Check, pass on, dress the answer."""
        refused = self._refused(request)
        response = refused or await call_next(request)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        if not request.url.path.startswith("/static/"):
            response.headers.setdefault("Cache-Control", "no-store")
        if self.options.tls:
            response.headers["Strict-Transport-Security"] = "max-age=31536000"
        return response

    def _refused(self, request: Request) -> Response | None:
        host = request.headers.get("host", "")
        name = (host.rsplit(":", 1)[0] if not host.endswith("]") else host).lower()
        if name not in self.options.hosts:
            return refusal(request, 421, "host", name, "an address this server answers under")
        length = request.headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > self.options.upload_limit:
            most = said("at most {most} bytes", most=self.options.upload_limit)
            return refusal(request, 413, "size", length, most)
        if "transfer-encoding" in request.headers:
            return refusal(request, 411, "size", "not given", "a request that says how long it is")
        client = request.client.host if request.client else "nobody"
        if not self.rate.allows(client):
            return refusal(request, 429, "rate", client, "fewer requests a minute")
        origin = request.headers.get("origin")
        if request.method not in SAFE and origin not in (None, _own_origin(request)):
            return refusal(request, 403, "origin", origin, "requests of our own pages only")
        return None


def _own_origin(request: Request) -> str:
    return f"{request.url.scheme}://{request.headers.get('host', '')}"


def token_for(options: ServeOptions, session: str) -> str:
    """The token a page of this session sends with every unsafe request."""
    return hmac.new(options.secret, session.encode(), sha256).hexdigest()


def token_fits(options: ServeOptions, session: str, token: str) -> bool:
    """Whether a token belongs to the session; compared in constant time."""
    return hmac.compare_digest(token_for(options, session).encode(), token.encode())
