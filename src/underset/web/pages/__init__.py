"""Pages by family. Each module has one router; they are listed here in order."""

from fastapi import APIRouter

from underset.web.pages import (
    book,
    entry,
    imports,
    jobs,
    lifts,
    parked,
    people,
    plan,
    run,
    setting,
    settings,
    sheets,
    shelf,
    signin,
    studies,
    today,
    trace,
    vehicles,
)

ROUTERS: tuple[APIRouter, ...] = (
    today.router,
    plan.router,
    setting.router,
    run.router,
    parked.router,
    lifts.router,
    shelf.router,
    people.router,
    jobs.router,
    book.router,
    settings.router,
    signin.router,
    entry.router,
    imports.router,
    sheets.router,
    trace.router,
    vehicles.router,
    studies.router,
)
