"""The sample workshop holds what a sample must: bays and vehicles of every kind, a real shelf."""

from __future__ import annotations

import pytest

from tests.record_cases import QUAYSIDE, quayside
from underset.records import Contact, complaints, figures
from underset.sources import SourceKind
from underset.units import Quantity

SHOP = quayside()
TAPE_ONLY = "harbourmaster-classic"


def test_everything_is_marked_invented() -> None:
    tables = (SHOP.vehicles, SHOP.bays, SHOP.adapters, SHOP.jobs)
    assert SHOP.about.invented
    assert all(r.invented for table in tables for r in table.values())


def test_nothing_in_it_looks_wrong() -> None:
    assert [str(c) for c in complaints(SHOP)] == []


def test_four_bays_that_differ_in_kind() -> None:
    kinds = {b.lift_kind for b in SHOP.bays.values()}
    assert kinds == {
        "symmetric two-post", "asymmetric two-post", "long-arm two-post", "compact two-post",
    }  # fmt: skip
    north, south, yard, corner = (SHOP.bays[k] for k in ("north", "south", "yard", "corner"))
    assert all(c.turn.value != 0.0 for c in south.columns)
    arms = south.arms
    assert arms.left_front.reach_high.value < arms.left_rear.reach_high.value
    assert south.surroundings.ceiling.value < 3.5 < north.surroundings.ceiling.value
    assert corner.restraint.pitch.value > 1.4 * north.restraint.pitch.value
    rated = [b.plate.rated.value for b in (corner, north, yard)]
    assert rated == sorted(rated) and rated[0] <= 3500 and rated[-1] > 6000


def test_ten_vehicles_with_jobs_and_visits() -> None:
    assert len(SHOP.vehicles) == 10
    assert {j.vehicle for j in SHOP.jobs.values()} == set(SHOP.vehicles)
    assert set(SHOP.about.visits) == set(SHOP.vehicles)


@pytest.mark.parametrize("name", sorted(SHOP.vehicles))
def test_intake_is_answered_and_figures_have_sources(name: str) -> None:
    vehicle = SHOP.vehicles[name]
    answers = vehicle.intake.model_dump(exclude={"asked_by", "asked_on"})
    assert "not asked" not in answers.values()
    assert all(vehicle.source_of(q) is not None for _, q in figures(vehicle))
    assert vehicle.zones is not None and vehicle.doors is not None and vehicle.lids is not None
    assert vehicle.components


def test_the_classic_was_only_measured_by_tape() -> None:
    classic = SHOP.vehicles[TAPE_ONLY]
    weights = classic.weights.model_dump(exclude={"state"})
    assert not any(isinstance(getattr(classic.weights, k), Quantity) for k in weights)
    assert {s.kind for s in classic.sources.values()} == {SourceKind.MEASURED}
    others = [v for k, v in SHOP.vehicles.items() if k != TAPE_ONLY]
    assert all(
        isinstance(v.weights.lf, Quantity) or isinstance(v.weights.front, Quantity) for v in others
    )


def test_every_contact_is_met_and_every_construction() -> None:
    points = [p for v in SHOP.vehicles.values() for s in v.point_sets for p in s.points]
    assert {p.contact for p in points} == set(Contact)
    assert {v.construction for v in SHOP.vehicles.values()} == {"unibody", "body-on-frame"}
    assert sum(v.propulsion == "battery-electric" for v in SHOP.vehicles.values()) >= 2
    skirts = {z.kind.value for v in SHOP.vehicles.values() for z in v.zones or ()}
    assert {"skirt", "running board", "battery", "tank", "exhaust", "line"} <= skirts


def test_the_shelf() -> None:
    owned = {k: a for k, a in SHOP.adapters.items() if a.usable_count("north")}
    screws = {a.travel.value for a in owned.values() if isinstance(a.travel, Quantity)}
    spacers = {a.height.value for a in owned.values() if a.role == "spacer" and a.maker_rated}
    assert len(screws) >= 2 and len(spacers) >= 3
    assert sum(a.cradle for a in owned.values()) == 2
    assert any(Contact.PINCH in a.contacts for a in owned.values())
    assert any(Contact.PEG in a.contacts for a in owned.values())


def test_one_piece_is_improvised_and_one_out_of_service() -> None:
    improvised = [k for k, a in SHOP.adapters.items() if not a.maker_rated]
    tagged = [
        k for k, a in SHOP.adapters.items() if a.lots and not any(x.in_service for x in a.lots)
    ]
    assert (improvised, tagged) == (["timber-block"], ["spacer-90"])
    assert SHOP.adapters["spacer-90"].usable_count("north") == 0
    assert not any("timber-block" in b.adapters_approved for b in SHOP.bays.values())


def test_some_types_are_only_in_the_catalogue() -> None:
    assert sum(not a.lots and a.price is not None for a in SHOP.adapters.values()) >= 3


def test_jobs_that_matter() -> None:
    kinds = {s.kind for j in SHOP.jobs.values() for s in j.steps}
    assert {"take off", "put on", "add load", "move load", "table push", "push", "open"} <= kinds
    off = {s.component for j in SHOP.jobs.values() for s in j.steps if s.kind == "take off"}
    assert {"engine-and-gearbox", "battery-pack", "rear-axle", "transmission"} <= off
    assert {"rear-drive-unit"} <= off


def test_ages_are_counted_from_a_fixed_day() -> None:
    assert SHOP.about.today is not None
    assert SHOP.about.today.isoformat() == "2026-11-20"


def test_the_files_name_no_address() -> None:
    text = "".join(p.read_text("utf-8") for p in QUAYSIDE.rglob("*.toml"))
    assert "http" not in text and "www." not in text and "/work" not in text
