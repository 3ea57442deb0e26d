"""Pages by family. Each module has one router; they are listed here in order."""

from fastapi import APIRouter

from underset.web.pages import plan, run, setting, today

ROUTERS: tuple[APIRouter, ...] = (today.router, plan.router, setting.router, run.router)
