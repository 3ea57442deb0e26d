"""A plan told in the reader's language: hold points and what is missing.

Plans are made, kept and compared in English; remedies are told in the shop's own language.
"""

from __future__ import annotations

from dataclasses import replace

from underset.app.planning import Planned
from underset.job.holdpoints import hold_points
from underset.planner.missing import missing
from underset.setting.result import Plan


def plan_in(planned: Planned, language: str) -> Plan:
    """The plan with its hold points and missing figures in a language; no figure changes."""
    plan, case = planned.plan, planned.case
    if language == "en" or plan.best is None or case is None:
        return plan
    points = hold_points(case, plan.best, language) if plan.hold_points else ()
    told = missing(case, plan.best, language) if plan.missing else ()
    return replace(plan, hold_points=points, missing=told)
