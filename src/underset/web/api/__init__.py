"""The JSON API under /api/v1: the same use cases as the pages, for programs."""

from fastapi import APIRouter, Security
from fastapi.security import APIKeyHeader, HTTPBearer

from underset.web.api import book, plans, records, runs, server
from underset.web.api.shapes import REFUSALS
from underset.web.guard import TOKEN_HEADER

# Both only tell the OpenAPI page what the visitor's check demands (see `visit`).
_TOKEN = APIKeyHeader(name=TOKEN_HEADER, auto_error=False, scheme_name="token")
_SESSION = HTTPBearer(auto_error=False, scheme_name="session")

API = APIRouter(
    prefix="/api/v1", responses=REFUSALS, dependencies=[Security(_TOKEN), Security(_SESSION)]
)
for module in (server, plans, records, book, runs):
    API.include_router(module.router)

__all__ = ["API"]
