"""Fields and records that contradict one another."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from tests.record_cases import changed, model_of, quayside
from underset.errors import InputErrors
from underset.geometry.strips import convex_pieces
from underset.records import (
    Adapter,
    Bay,
    Job,
    Vehicle,
    Workshop,
    WorkshopFile,
    between,
    figures,
    validated,
    within,
)
from underset.records.outline import meets_itself

HATCH, NORTH = "vehicles/harbour-hatch.toml", "bays/north.toml"
JOB, PEG = "jobs/hatch-engine-out.toml", "adapters/peg-head.toml"


def fields(place: str, changes: dict[str, Any]) -> list[str]:
    with pytest.raises(InputErrors) as caught:
        validated(model_of(place), changed(place, changes), place)
    assert all(e.place == place for e in caught.value.errors)
    return [e.field for e in caught.value.errors]


@pytest.mark.parametrize(
    ("place", "changes", "expected"),
    [
        (HATCH, {"source": "hearsay"}, ["source"]),
        (HATCH, {"weights.lf.source": "bathroom"}, ["weights.lf.source"]),
        (HATCH, {"point_sets.0.source": "hearsay"}, ["point_sets[0].source"]),
        (HATCH, {"point_sets.0.points.1.corner": "LF"}, ["point_sets[0].points"]),
        (HATCH, {"zones.1.id": "skirt-left"}, ["zones"]),
        (HATCH, {"doors.1.id": "front-left"}, ["doors and lids"]),
        (HATCH, {"lids.0.id": "front-left"}, ["doors and lids"]),
        (HATCH, {"components.1.id": "engine-and-gearbox"}, ["components"]),
        (HATCH, {"stand_places.1.id": "front-subframe"}, ["stand_places"]),
        (HATCH, {"zones.0.outline.2.1": "-880 mm"}, ["zones[0].outline"]),
        (NORTH, {"columns.1.side": "left"}, ["columns"]),
        (NORTH, {"seat.highest": "90 mm"}, ["seat.highest"]),
        *((NORTH, {"plate.split_high": text}, ["plate.split_high"])
          for text in ("60 %", "3 to 1", "3:0", "0:0", "nan:1", "3:1:1", "")),
        (NORTH, {"arms.left_front.swing_high": "-20 deg"}, ["arms.left_front.swing_high"]),
        (NORTH, {"arms.right_rear.reach_high": "500 mm"}, ["arms.right_rear.reach_high"]),
        (PEG, {"above": "pin-60"}, ["above"]),
        ("adapters/pinch-block.toml", {"above": "pad-120"}, ["above"]),
        ("adapters/spacer-75.toml", {"contacts": ["flat boss"]}, ["contacts"]),
        (JOB, {"steps.0": {"kind": "stand away", "id": "axle"}}, ["steps[0].id"]),
        (JOB, {"steps.0": {"kind": "remove load", "id": "tools"}}, ["steps[0].id"]),
        (JOB, {"steps.6": {"kind": "take off", "component": "engine-and-gearbox"}},
         ["steps[6].component"]),
    ],
)  # fmt: skip
def test_contradictions_in_one_record(place, changes, expected) -> None:
    assert fields(place, changes) == expected


def test_a_spacer_needs_an_upper_interface() -> None:
    raw = changed("adapters/spacer-75.toml", {})
    del raw["above"]
    with pytest.raises(InputErrors, match="upper side"):
        validated(Adapter, raw)


def test_the_sample_contradicts_nothing() -> None:
    shop = quayside()
    records = [*shop.vehicles.values(), *shop.bays.values(), *shop.jobs.values()]
    assert [within(r) for r in records] == [[]] * len(records)
    assert between(shop) == []


def with_records(**tables: dict[str, Any]) -> Workshop:
    shop = quayside()
    merged = {k: {**getattr(shop, k), **v} for k, v in tables.items() if k != "about"}
    about = tables.get("about", {})
    return dataclasses.replace(shop, about=shop.about.model_copy(update=about), **merged)


def job(**changes: Any) -> dict[str, Any]:
    steps = {k.replace("step", "steps."): v for k, v in changes.items() if k.startswith("step")}
    rest = {k: v for k, v in changes.items() if not k.startswith("step")}
    return {"odd": Job.model_validate(changed(JOB, {**rest, **steps}))}


def adapter(**changes: Any) -> Adapter:
    return Adapter.model_validate(changed("adapters/spacer-75.toml", changes))


@pytest.mark.parametrize(
    ("shop", "place", "field"),
    [
        (lambda: with_records(about={"visits": {"ghost": 1}}), "workshop.toml", "visits.ghost"),
        (lambda: with_records(jobs=job(vehicle="ghost")), "jobs/odd.toml", "vehicle"),
        (lambda: with_records(jobs=job(step6={"kind": "take off", "component": "mast"})),
         "jobs/odd.toml", "steps[6].component"),
        (lambda: with_records(jobs=job(step0={"kind": "put on", "component": "rear-axle"})),
         "jobs/odd.toml", "steps[0].component"),
        (lambda: with_records(jobs=job(step0={"kind": "open", "what": "sunroof"})),
         "jobs/odd.toml", "steps[0].what"),
        (lambda: with_records(jobs=job(step0={"kind": "move load", "id": "crate", "aft": "1 m",
                                              "side": "0 m", "up": "1 m"})),
         "jobs/odd.toml", "steps[0].id"),
        (lambda: with_records(bays={"odd": quayside().bays["north"].model_copy(
            update={"adapters_approved": ("ghost",)})}), "bays/odd.toml", "adapters_approved"),
        (lambda: with_records(adapters={"odd": adapter(**{"lots.0.where": "attic"})}),
         "adapters/odd.toml", "lots[0].where"),
    ],
)  # fmt: skip
def test_contradictions_between_records(shop, place: str, field: str) -> None:
    (error,) = between(shop())
    assert (error.place, error.field) == (place, field)


def test_people_are_authorised_for_lifts_that_are_here() -> None:
    shop = with_records(
        about={
            "people": [quayside().about.people[0].model_copy(update={"authorised_for": ("sky",)})]
        }
    )
    assert [e.field for e in between(shop)] == ["people[0].authorised_for"]


@pytest.mark.parametrize("what", ["all doors", "bonnet", "front-left", "tailgate"])
def test_openings_by_id_or_by_word(what: str) -> None:
    assert between(with_records(jobs=job(step0={"kind": "open", "what": what}))) == []


def test_a_job_on_a_vehicle_with_unknown_doors_is_left_to_the_judge() -> None:
    unknown = quayside().vehicles["harbour-hatch"].model_copy(update={"doors": None})
    odd = job(vehicle="odd", step0={"kind": "open", "what": "sunroof"})
    assert between(with_records(jobs=odd, vehicles={"odd": unknown})) == []


def test_spacers_that_lead_round_in_a_ring_are_refused() -> None:
    up, down = adapter(below="pin-60", above="pin-70"), adapter(below="pin-70", above="pin-60")
    assert between(with_records(adapters={"up": up})) == []
    ring = between(with_records(adapters={"up": up, "down": down}))
    assert {e.place for e in ring} == {"adapters/up.toml", "adapters/down.toml"}


def test_duplicate_people() -> None:
    raw = {"name": "x", "people": [{"id": "a", "name": "A"}, {"id": "a", "name": "B"}]}
    with pytest.raises(InputErrors, match="people"):
        validated(WorkshopFile, raw)


def test_every_figure_is_found_with_its_path() -> None:
    vehicle = quayside().vehicles["harbour-hatch"]
    paths = dict(figures(vehicle))
    assert paths["point_sets[0].points[3].side"].value == -0.72
    assert paths["zones[0].outline[1][0]"].value == 2.18
    assert len(paths) > 140


def test_more_complaints_than_anyone_reads_are_cut_short() -> None:
    raw = changed(HATCH, {"zones": [{"id": "x"}] * 400})
    with pytest.raises(InputErrors) as caught:
        validated(Vehicle, raw)
    assert len(caught.value.errors) == 101
    assert "more complaints" in str(caught.value.errors[-1].value)


def test_a_bay_is_no_vehicle() -> None:
    with pytest.raises(InputErrors) as caught:
        validated(Bay, changed(HATCH, {}))
    assert {"columns", "arms", "seat", "plate"} <= {e.field for e in caught.value.errors}
    with pytest.raises(InputErrors, match="table"):
        validated(Bay, [1, 2])


@pytest.mark.parametrize(
    ("corners", "meets"),
    [
        ([(0, 0), (1, 0), (1, 1), (0, 1)], False),
        ([(0, 0), (1, 1), (1, 0), (0, 1)], True),  # a bow tie
        ([(0, 0), (2, 0), (2, 2), (1, 1), (0, 2)], False),  # a notch
        ([(0, 0), (2, 0), (2, 2), (1, 0), (0, 2)], True),  # a notch that touches the far side
        ([(0, 0), (2, 0), (2, 2), (1, 1), (0, 2), (0, 0)], False),  # closed by hand
        ([(0, 0), (1, 0), (2, 0)], False),
        ([(0, 0), (2, 0), (1, 0), (3, 0)], True),  # back along itself
        ([(0, 0), (1, 0), (1, 0), (1, 1), (0, 1)], False),
    ],
)
def test_an_outline_says_what_lies_inside(corners: list[tuple[float, float]], meets: bool) -> None:
    assert meets_itself(corners) is meets
    if not meets and len(corners) > 3:
        assert convex_pieces(tuple(corners))
