"""A date ahead of today, a source nobody read and answers that disagree are never enough."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from tests import judge_cases as made
from underset.app import open_workshop
from underset.records.base import Source
from underset.setting.build import vehicle_numbers
from underset.setting.evaluate import Case, evaluate
from underset.setting.result import Status
from underset.sources import SourceKind
from underset.units import quantity

AHEAD = date(2027, 1, 1)
DAY = date(2026, 11, 20)


def status(case: Case, name: str) -> Status:
    """The worst of one check over the setting and its states."""
    found = [c.status for c in evaluate(case, made.placed(case)).checks if c.name == name]
    assert found
    return max(found, key=[Status.HOLDS, Status.WATCH, Status.NOT_KNOWN, Status.STOPS].index)


def test_an_examination_dated_ahead_is_not_known() -> None:
    case = made.plain_case()
    assert status(case, "lift_examined") is Status.HOLDS
    ahead = replace(case, standing=replace(case.standing, examined={"plain": AHEAD}))
    assert status(ahead, "lift_examined") is Status.NOT_KNOWN


def test_an_inspection_dated_ahead_is_not_known() -> None:
    case = made.plain_case(types=(made.head(inspected_months=-0.1),))
    assert status(case, "adapter_inspected") is Status.NOT_KNOWN


def test_lifting_points_dated_ahead_are_not_known() -> None:
    case = made.plain_case()
    assert status(case, "source_age") is Status.HOLDS
    checked = {"hatch": {"bosses": AHEAD}}
    ahead = replace(case, standing=replace(case.standing, sources_checked=checked))
    assert status(ahead, "source_age") is Status.NOT_KNOWN


@pytest.mark.parametrize(
    ("kind", "seen", "wanted"),
    [
        (SourceKind.MAKER, True, Status.HOLDS),
        (SourceKind.MAKER, False, Status.NOT_KNOWN),
        (SourceKind.MEMORY, True, Status.NOT_KNOWN),
        (SourceKind.ESTIMATE, True, Status.NOT_KNOWN),
        (SourceKind.MEASURED, True, Status.HOLDS),
    ],
)
def test_lifting_points_that_nobody_looked_up_are_not_known(
    kind: SourceKind, seen: bool, wanted: Status
) -> None:
    shop = open_workshop(None)
    record = shop.vehicle("harbour-hatch")
    source = Source(kind=kind, document="sheet", date=date(2026, 6, 1), seen=seen)
    changed = record.model_copy(update={"sources": {**record.sources, "manual": source}})
    points = vehicle_numbers("hatch", changed, shop.policy).point_sets[0]
    standing = replace(made.standing(), sources_checked={"hatch": {points.id: date(2026, 6, 1)}})
    case = replace(made.plain_case(made.vehicle(point_sets=(points,))), standing=standing)
    assert status(case, "source_age") is wanted


@pytest.mark.parametrize(
    ("weights", "clash"),
    [
        ({"total": 1310.0}, False),
        ({"total": 1330.0}, True),
        ({"front": 780.0}, False),
        ({"front": 730.0}, True),
        ({"rear": 560.0}, True),
    ],
)
def test_loads_that_do_not_add_up_are_not_known(weights: dict[str, float], clash: bool) -> None:
    """The hatch stands with 394, 386, 261 and 259 kg on its wheels, each within 3 kg."""
    shop = open_workshop(None)
    record = shop.vehicle("harbour-hatch")
    more = {name: quantity(value, "kg", 1.0) for name, value in weights.items()}
    changed = record.model_copy(update={"weights": record.weights.model_copy(update=more)})
    car = vehicle_numbers("hatch", changed, shop.policy)
    assert car.basis.clash == clash
    case = made.plain_case(made.vehicle(basis=car.basis))
    assert status(case, "balance") is (Status.NOT_KNOWN if clash else Status.HOLDS)


def test_air_suspension_on_file_is_not_answered_away() -> None:
    fitted = made.plain_case(made.vehicle(air="yes"))
    assert status(fitted, "air_suspension_in_lift_mode") is Status.NOT_KNOWN
    in_mode = tuple((k, "yes" if k.startswith("air") else v) for k, v in made.INTAKE)
    assert status(replace(fitted, intake=in_mode), "air_suspension_in_lift_mode") is Status.HOLDS
