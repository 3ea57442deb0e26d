"""Pages by family. Each module has one router; they are listed here in order."""

from fastapi import APIRouter

from underset.web.pages import today

ROUTERS: tuple[APIRouter, ...] = (today.router,)
