"""The bay app: pages and JSON API over the shop's use cases."""

from __future__ import annotations

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import RedirectResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from underset import __version__
from underset.app.shop import Shop
from underset.errors import AppError, InputError
from underset.web.answers import answer, error_body, refusal, wants_json
from underset.web.api import API
from underset.web.guard import TRIES_A_MINUTE, Guard, Rate
from underset.web.options import ServeOptions
from underset.web.page import HERE
from underset.web.pages import ROUTERS
from underset.web.visit import SignInNeeded


def create_app(shop: Shop, options: ServeOptions | None = None) -> FastAPI:
    """The application on one open shop."""
    app = FastAPI(
        title="Underset",
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    app.state.shop, app.state.options = shop, options or ServeOptions()
    app.state.sign_in_rate = Rate(TRIES_A_MINUTE)
    app.add_middleware(Guard, options=app.state.options)
    app.mount("/static", StaticFiles(directory=HERE / "static"), name="static")
    for router in (*ROUTERS, API):
        app.include_router(router)
    _handlers(app)
    return app


def _handlers(app: FastAPI) -> None:
    @app.exception_handler(AppError)
    def ours(request: Request, error: AppError) -> Response:
        return answer(request, *error_body(error))

    @app.exception_handler(RequestValidationError)
    def wrong(request: Request, error: RequestValidationError) -> Response:
        first = error.errors()[0]
        field = ".".join(str(p) for p in first["loc"][1:]) or "request"
        problem = InputError(field, first.get("input"), str(first["msg"]))
        return answer(request, *error_body(problem))

    @app.exception_handler(HTTPException)
    def http(request: Request, error: HTTPException) -> Response:
        return refusal(request, error.status_code, "request", request.url.path, error.detail)

    @app.exception_handler(SignInNeeded)
    def stranger(request: Request, error: SignInNeeded) -> Response:
        if wants_json(request):
            return refusal(request, 401, "session", "none", "a session; sign in first")
        return RedirectResponse(error.to, status_code=303)
