"""Cookies of ours: never readable by scripts, never sent from other sites."""

from __future__ import annotations

from fastapi import Response

from underset.web.options import ServeOptions

YEAR = 365 * 86_400


def keep(answer: Response, options: ServeOptions, name: str, value: str, lasts: int = YEAR) -> None:
    """Set a cookie, or take it away when the value is empty."""
    answer.set_cookie(
        name, value, max_age=lasts if value else 0, path="/", secure=options.tls, httponly=True,
        samesite="strict",
    )  # fmt: skip
