"""Second judge, papers and answers: what stands on file and what was asked at the vehicle."""

from __future__ import annotations

from datetime import date
from typing import Any

from benchmarks.soundness.figures import figure, sure, value

Data = dict[str, Any]
MONTH = 30.4375
GOOD = {
    "rust_at_points": ("no",),
    "repair_at_points": ("no",),
    "hidden_payload": ("no",),
    "person_in_vehicle": ("no",),
    "air_suspension_in_lift_mode": ("yes", "not fitted"),
    "entered_straight": ("yes", "no"),  # only watched
}


def papers(setting: Data, shop: Data) -> list[str]:
    """Every paper or answer that is missing, out of date or against the lift."""
    bay, car, about = shop["bay"], shop["vehicle"], shop.get("about", {})
    inspection, floor = bay.get("inspection", {}), bay.get("surroundings", {})
    told = [] if inspection.get("in_service", True) else ["lift out of service"]
    interval = value(inspection.get("interval")) or shop["policy"]["examination"]
    told += _aged(inspection.get("examined"), interval, shop, "examination")
    points = next(p for p in car["point_sets"] if p["id"] == setting["point_set"])
    source = car.get("sources", {}).get(points.get("source") or car.get("source"), {})
    told += _aged(source.get("date"), shop["policy"]["source_age"], shop, "lifting-point source")
    answers = {floor.get("floor_level", "not known"), floor.get("floor_certificate", "not known")}
    told += ["floor"] if answers != {"yes"} else []
    told += ["daily check"] if about.get("require_daily_check") else []
    told += ["nobody named"] if about.get("require_authorisation") else []
    job = shop.get("job") or {}
    intake = job.get("intake") or car.get("intake", {})
    told += [q for q, good in GOOD.items() if intake.get(q, "not asked") not in good]
    return told + _carriages(shop)


def _aged(day: Any, interval: float, shop: Data, what: str) -> list[str]:
    if day is None:
        return [f"needs the day of the {what}"]
    days = (shop["today"] - date.fromisoformat(str(day))).days
    return [f"{what} overdue"] if days > interval / 86400.0 + 3 else []


def _carriages(shop: Data) -> list[str]:
    policy, bay = shop["policy"], shop["bay"]
    found = figure(bay.get("carriage_difference"))
    difference = policy["level_carriage"] if found is None else sum(found)
    arms = bay["arms"]
    span = abs(sure(arms["left_front"]["pivot_y"]) - sure(arms["right_front"]["pivot_y"]))
    limit = min(policy["carriage_stop"], policy["carriage_tilt"] * span)
    return ["carriages"] if difference > limit + 1e-6 else []
