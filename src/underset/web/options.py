"""How the server is run, as the pages and the guard need to know it."""

from __future__ import annotations

from dataclasses import dataclass, field
from secrets import token_bytes


@dataclass(frozen=True, slots=True)
class ServeOptions:
    """Loopback without accounts, or the shop's network with them.

    `hosts` are the names under which the server answers; `secret` signs tokens and is made anew at
    each start unless one is given.
    """

    port: int = 8750
    lan: bool = False
    tls: bool = False
    hosts: tuple[str, ...] = ("127.0.0.1", "localhost", "[::1]")
    secret: bytes = field(default_factory=lambda: token_bytes(32), repr=False)
    upload_limit: int = 12_000_000
    rate_per_minute: int = 600
