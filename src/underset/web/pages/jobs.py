"""Jobs on file: list, and one job step by step."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from underset.app import joblist
from underset.app.joblist import JobLine, JobPapers
from underset.web.page import show
from underset.web.visit import Visitor

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True)
class JobsView:
    """All jobs."""

    jobs: tuple[JobLine, ...]


@router.get("/jobs", response_class=HTMLResponse)
def jobs(visit: Visitor) -> HTMLResponse:
    """Every job, by vehicle."""
    view = JobsView(joblist.jobs(visit.shop))
    return show(visit, "jobs.html", view, title="jobs", here="jobs")


@router.get("/jobs/{id}", response_class=HTMLResponse)
def job(visit: Visitor, id: str) -> HTMLResponse:
    """One job step by step."""
    found: JobPapers = joblist.job(visit.shop, id)
    return show(visit, "job.html", found, title=found.line.label, here="jobs")
