"""One shape for every refusal: JSON under /api, a page elsewhere."""

from __future__ import annotations

from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse, JSONResponse, Response

from underset.errors import (
    AppError,
    ConflictError,
    DeniedError,
    InputError,
    InternalError,
    NotFoundError,
    RenderError,
    StoreError,
)
from underset.web.page import error_page

_CODES: tuple[tuple[type[AppError], int, str], ...] = (
    (InputError, 422, "input"),
    (NotFoundError, 404, "not found"),
    (ConflictError, 409, "conflict"),
    (StoreError, 503, "store"),
    (DeniedError, 403, "denied"),
    (RenderError, 500, "render"),
    (InternalError, 500, "internal"),
)


def error_body(error: AppError) -> tuple[int, dict[str, Any]]:
    """Status code and body of an error of ours."""
    code, kind = next(((c, k) for t, c, k in _CODES if isinstance(error, t)), (500, "internal"))
    body = {
        "kind": kind,
        "field": getattr(error, "field", None),
        "received": _plain(getattr(error, "value", getattr(error, "name", None))),
        "allowed": getattr(error, "allowed", None) or _known(error),
        "remedy": getattr(error, "remedy", None),
        "message": _text(error.message),
    }
    return code, {"error": body}


def _known(error: AppError) -> str | None:
    known = getattr(error, "known", None)
    return ", ".join(known) if known else None


def _plain(value: object) -> object:
    """A received value as JSON can carry it, cut where it is long."""
    if isinstance(value, bool | None) or (isinstance(value, int) and abs(value) < 2**53):
        return value
    return _text(value if isinstance(value, str) else _shown(value))[:200]


def _shown(value: object) -> str:
    try:
        return repr(value)
    except (ValueError, RecursionError):  # numbers of thousands of digits, nests without end
        return f"a {type(value).__name__} too large to show"


def _text(text: str) -> str:
    """Text that can be written as UTF-8, whatever was sent."""
    plain = text.encode("utf-8", "replace").decode()
    return text if plain == text else plain


def wants_json(request: Request) -> bool:
    """Whether the caller is a program."""
    return request.url.path.startswith("/api/")


def refusal(request: Request, code: int, field: str, received: object, allowed: str) -> Response:
    """A refusal before any use case was reached."""
    message = _text(f"{field}: received {_plain(received)!r}; {allowed}.")
    body = {"kind": "refused", "field": field, "received": _plain(received), "allowed": allowed,
            "remedy": None, "message": message}  # fmt: skip
    return answer(request, code, {"error": body})


def answer(request: Request, code: int, body: dict[str, Any]) -> Response:
    """The refusal as JSON or as a page."""
    if wants_json(request):
        return JSONResponse(body, status_code=code)
    return HTMLResponse(error_page(request, code, body["error"]), status_code=code)
