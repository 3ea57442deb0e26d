"""Checks of papers and of what is asked at the vehicle: lift, people, floor, stale sources."""

from __future__ import annotations

from collections.abc import Iterator

from underset.records.policy import Policy
from underset.setting.checks import MONTH, at_most, not_known, yes
from underset.setting.numbers import (
    BayNumbers,
    PointSetNumbers,
    VehicleNumbers,
)
from underset.setting.result import Check, Status
from underset.setting.standing import Standing
from underset.sources import Age


def paper_checks(
    vehicle: VehicleNumbers,
    points: PointSetNumbers,
    bay: BayNumbers,
    policy: Policy,
    standing: Standing,
) -> Iterator[Check]:
    """Service, examination, daily check, authorisation, floor, age of the lifting-point source."""
    out = standing.lifts_out.get(bay.id)
    yield yes("lift_service", out is None, note=("out of service", out) if out else ())
    for defect in standing.lift_defects.get(bay.id, ()):
        note = ("defect reported", defect)
        yield yes("lift_service", ok=False, otherwise=Status.WATCH, note=note)
    yield _examined(bay, policy, standing)
    if standing.require_daily_check:
        yield yes("daily_check", standing.checked_today(bay.id), note=("no daily check today",))
    if standing.require_authorisation:
        yield _authorised(bay, standing)
    yield _source_age(vehicle, points, policy, standing)
    yield _floor(bay)


def _examined(bay: BayNumbers, policy: Policy, standing: Standing) -> Check:
    interval = bay.interval_months or policy["examination"] / MONTH
    day = standing.examined.get(bay.id)
    if day is None:
        return not_known("lift_examined", "examination not on file")
    if day > standing.today:
        return not_known("lift_examined", "dated ahead")
    return at_most("lift_examined", Age(day, standing.today).months, interval)


def _authorised(bay: BayNumbers, standing: Standing) -> Check:
    may = standing.may_lift(bay.lift_kind)
    if may is None:
        return not_known("authorised", "nobody named")
    return yes("authorised", may, note=("not authorised", bay.lift_kind))


def _source_age(
    vehicle: VehicleNumbers, points: PointSetNumbers, policy: Policy, standing: Standing
) -> Check:
    inputs = (("source", points.source, ""),)
    doubt = standing.sources_doubted.get(vehicle.id, {}).get(points.id)
    if doubt is not None:
        return yes("source_age", ok=False, note=("source doubted", doubt), inputs=inputs)
    day = standing.source_checked_on(vehicle.id, points.id)
    if day is None:
        return not_known("source_age", "source has no date", inputs=inputs)
    if day > standing.today:
        return not_known("source_age", "dated ahead", inputs=inputs)
    if not points.looked_up:
        return not_known("source_age", "source not looked up", inputs=inputs)
    months = Age(day, standing.today).months
    return at_most("source_age", months, policy["source_age"] / MONTH, inputs=inputs)


def _floor(bay: BayNumbers) -> Check:
    answers = (bay.floor_level, bay.floor_certificate)
    if "no" in answers:
        return yes("floor", ok=False, note=("floor not certified",))
    return (
        not_known("floor", "floor not known") if "not known" in answers else yes("floor", ok=True)
    )


_WANTED = {
    "rust_at_points": ("no",),
    "repair_at_points": ("no",),
    "hidden_payload": ("no",),
    "person_in_vehicle": ("no",),
    "air_suspension_in_lift_mode": ("yes", "not fitted"),
    "entered_straight": ("yes",),
}


def intake_checks(answers: tuple[tuple[str, str], ...], air: str = "not asked") -> Iterator[Check]:
    """What was asked at the vehicle; an unanswered question is not known, nor is air suspension
    that is fitted by the vehicle's record and not fitted by the answer.
    """
    given = dict(answers)
    for question, good in _WANTED.items():
        answer = given.get(question, "not asked")
        if answer == "not asked":
            yield not_known(question, "not asked")
        elif answer == "not fitted" and air == "yes":
            yield not_known(question, "fitted by the record")
        else:
            soft = Status.WATCH if question == "entered_straight" else Status.STOPS
            yield yes(question, answer in good, otherwise=soft, note=("answered", answer))
