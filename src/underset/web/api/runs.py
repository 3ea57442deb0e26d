"""Hold-point runs: start, answer, end, read."""

from __future__ import annotations

from fastapi import APIRouter

from underset.app import Wish, plain, runs
from underset.web.api.shapes import AnswerIn, FinishIn, IdPath, RunIn, RunOut
from underset.web.visit import Visitor

router = APIRouter(tags=["runs"])


def _out(run: runs.Run) -> RunOut:
    return RunOut.model_validate(plain.run_data(run))


@router.get("/runs")
def open_runs(visit: Visitor) -> list[RunOut]:
    """Runs that have not ended, newest first."""
    return [_out(r) for r in runs.open_runs(visit.shop)]


@router.post("/runs", status_code=201)
def start(visit: Visitor, told: RunIn) -> RunOut:
    """Start the run of a planned lift, once under one key; only a usable setting is lifted."""
    visit.may("technician")
    wish = Wish(told.vehicle, told.job, (told.bay,))
    name = runs.start_run(visit.shop, wish, visit.by, visit.language, key=told.key)
    return _out(runs.run_of(visit.shop, name, visit.language))


@router.get("/runs/{name}")
def run(visit: Visitor, name: IdPath) -> RunOut:
    """A run with every answer so far."""
    return _out(runs.run_of(visit.shop, name, visit.language))


@router.post("/runs/{name}/answers")
def answer(visit: Visitor, name: IdPath, told: AnswerIn) -> RunOut:
    """Tick a hold point, or say that it is not right."""
    visit.may("technician")
    note, key = told.note, told.key
    return _out(runs.answer(visit.shop, name, told.point, told.right, visit.by, key=key, note=note))


@router.post("/runs/{name}/finish")
def finish(visit: Visitor, name: IdPath, told: FinishIn) -> RunOut:
    """End a run: down when every point is answered right, else stopped."""
    visit.may("technician")
    return _out(runs.finish(visit.shop, name, visit.by, key=told.key, note=told.note))
