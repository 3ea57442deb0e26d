"""The hold-point run: one decision a screen, big targets, ticks that survive a lost network."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from underset.app import Wish, runs
from underset.app.runs import Run
from underset.web.forms import Key
from underset.web.page import show
from underset.web.visit import Visit, Visitor

router = APIRouter(include_in_schema=False)
Word = Annotated[str, Form(max_length=63)]
Note = Annotated[str, Form(max_length=600)]


@dataclass(frozen=True, slots=True)
class PointView:
    """One hold point as the screen shows it."""

    id: str
    number: int
    title: str
    text: str
    sign: bool
    corner: str
    facts: tuple[tuple[str, str], ...]
    answer: str
    person: str


@dataclass(frozen=True, slots=True)
class RunView:
    """The run: every point, and which one is open."""

    id: str
    vehicle: str
    bay: str
    job: str
    points: tuple[PointView, ...]
    open_at: int
    ended: str
    stopped: str
    plan: str


@router.post("/run")
def start(visit: Visitor, vehicle: Word, bay: Word, key: Key, job: Word = "") -> Response:
    """Start the run of a planned lift; sent again under its key it is the same run."""
    visit.may("technician")
    wish = Wish(vehicle, job or None, (bay,))
    name = runs.start_run(visit.shop, wish, visit.by, visit.language, key=key)
    return RedirectResponse(f"/run/{name}", status_code=303)


@router.get("/run/{name}", response_class=HTMLResponse)
def run(visit: Visitor, name: str) -> HTMLResponse:
    """The run at its open point."""
    view = run_view(visit, runs.run_of(visit.shop, name, visit.language))
    return show(visit, "run.html", view, title="run.title", here="today", scripts=("run.js",))


@router.post("/run/{name}/answer")
def answered(
    visit: Visitor, name: str, point: Word, right: Word, key: Key, note: Note = ""
) -> Response:
    """Tick a point, or say it is not right; sent again under its key it counts once."""
    visit.may("technician")
    runs.answer(visit.shop, name, point, right == "yes", visit.by, key=key, note=note)
    return RedirectResponse(f"/run/{name}", status_code=303)


@router.post("/run/{name}/finish")
def finished(visit: Visitor, name: str, key: Key, note: Note = "") -> Response:
    """End the run."""
    visit.may("technician")
    runs.finish(visit.shop, name, visit.by, key=key, note=note)
    return RedirectResponse(f"/run/{name}", status_code=303)


def run_view(visit: Visit, run: Run) -> RunView:
    """The run in the visitor's units."""
    from underset.app.showing import told_figure

    shop = visit.shop.workshop()
    points = tuple(
        PointView(
            p.point.id, i + 1, p.point.title, p.point.text, p.point.sign,
            p.point.corner or "",
            tuple((k, told_figure(v, visit.units, visit.language)) for k, v in p.point.facts),
            p.answer, p.person,
        )
        for i, p in enumerate(run.points)
    )  # fmt: skip
    vehicle, job = shop.vehicles.get(run.vehicle), shop.jobs.get(run.job or "")
    bay = shop.bays.get(run.bay)
    stopped = run.stopped
    return RunView(
        run.id, vehicle.label if vehicle else run.vehicle, bay.label if bay else run.bay,
        job.label if job else "", points,
        run.next_open if run.next_open is not None else len(points), run.ended,
        stopped.point.title if stopped else "", run.plan or "",
    )  # fmt: skip
